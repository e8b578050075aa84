package ui

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vugu/html"
	"pgregory.net/rapid"
)

// written is a text of a drawing and the room it takes: names as wide as they are reckoned, figures of the axes somewhat less.
type written struct {
	plate
	class, words string
}

func texts(t require.TestingT, drawn string) (list []written) {
	root, err := html.Parse(strings.NewReader("<svg>" + drawn + "</svg>"))
	require.NoError(t, err)
	for _, n := range all(root, element("text")) {
		x, err := strconv.ParseFloat(value(n, "x"), 64)
		require.NoError(t, err)
		y, err := strconv.ParseFloat(value(n, "y"), 64)
		require.NoError(t, err)
		w := written{plate{x: x, y: y, wide: wide(text(n))}, value(n, "class"), text(n)}
		if strings.HasPrefix(w.class, "tick") || strings.HasPrefix(w.class, "axis") {
			w.wide *= 5.5 / letter // not bold
		}
		switch value(n, "text-anchor") {
		case "end":
			w.x -= w.wide
		case "middle":
			w.x -= w.wide / 2
		}
		list = append(list, w)
	}
	return list
}

// namesStand holds the names of a plot against its lines: no two texts lie on each other, the names of line ends lie in the order of the
// ends, and no upright mark runs through another's name.
func namesStand(t require.TestingT, p *Plot) {
	p.draw()
	list := texts(t, p.drawn)
	for i, a := range list {
		require.LessOrEqual(t, a.x+a.wide, plotWidth+0.1, "%s: %q", p.ID, a.words)
		if strings.HasPrefix(a.class, "name") {
			require.GreaterOrEqual(t, a.x, plotLeft-0.1, "%s: %q", p.ID, a.words)
		}
		for _, b := range list[:i] {
			over := a.x < b.x+b.wide-0.2 && b.x < a.x+a.wide-0.2 && a.y-8.5 < b.y && b.y-8.5 < a.y
			require.False(t, over, "%s: %q lies on %q", p.ID, a.words, b.words)
		}
		for _, m := range p.Marks {
			if x := p.px(m.X); !m.Across && m.Name != a.words && slices.ContainsFunc(p.Marks, func(o Mark) bool { return !o.Across && o.Name == a.words }) {
				require.False(t, a.x < x && x < a.x+a.wide, "%s: the line of %q runs through %q", p.ID, m.Name, a.words)
			}
		}
	}
	type ending struct{ x, y float64 }
	var ends []ending
	var names []written
	for i := range p.Lines {
		l := &p.Lines[i]
		q := held(l.Points)
		if l.End == "" || len(q) == 0 {
			continue
		}
		ends = append(ends, ending{p.px(q[len(q)-1].X), p.py(q[len(q)-1].Y)})
		found := slices.IndexFunc(list, func(w written) bool { return w.words == l.End && w.class == "name "+l.Style })
		require.GreaterOrEqual(t, found, 0, l.End)
		names = append(names, list[found])
	}
	for i, a := range ends {
		for j, b := range ends {
			if math.Abs(names[i].y-names[j].y) > 11 {
				require.False(t, a.y < b.y-0.2 && names[i].y > names[j].y, "%s: %q stands below %q", p.ID, names[i].words, names[j].words)
			} else if a.x < b.x-0.2 {
				require.Less(t, names[i].x, names[j].x, "%s: %q and %q", p.ID, names[i].words, names[j].words)
			}
		}
		away := math.Hypot(math.Max(0, math.Max(names[i].x-a.x, a.x-names[i].x-names[i].wide)), math.Max(0, math.Max(names[i].y-9-a.y, a.y-names[i].y-1)))
		if away > 5.5 {
			require.Contains(t, p.drawn, `d="M`+coord(a.x)+" "+coord(a.y)+"L", "%s: %q is tied to its line's end", p.ID, names[i].words)
			require.Contains(t, p.drawn, `class="tie `)
		}
	}
}

// With one group in parallel the three ends lie closer than their names are wide: "half" stood where the low charge's line ended.
func TestEndsKeepTheirNames(t *testing.T) {
	p := opened(t, "v=1&p=1")
	plot := plotsOf(p)["torque"]
	namesStand(t, plot)
	at := map[string]float64{}
	for _, w := range texts(t, plot.drawn) {
		at[w.words] = w.x
	}
	require.Contains(t, at, "low")
	assert.Less(t, at["low"], at["half"])
	assert.Less(t, at["half"], at["full"])

	duty := plotsOf(p)["duty"]
	namesStand(t, duty)
	across := 0
	for _, w := range texts(t, duty.drawn) {
		for _, m := range duty.Marks {
			if m.Across && m.Name == w.words {
				across++
				assert.LessOrEqual(t, math.Abs(w.y-duty.py(m.Y)), 12.5, "%q stands at its line", w.words)
			}
		}
	}
	assert.Equal(t, 2, across)
}

// Lines that end anywhere, also all in one place.
func TestNamesOfAnyLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := &Plot{ID: "any", X: Axis{Lo: 0, Hi: 100}, Y: Axis{Lo: 0, Hi: 100}}
		for i, name := range []string{"full", "half", "low", "ridden"}[:rapid.IntRange(1, 4).Draw(t, "lines")] {
			value := rapid.OneOf(rapid.Float64Range(0, 100), rapid.SampledFrom([]float64{0, 50, 51, 100}))
			p.Lines = append(p.Lines, Line{End: name, Style: "s" + strconv.Itoa(i), Points: []XY{{0, 0}, {value.Draw(t, "x"), value.Draw(t, "y")}}})
		}
		for _, name := range []string{"riding 9", "ceiling 123"}[:rapid.IntRange(0, 2).Draw(t, "marks")] {
			p.Marks = append(p.Marks, Mark{Name: name, X: rapid.Float64Range(0, 100).Draw(t, "at")})
		}
		namesStand(t, p)
	})
}

func TestApart(t *testing.T) {
	for _, c := range []struct{ at, want []float64 }{
		{[]float64{0, 50}, []float64{0, 50}},
		{[]float64{40, 40}, []float64{35, 45}},         // five each way
		{[]float64{40, 41, 42}, []float64{31, 41, 51}}, // around their mean
		{[]float64{0, 1}, []float64{0, 10}},            // the wall holds
		{[]float64{99, 99, 20}, []float64{62, 72, 82}}, // given in order; the mean of 99, 89 and 0 is 62⅔, held to 70 before the last
	} {
		got := apart(c.at, []float64{10, 10, 10}[:len(c.at)], 0, 100)
		require.Len(t, got, len(c.want))
		for i := range got {
			assert.InDelta(t, c.want[i], got[i], 0.7, "%v", c.at)
		}
	}
}
