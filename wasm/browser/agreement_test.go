//go:build !js

package browser

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/link"
)

// boards are builds from everywhere in the Fields table: every motor, every controller, hot, cold, uphill, overloaded.
var boards = []string{
	"v=1", "v=1&s=8&p=1", "v=1&s=40&p=12&ctrl=c176&fuse=200", "v=1&motor=hub5-narrow&kpa=60", "v=1&motor=hub5-wide&kpa=300",
	"v=1&motor=hub6-narrow&grade=8", "v=1&motor=hub65-narrow&grade=-8", "v=1&motor=hub65-wide&rider=140&cruise=40",
	"v=1&s=20&p=2&cell=21700-power&phase=200&batt=90", "v=1&temp=-15&alt=3000", "v=1&temp=45&wind=40&cda=0.9",
	"v=1&start=60&floor=30&soh=70&rgrow=80", "v=1&surface=sand&cruise=15", "v=1&kv=25&motorr=60&ld=300&lq=350&isat=120&hyst=50&eddy=40",
	"v=1&s=8&p=1&grade=30&cruise=100", "v=1&duty=100&rideduty=95&shift=0", "v=1&cruise=5&wind=-60", "v=1&lead=3&awg=20&packr=50&linkr=5",
	"v=1&s=24&p=4&cellr=3.3&cellah=4.95&cella=35.5&vcut=70.3&board=19.7", "v=1&crr=0.0173&carcass=7&tirer=151&ron=1.9&ksw=0.7&standby=13",
}

// TestBrowserAgreesWithNative holds every readout in the page against the same core compiled for this machine.
func TestBrowserAgreesWithNative(t *testing.T) {
	t.Parallel()
	tab := open(t, "#v=1")
	figures := 0
	for _, board := range boards {
		to(tab, board)
		figures += agrees(t, board, readouts(tab))
	}
	assert.Greater(t, figures, 20*35)
}

// agrees holds the readouts of a page against what the core makes of the same link here, and returns how many there were.
func agrees(t *testing.T, board string, page map[string]string) int {
	t.Helper()
	report, err := core.Plan(link.Decode(board).Build)
	require.NoError(t, err)
	figures := 0
	check := func(key string, want float64, ok bool) {
		if !ok {
			assert.Empty(t, page[key], "%s of %s", key, board)
			return
		}
		got, err := strconv.ParseFloat(page[key], 64)
		require.NoError(t, err, "%s of %s", key, board)
		// 1e-9, and no less than what 12 digits can carry of a difference of large numbers.
		assert.LessOrEqual(t, math.Abs(got-want), 1e-9*math.Max(math.Abs(want), 1e-3), "%s of %s: %v in the page, %v here", key, board, got, want)
		figures++
	}
	for _, s := range core.Readouts {
		for i := range s.Rows {
			want, ok := s.Rows[i].Value(&report)
			check(s.Rows[i].Key, want, ok)
		}
	}
	for i, row := range report.Protection.Rows {
		check("protection.rows."+strconv.Itoa(i)+".margin_pct", row.MarginPct, true)
	}
	return figures
}
