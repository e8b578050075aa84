package core

import (
	"math"
	"sort"

	"headroom/core/build"
	"headroom/core/limit"
)

// Influence is what one input does to one leading readout.
type Influence struct {
	Key   string  `json:"key"`   // link key of the input
	Step  float64 `json:"step"`  // how far it was moved, in the field's unit; the direction that helps
	Delta float64 `json:"delta"` // by how much the readout changes, in its own unit
}

// Sensitivity is the inputs that move one leading readout most.
type Sensitivity struct {
	Readout string      `json:"readout"` // report key
	Most    []Influence `json:"most"`    // at most three, the strongest first
}

// given are inputs that are no way to have more: what is asked for (wanting less is no gain), what road and weather bring, and what
// protects or rates a part. Charging cells higher, emptying them deeper or writing a larger rating down would "help" every figure and
// could start a fire.
var given = map[string]bool{
	"shift": true, "rideduty": true, "margin": true, "vmargin": true,
	"grade": true, "wind": true, "temp": true, "alt": true,
	"cellmax": true, "cellnom": true, "cellmin": true, "cella": true, "cellpeak": true, "vcut": true, "floor": true,
	"vmax": true, "ovv": true, "ctrlbatt": true, "ctrlphase": true, "derate": true, "coilmax": true, "fusev": true, "fusebreak": true,
	"bmsa": true, "warm": true, "cellchg": true, "chgtemp": true,
}

// protects are inputs that are there to protect, or to say how much room a part has. One of them may have to be another for a board to be
// clear, so what is sought for may turn them; to turn them for more of a readout would only protect less.
var protects = map[string]bool{
	"fuse": true, "chgfuse": true, "vend": true, "ctrlt": true, "warn": true, "lining": true, "rub": true, "bundle": true,
}

// Sensitivities computes, for each leading readout, which three inputs move it most: each number by 1 % of its value (by one step where
// that is nothing), each whole number by one. A step that puts something over that was not is no help, whatever it does to a readout, and is
// left out. It plans the build a few hundred times over and is not part of Plan.
func Sensitivities(b build.Build) ([]Sensitivity, error) {
	if err := b.Validate(); err != nil {
		return nil, err
	}
	base := plan(b, false)
	was := overs(&base)
	var list []Sensitivity
	var leads []*Readout
	for i := range Readouts {
		for j := range Readouts[i].Rows {
			if o := &Readouts[i].Rows[j]; o.Lead {
				leads = append(leads, o)
				list = append(list, Sensitivity{Readout: o.Key})
			}
		}
	}
	parts := b.Parts()
	for i := range build.Fields {
		f := &build.Fields[i]
		if f.Kind == build.Choice || f.Kind == build.Rows || given[f.Key] || protects[f.Key] {
			continue
		}
		now := f.ValueIn(&b, &parts)
		step := math.Abs(now) / 100
		if f.Kind == build.Whole {
			step = 1
		} else if step == 0 {
			step = f.Step
		}
		for _, move := range [2]float64{step, -step} {
			c := b
			f.SetValue(&c, now+move)
			if moved := f.Value(&c) - now; math.Abs(moved) < step/2 {
				continue // at the end of its range
			}
			r := plan(c, false)
			if putsOver(&r, was) {
				continue
			}
			for n, o := range leads {
				before, ok := o.Value(&base)
				after, ok2 := o.Value(&r)
				gain := after - before
				if o.Less {
					gain = -gain
				}
				if ok && ok2 && gain > 1e-9*(1+math.Abs(before)) {
					list[n].Most = append(list[n].Most, Influence{f.Key, move, after - before})
				}
			}
		}
	}
	for n := range list {
		most := list[n].Most
		sort.SliceStable(most, func(i, j int) bool { return math.Abs(most[i].Delta) > math.Abs(most[j].Delta) })
		list[n].Most = most[:min(3, len(most))]
	}
	return list, nil
}

// overs counts what is over, by note, bar and setting.
func overs(r *Report) map[string]int {
	n := map[string]int{}
	count := func(kind, key string, status limit.Status) {
		if status == limit.Over {
			n[kind+key]++
		}
	}
	for i := range r.Notes {
		count("note ", r.Notes[i].Code, r.Notes[i].Status)
	}
	for i := range r.Limits {
		count("bar ", r.Limits[i].Key, r.Limits[i].Status)
	}
	for i := range r.Settings {
		count("setting ", r.Settings[i].Key, r.Settings[i].Status)
	}
	return n
}

// putsOver tells whether anything is over that was not.
func putsOver(r *Report, was map[string]int) bool {
	for key, n := range overs(r) {
		if n > was[key] {
			return true
		}
	}
	return false
}
