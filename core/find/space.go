package find

import (
	"slices"
	"strconv"
	"strings"

	"headroom/core/build"
)

// The axes of a space: link keys of the inputs that are searched over, outermost first.
const (
	axisCell = iota
	axisSeries
	axisParallel
	axisController
	axisMotor
	axisTire
	axisPressure
	axisWeaken
	axes
)

// Axes are the link keys of the inputs that are searched over.
var Axes = [axes]string{"cell", "s", "p", "ctrl", "motor", "tire", "kpa", "fw"}

// Space holds the values allowed on each axis, rising, in the input's unit; of a choice the index of the option.
type Space [axes][]float64

// mostBuilds bounds a space: some hours of work.
const mostBuilds = 1e9

// Whole is the space of every cell, count, controller, motor and tire, with pressure and weakening as in the build.
func Whole(b *build.Build) Space {
	var s Space
	for i, key := range Axes {
		f := build.FieldFor(key)
		switch f.Kind {
		case build.Choice:
			for n := range f.Options() {
				s[i] = append(s[i], float64(n))
			}
		case build.Whole:
			for v := f.Min; v <= f.Max; v += f.Step {
				s[i] = append(s[i], v)
			}
		default:
			s[i] = []float64{f.Value(b)}
		}
	}
	return s
}

// Size is how many builds a space holds.
func (s *Space) Size() int64 {
	n := int64(1)
	for i := range s {
		n *= int64(len(s[i]))
	}
	return n
}

// SetAxis reads the values of axis i: ids of a choice, “a,b”; numbers, “18,20” or “16-24” or “100-160/20” (from, to, step). A text that
// cannot be read changes nothing and is told of.
func (s *Space) SetAxis(i int, text string) *build.Problem {
	f := build.FieldFor(Axes[i])
	problem := func(says string) *build.Problem {
		return &build.Problem{Key: f.Key, Given: text, Text: f.Label + ": " + says}
	}
	var values []float64
	for _, part := range strings.Split(text, ",") {
		part = strings.TrimSpace(part)
		if f.Kind == build.Choice {
			n := slices.IndexFunc(f.Options(), func(o build.Option) bool { return o.ID == part })
			if n < 0 {
				return problem("there is no choice called “" + build.Foreign(part) + "”.")
			}
			values = append(values, float64(n))
			continue
		}
		more, says := numbers(f, part)
		if says != "" {
			return problem(says)
		}
		values = append(values, more...)
	}
	slices.Sort(values)
	values = slices.Compact(values)
	had := s[i]
	s[i] = values
	if size := sizeOf(s); size > mostBuilds {
		s[i] = had
		return problem("that makes more builds than can be searched; allow fewer values.")
	}
	return nil
}

// sizeOf is Size as a float, which does not overflow.
func sizeOf(s *Space) float64 {
	n := 1.0
	for i := range s {
		n *= float64(len(s[i]))
	}
	return n
}

// mostValues bounds one axis.
const mostValues = 1000

// numbers reads “20”, “16-24” or “100-160/20”; says tells why it cannot.
func numbers(f *build.Field, text string) (values []float64, says string) {
	span, stepText, stepped := strings.Cut(text, "/")
	fromText, toText, ranged := strings.Cut(span, "-")
	from, err := build.ParseNumber(fromText)
	to, step := from, f.Step
	if ranged && err == nil {
		to, err = build.ParseNumber(toText)
	}
	if stepped && err == nil {
		step, err = build.ParseNumber(stepText)
	}
	unit := f.Unit
	if unit != "" {
		unit = " " + unit
	}
	switch {
	case err != nil:
		return nil, "“" + build.Foreign(text) + "” is not a value like 20, a span like 16-24 or one with a step like 100-160/20."
	case !(from >= f.Min && to <= f.Max):
		return nil, "“" + build.Foreign(text) + "” must lie between " + plain(f.Min) + " and " + plain(f.Max) + unit + "."
	case to < from:
		return nil, "“" + build.Foreign(text) + "” ends before it begins."
	case !(step > 0) || f.Kind == build.Whole && (from != float64(int(from)) || step != float64(int(step))):
		return nil, "“" + build.Foreign(text) + "” needs whole numbers and a step above 0."
	case (to-from)/step >= mostValues:
		return nil, "“" + build.Foreign(text) + "” holds too many values."
	}
	for n := 0.0; from+n*step <= to+1e-9*step; n++ {
		v, _ := strconv.ParseFloat(strconv.FormatFloat(from+n*step, 'g', 11, 64), 64)
		values = append(values, v)
	}
	return values, ""
}

// AxisText is axis i as SetAxis reads it.
func (s *Space) AxisText(i int) string {
	f := build.FieldFor(Axes[i])
	var out []string
	values := s[i]
	for n := 0; n < len(values); n++ {
		if f.Kind == build.Choice {
			out = append(out, f.Options()[int(values[n])].ID)
			continue
		}
		last := n
		for f.Kind == build.Whole && last+1 < len(values) && values[last+1] == values[last]+1 {
			last++
		}
		if last > n+1 {
			out = append(out, plain(values[n])+"-"+plain(values[last]))
			n = last
			continue
		}
		out = append(out, plain(values[n]))
	}
	return strings.Join(out, ",")
}
