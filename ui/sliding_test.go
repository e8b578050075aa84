package ui

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vugu/vugu"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/limit"
)

func work(p *Planner) (pieces int) {
	for p.HasWork() {
		p.Work()
		pieces++
	}
	return pieces
}

func body(p *Planner, key string) *SliderBody { return newSliderBody(p, key, p.slid(key)) }

func TestTracksAppearOnceTheBuildHasRested(t *testing.T) {
	p := NewPlanner()
	assert.False(t, p.HasWork(), "nothing is looked along while things move")
	assert.Empty(t, all(show(t, p), element("line"), class("stretch")))
	p.Settle()
	require.True(t, p.HasWork())
	for range 5 {
		p.Work()
	}
	assert.NotEmpty(t, all(show(t, p), element("line"), class("stretch")), "what is found shows as it comes")
	assert.Contains(t, body(p, "s").where(), "Here it will say", "words only for the whole")
	assert.Empty(t, body(p, "p").where(), "said once")
	work(p)
	before := p.Entry("s").Value
	p.Slide("s", "21")
	assert.Empty(t, body(p, "p").where(), "no promise in every pause")
	p.Slide("s", before)
	root := show(t, p)
	for _, key := range build.Main {
		want := core.Travel(p.Build, key)
		assert.Equal(t, want, p.travels[key].shown, key)
		line := find(root, attribute("data-travel", key))
		require.NotNil(t, line)
		assert.NotEmpty(t, tidy(line), key)
		for _, s := range want {
			if s.Status != limit.Clear {
				assert.Contains(t, strings.ToLower(tidy(line)), string(s.Status), key)
			}
		}
		slider := find(root, attribute("name", key), attribute("type", "range"))
		assert.Equal(t, value(line, "id"), value(slider, "aria-describedby"))
	}
	for _, n := range all(root, element("svg"), class("track")) {
		assert.Equal(t, "true", value(n, "aria-hidden"))
	}
}

func TestOnlyWhatStaysTrueStays(t *testing.T) {
	p := NewPlanner()
	p.Settle()
	work(p)
	p.Slide("s", "21")
	assert.NotNil(t, p.travelOf("s"), "a slider's own travel does not change with it")
	for _, key := range []string{"p", "motor", "kpa"} {
		assert.Nil(t, p.travelOf(key), key)
		assert.Empty(t, body(p, key).marks())
	}
	assert.False(t, p.HasWork())
	p.Settle()
	assert.Positive(t, work(p))
	p.LookAround()
	assert.Zero(t, work(p), "what is known is not looked for again")

	p.Slide("s", "18")
	p.LookAround()
	p.Work()
	p.Type("rider", "100")
	assert.False(t, p.HasWork(), "what was begun for another build is left lying")
	p.Settle()
	work(p)
	assert.Equal(t, core.Travel(p.Build, "kpa"), p.travels["kpa"].shown)
}

func TestWhereInWords(t *testing.T) {
	say := func(now float64, list ...core.Stretch) string {
		p := NewPlanner()
		p.Slide("s", shortest(now, 0))
		p.LookAround()
		tr := p.travels["s"]
		for tr.work.Step() {
		}
		tr.shown = list
		return body(p, "s").where()
	}
	clear := func(a, b float64) core.Stretch { return core.Stretch{From: a, To: b, Status: limit.Clear} }
	bad := func(a, b float64, s limit.Status, short string) core.Stretch {
		return core.Stretch{From: a, To: b, Status: s, Code: short, Short: short}
	}
	assert.Equal(t, "Clear all along.", say(18, clear(8, 40)))
	assert.Equal(t, "Tight all along: BMS.", say(18, bad(8, 40, limit.Tight, "BMS")))
	assert.Equal(t, "Over all along for several reasons; here: a.", say(18, bad(8, 20, limit.Over, "a"), bad(21, 40, limit.Over, "b")))
	assert.Equal(t, "Tight 21 to 23, over from 24: controller voltage.",
		say(18, clear(8, 20), bad(21, 23, limit.Tight, "controller voltage"), bad(24, 40, limit.Over, "controller voltage")))
	assert.Equal(t, "Over at 8: x; tight from 30: y.", say(18, bad(8, 8, limit.Over, "x"), clear(9, 29), bad(30, 40, limit.Tight, "y")))
	// The reason at the edge is the one to go by, on both sides.
	assert.Equal(t, "Over up to 12: near; tight from 30: y.",
		say(18, bad(8, 10, limit.Over, "far"), bad(11, 12, limit.Over, "near"), clear(13, 29), bad(30, 35, limit.Tight, "y"), bad(36, 40, limit.Tight, "z")))
	long := strings.Repeat("m", 30)
	many := say(38, bad(8, 10, limit.Over, long+"a"), bad(11, 12, limit.Tight, long+"b"), clear(13, 29), bad(30, 35, limit.Tight, long+"c"), clear(36, 38), bad(39, 40, limit.Over, long+"d"))
	assert.LessOrEqual(t, len(many), roomForWords)
	assert.Contains(t, many, long+"d", "what is near is told")
	assert.NotContains(t, many, long+"a")
}

func TestTrackMarksMeet(t *testing.T) {
	p := NewPlanner()
	p.SetUnits(US)
	p.Settle()
	work(p)
	for _, key := range build.Main {
		marks := body(p, key).marks()
		require.NotEmpty(t, marks)
		assert.Equal(t, "0.00%", marks[0].from)
		assert.Equal(t, "100.00%", marks[len(marks)-1].to)
		for i := 1; i < len(marks); i++ {
			assert.Equal(t, marks[i-1].to, marks[i].from, key)
		}
	}
	assert.Len(t, body(p, "motor").detents(), len(build.Motors))
	assert.Equal(t, "5-inch hub", body(p, "motor").end(false))
	assert.Equal(t, "4 of 6", body(p, "motor").bubble())
	assert.Contains(t, body(p, "kpa").bubble(), "psi")
}

func TestHoldRepeatsAndTheClickAfterItDoesNot(t *testing.T) {
	p := NewPlanner()
	calls := 0
	p.OnHold = func() { calls++ }
	p.Hold("s", 1, 0)
	assert.True(t, p.Held())
	assert.Equal(t, 400, p.HoldPause())
	assert.Equal(t, 18, p.Build.Series, "pressing alone moves nothing")
	last := 400
	for range 10 {
		assert.True(t, p.HoldStep())
		assert.Less(t, p.HoldPause(), last)
		last = p.HoldPause()
	}
	assert.Equal(t, 28, p.Build.Series)
	p.Release(true)
	p.Release(false) // a finger leaves after it is lifted
	p.Click("s", 1)
	assert.Equal(t, 28, p.Build.Series, "the click that ends a hold is no step more")
	p.Click("s", 1)
	assert.Equal(t, 29, p.Build.Series, "the next one is")
	assert.Equal(t, 2, calls)

	p.Hold("s", -1, 0) // a short press
	p.Release(true)
	p.Click("s", -1)
	assert.Equal(t, 28, p.Build.Series)

	p.Hold("s", -1, 0)
	p.HoldStep()
	p.Release(false) // left: no click comes
	assert.False(t, p.HoldStep())
	p.Click("s", -1)
	assert.Equal(t, 26, p.Build.Series, "so that of the keyboard counts")

	p.Hold("s", 1, 0)
	p.HoldStep()
	p.Release(true)
	p.Unspend() // a long touch made no click
	p.Click("s", 1)
	assert.Equal(t, 28, p.Build.Series)

	p.Hold("s", 1, 2)
	assert.False(t, p.Held(), "the second button of a mouse is another thing")
	p.Slide("s", "39")
	p.Hold("s", 1, 0)
	assert.True(t, p.HoldStep())
	assert.False(t, p.HoldStep(), "at the end there is nothing to repeat")
	for range 100 {
		p.HoldStep()
	}
	assert.GreaterOrEqual(t, p.HoldPause(), 30)
}

func TestKeysLeap(t *testing.T) {
	p := NewPlanner()
	for _, c := range []struct {
		key, pressed string
		from, to     string
	}{
		{"s", "PageUp", "18", "23"}, {"s", "PageDown", "18", "13"}, {"p", "PageUp", "2", "5"}, {"kpa", "PageUp", "130", "155"},
		{"fusebreak", "PageUp", "1000", "21000"}, {"s", "Home", "18", "8"}, {"s", "End", "18", "40"}, {"kpa", "End", "130", "300"},
		{"s", "PageUp", "38", "40"}, {"s", "ArrowUp", "18", "19"}, {"s", "ArrowDown", "18", "17"},
	} {
		p.set(build.FieldFor(c.key), 0)
		p.Type(c.key, c.from)
		p.Leave(c.key)
		assert.True(t, p.Keys(c.key, c.pressed), c.pressed)
		assert.Equal(t, c.to, p.Entry(c.key).Value, "%s of %s at %s", c.pressed, c.key, c.from)
	}
	p.Slide("s", "18")
	p.Type("s", "2")
	before := p.Build
	assert.False(t, p.Keys("s", "Home"), "while a number is typed the caret moves")
	assert.Equal(t, before, p.Build)
	assert.False(t, p.Keys("s", "a"))

	event := func(key string, shift bool) vugu.DOMEvent {
		return vugu.NewDOMEvent(nil, map[string]any{"key": key, "shiftKey": shift})
	}
	assert.Equal(t, "End", keyOf(event("End", false)))
	assert.Empty(t, keyOf(event("End", true)), "with a modifier it means something else")
	assert.InDelta(t, 1, p.page("motor", "PageUp"), 0)
}

func TestSeekFromTheSheet(t *testing.T) {
	p := NewPlanner()
	p.Ask("pack.full_v")
	assert.Nil(t, find(show(t, p), attribute("name", "seek")), "what is clear needs nothing")
	p.Slide("s", "22")
	require.NotNil(t, find(show(t, p), attribute("name", "seek")))
	p.Seek()
	root := show(t, p)
	assert.Nil(t, find(root, attribute("name", "seek")))
	assert.Contains(t, tidy(find(root, class("seek"))), "Looking…")
	work(p)
	ways := core.Seek(p.Build, "pack.full_v")
	require.NotEmpty(t, ways)
	buttons := all(show(t, p), carries("data-way"))
	require.Len(t, buttons, len(ways))
	assert.Equal(t, "Cells in series: 21", tidy(buttons[0]))
	before := p.Build
	p.Take(ways[0])
	assert.Equal(t, 21, p.Build.Series)
	assert.Equal(t, limit.Clear, p.Report.Bar("pack.full_v").Status)
	assert.Nil(t, find(show(t, p), class("seek")))

	for _, w := range ways[1:] {
		p.Build = before
		p.edited()
		p.Take(w)
		assert.Equal(t, limit.Clear, p.Report.Bar("pack.full_v").Status, w.Text)
	}

	p.Open("v=1&s=40&p=1&batt=400&phase=600&fuse=20&kpa=300&cruise=100&grade=30")
	p.Ask("ride.shift_mm")
	p.Seek()
	work(p)
	require.Empty(t, p.sought().work.Ways())
	assert.Contains(t, tidy(show(t, p)), "Nothing among the main inputs alone does.")
	p.Slide("s", "30")
	assert.Nil(t, p.sought(), "an answer belongs to its build")
}

// In other units a change is still the one that was found, not what its rounded figure would be.
func TestSeekInOtherUnits(t *testing.T) {
	p := NewPlanner()
	p.SetUnits(US)
	p.Open("v=1&cruise=40")
	p.Ask("speed.cruise_ceiling_kmh.low")
	p.Seek()
	work(p)
	found := false
	for _, w := range p.sought().work.Ways() {
		if w.Key == "cruise" {
			found = true
			sheet := WhySheet{P: p}
			assert.Contains(t, sheet.way(w), "mph")
			p.Take(w)
			assert.InDelta(t, w.Value, build.FieldFor("cruise").Value(&p.Build), 1e-9)
			assert.Equal(t, limit.Clear, p.Report.Bar("speed.cruise_ceiling_kmh.low").Status)
			break
		}
	}
	assert.True(t, found)
}
