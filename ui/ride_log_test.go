package ui

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vugu/html"

	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/ridelog"
)

// desktop holds files whose pieces are handed over when they are asked for, as the browser does it later.
type desktop struct {
	p     *Planner
	later []func()
	shown int
}

func (d *desktop) file(name, text string) *Source {
	return &Source{Name: name, Bytes: len(text), Read: func(from, n int, take func([]byte, string) bool) {
		d.later = append(d.later, func() {
			if take([]byte(text[from:from+n]), "") {
				d.shown++
			}
		})
	}}
}

// run hands over what was asked for, and what is asked for then.
func (d *desktop) run() {
	for len(d.later) > 0 {
		next := d.later[0]
		d.later = d.later[1:]
		next()
	}
}

func example(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../testdata/ride_log.csv")
	require.NoError(t, err)
	return string(text)
}

func figureOf(t *testing.T, p *Planner, key string) float64 {
	t.Helper()
	n := find(show(t, p), attribute("data-log", key))
	require.NotNil(t, n, key)
	for _, a := range n.Attr {
		if a.Key == "data-value" {
			v, err := strconv.ParseFloat(a.Val, 64)
			require.NoError(t, err)
			return v
		}
	}
	require.Fail(t, "no value", key)
	return 0
}

// The card shows what the core makes of the log, from picking to fitting.
func TestRideLogFromPickToFit(t *testing.T) {
	p := opened(t, "v=1")
	d := &desktop{p: p}
	p.OnOpen = func(_ string, done func(*Source, string)) { done(d.file("ride_log.csv", example(t)), "") }
	p.PickLog()
	assert.True(t, p.log.reading)
	assert.True(t, p.IsOpen(rideLogID))
	assert.NotNil(t, find(show(t, p), attribute("name", "log-cancel")))
	d.run()
	require.False(t, p.log.reading)
	require.Empty(t, p.log.failure)
	assert.LessOrEqual(t, d.shown, 60)

	want, failure := ridelog.Read([]byte(example(t)), ridelog.Settings{Model: ridelog.NewModel(p.Report.Board()), Wanted: p.Build.Shift})
	require.Empty(t, failure)
	assert.InDelta(t, want.HighestDuty.Value*100, figureOf(t, p, "duty_pct"), 1e-9)
	assert.InDelta(t, want.Reserve.Least.Value*1e3, figureOf(t, p, "reserve_mm"), 1e-9)
	assert.InDelta(t, want.Resistance.Ohm*1e3, figureOf(t, p, "resistance_mohm"), 1e-9)
	per, _ := want.PerMeter()
	assert.InDelta(t, per/3.6, figureOf(t, p, "wh_per_km"), 1e-9)
	page := show(t, p)
	assert.Contains(t, tidy(find(page, attribute("data-log", "reserve_mm"))), "tight", "less than wanted, more than none")
	card := tidy(find(page, attribute("id", "ride-log")))
	assert.Contains(t, card, "4560 of 4562 rows read, 10:00, 3.")
	assert.Contains(t, card, "Rows with the time of the row before, left out: 2, first in line 2003.")
	assert.Contains(t, card, "Pack voltage, empty cells: 3, first in line 702.")
	assert.Contains(t, card, "Gaps of more than 5 s, across which nothing is summed: 1, in line 2404.")
	events := find(page, class("log-events"))
	require.NotNil(t, events)
	assert.Contains(t, tidy(events), "tight")
	page = settled(t, p)
	assert.Equal(t, []string{"log-speed", "log-duty", "log-volts", "log-amps", "log-phase", "log-model"}, logCharts(page))

	// US units change what is shown and not what scripts read.
	p.SetUnits(US)
	assert.InDelta(t, want.TopSpeed.Value*3.6, figureOf(t, p, "top_kmh"), 1e-9)
	assert.Contains(t, tidy(find(show(t, p), attribute("data-log", "top_kmh"))), "mph")
	p.SetUnits(Metric)

	p.FitLog()
	assert.True(t, p.IsOpen(rideCheckID))
	work(p)
	require.True(t, p.fitted().work.Done())
	page = show(t, p)
	assert.Contains(t, tidy(find(page, attribute("data-message", "ride-logged"))), "from the ride log ride_log.csv")
	assert.Contains(t, tidy(find(page, class("fit-rows"))), "in the log")
	p.PutFit()
	kv, err := strconv.ParseFloat(build.FieldFor("kv").Text(&p.Build), 64)
	require.NoError(t, err)
	assert.InDelta(t, 14.175, kv, 0.14, "the Kv that the example was ridden with, to 1 %%")
	assert.NotNil(t, find(show(t, p), attribute("name", "log-hold")), "another build now")
	p.ReadLogAgain()
	d.run()
	assert.Nil(t, find(show(t, p), attribute("name", "log-hold")))
	p.ForgetLogged()
	assert.Nil(t, find(show(t, p), attribute("data-message", "ride-logged")))
	p.Undo()
	assert.Equal(t, build.Default(), p.Build)
}

// Columns that were not understood are put right by hand.
func TestRideLogColumnsByHand(t *testing.T) {
	p := opened(t, "v=1")
	d := &desktop{p: p}
	var text strings.Builder
	text.WriteString("a,b,<b>c</b>\n")
	for i := range 50 {
		text.WriteString(strconv.Itoa(i) + ",10,-" + strconv.Itoa(5+i%3) + "\n")
	}
	p.OpenLog(d.file("odd.csv", text.String()), "")
	d.run()
	page := show(t, p)
	assert.Contains(t, tidy(find(page, attribute("data-message", "log-failure"))), "Which column is the time?")
	require.Len(t, all(page, carries("data-column")), 3)
	p.UseColumn(0, strconv.Itoa(int(ridelog.Time)))
	p.UseColumn(1, strconv.Itoa(int(ridelog.Speed)))
	p.SetColumnUnit(1, "m/s")
	p.UseColumn(2, strconv.Itoa(int(ridelog.BatteryA)))
	p.FlipColumn(2, true)
	assert.NotNil(t, find(show(t, p), attribute("name", "log-again")))
	p.ReadLogAgain()
	d.run()
	require.Empty(t, p.log.failure)
	assert.InDelta(t, 36, figureOf(t, p, "top_kmh"), 1e-9)
	assert.InDelta(t, 7, figureOf(t, p, "battery_a"), 1e-9)
	p.UseColumn(7, "1")
	p.UseColumn(0, "99")
	p.UseColumn(0, "x")
	p.SetColumnUnit(-1, "m/s")
	assert.Contains(t, tidy(find(show(t, p), attribute("id", "ride-log"))), "<b>c</b>", "a name from a file is a text")
}

func TestRideLogThatCannotBeRead(t *testing.T) {
	p := opened(t, "v=1")
	d := &desktop{p: p}
	p.PickLog() // no browser
	p.OpenLog(nil, "this browser opens no files here.")
	assert.Contains(t, tidy(find(show(t, p), attribute("data-message", "log"))), "opens no files")

	p.OpenLog(d.file("empty.csv", ""), "")
	d.run()
	assert.Contains(t, p.log.failure, "No table")
	assert.NotNil(t, find(show(t, p), attribute("name", "log-pick")))

	broken := &Source{Name: "gone.csv", Bytes: 10, Read: func(_, _ int, take func([]byte, string) bool) { assert.True(t, take(nil, "it is gone.")) }}
	p.OpenLog(broken, "")
	assert.False(t, p.log.reading)
	assert.Contains(t, p.log.said, "it is gone.")

	// Given up, its pieces come too late.
	p.OpenLog(d.file("long.csv", "time,speed\n"+strings.Repeat("1,2\n", 100000)), "")
	p.CancelLog()
	assert.Equal(t, "Reading was given up.", p.log.said)
	d.run()
	assert.Nil(t, p.log.ride)
	p.ReadLogAgain()
	p.CancelLog()
	p.FitLog()
	p.TurnSigns()
	d.run()
}

// A battery current with the wrong sign is turned around at a press.
func TestRideLogTurnsTheBatteryAround(t *testing.T) {
	p := opened(t, "v=1")
	d := &desktop{p: p}
	var text strings.Builder
	text.WriteString("time,speed,voltage,battery current\n")
	for i := range 6000 {
		amps := "9"
		if i < 5000 && i > 3 {
			amps = "-9"
		}
		if i > 3000 {
			amps = "-7"
		}
		if i < 3000 {
			amps = "3"
		}
		text.WriteString(strconv.Itoa(i) + ",20,70," + amps + "\n")
	}
	p.OpenLog(d.file("down.csv", text.String()), "")
	d.run()
	require.True(t, p.log.ride.SignDoubt)
	assert.NotNil(t, find(show(t, p), attribute("name", "log-turn")))
	p.TurnSigns()
	d.run()
	assert.False(t, p.log.ride.SignDoubt)
}

// Plots keep the extremes however few pieces they are drawn with, and leave gaps open.
func TestLogPlots(t *testing.T) {
	nan := math.NaN()
	assert.Equal(t, []float64{2, 3, 5}, halved([]float64{1, 2, nan, 3, 5}, math.Max))
	assert.True(t, math.IsNaN(halved([]float64{nan, nan}, math.Max)[0]))
	low := []XY{{0, 1}, {1, 2}, {2, nan}, {3, 4}}
	bands := shade("x", low, low)
	require.Len(t, bands, 2)
	assert.Equal(t, "x", bands[0].Name)
	assert.Empty(t, bands[1].Name)
	assert.Len(t, bands[0].Lower, 2)
	assert.Len(t, bands[1].Upper, 1)

	p := opened(t, "v=1")
	assert.Empty(t, p.logPlots())
	d := &desktop{p: p}
	p.OpenLog(d.file("ride_log.csv", example(t)), "")
	d.run()
	plots := p.logPlots()
	require.Len(t, plots, 6)
	for _, plot := range plots {
		plot.draw()
		assert.NotContains(t, plot.drawn, "NaN", plot.ID)
		assert.NotContains(t, plot.File(), "NaN", plot.ID)
		assert.NotEmpty(t, plot.Words)
	}
	assert.InDelta(t, p.log.ride.TopSpeed.Value*3.6, highestOf(plots[0]), 0.5)
	again := p.logPlots()
	for i := range plots {
		assert.Same(t, plots[i], again[i], "made once")
	}
	p.Type("s", "20")
	again = p.logPlots()
	assert.Same(t, plots[0], again[0])
	assert.NotSame(t, plots[5], again[5], "the plan's curve is another")
}

// settled is the page when all that comes piece by piece has come.
func settled(t *testing.T, p *Planner) *html.Node {
	t.Helper()
	page := show(t, p)
	for p.CatchUp() {
		page = show(t, p)
	}
	return page
}

func logCharts(page *html.Node) (ids []string) {
	for _, n := range all(find(page, attribute("id", "ride-log")), carries("data-chart")) {
		ids = append(ids, value(n, "data-chart"))
	}
	return ids
}

// A frame that shows a log's figures must not draw all its events and plots too.
func TestLogPlotsComeOneAFrame(t *testing.T) {
	p := opened(t, "v=1")
	p.CatchUp()
	d := &desktop{p: p}
	p.OpenLog(d.file("ride_log.csv", example(t)), "")
	d.run()
	root := &Root{P: p}
	for n := range 7 {
		page := draw(t, root)
		assert.Len(t, logCharts(page), max(0, n-1))
		assert.Equal(t, n > 0, find(page, class("log-events")) != nil)
		assert.True(t, p.CatchUp(), "more is to come")
	}
	assert.Len(t, logCharts(draw(t, root)), 6)
	assert.False(t, p.CatchUp(), "all have come")

	p.SetUnits(US)
	page := draw(t, root)
	assert.Len(t, logCharts(page), 6, "what is there stays")
	assert.NotNil(t, find(page, class("log-events")))
	p.OpenLog(d.file("ride_log.csv", example(t)), "")
	d.run()
	page = draw(t, root)
	assert.Empty(t, logCharts(page), "another log")
	assert.Nil(t, find(page, class("log-events")))
}

func highestOf(p *Plot) float64 {
	top := 0.0
	for _, q := range p.Data[1].Points {
		if q.Y > top {
			top = q.Y
		}
	}
	return top
}

func TestReserveStatus(t *testing.T) {
	for shift, want := range map[float64]limit.Status{-0.01: limit.Over, 0: limit.Over, 0.0001: limit.Tight, 0.0249: limit.Tight, 0.025: limit.Clear} {
		assert.Equal(t, want, reserveStatus(shift, 0.025), shift)
	}
}

func TestClockTexts(t *testing.T) {
	for s, want := range map[float64]string{0: "0:00", 59.6: "1:00", 61: "1:01", 3599: "59:59", 3600: "1:00:00", 36605: "10:10:05"} {
		assert.Equal(t, want, clockText(s))
	}
}

func TestDroppedFileGoesWhereItBelongs(t *testing.T) {
	for name, track := range map[string]bool{"a.gpx": true, "A.GPX": true, "track.xml": true, "ride.csv": false, "gpx": false, "": false} {
		assert.Equal(t, track, IsTrack(name), name)
	}
	p := opened(t, "v=1")
	p.DropLog(nil, "it is a folder.")
	assert.True(t, p.IsOpen(rideLogID), "what became of it can be seen")
}
