// Package protect holds each part that the current passes through against its rating.
//
// A part has two loads and two ratings: the steady current of the ride against the continuous rating, and the highest current
// that the limits allow against the peak rating. The worse of the two is its margin. Ratings come from the part's class or its
// data sheet; how they are re-rated stands beside each rule.
package protect

import (
	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/pack"
)

// Row is one part in the current path.
type Row struct {
	Part       string       `json:"part"`
	LoadA      float64      `json:"load_a"`        // steady, A
	PeakA      float64      `json:"peak_a"`        // highest that the limits allow, A
	RatingA    float64      `json:"rating_a"`      // continuous, A
	PeakRating float64      `json:"peak_rating_a"` // A
	MarginPct  float64      `json:"margin_pct"`    // of the rating that is nearer
	MarginA    float64      `json:"margin_a"`      // to the rating that is nearer
	Status     limit.Status `json:"status"`
	Why        string       `json:"why"`
}

// Loads are the currents of one build.
type Loads struct {
	SteadyA     float64 // battery, steady ride at its last and lowest charge, where amperes are highest
	PeakA       float64 // battery, the most that the limits allow
	SteadyPhase float64 // phase, A peak
	PeakPhase   float64 // phase, A peak
}

// fuseSteady is the share of its rating that a fuse carries for hours at 25 °C (75 %: common practice; a maker's guide allows
// 80 % for fast types).
const fuseSteady = 0.75

// Rows returns the parts from cells to motor.
func Rows(b *build.Build, p *build.Parts, l Loads) []Row {
	par := float64(b.Parallel)
	return []Row{
		row("cells", l.SteadyA, l.PeakA, par*p.Cell.ContinuousA, par*p.Cell.PeakA, b.Margin,
			"parallel count times the cell's continuous and peak rating"),
		row("fuse", l.SteadyA, l.PeakA, fuseSteady*b.FuseRating, b.FuseRating, b.Margin,
			"75 % of its rating for hours, the rating itself for seconds"),
		row("controller", l.SteadyA, l.PeakA, p.Controller.BatteryA, p.Controller.BatteryA, b.Margin,
			"battery side, continuous rating"),
		row("controller phases", l.SteadyPhase, l.PeakPhase, p.Controller.PhaseA, p.Controller.PhaseA, b.Margin,
			"phase side, peak amperes"),
		row("motor winding", l.SteadyPhase, l.PeakPhase, p.Motor.PhaseA, p.Motor.PhaseA, b.Margin,
			"peak amperes for seconds; heat sets the steady limit"),
	}
}

func row(part string, load, peak, rating, peakRating, margin float64, why string) Row {
	used, left := load/rating, rating-load
	if u := peak / peakRating; u >= used {
		used, left = u, peakRating-peak
	}
	return Row{
		Part: part, LoadA: load, PeakA: peak, RatingA: rating, PeakRating: peakRating,
		MarginPct: 100 * (1 - used), MarginA: left,
		Status: limit.Judge(used, 1-margin, 1), Why: why,
	}
}

// Weakest returns the row with the least margin. rows must not be empty.
func Weakest(rows []Row) Row {
	w := rows[0]
	for _, r := range rows[1:] {
		if r.MarginPct < w.MarginPct {
			w = r
		}
	}
	return w
}

// Fuse is what a fuse must do besides carrying current.
type Fuse struct {
	VoltageDC     float64 `json:"voltage_dc"`
	VoltageOK     bool    `json:"voltage_ok"` // d.c. rating ≥ full pack
	ShortCircuitA float64 `json:"short_circuit_a"`
	BreakingA     float64 `json:"breaking_a"`
	BreakingOK    bool    `json:"breaking_ok"` // breaking capacity ≥ prospective short-circuit current
	RatingOK      bool    `json:"rating_ok"`   // the class is made in this rating
}

// CheckFuse holds the fuse against the full pack: an arc between its ends must go out at full d.c. voltage and full
// short-circuit current E/R (ISO 8820 and IEC 60269 rate both).
func CheckFuse(b *build.Build, p *build.Parts, k *pack.Pack) Fuse {
	short := k.ShortCircuit()
	return Fuse{
		VoltageDC: p.Fuse.VoltageDC, VoltageOK: p.Fuse.VoltageDC >= k.FullV,
		ShortCircuitA: short, BreakingA: p.Fuse.BreakingA, BreakingOK: p.Fuse.BreakingA >= short,
		RatingOK: b.FuseRating <= p.Fuse.MaxRating,
	}
}
