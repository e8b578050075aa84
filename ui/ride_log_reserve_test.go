package ui

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/limit"
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
	p, _ := logged(t, "time,speed (m/s),voltage,phase current", 60, func(i int) string {
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
