package ui

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/limit"
	"headroom/core/ridelog"
)

// logged opens a log made line by line.
func logged(t *testing.T, head string, rows int, row func(i int) string) (*Planner, *desktop) {
	t.Helper()
	p := opened(t, "v=1")
	d := &desktop{p: p}
	var text strings.Builder
	text.WriteString(head + "\n")
	for i := range rows {
		text.WriteString(row(i) + "\n")
	}
	p.OpenLog(d.file("made.csv", text.String()), "")
	d.run()
	require.Empty(t, p.log.failure)
	return p, d
}

// A phase current with the wrong sign makes a drive look like braking: nothing is called clear by it.
func TestRideLogWithPhaseCurrentTheWrongWayIsNotClear(t *testing.T) {
	p, d := logged(t, "time,speed (m/s),voltage,phase current", 9000, func(i int) string {
		amps := 70
		if i < 5000 {
			amps = -10
		}
		return fmt.Sprintf("%.1f,6,70,%d", float64(i)/10, amps)
	})
	body := &RideLogBody{P: p}
	require.True(t, p.log.ride.PhaseDoubt)
	require.Equal(t, limit.Clear, reserveStatus(p.log.ride.Reserve.Least.Value, p.log.ride.Reserve.Wanted), "as it stands")
	assert.Empty(t, body.leastStatus())
	assert.Contains(t, body.eventsLine(), "in doubt")
	assert.NotContains(t, body.eventsLine(), "never")
	page := show(t, p)
	assert.Contains(t, tidy(find(page, attribute("data-message", "log-signs"))), "Phase current")
	assert.NotContains(t, tidy(find(page, attribute("data-log", "reserve_mm"))), "clear")
	p.TurnSigns()
	d.run()
	assert.False(t, p.log.ride.SignDoubt)
	assert.NotEqual(t, limit.Clear, body.leastStatus(), "it was driven hard")
}

// Without a current the torque is a guess that leaves hills and starts out.
func TestRideLogWithoutCurrentIsNotClear(t *testing.T) {
	for _, c := range []struct {
		head, row string
		first     string
		want      []string
	}{
		{"time,speed (m/s),voltage", ",3,75", ",3,75", []string{"No current is in the log"}},
		{"time,speed (m/s),voltage,battery current", ",3,75,2", ",3,75,", []string{"In 1.0 % of the rows"}},
	} {
		p, _ := logged(t, c.head, 100, func(i int) string {
			if i == 0 {
				return "0" + c.first
			}
			return fmt.Sprint(i) + c.row
		})
		body := &RideLogBody{P: p}
		x := p.log.ride.Reserve
		require.Equal(t, limit.Clear, reserveStatus(x.Least.Value, x.Wanted), "as it stands")
		assert.Empty(t, body.leastStatus())
		line := body.eventsLine()
		for _, want := range append(c.want, "hills, starts and wind are not in it", "By these figures") {
			assert.Contains(t, line, want)
		}
		assert.NotContains(t, line, "never")
		assert.NotContains(t, tidy(find(show(t, p), attribute("data-log", "reserve_mm"))), "clear")
	}
}

// A single row with little reserve is told, and not told as clear.
func TestRideLogPeakOfOneRowIsTold(t *testing.T) {
	p, _ := logged(t, "time,speed (m/s),voltage,phase current", 80, func(i int) string {
		amps := 10
		if i == 30 {
			amps = 90
		}
		return fmt.Sprintf("%.1f,6,70,%d", float64(i)/2, amps)
	})
	body := &RideLogBody{P: p}
	x := p.log.ride.Reserve
	require.Equal(t, limit.Clear, reserveStatus(x.Least.Value, x.Wanted), "as borne out")
	require.Zero(t, x.Met)
	assert.Equal(t, limit.Tight, body.leastStatus())
	assert.NotContains(t, body.eventsLine(), "never")
	assert.Contains(t, body.eventsLine(), "by a single row: a spike of the logger, or a real peak")
	page := show(t, p)
	assert.Contains(t, tidy(find(page, attribute("data-log", "reserve_mm"))), "tight")
	assert.Contains(t, tidy(find(page, attribute("data-log", "phase_a"))), "once read as 90.0 A at 0:15, line 32, by a single row")
	assert.NotContains(t, tidy(find(page, attribute("data-log", "top_kmh"))), "once read")
}

// A log whose signs are in doubt is not fitted to; the reason stands beside the button, and turning the signs around makes way.
func TestALogInDoubtIsNotFittedTo(t *testing.T) {
	p := opened(t, "v=1")
	d := &desktop{p: p}
	p.OpenLog(d.file("ride_log.csv", example(t)), "")
	d.run()
	refused := func() (string, string) {
		page := show(t, p)
		button := find(page, attribute("name", "log-fit"))
		require.NotNil(t, button)
		if why := find(page, attribute("id", "log-unfit")); why != nil {
			return value(button, "aria-disabled"), tidy(why)
		}
		return value(button, "aria-disabled"), ""
	}
	off, why := refused()
	assert.Equal(t, "false", off)
	assert.Empty(t, why)

	p.FlipColumn(p.log.layout.Column(ridelog.BatteryA), true)
	p.ReadLogAgain()
	d.run()
	require.True(t, p.log.ride.SignDoubt)
	off, why = refused()
	assert.Equal(t, "true", off)
	assert.Contains(t, why, "Not yet: a current seems to have its sign the wrong way round")
	p.FitLog()
	assert.Nil(t, p.fitted())
	assert.Empty(t, p.ride.logged)
	assert.False(t, p.IsOpen(rideCheckID))
	assert.Equal(t, "log-unfit", p.Focus, "who pressed all the same is told why not")

	p.FlipColumn(p.log.layout.Column(ridelog.BatteryA), false)
	p.ReadLogAgain()
	d.run()
	p.FitLog()
	assert.NotEmpty(t, p.ride.logged)
}
