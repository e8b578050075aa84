package ridecheck_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/build"
	rc "headroom/core/ridecheck"
)

// TestWhatIsHardlyMeasuredStays: free spin as a road speed is Kv times radius; a class's radius is four times as sure as its Kv, so the Kv takes
// all of it, and what stands beside the reading is what the build with only that predicts.
func TestWhatIsHardlyMeasuredStays(t *testing.T) {
	b := build.Default()
	list := read(t, with(t, "kv", "14.6"), rc.Measurement{Kind: rc.FreeSpin, At: rc.At{BusV: 70}})
	fit := rc.FitAll(b, list)
	require.Empty(t, fit.Failed)
	tire, kv := changeOf(fit, "tirer"), changeOf(fit, "kv")
	assert.True(t, tire.Left)
	assert.False(t, tire.AtEnd)
	assert.Equal(t, tire.From, tire.To)
	assert.False(t, kv.Left)
	got := fit.Build()
	for i := range build.Fields {
		if f := &build.Fields[i]; f.Key != "kv" {
			assert.Equal(t, f.Text(&b), f.Text(&got), f.Key)
		}
	}
	assert.InDelta(t, rc.CheckAll(got, list)[0].Predicted, fit.Rows[0].After, 1e-12)
	assert.InDelta(t, list[0].Value, fit.Rows[0].After, fit.Rows[0].Reading)
	assert.InDelta(t, 14.6, kv.To, 0.1, "with the radius as it is, what was read leaves no other Kv")
	// What the radius leaves open stays in the Kv's uncertainty: 2 % of it, and 1 % of the reading.
	assert.Greater(t, kv.Sigma, 0.02*kv.To)
	require.NotEmpty(t, fit.Alike, "and it is still said that the two cannot be told apart")
}

// TestMoreDutyThanTheFitHas: whether one duty is left out or two widen the scale, what lies above the fit by more than its own uncertainty
// bears is told of. The readings are of a board with a fifth less Kv; only the free spin is of the plan.
func TestMoreDutyThanTheFitHas(t *testing.T) {
	b := build.Default()
	spin := read(t, b, rc.Measurement{Kind: rc.FreeSpinTurns, At: rc.At{BusV: 75}})
	slow, fast := rc.Measurement{Kind: rc.Duty, At: rc.At{BusV: 72, Speed: 5}}, rc.Measurement{Kind: rc.Duty, At: rc.At{BusV: 70, Speed: 7.8}}
	weak := with(t, "kv", "10.8")
	demanding := func(list ...rc.Measurement) (n int, fit rc.Fit) {
		fit = rc.FitAll(b, append(spin[:1:1], list...))
		require.Empty(t, fit.Failed)
		for i := range fit.Rows {
			if fit.Rows[i].Demanding() {
				n++
			}
		}
		return n, fit
	}
	n, fit := demanding(read(t, b, slow, fast)...)
	assert.Zero(t, n)
	assert.False(t, fit.Contradictory())
	n, _ = demanding(append(read(t, b, slow), read(t, weak, fast)...)...)
	assert.Equal(t, 1, n)
	n, fit = demanding(read(t, weak, slow, fast)...)
	assert.Equal(t, 2, n, "two that agree are no milder than one")
	assert.True(t, fit.Contradictory())
	for _, r := range fit.Rows {
		assert.Greater(t, r.Weight, 0.5, "none counts as left out, which is why weights cannot tell")
	}
	// Less duty than the fit has is no danger.
	n, _ = demanding(read(t, with(t, "kv", "17"), slow, fast)...)
	assert.Zero(t, n)
}
