package find_test

import (
	"testing"

	"headroom/core/find"
	"headroom/core/limit"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Clear builds stand before tight ones, the lightest first in each. No tight one hides a clear one, so who wishes for clear ones alone gets
// just those.
func TestClearBuildsStandFirst(t *testing.T) {
	with := func(text string) find.Result {
		task, problems := find.Parse(wanted + text)
		require.Empty(t, problems)
		return searched(t, task, 2, 1e6)
	}
	all := with("")
	tight := 0
	for i, f := range all.Found {
		if f.Status == limit.Tight {
			tight++
		} else {
			assert.Equal(t, limit.Clear, f.Status)
			assert.Zero(t, tight, "a clear build behind a tight one")
		}
		if before := all.Found[max(0, i-1)]; before.Status == f.Status {
			assert.LessOrEqual(t, before.MassKg, f.MassKg)
		}
	}
	require.Positive(t, tight)
	require.Less(t, tight, len(all.Found))

	only := with("&clear=on")
	for _, f := range only.Found {
		assert.Equal(t, limit.Clear, f.Status)
	}
	for _, m := range only.Near {
		assert.Equal(t, limit.Clear, m.Status, "a near miss fails its own wish alone")
	}
	assert.Equal(t, linksOf(all.Found[:len(all.Found)-tight]), linksOf(only.Found))
	assert.Positive(t, only.Tally.Out["clear"])
}
