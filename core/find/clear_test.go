package find_test

import (
	"math"
	"strings"
	"testing"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/find"
	"headroom/core/limit"
	"headroom/core/link"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
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

// Clear is what the plan says is clear, whatever input makes a build tight: builds are changed in a few inputs and searched for one by one.
func TestClearIsThePlansWord(t *testing.T) {
	task, problems := find.Parse(wanted + "&s=16&p=3")
	require.Empty(t, problems)
	task.Want = find.New(task.Base).Want
	begin := searched(t, task, 1, 1e6).Found[0].Link
	var clears, tights int
	rapid.Check(t, func(t *rapid.T) {
		for range 8 {
			b := link.Decode(begin).Build
			for range rapid.IntRange(0, 3).Draw(t, "changes") {
				f := &build.Fields[rapid.IntRange(0, len(build.Fields)-1).Draw(t, "field")]
				switch {
				case f.Kind == build.Rows || f.Key == "split" || strings.HasPrefix(f.Key, "box"): // a search divides the cells as boxes hold them
				case f.Kind == build.Choice:
					f.SetValue(&b, float64(rapid.IntRange(0, len(f.Options())-1).Draw(t, f.Key)))
				default:
					parts := b.Parts()
					v := f.ValueIn(&b, &parts)
					f.SetValue(&b, f.Nearest(v+(math.Abs(v)+f.Step)*rapid.Float64Range(-0.5, 0.6).Draw(t, f.Key)))
				}
			}
			b = link.Decode(link.Encode(&b, nil)).Build
			r, err := core.Figures(b)
			require.NoError(t, err)
			status, code, _ := r.Worst()
			one := find.New(b)
			for i, key := range find.Axes {
				one.Space[i] = []float64{build.FieldFor(key).Value(&b)}
			}
			require.Nil(t, one.SetWish(find.Clear, build.On))
			got := searched(t, one, 1, 1000)
			require.Equal(t, status == limit.Clear, len(got.Found) == 1, "%s: %s", code, link.Encode(&b, nil))
			switch status {
			case limit.Clear:
				clears++
			case limit.Tight:
				tights++
			}
		}
	})
	require.Greater(t, clears, 5)
	require.Greater(t, tights, 5)
}

// A pack that is tight by itself says nothing of the next one.
func TestEveryPackIsJudgedByItself(t *testing.T) {
	found := func(counts string) []string {
		task, problems := find.Parse(strings.Replace(wanted, "chga=4", "chga=12&chgfuse=20", 1) + "&clear=on&s=16-18&cell=21700-balanced&p=" + counts)
		require.Empty(t, problems)
		return linksOf(searched(t, task, 1, 1e6).Found)
	}
	require.Empty(t, found("2"), "6 A into each cell is more than the charge of its class, 6.75 A, less the margin wanted, a fifth")
	three := found("3")
	require.NotEmpty(t, three)
	assert.Equal(t, three, found("2-3"))
}
