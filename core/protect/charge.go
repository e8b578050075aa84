package protect

import (
	"headroom/core/build"
	"headroom/core/pack"
)

// ChargeFuse holds the fuse between charge socket and pack against the full pack and the charger.
type ChargeFuse struct {
	VoltageDC     float64 `json:"voltage_dc"`
	VoltageOK     bool    `json:"voltage_ok"` // d.c. rating ≥ full pack
	BreakingA     float64 `json:"breaking_a"`
	ShortCircuitA float64 `json:"short_circuit_a"` // with new cells at 45 °C
	BreakingOK    bool    `json:"breaking_ok"`     // a short in the charge lead is fed by the pack
	CarriesA      float64 `json:"carries_a"`       // 75 % of its rating
	RatingOK      bool    `json:"rating_ok"`       // that is at least the charger's current
	ClassOK       bool    `json:"class_ok"`        // the class is made in this rating
	// SuggestA is the smallest standard rating of its class that carries the charger; nil where none does.
	SuggestA *float64 `json:"suggest_a,omitempty"`
}

// CheckChargeFuse uses the pack's own short circuit: the charge lead's resistance is not known, and counts for nothing on the safe side.
// Charging is in a room, so nothing is taken off for a warm box.
func CheckChargeFuse(b *build.Build, p *build.Parts, k *pack.Pack) ChargeFuse {
	class, short := &p.ChargeFuse, k.MostShortCircuit()
	f := ChargeFuse{
		VoltageDC: class.VoltageDC, VoltageOK: class.VoltageDC >= k.FullV,
		BreakingA: class.BreakingA, ShortCircuitA: short, BreakingOK: class.BreakingA >= short,
		CarriesA: fuseSteady * b.ChargeFuse, RatingOK: fuseSteady*b.ChargeFuse >= b.ChargerA,
		ClassOK: b.ChargeFuse <= class.MaxRating,
	}
	for _, rating := range class.Ratings {
		if fuseSteady*rating >= b.ChargerA {
			f.SuggestA = &rating
			break
		}
	}
	return f
}
