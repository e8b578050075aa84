package core

import (
	"encoding/json"
	"strconv"
	"strings"

	"headroom/core/build"
	"headroom/core/charge"
	"headroom/core/pack"
	"headroom/core/ride"
)

// Why is what stands behind a figure: the equation, this build's numbers in it, where it comes from, and what limits it.
type Why struct {
	Key      string     `json:"key"`      // of the readout
	Equation string     `json:"equation"` // in the symbols of Numbers
	Numbers  []Quantity `json:"numbers"`
	Source   string     `json:"source"`
	Valid    string     `json:"valid"`             // where it holds, and what it leaves out
	Bound    string     `json:"bound,omitempty"`   // the limit that binds for this build
	Plainly  string     `json:"plainly,omitempty"` // what that limit does, in plain sentences
}

// Quantity is one symbol of an equation with its value for this build. Put into the equation as it stands, the value gives the figure in
// the readout's unit: what units ask for (3.6 km/h per m/s, 100 % per 1, 1000 mm per m) is written in the equation.
type Quantity struct {
	Symbol string  `json:"symbol"`
	Words  string  `json:"words"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"`
}

// Method is how one figure is found, whatever the build. The first line of Equation begins with the figure's own symbol: "V = …", or
// "v: …" where it is searched for; lines after it say what its symbols are, or what must hold. Angles are in degrees.
type Method struct {
	Key      string // of the readout
	Equation string // lines of at most 44 characters
	Source   string
	Valid    string
}

// explanation is a method with what a build brings to it.
type explanation struct {
	Method
	numbers func(*basis) []Quantity
	bound   func(*basis) string // nil where nothing binds
}

var whyThemes = [][]explanation{whySpeed, whyRide, whyRange, whyDownhill, whyHeat, whyPack, whyProtection, whyLeads, whyCharge, whyWeight, whyWheel}

var explanations = func() map[string]*explanation {
	m := map[string]*explanation{}
	for _, theme := range whyThemes {
		for i := range theme {
			m[theme[i].Key] = &theme[i]
		}
	}
	return m
}()

// Methods lists how every readout is found, in the page's order.
func Methods() []Method {
	var list []Method
	for _, section := range Readouts {
		for i := range section.Rows {
			if e := explanations[section.Rows[i].Key]; e != nil {
				list = append(list, e.Method)
			}
		}
	}
	return list
}

// Why explains one readout of this report; ok is false for a key that is no readout's. Numbers that do not exist for this build, because
// its figure does not, are left out.
func (r *Report) Why(key string) (w Why, ok bool) {
	e := explanations[key]
	if e == nil {
		return Why{}, false
	}
	x := r.basis()
	return e.why(&x), true
}

func (e *explanation) why(x *basis) Why {
	w := Why{Key: e.Key, Equation: e.Equation, Numbers: append([]Quantity{}, e.numbers(x)...), Source: e.Source, Valid: e.Valid}
	if e.bound != nil {
		w.Bound = e.bound(x)
	}
	if say := plainly[e.Key]; say != nil {
		w.Plainly = strings.TrimSpace(say(x))
	}
	return w
}

// MarshalJSON adds "why", the explanation of every readout, and the curves that only charts draw. They are worked out here and not in
// Plan, which has to be fast.
func (r Report) MarshalJSON() ([]byte, error) {
	type fields Report // without this method
	x := r.basis()
	var list []Why
	for _, m := range Methods() {
		list = append(list, explanations[m.Key].why(&x))
	}
	var out strings.Builder
	to := json.NewEncoder(&out)
	to.SetEscapeHTML(false) // whoever asked decides that for the whole
	err := to.Encode(struct {
		fields
		RangeBand []RangeBandPoint `json:"range_band"`
		Along     []AlongPoint     `json:"along"`
		Charging  []charge.Point   `json:"charging"`
		Why       []Why            `json:"why"`
	}{fields(r), r.RangeBand(), r.Along(), r.Charging(), list})
	return []byte(out.String()), err
}

// basis is a report with the board that it was computed for. What the report does not hold itself is asked of the board, by the same
// physics.
type basis struct {
	*Report
	in    build.Build // with the winding temperature as resolved
	parts build.Parts
	board ride.Board

	full, half, low, start pack.Source

	profile  *ride.Profile  // see route
	distance *ride.Distance // see ridden
}

func (r *Report) basis() basis {
	x := basis{Report: r, in: r.Build.build, parts: r.Build.parts}
	x.in.WindingC = r.Model.Motor.WindingC
	x.board = board(&x.in, &x.parts)
	p := &x.board.Pack
	x.full, x.half, x.low, x.start = p.At(1), p.At(0.5), p.At(x.in.FloorCharge), p.At(x.in.StartCharge)
	return x
}

// route is the ride; it is made once, when it is first asked for.
func (x *basis) route() *ride.Profile {
	if x.profile == nil {
		p := ride.NewProfile(&x.in, &x.board)
		x.profile = &p
	}
	return x.profile
}

func (x *basis) ridden() *ride.Distance {
	if x.distance == nil {
		d := x.board.Range(x.route(), x.in.StartCharge, x.in.FloorCharge)
		x.distance = &d
	}
	return x.distance
}

// peakA is the most battery current in A that the limits allow at any speed and charge, out of the battery or into it.
func (x *basis) peakA() float64 {
	for _, row := range x.Protection.Rows {
		if row.Part == "cells" {
			return row.PeakA
		}
	}
	return 0
}

// judged is the status of a readout that has a bar, as ": clear".
func (x *basis) judged(key string) string {
	if bar := x.Bar(key); bar != nil {
		return ": " + string(bar.Status)
	}
	return ""
}

// fixed writes a number for a sentence.
func fixed(v float64, digits int) string { return strconv.FormatFloat(v, 'f', digits, 64) }
