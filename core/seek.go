package core

import (
	"math"
	"strconv"

	"headroom/core/build"
	"headroom/core/limit"
)

// Way is one change of one input that makes a readout clear.
type Way struct {
	Key   string  // link key of the input
	Value float64 // in the field's unit; of a choice, the index of the option
	Text  string  // in the field's own unit
}

// levers are the inputs that may be turned to make a figure clear, those that a builder reaches for first in front. What is wanted, what
// road and weather bring, what was measured, and what a part is rated for are not among them: see given.
var levers = []string{
	"s", "p", "motor", "kpa",
	"cell", "ctrl", "tire", "cruise", "batt", "phase", "regen", "fw",
	"fuse", "fusetype", "awg", "mm2", "conn", "plug", "phawg", "phmm2", "crossawg", "linkmm2",
	"chga", "chgv", "chgfuse", "chgtype", "boxl", "boxw", "boxh", "box2l", "box2w", "box2h",
}

// Seeking looks for the ways to make one readout clear, one lever a call. A way is the nearest value of a lever, all else as it is, that
// makes the readout's bar clear and makes nothing else in the report worse.
type Seeking struct {
	build  build.Build
	parts  build.Parts
	key    string
	bar    *limit.Bar
	before map[string]limit.Status // what is tight or over now
	at     int                     // lever to try next
	ways   []Way
	plans  int
}

// NewSeeking begins with a valid build. There is nothing to look for where the readout has no bar or is clear.
func NewSeeking(b build.Build, readout string) *Seeking {
	r := plan(b, false)
	s := &Seeking{build: b, parts: b.Parts(), key: readout, bar: r.Bar(readout), before: troubles(&r), plans: 1}
	if s.bar == nil || s.bar.Status == limit.Clear {
		s.at = len(levers)
	}
	return s
}

// Seek returns every way, in the order of the levers.
func Seek(b build.Build, readout string) []Way {
	s := NewSeeking(b, readout)
	for s.Step() {
	}
	return s.Ways()
}

// Step tries one lever; it is false where there was none left.
func (s *Seeking) Step() bool {
	if s.Done() {
		return false
	}
	f := build.FieldFor(levers[s.at])
	s.at++
	if f == nil {
		return true
	}
	if v, ok := s.nearest(f); ok {
		s.ways = append(s.ways, Way{f.Key, v, wayText(f, v)})
	}
	return true
}

// Done tells whether every lever has been tried.
func (s *Seeking) Done() bool { return s.at >= len(levers) }

// Ways returns what was found so far.
func (s *Seeking) Ways() []Way { return s.ways }

func wayText(f *build.Field, v float64) string {
	if f.Kind == build.Choice {
		return f.Label + ": " + f.Options()[int(v)].Name
	}
	text := f.Label + ": " + strconv.FormatFloat(v, 'f', -1, 64)
	if f.Unit != "" {
		text += " " + f.Unit
	}
	return text
}

// try plans the build with one field set: whether that is a way, and whether it moves the bar at all.
func (s *Seeking) try(f *build.Field, v float64) (ok, moves bool) {
	b := s.build
	f.SetValue(&b, v)
	r := plan(b, false)
	s.plans++
	bar := r.Bar(s.key)
	if bar == nil {
		return false, true
	}
	moves = bar.Used != s.bar.Used || bar.Limit != s.bar.Limit || bar.Want != s.bar.Want || bar.Status != s.bar.Status
	return bar.Status == limit.Clear && noWorse(s.before, troubles(&r)), moves
}

// nearest is the value of a field nearest to the present one that is a way.
func (s *Seeking) nearest(f *build.Field) (v float64, ok bool) {
	now := f.ValueIn(&s.build, &s.parts)
	if f.Kind == build.Choice {
		return s.outward(f, now, 0, float64(len(f.Options())-1), 1)
	}
	// Positions are the round values that the page's steps lead to. The tolerance is that of binary fractions.
	lo, hi := math.Ceil(f.Min/f.Step-1e-6), math.Floor(f.Max/f.Step+1e-6)
	at := now / f.Step
	if r := math.Round(at); math.Abs(at-r) < 1e-6 {
		at = r
	}
	// A lever that does nothing at either end does nothing between.
	_, low := s.try(f, lo*f.Step)
	_, high := s.try(f, hi*f.Step)
	if !low && !high {
		return 0, false
	}
	if f.Kind == build.Whole {
		return s.outward(f, at, lo, hi, f.Step)
	}
	up, okUp := s.reach(f, at, hi, 1)
	down, okDown := s.reach(f, at, lo, -1)
	switch {
	case okUp && (!okDown || up-at <= at-down):
		return tidyStep(up, f.Step), true
	case okDown:
		return tidyStep(down, f.Step), true
	}
	return 0, false
}

// outward tries every position, the nearest first.
func (s *Seeking) outward(f *build.Field, at, lo, hi, step float64) (float64, bool) {
	for d := 1.0; at+d <= hi || at-d >= lo; d++ {
		for _, p := range [2]float64{at + d, at - d} {
			if p < lo || p > hi {
				continue
			}
			if ok, _ := s.try(f, p*step); ok {
				return p * step, true
			}
		}
	}
	return 0, false
}

// reach looks from a position toward an end in strides that double, then halves the last stride down to one step.
func (s *Seeking) reach(f *build.Field, at, end, sign float64) (float64, bool) {
	from := at
	for stride := 1.0; sign*from < sign*end; stride *= 2 {
		to := from + sign*stride
		if from == at { // from between two steps the first one is less than a step away
			to = math.Floor(at) + 1
			if sign < 0 {
				to = math.Ceil(at) - 1
			}
		}
		if sign*to > sign*end {
			to = end
		}
		if ok, _ := s.try(f, to*f.Step); !ok {
			from = to
			continue
		}
		for math.Abs(to-from) > 1+1e-6 {
			half := math.Round((from + to) / 2)
			if ok, _ := s.try(f, half*f.Step); ok {
				to = half
			} else {
				from = half
			}
		}
		return to, true
	}
	return 0, false
}

// tidyStep is a number of steps as a value, without the digits that binary fractions leave.
func tidyStep(steps, step float64) float64 {
	v, err := strconv.ParseFloat(strconv.FormatFloat(steps*step, 'g', 11, 64), 64)
	if err != nil {
		return steps * step
	}
	return v
}

// troubles is all that is tight or over in a report, each under a name of its own: one note may stand for several settings, and a bar may
// have no note.
func troubles(r *Report) map[string]limit.Status {
	m := map[string]limit.Status{}
	add := func(name string, s limit.Status) {
		if s.Worse(limit.Clear) && s.Worse(m[name]) {
			m[name] = s
		}
	}
	for i := range r.Notes {
		add(r.Notes[i].Code, r.Notes[i].Status)
	}
	for i := range r.Limits {
		// Which part is the weakest is told by each part's own bar.
		if r.Limits[i].Key != "protection.margin_pct" {
			add("bar "+r.Limits[i].Key, r.Limits[i].Status)
		}
	}
	for i := range r.Settings {
		add("setting "+r.Settings[i].Key, r.Settings[i].Status)
	}
	return m
}

// noWorse tells whether nothing is in after that was not in before, or was less bad.
func noWorse(before, after map[string]limit.Status) bool {
	for name, s := range after {
		if s.Worse(before[name]) {
			return false
		}
	}
	return true
}
