package ui

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/limit"
	"headroom/core/ridelog"
)

// edited opens the example log, its lines changed.
func edited(t *testing.T, change func(lines []string) []string) (*Planner, *desktop) {
	t.Helper()
	p := opened(t, "v=1")
	d := &desktop{p: p}
	lines := change(strings.Split(strings.TrimSpace(example(t)), "\n"))
	p.OpenLog(d.file("ride_log.csv", strings.Join(lines, "\n")), "")
	d.run()
	return p, d
}

// cells changes the cells of each row.
func cells(change func(i int, c []string)) func([]string) []string {
	return func(lines []string) []string {
		for i := 1; i < len(lines); i++ {
			c := strings.Split(lines[i], ",")
			change(i, c)
			lines[i] = strings.Join(c, ",")
		}
		return lines
	}
}

func figureText(t *testing.T, p *Planner, key string) string {
	t.Helper()
	n := find(show(t, p), attribute("data-log", key))
	require.NotNil(t, n, key)
	return tidy(n)
}

func message(t *testing.T, p *Planner, name string) string {
	t.Helper()
	if n := find(show(t, p), attribute("data-message", name)); n != nil {
		return tidy(n)
	}
	return ""
}

// A board that takes more duty than its plan: at full duty nothing is left, and the plan is said to promise too much, until it is fitted.
func TestRideLogAboveItsPlanIsNotClear(t *testing.T) {
	times := func(by float64) func([]string) []string {
		return cells(func(_ int, c []string) {
			v, _ := strconv.ParseFloat(c[2], 64)
			c[2] = decimal(min(100, by*v), 1)
		})
	}
	p, d := edited(t, times(1.28))
	text := figureText(t, p, "reserve_mm")
	assert.Contains(t, text, "over")
	assert.Contains(t, text, "The plan promises more than this board has")
	assert.Contains(t, text, "Fit the plan to the log first")
	assert.Contains(t, text, "the duty stood at the plan's highest. Nothing is left to push with there")
	assert.LessOrEqual(t, figureOf(t, p, "reserve_mm"), 0.0)
	events := tidy(find(show(t, p), class("log-events")))
	assert.Contains(t, events, "over 0.0 mm36.6 km/h95 %, the highest")
	p.FitLog()
	work(p)
	p.PutFit()
	p.ReadLogAgain()
	d.run()
	assert.NotContains(t, figureText(t, p, "reserve_mm"), "promises more")

	// With the wanted reserve lower the same ride would pass for clear where it does not reach full duty.
	p, d = edited(t, times(1.15))
	p.Type("shift", "5")
	p.ReadLogAgain()
	d.run()
	require.Zero(t, p.log.ride.Reserve.Full)
	require.Equal(t, limit.Clear, reserveStatus(p.log.ride.Reserve.Least.Value, p.log.ride.Reserve.Wanted), "as it stands")
	body := &RideLogBody{P: p}
	assert.Empty(t, body.leastStatus())
	assert.NotContains(t, body.eventsLine(), "never")
	assert.Contains(t, figureText(t, p, "reserve_mm"), "promises more")
	p, d = edited(t, times(1))
	assert.NotContains(t, figureText(t, p, "reserve_mm"), "promises more")
	p.Type("shift", "5")
	p.ReadLogAgain()
	d.run()
	assert.Equal(t, limit.Clear, (&RideLogBody{P: p}).leastStatus())
}

// At full duty a board that weakens its field has something left that the log cannot tell.
func TestRideLogAtFullDutyOfAWeakenedBoardIsNotClear(t *testing.T) {
	p, d := logged(t, "time,speed (m/s),voltage,duty (%),phase current", 400, func(i int) string {
		return fmt.Sprintf("%.1f,3,70,%d,5", float64(i)/10, map[bool]int{true: 100, false: 30}[i < 200])
	})
	assert.Equal(t, limit.Over, (&RideLogBody{P: p}).leastStatus())
	p.Type("fw", "40")
	p.ReadLogAgain()
	d.run()
	require.True(t, p.log.ride.Reserve.Weakens)
	assert.Empty(t, (&RideLogBody{P: p}).leastStatus())
	assert.Contains(t, figureText(t, p, "reserve_mm"), "How much field weakening left there the log cannot tell")
}

// A file of which hardly anything is read is not judged by it.
func TestRideLogOfFewRowsIsNotJudged(t *testing.T) {
	unjudged := func(p *Planner, why string) {
		t.Helper()
		page := show(t, p)
		assert.Contains(t, message(t, p, "log-scant"), why)
		assert.Nil(t, find(find(page, attribute("id", "ride-log")), class("st")), "neither a word nor a shape")
		assert.Contains(t, figureText(t, p, "reserve_mm"), "Too little was read to judge it.")
		assert.NotContains(t, message(t, p, "log-events"), "never")
	}
	p, _ := edited(t, func(lines []string) []string {
		slices.Reverse(lines[1:])
		return lines
	})
	assert.Contains(t, tidy(find(show(t, p), class("headline"))), "of 4562 rows read")
	unjudged(p, "Sort it with the oldest row first")

	p, _ = edited(t, func(lines []string) []string { return lines[:4] })
	unjudged(p, "Less than 30 s of riding")
	p, _ = edited(t, cells(func(i int, c []string) {
		if i > 1000 && i%4 > 0 {
			c[0] = "?"
		}
	}))
	unjudged(p, "Less than half of the rows could be used")
	assert.Contains(t, message(t, p, "log-scant"), "what was wrong stands at the end")

	// A limit that was met is told all the same.
	p, _ = logged(t, "time,speed (m/s),voltage,duty (%)", 20, func(i int) string { return fmt.Sprintf("%.1f,3,70,99", float64(i)/10) })
	assert.Contains(t, figureText(t, p, "duty_pct"), "over")
	assert.Contains(t, figureText(t, p, "reserve_mm"), "over")

	// A log with no speed is long enough by its time.
	p, _ = logged(t, "time,voltage", 40, func(i int) string { return fmt.Sprintf("%d,70", i) })
	assert.Empty(t, message(t, p, "log-scant"))

	// Nor is a reserve that only few rows tell.
	p, _ = logged(t, "time,speed (m/s),voltage,phase current", 400, func(i int) string {
		return fmt.Sprintf("%.1f,3,%s,5", float64(i)/10, map[bool]string{true: "70"}[i%3 == 0])
	})
	assert.Empty(t, (&RideLogBody{P: p}).leastStatus())
	assert.Contains(t, figureText(t, p, "reserve_mm"), "In more than half of the rows")
}

// A speed with no unit is said to be taken as km/h, and is not judged clear until a person says so.
func TestRideLogUnitsThatWereAssumed(t *testing.T) {
	row := func(i int) string { return fmt.Sprintf("%.1f,12,70,5,5", float64(i)/10) }
	p, d := logged(t, "time,speed,voltage,phase current,battery_a", 400, row)
	assert.Equal(t, "No unit in the file: km/h assumed for speed, A peak assumed for phase current. Until the unit of the speed is known the reserve is not called clear.", message(t, p, "log-units"))
	body := &RideLogBody{P: p}
	require.Equal(t, limit.Clear, reserveStatus(p.log.ride.Reserve.Least.Value, p.log.ride.Reserve.Wanted), "as it stands")
	assert.Empty(t, body.leastStatus())
	assert.Contains(t, figureText(t, p, "reserve_mm"), "The unit of the speed is assumed.")
	p.GoToColumns()
	assert.Equal(t, "log-columns", p.Focus)
	page := show(t, p)
	assert.NotNil(t, find(page, attribute("id", "log-columns")))
	assert.Len(t, all(page, carries("data-column")), 5)

	p.SetColumnUnit(1, "mph")
	p.ReadLogAgain()
	d.run()
	assert.Equal(t, "No unit in the file: A peak assumed for phase current.", message(t, p, "log-units"))
	assert.Equal(t, limit.Clear, body.leastStatus())

	p, d = logged(t, "time,speed,voltage,phase current,battery_a", 400, row)
	body = &RideLogBody{P: p}
	p.TakeLogUnits()
	assert.Empty(t, message(t, p, "log-units"))
	assert.Equal(t, limit.Clear, body.leastStatus())
	p.ReadLogAgain()
	d.run()
	assert.Equal(t, limit.Clear, body.leastStatus(), "still")
	require.Equal(t, ridelog.Speed, p.log.layout.Columns[1].Quantity)

	p, _ = edited(t, func(lines []string) []string { return lines })
	assert.Empty(t, message(t, p, "log-units"))
	p.GoToColumns()
	assert.NotContains(t, tidy(find(show(t, p), attribute("data-column", "speed_kmh"))), "such as 0.0")
}

// Energy says over what share of the ride it was summed, and why there is none.
func TestRideLogSaysWhatEnergyWasSummedOver(t *testing.T) {
	p, _ := edited(t, func(lines []string) []string { return lines })
	assert.Contains(t, figureText(t, p, "out_wh"), "summed over 93 % of the ride", "a counter goes on in the gap")
	assert.Empty(t, message(t, p, "log-energy"))
	row := func(format string) func(i int) string {
		return func(i int) string { return fmt.Sprintf("%d,"+format, i) }
	}
	for _, c := range []struct {
		head, format string
		want         string
	}{
		{"time,speed (m/s),voltage", "5,70", "no battery current and no power is in the log"},
		{"time,speed (m/s),battery current", "5,10", "no pack voltage is in the log"},
		{"time,voltage,battery current", "70,10", "it takes 100 m over which speed or distance is known"},
		{"time,speed (m/s),voltage,battery current", "5,70,10", ""},
	} {
		p, _ := logged(t, c.head, 100, row(c.format))
		if c.want == "" {
			assert.Empty(t, message(t, p, "log-energy"))
			assert.NotContains(t, figureText(t, p, "out_wh"), "summed over")
			continue
		}
		assert.Contains(t, message(t, p, "log-energy"), c.want)
	}
	p, _ = logged(t, "time,speed (m/s),voltage,battery current", 100, func(i int) string {
		return fmt.Sprintf("%d,%s", 2*i, []string{"5,70,", ",,10"}[i%2])
	})
	assert.Contains(t, message(t, p, "log-energy"), "at least once a second")
	assert.Nil(t, find(show(t, p), attribute("data-log", "out_wh")))
	p, _ = logged(t, "time,speed (m/s),voltage", 100, func(i int) string {
		return fmt.Sprintf("%.1f,%s", float64(i), []string{"5,", ",70"}[i%2])
	})
	assert.Contains(t, message(t, p, "log-events"), "never stand in one row")
	p, _ = logged(t, "time,speed (m/s),voltage", 100, func(i int) string {
		return fmt.Sprintf("%d,%s,70", i, map[bool]string{true: "5"}[i >= 50])
	})
	assert.Contains(t, tidy(find(show(t, p), class("headline"))), "km (by the speed, known in 49 % of the time)")
}

// Whatever its style, the table of events is one to those who do not see it.
func TestRideLogEventsAreATable(t *testing.T) {
	p, _ := edited(t, func(lines []string) []string { return lines })
	table := find(settled(t, p), class("log-events"))
	require.NotNil(t, table)
	assert.Equal(t, "table", value(table, "role"))
	rows := all(table, attribute("role", "row"))
	require.Len(t, rows, 1+len(p.log.ride.Reserve.Events))
	assert.Len(t, all(rows[0], attribute("role", "columnheader")), 7)
	for _, row := range rows[1:] {
		assert.Len(t, all(row, attribute("role", "rowheader")), 1)
		assert.Len(t, all(row, attribute("role", "cell")), 6)
	}
}

// The name of a line that ends at the top of a plot stands within the frame.
func TestNamesStandWithinTheFrame(t *testing.T) {
	for _, y := range []float64{0, 50, 100} {
		plot := &Plot{X: Axis{Hi: 10}, Y: Axis{Hi: 100}, Lines: []Line{{Name: "a", End: "ridden", Points: []XY{{0, y}, {8, y}}}},
			Marks: []Mark{{Across: true, Y: y, Name: "wanted"}}}
		var d drawing
		plot.names(&d)
		found := 0
		for _, part := range strings.Split(d.String(), `y="`)[1:] {
			at, err := strconv.ParseFloat(part[:strings.IndexByte(part, '"')], 64)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, at, plotTop+11, "%v: eleven units of letters", y)
			assert.Less(t, at, plotHeight-plotBottom, y)
			found++
		}
		assert.Equal(t, 2, found)
	}
}
