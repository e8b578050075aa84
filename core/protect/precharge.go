package protect

import (
	"math"
	"slices"

	"headroom/core/build"
	"headroom/core/pack"
)

// Precharge is the resistor that fills the controller's capacitors before the main switch closes.
type Precharge struct {
	Ohm     float64 `json:"ohm"`      // largest of series E12 (IEC 60063) that reaches 95 % in the time wanted
	Seconds float64 `json:"seconds"`  // to 95 % with it
	EnergyJ float64 `json:"energy_j"` // into the capacitors, and as much into the resistor
	PeakW   float64 `json:"peak_w"`   // in the resistor at the first moment
	InrushA float64 `json:"inrush_a"` // without it: full pack over the resistance of its path
}

// e12 is one decade of IEC 60063.
var e12 = [...]int{10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82}

// resistors are the E12 values from 10 mΩ to 82 MΩ, rising.
var resistors = e12Values()

func e12Values() []float64 {
	var values []float64
	for exponent := range 10 {
		for _, v := range e12 {
			values = append(values, float64(v)*math.Pow10(exponent)/1e3)
		}
	}
	return values
}

// below returns the largest E12 value not above ohm, Ω (at least the smallest of the list).
func below(ohm float64) float64 {
	i, found := slices.BinarySearch(resistors, ohm)
	if !found {
		i = max(0, i-1)
	}
	return resistors[i]
}

// CheckPrecharge sizes it for the full pack: V = V_0·(1 − e^(−t/RC)) reaches 95 % at t = RC·ln 20 (any circuits textbook). The leads'
// inductance, which rounds the inrush off, is left out.
func CheckPrecharge(b *build.Build, p *build.Parts, k *pack.Pack) Precharge {
	c, full := p.Controller.CapacitanceF, k.At(1)
	ohm := below(b.Precharge / (c * math.Log(20)))
	return Precharge{
		Ohm: ohm, Seconds: ohm * c * math.Log(20), EnergyJ: c * k.FullV * k.FullV / 2,
		PeakW: k.FullV * k.FullV / ohm, InrushA: full.OpenCircuit / full.Resistance,
	}
}
