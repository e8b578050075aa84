package ui

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/build"
)

// numbers calls f for every field that is a number, in both unit systems.
func numbers(t *testing.T, check func(t *testing.T, p *Planner, f *build.Field)) {
	for _, units := range []Units{Metric, US} {
		for i := range build.Fields {
			f := &build.Fields[i]
			if f.Kind == build.Choice || f.Kind == build.Rows {
				continue
			}
			t.Run([]string{"metric ", "us "}[units]+f.Key, func(t *testing.T) {
				p := NewPlanner()
				p.SetUnits(units)
				check(t, p, f)
			})
		}
	}
}

// near tells whether two metric values of a field are one: a hundredth of a step is what US units are rounded to.
func near(f *build.Field, a, b float64) bool { return math.Abs(a-b) <= f.Step/100 }

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}

func TestTypedValuesAreUsedAtOnce(t *testing.T) {
	numbers(t, func(t *testing.T, p *Planner, f *build.Field) {
		x := p.Units.of(f.Unit)
		for _, share := range []float64{0.25, 0.5, 0.75} {
			metric := f.Min + f.Step*math.Round(share*(f.Max-f.Min)/f.Step)
			text := shortest(x.shown(metric), p.digits(f, x))
			p.Type(f.Key, text)
			e := p.Entry(f.Key)
			assert.Empty(t, e.Message)
			assert.Equal(t, text, e.Text, "what is typed is not rewritten")
			assert.InDelta(t, metric, f.Value(&p.Build), f.Step/20+0.6*math.Pow(10, -float64(p.digits(f, x)))/math.Abs(x.factor))
			assert.True(t, f.Given(&p.Build))

			p.Type(f.Key, " "+text+"0") // another 0 at the end: the same number after a point, else ten times it
			if strings.Contains(text, ".") {
				assert.Equal(t, " "+text+"0", p.Entry(f.Key).Text)
				p.Leave(f.Key)
				assert.Equal(t, text, p.Entry(f.Key).Text, "tidied when left")
			}
			p.Revert(f.Key)
		}
	})
}

// The text that a field shows, typed again, must mean the value that it shows: nothing may move.
func TestTypingTheShownTextChangesNothing(t *testing.T) {
	numbers(t, func(t *testing.T, p *Planner, f *build.Field) {
		values := []float64{f.Min + 0.3771234567*(f.Max-f.Min)} // more digits than are shown
		for _, share := range []float64{0, 0.23, 0.5, 0.81, 1} {
			values = append(values, f.Min+f.Step*math.Floor(share*(f.Max-f.Min)/f.Step))
		}
		for _, v := range values {
			f.SetValue(&p.Build, v)
			p.plan()
			before, address := p.Build, p.Link()
			p.Type(f.Key, p.Entry(f.Key).Text)
			assert.Empty(t, p.Entry(f.Key).Message)
			assert.Equal(t, address, p.Link())
			assert.Equal(t, before, p.Build)
			p.Leave(f.Key)
		}
	})
}

func TestBoundsInAMessageAreAllowed(t *testing.T) {
	numbers(t, func(t *testing.T, p *Planner, f *build.Field) {
		x := p.Units.of(f.Unit)
		for _, end := range []float64{f.Min, f.Max} {
			text := shortest(x.shown(end), p.digits(f, x))
			p.Type(f.Key, text)
			assert.Empty(t, p.Entry(f.Key).Message, "%s is what the message about the range says", text)
			assert.True(t, near(f, end, f.Value(&p.Build)), "%v for %v", f.Value(&p.Build), end)
			require.NoError(t, p.Build.Validate())
			p.Revert(f.Key)
		}
	})
}

func TestOutOfRangeIsSaidInTheUnitsOfThePage(t *testing.T) {
	numbers(t, func(t *testing.T, p *Planner, f *build.Field) {
		x := p.Units.of(f.Unit)
		p.Open("v=1&later=1")
		before, report := p.Build, reportOf(t, p)
		digits := p.digits(f, x)
		lo, hi := shortest(x.shown(f.Min), digits), shortest(x.shown(f.Max), digits)
		using := strings.TrimSpace(shortest(x.shown(f.Value(&p.Build)), digits) + " " + x.name)
		beyond := []string{shortest(x.shown(f.Min-f.Step), 6), shortest(x.shown(f.Max+f.Step), 6), "-1e9", "1e9"}
		if f.Kind == build.Whole {
			beyond = append(beyond, shortest(f.Min+0.5, 1))
		}
		for _, text := range beyond {
			p.Type(f.Key, text)
			e := p.Entry(f.Key)
			assert.Equal(t, text, e.Text, "it stands as typed")
			assert.Contains(t, e.Message, f.Label)
			assert.Contains(t, e.Message, "between "+lo+" and "+hi)
			assert.Contains(t, e.Message, "still using "+using+".")
			assert.Equal(t, f.Kind == build.Whole, strings.Contains(e.Message, "whole number"))
			assert.Equal(t, before, p.Build)
			assert.Equal(t, report, reportOf(t, p))
			p.Leave(f.Key)
			assert.NotEmpty(t, p.Entry(f.Key).Message, "a bad text stays with its message when left")
		}
		for i := range build.Fields {
			if k := build.Fields[i].Key; k != f.Key {
				assert.Empty(t, p.Entry(k).Message, k)
			}
		}
		p.Type(f.Key, p.Entry(f.Key).Value)
		assert.Empty(t, p.Entry(f.Key).Message, "a corrected text ends it")
	})
}

func TestGarbageIsRefused(t *testing.T) {
	garbage := []string{"abc", "1.2.3", "--5", "0x10", "NaN", "Inf", "+Inf", "1e", "12 V", "1 2", "1_0", "٣", "1e999", "−5", "<b>1</b>", strings.Repeat("9", 10000) + "x"}
	numbers(t, func(t *testing.T, p *Planner, f *build.Field) {
		before, report := p.Build, reportOf(t, p)
		for _, text := range garbage {
			p.Type(f.Key, text)
			e := p.Entry(f.Key)
			assert.Contains(t, e.Message, "not a number", "%.20q", text)
			assert.Less(t, len(e.Message), 200, "the message does not repeat what was typed")
			assert.Equal(t, text, e.Text)
		}
		assert.Equal(t, before, p.Build)
		assert.Equal(t, report, reportOf(t, p))
		p.Keys(f.Key, "Escape")
		assert.Empty(t, p.Entry(f.Key).Message)
		assert.Equal(t, f.Optional, p.Entry(f.Key).Text == "", "back to the value in use")
	})
}

func TestEmptyMeansTheClassValueOrIsRefused(t *testing.T) {
	numbers(t, func(t *testing.T, p *Planner, f *build.Field) {
		if !f.Optional {
			before := p.Build
			p.Type(f.Key, "  ")
			assert.Contains(t, p.Entry(f.Key).Message, f.Label+" needs a value")
			assert.Equal(t, before, p.Build)
			return
		}
		class := p.Entry(f.Key)
		assert.Empty(t, class.Text)
		said, err := strconv.ParseFloat(class.Placeholder, 64)
		require.NoError(t, err)
		exact, err := strconv.ParseFloat(class.Value, 64)
		require.NoError(t, err)
		assert.InDelta(t, exact, said, 5e-5*max(math.Abs(exact), 1))
		assert.LessOrEqual(t, len(strings.Trim(class.Placeholder, "-.")), 6, class.Placeholder)
		f.SetValue(&p.Build, f.Max)
		given := p.Entry(f.Key)
		assert.Empty(t, given.Placeholder)
		assert.NotEmpty(t, given.Text)
		p.Type(f.Key, "")
		p.Leave(f.Key)
		assert.Equal(t, class, p.Entry(f.Key))
		assert.Equal(t, "v=1", p.Link())
	})
}

func TestDecimalCommaIsADecimalPoint(t *testing.T) {
	p := NewPlanner()
	p.Type("linkr", "1,05")
	assert.Empty(t, p.Entry("linkr").Message)
	assert.InDelta(t, 1.05e-3, p.Build.JointResistance, 1e-12)
	assert.Equal(t, "1,05", p.Entry("linkr").Text)
	p.Keys("linkr", "Enter")
	assert.Equal(t, "1.05", p.Entry("linkr").Text)
}

func TestSlidersStayInsideTheRange(t *testing.T) {
	numbers(t, func(t *testing.T, p *Planner, f *build.Field) {
		x := p.Units.of(f.Unit)
		e := p.Entry(f.Key)
		for _, end := range []string{e.Min, e.Max} {
			metric := x.metric(number(t, end))
			// The text of an end is rounded as every shown number is.
			slack := 1e-9 + 0.5*math.Pow(10, -float64(p.digits(f, x)))/math.Abs(x.factor)
			assert.InDelta(t, f.Nearest(metric), metric, slack, "%s %s", end, x.name)
			p.Slide(f.Key, end)
			assert.Equal(t, end, p.Entry(f.Key).Value, "the thumb stays where it was put")
			require.NoError(t, p.Build.Validate())
		}
		assert.Less(t, number(t, e.Min), number(t, e.Max))
		lo, hi, step := p.travel(f, x)
		assert.Positive(t, step)
		steps := (hi - lo) / step
		if slices.Contains(build.Main, f.Key) {
			assert.InDelta(t, math.Round(steps), steps, 1e-6, "the last step reaches the end")
			assert.LessOrEqual(t, lo, x.shown(f.Value(&p.Build)))
		}
		p.Slide(f.Key, "1e9")
		assert.InDelta(t, f.Max, f.Value(&p.Build), 1e-9*(1+math.Abs(f.Max)))
		p.Slide(f.Key, "-1e9")
		assert.InDelta(t, f.Min, f.Value(&p.Build), 1e-9*(1+math.Abs(f.Min)))
		before := p.Build
		p.Slide(f.Key, "")
		p.Slide(f.Key, "NaN")
		assert.Equal(t, before, p.Build)
	})
}

func TestNudgeGoesToTheNextRoundValue(t *testing.T) {
	numbers(t, func(t *testing.T, p *Planner, f *build.Field) {
		x := p.Units.of(f.Unit)
		_, _, step := p.travel(f, x)
		mid := step * math.Round(x.shown((f.Min+f.Max)/2)/step)
		is := func(want float64, why string) {
			t.Helper()
			assert.Equal(t, shortest(want, p.digits(f, x)), p.Entry(f.Key).Value, why)
			assert.LessOrEqual(t, len(f.Text(&p.Build)), 8, "in the link: %s", f.Text(&p.Build))
		}
		p.Slide(f.Key, shortest(mid, 9))
		p.Nudge(f.Key, 1)
		is(mid+step, "up")
		p.Nudge(f.Key, -1)
		p.Nudge(f.Key, -1)
		is(mid-step, "down, twice")
		if f.Kind != build.Whole {
			for _, share := range []float64{0.2, 0.8} {
				p.Slide(f.Key, shortest(mid+share*step, 9))
				p.Nudge(f.Key, 1)
				is(mid+step, "up from between two steps")
				p.Slide(f.Key, shortest(mid+share*step, 9))
				p.Nudge(f.Key, -1)
				is(mid, "down from between two steps")
			}
		}
		f.SetValue(&p.Build, f.Max)
		p.Nudge(f.Key, 1)
		assert.InDelta(t, f.Max, f.Value(&p.Build), 1e-9*(1+math.Abs(f.Max)))
		f.SetValue(&p.Build, f.Min)
		p.Nudge(f.Key, -1)
		assert.InDelta(t, f.Min, f.Value(&p.Build), 1e-9*(1+math.Abs(f.Min)))
	})
}

func TestMovingEndsWhatWasBeingTyped(t *testing.T) {
	for name, move := range map[string]func(*Planner){
		"slide": func(p *Planner) { p.Slide("s", "20") },
		"nudge": func(p *Planner) { p.Nudge("s", 2) },
		"keys":  func(p *Planner) { p.Keys("s", "ArrowUp"); p.Keys("s", "ArrowUp"); p.Keys("s", "a") },
		"down":  func(p *Planner) { p.Slide("s", "21"); p.Type("s", "x"); p.Keys("s", "ArrowDown") },
	} {
		p := NewPlanner()
		p.Type("s", "x")
		move(p)
		e := p.Entry("s")
		assert.Empty(t, e.Message, name)
		assert.Equal(t, "20", e.Text, name)
		assert.Equal(t, 20, p.Build.Series, name)
	}
}

func TestLinksStayShortInUSUnits(t *testing.T) {
	for i := range build.Fields {
		f := &build.Fields[i]
		if f.Kind == build.Choice || f.Kind == build.Rows {
			continue
		}
		p := NewPlanner()
		p.SetUnits(US)
		x := p.Units.of(f.Unit)
		lo, hi, step := p.travel(f, x)
		for k := 0.0; lo+k*step <= hi; k += max(1, math.Floor((hi-lo)/step/97)) {
			p.Slide(f.Key, shortest(lo+k*step, 6))
			assert.LessOrEqual(t, len(f.Text(&p.Build)), 8, "%s at %v %s: %s", f.Key, lo+k*step, x.name, f.Text(&p.Build))
			p.Type(f.Key, shortest(lo+(k+0.37)*step, 2))
			assert.LessOrEqual(t, len(f.Text(&p.Build)), 8, "%s: %s", f.Key, f.Text(&p.Build))
		}
	}
}

func TestChoices(t *testing.T) {
	for i := range build.Fields {
		f := &build.Fields[i]
		if f.Kind != build.Choice {
			continue
		}
		p := NewPlanner()
		for k, o := range f.Options() {
			p.Choose(f.Key, o.ID)
			e := p.Entry(f.Key)
			assert.Equal(t, o.ID, e.Text)
			assert.Equal(t, o.Name, e.Name)
			assert.Equal(t, o.Name, e.Spoken, "what a screen reader says is the name, not a number")
			assert.Equal(t, strconv.Itoa(k), e.Value)
			assert.Empty(t, p.Fault)
			q := NewPlanner()
			q.Open(p.Link())
			assert.Equal(t, p.Build, q.Build)
			q.Choose(f.Key, f.Options()[0].ID)
			q.Slide(f.Key, strconv.Itoa(k))
			assert.Equal(t, p.Build, q.Build, "a slider reaches the same")
		}
		last := p.Build
		p.Nudge(f.Key, 1)
		assert.Equal(t, last, p.Build, "there is none after the last")
		p.Nudge(f.Key, -1)
		assert.Equal(t, len(f.Options())-2, f.Index(&p.Build))
		p.Choose(f.Key, "<script>")
		assert.Equal(t, f.Chosen, f.Text(&p.Build))
	}
}

func TestEveryFieldStandsInTheFormOnce(t *testing.T) {
	count := map[string]int{}
	for _, key := range build.Main {
		count[key]++
	}
	for _, g := range build.Groups {
		for _, rare := range []bool{false, true} {
			for _, key := range Inputs(g, rare) {
				count[key]++
			}
		}
		assert.NotEmpty(t, NewPlanner().Brief(g), g)
	}
	for i := range build.Fields {
		assert.Equal(t, 1, count[build.Fields[i].Key], build.Fields[i].Key)
	}
	assert.Len(t, count, len(build.Fields))
}
