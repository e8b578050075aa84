package ridecheck

import (
	"math"

	"headroom/core/build"
)

// knob is one thing that is not known exactly. Its turn θ is a natural logarithm: the value is that of the build times e^θ. One knob, the
// center of mass, is in m instead and stands in no field.
type knob struct {
	label string
	keys  []string // of the fields that hold it; one that a class gives is less sure than one entered
	class float64  // standard uncertainty of a class value
	given float64  // of one that was entered
	turn  func(m *model, theta float64)
	more  string // the word for more of it
	less  string
}

// knobs is everything that a measurement may move. Rolling, drag area and mass are as unsure as in the band of the range (package core);
// the rest is engineering judgment with no published source: classes of hub motors differ by some 8 % in Kv from one winding to the
// next, tires by a few millimeters in size, cells by a fifth in resistance.
var knobs = []knob{
	{label: "Motor Kv", keys: []string{"kv"}, class: 0.08, given: 0.03, more: "higher", less: "lower",
		turn: func(m *model, t float64) { m.p.Motor.Kv *= math.Exp(t) }},
	{label: "Tire radius", keys: []string{"tirer"}, class: 0.02, given: 0.01, more: "larger", less: "smaller",
		turn: func(m *model, t float64) { m.p.Tire.Radius *= math.Exp(t) }},
	{label: "Inductance, d axis", keys: []string{"ld"}, class: 0.2, given: 0.1, more: "larger", less: "smaller",
		turn: func(m *model, t float64) { m.p.Motor.Ld *= math.Exp(t) }},
	{label: "Motor resistance", keys: []string{"motorr"}, class: 0.15, given: 0.05, more: "higher", less: "lower",
		turn: func(m *model, t float64) { m.p.Motor.Resistance *= math.Exp(t) }},
	{label: "Iron drag, constant", keys: []string{"hyst"}, class: 0.3, given: 0.15, more: "stronger", less: "weaker",
		turn: func(m *model, t float64) { m.p.Motor.HysteresisK *= math.Exp(t) }},
	{label: "Iron drag, with speed", keys: []string{"eddy"}, class: 0.3, given: 0.15, more: "stronger", less: "weaker",
		turn: func(m *model, t float64) { m.p.Motor.EddyK *= math.Exp(t) }},
	{label: "Cell resistance", keys: []string{"cellr"}, class: 0.2, given: 0.1, more: "higher", less: "lower",
		turn: func(m *model, t float64) { m.p.Cell.Resistance *= math.Exp(t) }},
	{label: "Usable capacity", keys: []string{"soh", "cellah"}, class: 0.07, given: 0.04, more: "larger", less: "smaller",
		turn: func(m *model, t float64) { m.b.HealthFraction *= math.Exp(t) }},
	{label: "Rolling coefficient", keys: []string{"crr"}, class: 0.15, given: 0.15, more: "higher", less: "lower",
		turn: func(m *model, t float64) { m.p.Tire.RollingC0 *= math.Exp(t) }},
	{label: "Drag area", keys: []string{"cda"}, class: 0.1, given: 0.1, more: "larger", less: "smaller",
		turn: func(m *model, t float64) { m.b.DragArea *= math.Exp(t) }},
	{label: "Rider", keys: []string{"rider"}, class: 0.03, given: 0.03, more: "heavier", less: "lighter",
		turn: func(m *model, t float64) { m.b.Rider *= math.Exp(t) }},
	{label: "Board mass", keys: []string{"board"}, class: 0.03, given: 0.01, more: "heavier", less: "lighter",
		turn: func(m *model, t float64) { m.p.BoardMass *= math.Exp(t) }},
	{label: "Center of mass", class: 0.02, more: "further forward", less: "further back", turn: func(m *model, t float64) { m.forward += t }},
}

const (
	center   = 12  // its place in knobs
	widest   = 1.2 // no value is believed to be more than e^1.2, 3.3 times, off
	farthest = 0.2 // m, the same of the center of mass
)

// sigma is the standard uncertainty of a knob in a build: relative, of the center of mass in m.
func (k *knob) sigma(b *build.Build) float64 {
	for _, key := range k.keys {
		if f := build.FieldFor(key); f.Optional && f.Given(b) {
			return k.given
		}
	}
	return k.class
}

// span is how far a knob can be turned, so that the fields can hold what comes of it; none where there is nothing to turn.
func (k *knob) span(b *build.Build, p *build.Parts) (low, high float64) {
	low, high = -widest, widest
	if len(k.keys) == 0 {
		return -farthest, farthest
	}
	for _, key := range k.keys {
		f := build.FieldFor(key)
		now := f.ValueIn(b, p)
		if now <= 0 { // there is no factor of nothing: it stays nothing
			continue
		}
		if now < f.Min || now > f.Max { // a sum of classes that no one could enter
			return 0, 0
		}
		l, h := math.Log(f.Min/now), math.Log(f.Max/now)
		if key == "soh" { // beyond the whole of its rated charge a cell is rated too low
			c := build.FieldFor("cellah")
			h += math.Log(c.Max / c.ValueIn(b, p))
		}
		if key == "cellah" {
			continue
		}
		low, high = max(low, min(l, 0)), min(high, max(h, 0))
	}
	return low, high
}

// turned is the model with every knob turned.
func turned(b *build.Build, p *build.Parts, theta []float64) model {
	m := model{b: *b, p: *p}
	for i := range knobs {
		if theta[i] != 0 {
			knobs[i].turn(&m, theta[i])
		}
	}
	m.settle()
	return m
}
