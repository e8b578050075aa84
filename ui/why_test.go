package ui

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/build"
)

func TestEveryFigureCanBeAskedWhy(t *testing.T) {
	p := NewPlanner()
	for _, s := range core.Readouts {
		for _, o := range s.Rows {
			p.Ask(o.Key)
			sheet := find(show(t, p), attribute("id", "why"))
			require.NotNil(t, sheet, o.Key)
			words := tidy(sheet)
			why, ok := p.Report.Why(o.Key)
			require.True(t, ok, o.Key)
			for _, q := range why.Numbers {
				assert.Contains(t, words, plainly(q.Words), o.Key)
			}
			assert.Contains(t, words, plainly(why.Source), o.Key)
			p.Ask(o.Key)
			assert.Nil(t, find(show(t, p), attribute("id", "why")), "asking again closes it")
		}
	}
}

func plainly(s string) string { return strings.Join(strings.Fields(s), " ") }

func TestWhyGivesTheFocusBack(t *testing.T) {
	p := NewPlanner()
	p.Ask("range.km")
	assert.Equal(t, "why", p.Focus)
	p.SheetKey("Escape")
	assert.Equal(t, "why-range.km", p.Focus)
	assert.Empty(t, p.Asked)
}

// The chain from two groups to one ends with what a hard push does to the pack.
func TestWhySaysWhatItsBoundDoes(t *testing.T) {
	p := opened(t, "v=1&p=1")
	for _, key := range []string{"speed.cruise_ceiling_kmh.low", "range.km"} {
		p.Ask(key)
		sheet := find(show(t, p), attribute("id", "why"))
		assert.Contains(t, tidy(find(sheet, carries("data-plainly"))), "Twice the cells in parallel sag about half as much.")
		for _, words := range []string{"low-voltage cut-off54 V", "sag at that current", "pack at rest at this charge", "resistance of the pack there"} {
			assert.Contains(t, tidy(sheet), words, key)
		}
		p.Ask(key)
	}
	p = opened(t, "v=1&p=3&coil=125")
	p.SetUnits(US)
	p.Ask("speed.cruise_ceiling_kmh.low")
	assert.Contains(t, tidy(find(show(t, p), carries("data-plainly"))), "The winding is at 257 °F, so")
	p.Ask("pack.mass_kg")
	assert.Nil(t, find(show(t, p), carries("data-plainly")))
}

func TestHelpersAreOnlyCountedWhereSomeoneLooks(t *testing.T) {
	p := NewPlanner()
	p.Settle()
	assert.Empty(t, p.Helpers)
	p.SetOpen(helpID, true)
	require.NotEmpty(t, p.Helpers)
	assert.True(t, p.HelpersFresh())
	assert.Contains(t, tidy(show(t, p)), "Cells in parallel +1")
	p.Slide("s", "20")
	assert.False(t, p.HelpersFresh())
	assert.NotNil(t, find(show(t, p), carries("data-stale")))
	p.Settle()
	assert.True(t, p.HelpersFresh())
}

func TestARideOfOnesOwnIsTypedInLines(t *testing.T) {
	p := NewPlanner()
	p.Choose("profile", "own")
	before := p.Report.Ride.SpeedKmh
	p.Type("own", "500 20 2\n800 31 -1")
	assert.Empty(t, p.Entry("own").Message)
	assert.Contains(t, p.Link(), "own=500~20~2_800~31~-1")
	assert.NotEqual(t, before, p.Report.Ride.SpeedKmh)
	assert.InDelta(t, 31, p.Report.Ride.SpeedKmh, 1e-9)
	assert.InDelta(t, 1300, p.Report.Ride.RoundM, 1e-9)
	p.Leave("own")
	assert.Equal(t, "500 20 2\n800 31 -1", p.Entry("own").Text)

	p.Type("own", "500 20 2\n800 900 -1")
	assert.Contains(t, p.Entry("own").Message, "that row was left out")
	assert.Equal(t, "500 20 2\n800 900 -1", p.Entry("own").Text, "what was typed stays")
	assert.InDelta(t, 500, p.Report.Ride.RoundM, 1e-9)
	assert.Equal(t, build.Rows, p.Entry("own").Field.Kind)
	assert.False(t, strings.Contains(p.Link(), "900"))
}

// The weakest part's figure is its spare current and no charge: every part's label says so, in what a quarter of a small phone holds
// (twelve characters of twelve pixels, by the browser).
func TestTheBarSaysThatItIsSpare(t *testing.T) {
	c := &ReadoutBar{P: NewPlanner()}
	assert.Contains(t, tidy(find(show(t, c.P), class("four"))), "Cells spare")
	seen := map[string]bool{}
	for _, text := range []string{"v=1", "v=1&fuse=10", "v=1&phase=500", "v=1&plug=bullet-4&phase=200"} {
		p := opened(t, text)
		for _, row := range p.Report.Protection.Rows {
			seen[row.Part] = true
		}
	}
	for name := range seen {
		label := c.Short(Figure{Key: "protection.margin_pct", Detail: name})
		assert.True(t, strings.HasSuffix(label, " spare"), label)
		assert.LessOrEqual(t, len([]rune(label)), 12, label)
	}
	assert.True(t, seen["cells"] && seen["motor winding"] && seen["controller phases"], seen)
}
