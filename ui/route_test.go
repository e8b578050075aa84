package ui

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// track is a GPX file of a straight way north with a hill in it.
func track(meters float64, inside string) string {
	var out strings.Builder
	out.WriteString(`<gpx xmlns="http://www.topografix.com/GPX/1/1">` + inside + `<trk><name>Round &lt;the&gt; lake</name><trkseg>`)
	for s := 0.0; s <= meters; s += 10 {
		fmt.Fprintf(&out, `<trkpt lat="%.9f" lon="7"><ele>%.3f</ele></trkpt>`, s/110574.3, 100+60*(1-math.Cos(2*math.Pi*s/meters)))
	}
	return out.String() + `</trkseg></trk></gpx>`
}

func finish(p *Planner) {
	for p.HasWork() {
		p.Work()
	}
}

func TestTrackIsRidden(t *testing.T) {
	p := opened(t, "v=1")
	p.OnPick = func(asked Pick) {
		assert.Contains(t, asked.Accept, ".gpx")
		asked.Done("lake.gpx", track(4000, ""), "")
	}
	p.SetOpen(routeID, true)
	p.PickRoute()
	assert.Equal(t, "route-said", p.Focus)
	page := show(t, p)
	assert.Contains(t, tidy(find(page, attribute("data-message", "route-state"))), "Riding it: 0 %")
	finish(p)
	page = show(t, p)
	card := find(page, attribute("id", "route"))
	assert.Contains(t, tidy(find(card, attribute("data-message", "route"))), "“Round <the> lake”: 4.0 km, up 120 m, down 120 m.")
	assert.Empty(t, tidy(find(card, attribute("data-message", "route-state"))))
	assert.Len(t, all(card, element("figure")), 5)

	// Every figure is that of the core.
	want := p.Report.NewRouteRiding(p.routing.path)
	for want.Step() {
	}
	r := want.Route()
	for key, v := range map[string]float64{
		"route.end_pct": r.EndPct, "route.lowest.value": r.Lowest.Value, "route.hottest.value": r.Hottest.Value, "route.descent.grade_pct": r.Descent.GradePct,
		"route.energy_wh": r.EnergyWh, "route.minutes": r.Minutes,
	} {
		assert.Equal(t, fmt.Sprint(v), value(find(card, attribute("data-key", key)), "data-value"), key)
	}
	p.SetUnits(US)
	card = find(show(t, p), attribute("id", "route"))
	assert.Contains(t, tidy(find(card, attribute("data-message", "route"))), "2.5 mi, up 39")
	p.SetOpen(routeID+"-table", true)
	assert.Len(t, all(find(show(t, p), attribute("id", "route")), element("table")), 5)
	for _, plot := range p.routePlots() {
		assert.NotContains(t, plot.CSV(), "NaN")
		elements(t, plot.File())
	}
	p.ForgetRoute()
	assert.Nil(t, find(show(t, p), attribute("data-key", "route.end_pct")))
}

// While the build moves nothing is ridden; once it rests, the track is, and until then what is shown is said to be of the build before.
func TestTrackFollowsTheBuild(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen(routeID, true)
	p.TakeRoute("a.gpx", track(3000, ""), "")
	finish(p)
	before := p.routing.ridden
	p.Slide("p", "4")
	assert.False(t, p.hasRoute())
	card := find(show(t, p), attribute("id", "route"))
	assert.Contains(t, tidy(find(card, attribute("data-message", "route-state"))), "has changed")
	assert.Same(t, before, p.routing.ridden)
	p.Settle()
	require.True(t, p.hasRoute())
	p.Work()
	assert.Contains(t, tidy(find(show(t, p), attribute("data-message", "route-state"))), "Below is the build before")
	p.Slide("p", "5") // what was begun is left lying
	assert.False(t, p.hasRoute())
	p.Settle()
	finish(p)
	assert.Greater(t, p.routing.ridden.EndPct, before.EndPct, "more cells, more charge left")
	assert.Empty(t, tidy(find(show(t, p), attribute("data-message", "route-state"))))

	p.SetOpen(routeID, false)
	p.Slide("p", "2")
	p.Settle()
	assert.False(t, p.hasRoute(), "a folded card costs nothing")
	p.SetOpen(routeID, true)
	finish(p)
	assert.InDelta(t, before.EndPct, p.routing.ridden.EndPct, 1e-12)
}

// A file that cannot be read is told with its line, and what was there stays.
func TestTracksThatCannotBeRead(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen(routeID, true)
	p.TakeRoute("good.gpx", track(3000, ""), "")
	finish(p)
	good := p.routing.ridden
	for _, c := range []struct{ text, failure, says string }{
		{"<gpx>\n<trk>", "", "“bad<b>.gpx” could not be read. Line 2: the file ends within <trk>"},
		{"", "it is too large for what is asked here.", "The file could not be read: it is too large"},
		{"hello", "", "not a GPX file"},
		{"<gpx><trk><trkseg><trkpt lat='<'", "", "Line 1"},
	} {
		p.TakeRoute("bad<b>.gpx", c.text, c.failure)
		card := find(show(t, p), attribute("id", "route"))
		assert.Contains(t, tidy(find(card, attribute("data-message", "route-trouble"))), c.says)
		assert.Same(t, good, p.routing.ridden)
		assert.NotNil(t, find(card, attribute("data-key", "route.end_pct")))
	}
	p.TakeRoute("good.gpx", track(2000, ""), "")
	assert.Empty(t, tidy(find(show(t, p), attribute("data-message", "route-trouble"))))

	q := opened(t, "v=1")
	q.DropRoute("x.gpx", "<gpx/>", "")
	assert.True(t, q.IsOpen(routeID), "what is dropped is shown")
	assert.Contains(t, tidy(find(show(t, q), attribute("data-message", "route-trouble"))), "no track")
	q.PickRoute() // no browser: nothing happens
}

func TestWaysOfEveryKindAreTold(t *testing.T) {
	for _, c := range []struct {
		text, pairs string
		says        []string
	}{
		{`<gpx><rte><rtept lat="0" lon="0"/><rtept lat="0" lon="0.02"/></rte></gpx>`, "v=1", []string{"x.gpx", "knows no elevations", "laid out as a route"}},
		{`<gpx><trk><trkseg><trkpt lat="0" lon="0"><ele>1</ele></trkpt><trkpt lat="0" lon="0.01"/></trkseg></trk></gpx>`, "v=1", []string{"1 point without", "1 hole in the record, 1.1 km"}},
		{track(60000, ""), "v=1", []string{"It ends after", "charge floor", "ends here"}},
		{track(3000, ""), "v=1&cruise=80", []string{"Slower than the riding speed: "}},
		{`<gpx><trk><trkseg><trkpt lat="0" lon="0"><ele>900</ele></trkpt><trkpt lat="0" lon="0.02"><ele>500</ele></trkpt></trkseg></trk></gpx>`, "v=1&regen=0", []string{"walk it down"}},
		{`<gpx><trk><trkseg><trkpt lat="0" lon="0"><ele>900</ele></trkpt><trkpt lat="0" lon="0.02"><ele>700</ele></trkpt></trkseg></trk></gpx>`, "v=1", []string{"Pushed into a full pack"}},
	} {
		p := opened(t, c.pairs)
		p.SetOpen(routeID, true)
		p.TakeRoute("x.gpx", c.text, "")
		finish(p)
		card := tidy(find(show(t, p), attribute("id", "route")))
		for _, says := range c.says {
			assert.Contains(t, card, says)
		}
		for _, plot := range p.routePlots() {
			require.Less(t, plot.Y.Lo, plot.Y.Hi)
			require.NotContains(t, plot.File(), "NaN")
		}
	}
}

// On a way whose points are far apart nothing is called clear, and how much of it that is is told.
func TestWaysWithFewPointsAreNotClear(t *testing.T) {
	p := opened(t, "v=1&start=80")
	p.SetOpen(routeID, true)
	var out strings.Builder
	out.WriteString(`<gpx><trk><trkseg>`)
	for _, at := range []float64{0, 1000, 2000, 2050, 2100} {
		fmt.Fprintf(&out, `<trkpt lat="%.9f" lon="7"><ele>100</ele></trkpt>`, at/110574.3)
	}
	p.TakeRoute("dips.gpx", out.String()+`</trkseg></trk></gpx>`, "")
	finish(p)
	card := find(show(t, p), attribute("id", "route"))
	assert.Contains(t, tidy(find(card, attribute("data-message", "route"))), "2.1 km, up at least 0 m, down at least 0 m. On 2.0 km of it, points with an elevation lie too far apart")
	for _, key := range []string{"route.end_pct", "route.lowest.value", "route.hottest.value", "route.unknown_km"} {
		line := above(find(card, attribute("data-key", key)), class("line"))
		assert.NotNil(t, find(line, class("tight")), key)
		assert.Nil(t, find(line, class("clear")), key)
	}
	assert.Contains(t, tidy(card), "Way with slopes unknown2.0 km")
	assert.Contains(t, tidy(card), "Of 2.1 km. ")

	p.TakeRoute("known.gpx", track(4000, ""), "")
	finish(p)
	said := tidy(find(show(t, p), attribute("id", "route")))
	assert.NotContains(t, said, "at least")
	assert.NotContains(t, said, "nknown slopes")
}

// Where the ride ends for lack of charge, the curves are read up to there; past it nothing was ridden, and nobody is told that none was left.
func TestReadingPastWhereTheRideEnds(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen(routeID, true)
	p.TakeRoute("long.gpx", track(45000, ""), "")
	finish(p)
	r := p.routing.ridden
	require.NotEmpty(t, r.StoppedBy)
	for _, units := range []Units{Metric, US} {
		p.SetUnits(units)
		for i, plot := range p.routePlots() {
			if i == 0 {
				assert.Contains(t, plot.sentence(r.RiddenKm+2), "above the sea", "the way goes on")
				assert.Contains(t, plot.sentence(r.Km), "above the sea")
				continue
			}
			for _, x := range []float64{r.RiddenKm - 1e-6, r.RiddenKm, r.RiddenKm + 1e-6} {
				last := plot.Lines[0].Points[len(plot.Lines[0].Points)-1]
				require.Equal(t, r.RiddenKm, last.X)
				assert.Contains(t, plot.sentence(x), plot.Y.figure(last.Y, plot.Y.Digits)+" ", plot.Title)
				assert.Contains(t, plot.crossing(x), "<circle", plot.Title)
			}
			past := plot.sentence(r.RiddenKm + 2)
			assert.Contains(t, past, ": not ridden.", plot.Title)
			assert.NotContains(t, past, "none")
			assert.NotContains(t, plot.crossing(r.RiddenKm+2), "<circle")
		}
	}

	p.TakeRoute("short.gpx", track(4040, ""), "")
	finish(p)
	for _, plot := range p.routePlots() {
		require.Greater(t, plot.X.Hi, 4.05)
		assert.Contains(t, plot.sentence(plot.X.Hi), ": past the end of the way.", plot.Title)
		assert.NotContains(t, plot.sentence(4.04), "past", plot.Title)
	}
}
