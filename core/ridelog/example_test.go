package ridelog_test

import (
	"math"
	"os"
	"testing"

	"headroom/core/build"
	"headroom/core/link"
	"headroom/core/ridelog"
	"headroom/core/ridelog/internal/ridesim"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The example log in testdata: its flaws are told, and the fit finds the board that it was ridden with.
func TestExampleLog(t *testing.T) {
	text, err := os.ReadFile("../../testdata/ride_log.csv")
	require.NoError(t, err)
	require.LessOrEqual(t, len(text), 300_000)
	plan, truth := build.Default(), link.Decode(ridesim.ExampleTruth).Build
	board := boardOf(&plan)
	r, failure := ridelog.Read(text, ridelog.Settings{Model: ridelog.NewModel(board), Wanted: plan.Shift})
	require.Empty(t, failure)

	assert.Equal(t, 4562, r.Rows)
	assert.Equal(t, 4560, r.Used)
	got := map[ridelog.Trouble]int{}
	for _, p := range r.Problems {
		got[p.Trouble] += p.Count
	}
	assert.Equal(t, map[ridelog.Trouble]int{ridelog.SameTime: 2, ridelog.Gap: 1, ridelog.MissingCell: 4}, got)
	assert.InDelta(t, 600, r.Seconds, 0.2)
	require.NotNil(t, r.Reserve)
	assert.Equal(t, ridelog.ByPhase, r.Reserve.By)
	assert.NotEmpty(t, r.Reserve.Events, "it was ridden too fast on purpose")
	assert.Less(t, r.Reserve.Least.Value, plan.Shift)

	o, told := recovered(t, plan, truth, text)
	t.Logf("Kv %+.2f %%, resistance %+.2f %%, drag %+.2f %%", 100*o.kv, 100*o.ohm, 100*o.drag)
	assert.True(t, told)
	assert.Less(t, math.Abs(o.kv), 0.01)
	assert.Less(t, math.Abs(o.ohm), 0.05)
	assert.Less(t, math.Abs(o.drag), 0.05)
}
