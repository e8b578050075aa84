package ui

import (
	"errors"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vugu/html"

	"headroom/core"
	"headroom/core/limit"
)

func TestEveryReadoutShowsItsChange(t *testing.T) {
	for _, units := range []Units{Metric, US} {
		p := opened(t, "v=1")
		p.SetUnits(units)
		unfold(p)
		assert.Empty(t, all(show(t, p), carries("data-change")), "nothing is pinned")
		assert.Nil(t, p.PinnedReport())
		p.TogglePin()
		require.NotNil(t, p.PinnedReport())
		before := map[string]Figure{}
		for _, s := range core.Readouts {
			for i := range s.Rows {
				f := p.Readout(&s.Rows[i])
				assert.Equal(t, "±0", f.Change, f.Key)
				assert.Empty(t, f.Was, f.Key)
				before[f.Key] = f
			}
		}
		p.Slide("s", "26")
		p.Slide("p", "1")
		rose, fell, changed := 0, 0, 0
		for _, s := range core.Readouts {
			for i := range s.Rows {
				f, was := p.Readout(&s.Rows[i]), before[s.Rows[i].Key]
				require.NotEmpty(t, f.Change, f.Key)
				if f.Status != was.Status {
					assert.Equal(t, was.Status, f.Was, f.Key)
					changed++
				}
				if f.Missing || was.Missing {
					continue
				}
				now, err := strconv.ParseFloat(f.Number, 64)
				require.NoError(t, err)
				then, err := strconv.ParseFloat(was.Number, 64)
				require.NoError(t, err)
				text := strings.TrimSuffix(f.Change, " "+f.Unit)
				switch {
				case strings.HasPrefix(text, "+"):
					rose++
				case strings.HasPrefix(text, "−"):
					text = "-" + strings.TrimPrefix(text, "−")
					fell++
				default:
					text = strings.TrimPrefix(text, "±")
				}
				by, err := strconv.ParseFloat(text, 64)
				require.NoError(t, err, f.Change)
				assert.InDelta(t, now-then, by, 1e-6, "%s: %s from %s to %s", f.Key, f.Change, was.Number, f.Number)
			}
		}
		assert.Greater(t, rose, 5)
		assert.Greater(t, fell, 5)
		assert.Positive(t, changed)
		root := show(t, p)
		for _, s := range core.Readouts {
			for _, o := range s.Rows {
				n := find(root, attribute("data-change", o.Key), func(n *html.Node) bool { return n.Data == "dd" })
				require.NotNil(t, n, o.Key)
				assert.Contains(t, tidy(n), p.Readout(&o).Change)
			}
		}
		bar := find(root, class("bar"))
		assert.Len(t, all(bar, carries("data-change")), 5)
		p.Unpin()
		assert.Empty(t, all(show(t, p), carries("data-change")))
	}
}

func TestRowsThatAreKeptFollowThePin(t *testing.T) {
	p := opened(t, "v=1")
	o := core.ReadoutFor("pack.full_v")
	a := p.Readout(o)
	p.TogglePin()
	b := p.Readout(o)
	assert.Equal(t, a.Number, b.Number)
	assert.NotEqual(t, shown{Figure: a}, shown{Figure: b}, "a row whose number is the same is made anew")
}

func TestChangeHasItsSign(t *testing.T) {
	for _, c := range [][3]string{{"12.5", "10.0", "+2.5"}, {"10", "12", "−2"}, {"-3.0", "1.5", "−4.5"}, {"7", "7", "±0"}, {"0.3", "0.1", "+0.2"}} {
		assert.Equal(t, c[2], change(c[0], c[1]))
	}
	p := opened(t, "v=1")
	gone := core.ReadoutFor("ride.shift_mm")
	p.TogglePin()
	p.Open("v=1&s=8&p=1&grade=30&cruise=100")
	f := p.Readout(gone)
	if f.Missing {
		assert.Contains(t, f.Change, "was ")
	}
}

func TestPinIsKeptAsALink(t *testing.T) {
	p := opened(t, "v=1&s=22&later=1")
	kept := map[string]string{}
	p.OnKeep = func(name, text string) error { kept[name] = text; return nil }
	p.TogglePin()
	assert.Equal(t, "v=1&s=22&later=1", kept[KeepPin])
	q := opened(t, "v=1")
	q.Recall(recalled(kept))
	require.NotNil(t, q.PinnedReport())
	assert.InDelta(t, 22*4.2, q.PinnedReport().Pack.FullV, 1e-9)
	p.TogglePin()
	assert.Empty(t, kept[KeepPin])
	q = opened(t, "v=1")
	q.Recall(recalled(kept))
	assert.Nil(t, q.PinnedReport())
	p.OnKeep = func(string, string) error { return errors.New("full") }
	p.TogglePin()
	assert.NotNil(t, p.PinnedReport(), "the page goes on with it")
	assert.Contains(t, p.Note, "keeps nothing")
}

func TestCompareStandsSideBySide(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen(compareID, true)
	assert.Nil(t, find(show(t, p), class("scroll")), "one build is nothing to compare")
	p.TogglePin()
	p.Open("v=1&s=30&motor=hub65-wide&kv=11")
	for _, name := range []string{"one", "two", "three"} {
		p.TypeName(name)
		p.SaveBuild()
		p.Slide("rider", strconv.Itoa(80+len(name)))
	}
	table := find(show(t, p), class("scroll"))
	require.NotNil(t, table)
	assert.Len(t, all(table, element("th"), attribute("scope", "col")), 5, "four builds at the most")
	inputs := map[string]string{}
	for _, tr := range all(table, class("input")) {
		require.Len(t, all(tr, element("td")), 4)
		inputs[text(find(tr, element("th")))] = tidy(tr)
	}
	assert.Contains(t, inputs["Cells in series"], "18")
	assert.Contains(t, inputs["Cells in series"], "30")
	assert.Contains(t, inputs["Motor Kv"], "of the class")
	assert.Contains(t, inputs, "Rider")
	assert.NotContains(t, inputs, "Cells in parallel", "what is the same everywhere is left out")
	assert.Len(t, all(table, class("figure")), len(leading))
	notes := all(table, class("note"))
	require.Len(t, notes, 1)
	for _, n := range p.Report.Notes {
		if n.Status != limit.Clear {
			assert.Contains(t, tidy(notes[0]), n.Text)
		}
	}
	p.ToggleCompared(p.shelf.list[2].ID)
	assert.NotEmpty(t, p.shelf.lines, "a fifth finds no place and that is said")
	c := Compare{P: p}
	c.Compute()
	c.OpenColumn(1)
	assert.Equal(t, "v=1", p.Link(), "the pinned build is open")
	p.Undo()
	assert.NotEqual(t, "v=1", p.Link())
}

// A chart that stands open draws the pinned build's curve at once, and takes it away with the pin.
func TestPinReachesOpenCharts(t *testing.T) {
	p := opened(t, "v=1")
	c := Curves{P: p}
	p.SetOpen(c.id(), true)
	pinned := func() int {
		n := 0
		for _, l := range c.plots()[0].Lines {
			if l.Style == "pinned" {
				n++
			}
		}
		return n
	}
	assert.Zero(t, pinned())
	p.TogglePin()
	assert.Equal(t, 1, pinned())
	p.Unpin()
	assert.Zero(t, pinned())
}
