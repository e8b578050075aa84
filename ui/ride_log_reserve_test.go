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
