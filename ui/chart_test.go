package ui

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vugu/html"
	"pgregory.net/rapid"

	"headroom/core"
)

// unfolded opens every card of charts.
func unfolded(p *Planner) *Planner {
	for i := range curveCards {
		p.SetOpen((&Curves{P: p, Index: i}).id(), true)
	}
	return p
}

func plotsOf(p *Planner) map[string]*Plot {
	out := map[string]*Plot{}
	for i := range curveCards {
		for _, plot := range (&Curves{P: p, Index: i}).plots() {
			out[plot.ID] = plot
		}
	}
	return out
}

// drawnAt reads a path back into the values of the axes.
func drawnAt(t *testing.T, p *Plot, d string) (points []XY) {
	t.Helper()
	for _, part := range strings.FieldsFunc(d, func(r rune) bool { return r == 'M' || r == 'L' }) {
		x, y, ok := strings.Cut(part, " ")
		require.True(t, ok, part)
		px, err := strconv.ParseFloat(x, 64)
		require.NoError(t, err)
		py, err := strconv.ParseFloat(y, 64)
		require.NoError(t, err)
		points = append(points, XY{
			p.X.at((px - plotLeft) / (plotWidth - plotLeft - plotRight)),
			p.Y.at((plotHeight - plotBottom - py) / (plotHeight - plotTop - plotBottom)),
		})
	}
	return points
}

func TestChartsDrawTheReport(t *testing.T) {
	for _, units := range []Units{Metric, US} {
		p := unfolded(opened(t, "v=1"))
		p.SetUnits(units)
		root := show(t, p)
		r, plots := &p.Report, plotsOf(p)
		curve := func(id, style string) []XY {
			figure := find(root, attribute("data-chart", id))
			require.NotNil(t, figure, id)
			var found *html.Node
			for _, n := range all(figure, element("path"), class("curve"), class(style)) {
				if above(n, class("plot")) != nil {
					found = n
				}
			}
			require.NotNil(t, found, "%s of %s", style, id)
			return drawnAt(t, plots[id], value(found, "d"))
		}
		same := func(id, style string, want []XY) {
			got := curve(id, style)
			require.Len(t, got, len(want), "%s of %s", style, id)
			plot := plots[id]
			for i := range want {
				assert.InDelta(t, want[i].X, got[i].X, (plot.X.Hi-plot.X.Lo)/plotWidth/4, "%s of %s", style, id)
				y := math.Min(plot.Y.Hi, math.Max(plot.Y.Lo, want[i].Y))
				assert.InDelta(t, y, got[i].Y, (plot.Y.Hi-plot.Y.Lo)/plotHeight/4, "%s of %s", style, id)
			}
		}
		for style, points := range map[string][]core.Point{"full": r.Envelope.Full, "half": r.Envelope.Half, "low": r.Envelope.Low} {
			var torque, duty []XY
			for _, q := range points {
				torque = append(torque, XY{q.SpeedKmh, q.TorqueMax})
				if q.Duty != nil {
					duty = append(duty, XY{q.SpeedKmh, *q.Duty * 100})
				}
			}
			same("torque", style, torque)
			same("duty", style, duty)
		}
		var far, rest, loaded, left, amps []XY
		for _, s := range r.Range.BySpeed {
			far = append(far, XY{s.SpeedKmh, *s.Km})
		}
		for _, a := range r.Along() {
			rest, loaded, left = append(rest, XY{a.Km, a.RestV}), append(loaded, XY{a.Km, *a.BusV}), append(left, XY{a.Km, a.ShiftMm})
		}
		for _, q := range r.Charging() {
			amps = append(amps, XY{q.Minutes, q.A})
		}
		same("range", "low", far)
		same("volts", "rest", rest)
		same("volts", "low", loaded)
		same("reserve", "low", left)
		same("charge-amps", "low", amps)

		// The wanted reserve stands as torque above what level riding takes.
		wanted := plots["torque"].Lines[3].Points
		for i, q := range r.Envelope.Full {
			if !math.IsNaN(wanted[i].Y) {
				assert.InDelta(t, q.LoadTorque+p.Build.Shift*p.Build.Rider*9.80665, wanted[i].Y, 1e-9)
			}
		}
	}
}

func TestAxesFollowTheUnits(t *testing.T) {
	p := unfolded(opened(t, "v=1"))
	metric := plotsOf(p)["torque"]
	p.SetUnits(US)
	us := plotsOf(p)["torque"]
	assert.Equal(t, "speed, km/h", axisName(&metric.X))
	assert.Equal(t, "speed, mph", axisName(&us.X))
	assert.Equal(t, "torque, lbf·ft", axisName(&us.Y))
	for _, plot := range []*Plot{metric, us} {
		for _, a := range []*Axis{&plot.X, &plot.Y} {
			list := a.ticks()
			require.GreaterOrEqual(t, len(list), 3, a.Label)
			for _, tick := range list {
				v, err := strconv.ParseFloat(tick.Text, 64)
				require.NoError(t, err)
				assert.InDelta(t, v, a.shown().shown(tick.At), 1e-9, "a round value as shown stands at its metric place")
			}
		}
	}
	assert.Contains(t, tidy(find(show(t, p), attribute("data-chart", "torque"))), "speed, mph")
}

func TestAxesWidenToRoundValues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(-1e3, 1e3).Draw(t, "lo")
		hi := lo + rapid.Float64Range(0, 1e4).Draw(t, "wide")
		a := Axis{Unit: "km/h", In: Units(rapid.IntRange(0, 1).Draw(t, "units")).of("km/h")}
		a.fit(lo, hi)
		require.Less(t, a.Lo, a.Hi)
		dust := 1e-8*(hi-lo) + 1e-9
		require.LessOrEqual(t, a.Lo, lo+dust)
		require.GreaterOrEqual(t, a.Hi, hi-dust)
		steps := (a.shown().shown(a.Hi) - a.shown().shown(a.Lo)) / a.step()
		require.InDelta(t, math.Round(steps), steps, 1e-6, "the reading reaches both ends")
		require.LessOrEqual(t, len(a.ticks()), 12)
	})
}

func TestChartsAreMadeOnlyWhileOpen(t *testing.T) {
	p := opened(t, "v=1")
	root := show(t, p)
	assert.Empty(t, all(root, carries("data-chart")))
	assert.Empty(t, p.charts.plots)
	c := Curves{P: p}
	p.SetOpen(c.id(), true)
	assert.Len(t, all(show(t, p), carries("data-chart")), 1)
	assert.Len(t, p.charts.plots, 1)
	first := c.plots()[0]
	assert.Same(t, first, c.plots()[0], "made once for a plan")
	p.Slide("s", "20")
	assert.NotSame(t, first, c.plots()[0])
}

func TestReadingIsTheCurve(t *testing.T) {
	p := unfolded(opened(t, "v=1"))
	plot := plotsOf(p)["torque"]
	reader := func() *html.Node { return find(show(t, p), attribute("name", "read-torque")) }
	assert.Equal(t, decimal(p.Report.Ride.SpeedKmh, 0), decimal(p.charts.reading(plot), 0), "at first where it is ridden")

	p.ReadAt(plot, "11")
	e := &p.Report.Envelope
	left := func(points []core.Point, kmh float64) float64 {
		for i := 1; i < len(points); i++ {
			if a, b := points[i-1], points[i]; kmh <= b.SpeedKmh {
				return a.ReserveNm + (b.ReserveNm-a.ReserveNm)*(kmh-a.SpeedKmh)/(b.SpeedKmh-a.SpeedKmh)
			}
		}
		return math.NaN()
	}
	want := "At 11 km/h: " + decimal(left(e.Full, 11), 0) + " N·m left at full, " + decimal(left(e.Half, 11), 0) + " at half, " + decimal(left(e.Low, 11), 0) + " at low charge."
	assert.Equal(t, want, plot.sentence(p.charts.reading(plot)))
	assert.Equal(t, want, value(reader(), "aria-valuetext"))
	assert.Contains(t, tidy(find(show(t, p), class("reading"))), want)
	assert.Equal(t, 11.0, p.charts.reading(plotsOf(p)["duty"]), "charts over speed are read at the same speed")
	dots := all(find(show(t, p), attribute("data-chart", "torque")), element("circle"))
	assert.Len(t, dots, 3)

	p.ReadAt(plot, "nonsense")
	p.ReadAt(plot, "NaN")
	assert.Equal(t, 11.0, p.charts.reading(plot))
	p.ReadAt(plot, "9999")
	assert.InDelta(t, plot.X.Hi, p.charts.reading(plot), 1e-9)
	assert.Contains(t, plot.sentence(p.charts.reading(plot)), "none at low charge")

	// The card is kept while nothing in it changes; a reading at 0 is a change.
	p.ReadAt(plotsOf(p)["volts"], "0")
	assert.Contains(t, tidy(find(show(t, p), attribute("data-chart", "volts"))), "After 0 km")

	p.ReadAt(plot, "20")
	p.SetUnits(US)
	us := plotsOf(p)["torque"]
	assert.InDelta(t, 20, p.charts.reading(us), 0.81, "the same speed in the other units, to a step")
	assert.Equal(t, "0", value(reader(), "min"))
	assert.Contains(t, us.sentence(p.charts.reading(us)), "At 12 mph: ")
}

func TestValueAt(t *testing.T) {
	gap := []XY{{0, 1}, {1, 3}, {2, math.NaN()}, {3, 7}}
	for x, want := range map[float64]float64{0: 1, 0.5: 2, 1: 3, 3: 7} {
		y, ok := valueAt(gap, x)
		assert.True(t, ok)
		assert.InDelta(t, want, y, 1e-12)
	}
	for _, x := range []float64{-1, 1.5, 2, 2.5, 4} {
		_, ok := valueAt(gap, x)
		assert.False(t, ok, "%g", x)
	}
}

// Whatever the build, a chart is whole: no figure in it that is none, and every name at what it names.
func TestChartsOfEveryBuild(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := NewPlanner()
		p.Build = randomBuild(t)
		p.plan()
		p.Units = Units(rapid.IntRange(0, 1).Draw(t, "units"))
		for id, plot := range plotsOf(p) {
			_, words := elements(t, plot.File())
			require.NotContains(t, words, "NaN", id)
			require.NotContains(t, plot.CSV(), "NaN", id)
			require.NotContains(t, plot.sentence(p.charts.reading(plot)), "NaN", id)
			require.NotEmpty(t, plot.table().Rows, id)
			at := p.charts.reading(plot)
			require.GreaterOrEqual(t, at, plot.X.Lo-1e-9)
			require.LessOrEqual(t, at, plot.X.Hi+1e-9)
			elements(t, "<g>"+string(plot.crossing(at))+"</g>")
			namesStand(t, plot)
		}
	})
}

// A link may say anything; a chart stays a drawing.
func TestNoTextIsMoreThanText(t *testing.T) {
	const evil = `</g></svg><script>alert(1)</script><img src=x onerror=alert(1)>"'&`
	p := NewPlanner()
	p.Open("v=1&x%3Cscript%3E=%3C%2Fsvg%3E%3Cimg%20src%3Dx%20onerror%3Dalert(1)%3E&motor=%3Cscript%3E&own=%3Csvg%3E&profile=%22%3E%3Cscript%3E")
	unfolded(p)
	for i := range curveCards {
		p.SetOpen((&Curves{P: p, Index: i}).tableID(), true)
	}
	root := show(t, p)
	assert.Empty(t, all(root, element("script")))
	assert.Empty(t, all(root, element("img")))
	for _, plot := range plotsOf(p) {
		assert.NotContains(t, plot.File(), "script")
		assert.NotContains(t, plot.File(), "onerror")
	}

	// Even where such a text came into a plot.
	hostile := &Plot{
		ID: "h", Title: evil, Words: evil, X: Axis{Label: evil, Unit: evil, Lo: 0, Hi: 1}, Y: Axis{Label: evil, Lo: 0, Hi: 1, Ticks: []Tick{{0.5, evil}}},
		Lines: []Line{{Name: evil, End: evil, Style: evil, Points: []XY{{0, 0}, {1, 1}}}}, Bands: []Band{{Name: evil, Style: evil}}, Marks: []Mark{{Name: evil, Style: evil, X: 0.5}},
	}
	hostile.draw()
	for _, raw := range []string{hostile.File(), "<g>" + hostile.drawn + "</g>", "<ul>" + hostile.legend + "</ul>"} {
		count, words := elements(t, raw)
		assert.Zero(t, count["script"]+count["img"])
		assert.Contains(t, words, evil)
	}
}

func TestAPinnedBuildIsDrawnQuietlyBeside(t *testing.T) {
	p, other := opened(t, "v=1"), opened(t, "v=1&s=20")
	c := Curves{P: p}
	plots := append([]*Plot{c.torquePlot(&p.Report, &other.Report), c.dutyPlot(&p.Report, &other.Report), c.rangePlot(&p.Report, &other.Report)}, c.ridePlots(&p.Report, &other.Report)...)
	plots = append(plots, c.chargePlots(&p.Report, &other.Report)...)
	for _, plot := range plots {
		last := plot.Lines[len(plot.Lines)-1]
		assert.Equal(t, "pinned", last.Style, plot.ID)
		for _, q := range last.Points {
			if !math.IsNaN(q.Y) {
				assert.LessOrEqual(t, q.X, plot.X.Hi+1e-9, "%s: the axes hold both", plot.ID)
				assert.LessOrEqual(t, q.Y, plot.Y.Hi+1e-9, plot.ID)
			}
		}
	}
	assert.Equal(t, other.Report.Envelope.Low[3].TorqueMax, plots[0].Lines[4].Points[3].Y)
}

func TestTablesHoldWhatCanBeRead(t *testing.T) {
	p := unfolded(opened(t, "v=1"))
	for i := range curveCards {
		p.SetOpen((&Curves{P: p, Index: i}).tableID(), true)
	}
	root := show(t, p)
	cards := all(root, class("curves"))
	require.Len(t, cards, len(curveCards))
	for i, tables := range []int{2, 1, 2, 2, 2} {
		assert.Len(t, all(cards[i], element("table")), tables, curveCards[i].id)
	}
	table := plotsOf(p)["torque"].table()
	assert.Equal(t, []string{"km/h", "left, full", "left, half", "left, low"}, table.Head)
	assert.Equal(t, decimal(p.Report.Envelope.Full[0].ReserveNm, 0), table.Rows[0].Cells[0])
	assert.LessOrEqual(t, len(table.Rows), most)
}

func TestARideThatCannotBeFollowedSaysSo(t *testing.T) {
	p := unfolded(opened(t, "v=1&cruise=70"))
	require.NotNil(t, p.Report.Range.Km)
	require.Zero(t, *p.Report.Range.Km)
	assert.Contains(t, tidy(show(t, p)), "There is no ride to follow")
	q := unfolded(opened(t, "v=1&z0=90&z1=50"))
	assert.Contains(t, tidy(show(t, q)), "There is nothing to charge")
}

// Names of marks and of line ends keep out of each other's way, also where several end in one corner.
func TestNamesKeepApart(t *testing.T) {
	var d drawing
	p := &Plot{X: Axis{Lo: 0, Hi: 100}, Y: Axis{Lo: 0, Hi: 100}, Marks: []Mark{{Name: "riding 90", X: 50}, {Name: "ceiling 9", X: 51}}}
	for i, name := range []string{"full", "half", "low", "more"} {
		p.Lines = append(p.Lines, Line{End: name, Points: []XY{{0, 0}, {80 + float64(i), 30}}})
	}
	p.names(&d)
	root, err := html.Parse(strings.NewReader("<svg>" + d.String() + "</svg>"))
	require.NoError(t, err)
	var plates []plate
	for _, n := range all(root, element("text")) {
		x, err := strconv.ParseFloat(value(n, "x"), 64)
		require.NoError(t, err)
		y, err := strconv.ParseFloat(value(n, "y"), 64)
		require.NoError(t, err)
		at := plate{x: x, y: y, wide: letter * float64(len(text(n)))}
		if value(n, "text-anchor") == "end" {
			at.x -= at.wide
		}
		for _, other := range plates {
			assert.False(t, at.meets(other), text(n))
		}
		assert.LessOrEqual(t, at.x+at.wide, plotWidth, text(n))
		assert.GreaterOrEqual(t, at.y, plotTop+10.0, text(n))
		plates = append(plates, at)
	}
	assert.Len(t, plates, 6)
}

func TestFuseIsReadAlongItsBand(t *testing.T) {
	p := opened(t, "v=1&fuse=30")
	c := &FuseCard{P: p}
	plot := c.plot()
	f := &p.Report.Protection.Fuse
	read := func(a float64) string { return plot.sentence(a) }
	for _, q := range f.Band {
		want := func(s *float64) string {
			if s == nil {
				return "never"
			}
			return spell(*s)
		}
		got := read(q.A)
		assert.Contains(t, got, want(q.First)+" at the earliest")
		assert.Contains(t, got, want(q.Last)+" at the latest")
	}
	assert.Contains(t, read(29), "never at the earliest, never at the latest", "it carries its rating")

	// Straight in the logarithms: at the geometric mean of two currents the time is that of the two times.
	a, b := f.Band[len(f.Band)-2], f.Band[len(f.Band)-1]
	y, ok := plot.valueAt(plot.Data[0].Points, math.Sqrt(a.A*b.A))
	require.True(t, ok)
	assert.InEpsilon(t, math.Sqrt(*a.First**b.First), y, 1e-9)

	// The slider's steps have one ratio, and what it stands at is what is read.
	for _, at := range []string{"0", "57", "200"} {
		p.ReadAt(plot, at)
		assert.Equal(t, at, (&Chart{P: p, Plot: plot}).at())
	}
	assert.InEpsilon(t, plot.X.Hi, p.charts.reading(plot), 1e-9)
}
