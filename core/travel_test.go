package core_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/internal/randombuild"
	"headroom/core/limit"
	"headroom/core/link"
)

// worstOf is the worst status anywhere in a report, found without the order of its notes: of all that the travel of an input may change.
func worstOf(t require.TestingT, b build.Build, key string) limit.Status {
	r, err := core.Plan(b)
	require.NoError(t, err)
	s := limit.Clear
	for _, n := range r.Notes {
		if n.Status.Worse(s) && (n.Code != "rim" || key == "motor" || key == "tire") {
			s = n.Status
		}
	}
	for _, bar := range r.Limits {
		if bar.Status.Worse(s) {
			s = bar.Status
		}
	}
	return s
}

func stretchAt(list []core.Stretch, v float64) *core.Stretch {
	for i := range list {
		if v >= list[i].From-1e-9 && v <= list[i].To+1e-9 {
			return &list[i]
		}
	}
	return nil
}

func TestTravelOfWholeNumbersIsThatOfEveryPlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Plausible().Draw(t, "build")
		for _, key := range []string{rapid.SampledFrom([]string{"s", "p", "motor", "plug", "awg"}).Draw(t, "key")} {
			f := build.FieldFor(key)
			lo, hi := f.Min, f.Max
			if f.Kind == build.Choice {
				lo, hi = 0, float64(len(f.Options())-1)
			}
			list := core.Travel(b, key)
			require.NotEmpty(t, list)
			require.Equal(t, lo, list[0].From)
			require.Equal(t, hi, list[len(list)-1].To)
			for v := lo; v <= hi; v++ {
				s := stretchAt(list, v)
				require.NotNil(t, s, "%s %g", key, v)
				c := b
				f.SetValue(&c, v)
				require.Equal(t, worstOf(t, c, key), s.Status, "%s %g", key, v)
				require.Equal(t, s.Status == limit.Clear, s.Code == "")
				require.Equal(t, s.Status == limit.Clear, s.Short == "" || s.Why == "")
			}
			for i := 1; i < len(list); i++ {
				require.Equal(t, list[i-1].To+1, list[i].From, "no hole, nothing twice")
			}
		}
	})
}

func TestTravelFindsTheVoltageLimits(t *testing.T) {
	list := core.Travel(build.Default(), "s")
	// 100 V class: tight from 90 V (22 × 4.2 V is 92.4 V), over from 24 cells, 100.8 V. The fuse of 80 V d.c. is passed first, at 20.
	at := stretchAt(list, 26)
	require.NotNil(t, at)
	assert.Equal(t, limit.Over, at.Status)
	b := link.Decode("fusev=500").Build
	list = core.Travel(b, "s")
	for v, status := range map[float64]limit.Status{23: limit.Tight, 24: limit.Over, 40: limit.Over} {
		at := stretchAt(list, v)
		require.NotNil(t, at)
		assert.Equal(t, status, at.Status, v)
	}
	assert.Equal(t, "controller voltage", stretchAt(list, 24).Short)
}

// That hub and tire have other rims is told of the motors that have, and hides nothing of the travel of anything else.
func TestTravelTellsOfARimWhereItChanges(t *testing.T) {
	b := link.Decode("v=1&motor=hub65-narrow").Build
	require.Equal(t, limit.Tight, worstOf(t, b, "motor"))
	for v, status := range map[float64]limit.Status{19: limit.Clear, 20: limit.Over} {
		assert.Equal(t, status, stretchAt(core.Travel(b, "s"), v).Status, v)
	}
	list := core.Travel(b, "motor")
	assert.Equal(t, limit.Clear, stretchAt(list, 3).Status, "hub6-wide")
	assert.Equal(t, "rim", stretchAt(list, 4).Code)
	assert.Equal(t, limit.Clear, stretchAt(core.Travel(b, "tire"), 3).Status, "slick-65")
}

// Pressure is looked at in coarse steps; its edges must still be right to one step.
func TestTravelOfANumberFindsItsEdges(t *testing.T) {
	f := build.FieldFor("kpa")
	for _, text := range []string{"v=1", "v=1&tire=trail-6&bms=charge", "v=1&rider=120", "v=1&s=24"} {
		b := link.Decode(text).Build
		list := core.Travel(b, "kpa")
		for v := f.Min; v <= f.Max; v += f.Step {
			c := b
			f.SetValue(&c, v)
			s := stretchAt(list, v)
			require.NotNil(t, s, "%s %g", text, v)
			assert.Equal(t, worstOf(t, c, "kpa"), s.Status, "%s at %g", text, v)
		}
	}
}

func TestTravelComesAPositionAtATime(t *testing.T) {
	work := core.NewTravels(build.Default(), "kpa")
	assert.Empty(t, work.Stretches())
	steps := 0
	for work.Step() {
		steps++
		known := work.Stretches()
		require.NotEmpty(t, known)
		for i := 1; i < len(known); i++ {
			require.Greater(t, known[i].From, known[i-1].To)
		}
	}
	assert.True(t, work.Done())
	assert.Equal(t, core.Travel(build.Default(), "kpa"), work.Stretches())
	assert.Less(t, steps, 56, "fewer than there are positions")
	assert.Empty(t, core.Travel(build.Default(), "own"), "a table has no travel")
	assert.Empty(t, core.Travel(build.Default(), "nothing"))
	assert.Len(t, core.Travel(link.Decode("bms=none").Build, "p")[:1], 1)
}

func TestEveryTroubleHasAShortName(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		for _, s := range core.Travel(b, "motor") {
			if s.Status != limit.Clear {
				require.NotEmpty(t, s.Short)
				require.LessOrEqual(t, len(s.Short), 34, s.Short)
				require.NotContains(t, s.Short, "_")
				require.NotContains(t, s.Short, ".")
			}
		}
	})
}
