// Package rules states what transport rules, product standards and one law say about a build, with source and year. It gives facts and no
// advice: what is allowed where is for those to say who are asked there.
//
// A figure at its limit is inside; one past it is beyond. Energies are rated ones, nominal voltage times rated charge, as the rules count
// them:
//
//	cell   E = V_nominal·Q        pack   E = S·P·V_nominal·Q
//
// Sources stand at each fact; “from memory” marks what was recalled and not read. Year is the edition's, or the year of the reading where
// the source bears none, which its text then says.
//
// What this leaves out: every country but one, road and sea transport in detail, insurance, and what an airline adds of its own.
package rules

import (
	"math"
	"strconv"

	"headroom/core/build"
)

// The two answers of a fact that has a limit.
const (
	Inside = "inside"
	Beyond = "beyond"
)

// The topics, in the order of the list.
const (
	Air      = "air"
	Shipping = "shipping"
	Product  = "product"
	Law      = "law"
)

// Fact is one thing that a rule says.
type Fact struct {
	Code   string   `json:"code"`
	Topic  string   `json:"topic"`
	Text   string   `json:"text"`
	Source string   `json:"source"`
	Year   int      `json:"year"`
	Status string   `json:"status"` // inside, beyond, or empty where there is nothing to compare
	Value  *float64 `json:"value"`  // of this build, nil where nothing is compared
	Limit  *float64 `json:"limit"`  // nil where the fact names none
	Unit   string   `json:"unit"`   // of both
}

// Figures are what the facts are held against, all finite and ≥ 0.
type Figures struct {
	EnergyWh  float64 // rated energy of the pack, Wh
	CellWh    float64 // rated energy of one cell, Wh
	FullV     float64 // full pack, V
	CruiseKmh float64 // riding speed, km/h
	BoardKg   float64 // board without rider, kg
}

// Facts returns the facts of a build, by topic.
func Facts(b *build.Build, p *build.Parts, f Figures) []Fact {
	return append(append(air(f), shipping(f)...), append(product(b, p, f), law(f)...)...)
}

// compared returns a fact with a figure of the build held against the limit.
func (f Fact) compared(value, limit float64, unit string) Fact {
	f = f.limited(limit, unit)
	f.Value, f.Status = &value, Inside
	// Six digits after the point are more than any figure has: 8 cells of 12.5 Wh are 100 Wh, whatever the arithmetic leaves.
	if math.Round(value*1e6) > limit*1e6 {
		f.Status = Beyond
	}
	return f
}

// limited returns a fact that names a limit with nothing of the build to hold against it.
func (f Fact) limited(limit float64, unit string) Fact {
	f.Limit, f.Unit = &limit, unit
	return f
}

// say writes a figure with its unit, to a tenth.
func say(v float64, unit string) string {
	return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) + " " + unit
}
