package core_test

import (
	"math"
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

func TestLeversAreThingsToTurn(t *testing.T) {
	seen := map[string]bool{}
	for i, key := range core.Levers {
		f := build.FieldFor(key)
		require.NotNil(t, f, key)
		assert.NotEqual(t, build.Rows, f.Kind, key)
		assert.False(t, core.Given[key], "%s is wanted, measured or rated", key)
		assert.False(t, seen[key], key)
		seen[key] = true
		if i < len(build.Main) {
			assert.Equal(t, build.Main[i], key, "the main inputs come first")
		}
	}
}

// unclear are the readouts of a report that something is to be sought for.
func unclear(r *core.Report) (list []string) {
	for i := range r.Limits {
		if bar := &r.Limits[i]; bar.Status != limit.Clear && core.ReadoutFor(bar.Key) != nil {
			list = append(list, bar.Key)
		}
	}
	return list
}

// What is offered does what it says, makes nothing worse, and is the nearest value of its lever that does: for boards of chance, and for some
// of which it is known that there are ways.
func TestEveryWayIsOne(t *testing.T) {
	checked, most := 0, 0
	hold := func(t require.TestingT, b build.Build, before *core.Report, key string) {
		work := core.NewSeeking(b, key)
		for work.Step() {
		}
		most = max(most, work.Plans())
		for _, way := range work.Ways() {
			checked++
			holdWay(t, b, before, key, &way)
		}
	}
	for _, text := range []string{"v=1&p=1&batt=60", "v=1&s=22", "v=1&cruise=40", "v=1&conn=pair-30", "v=1&awg=20", "v=1&s=14&cruise=30", "v=1&rider=120&p=1", "v=1&fuse=20", "v=1&kpa=60&s=24", "v=1&kv=20&rider=110", "v=1&s=16&grade=20"} {
		b := link.Decode(text).Build
		before, err := core.Plan(b)
		require.NoError(t, err)
		for _, key := range unclear(&before) {
			hold(t, b, &before, key)
		}
	}
	require.Greater(t, checked, 50, "these have ways")
	rapid.Check(t, func(t *rapid.T) {
		// Boards near the standard one: where all is wrong at once no single change helps.
		b, other := build.Default(), randombuild.Plausible().Draw(t, "build")
		for i := range build.Fields {
			if f := &build.Fields[i]; rapid.IntRange(1, 12).Draw(t, "differs") == 1 {
				f.Set(&b, f.Text(&other))
			}
		}
		before, err := core.Plan(b)
		require.NoError(t, err)
		list := unclear(&before)
		if len(list) == 0 || rapid.IntRange(1, 3).Draw(t, "sampled") > 1 {
			return // a search takes hundreds of plans
		}
		hold(t, b, &before, rapid.SampledFrom(list).Draw(t, "readout"))
	})
	require.LessOrEqual(t, most, 400)
	t.Logf("%d ways checked, at most %d plans", checked, most)
}

func holdWay(t require.TestingT, b build.Build, before *core.Report, key string, way *core.Way) {
	f := build.FieldFor(way.Key)
	c := b
	f.SetValue(&c, way.Value)
	after, err := core.Plan(c)
	require.NoError(t, err)
	require.Equal(t, limit.Clear, after.Bar(key).Status, "%s by %s", key, way.Text)
	require.True(t, core.NoWorse(before, &after), "%s by %s", key, way.Text)
	was := map[string]limit.Status{}
	for _, n := range before.Notes {
		was[n.Code] = n.Status
	}
	for _, n := range after.Notes {
		require.False(t, n.Status.Worse(was[n.Code]), "%s by %s: %s", key, way.Text, n.Text)
	}
	require.Contains(t, way.Text, f.Label)
	if f.Kind == build.Number {
		require.InDelta(t, math.Round(way.Value/f.Step), way.Value/f.Step, 1e-6, "%s is no round value", way.Text)
		return
	}
	now := f.Value(&b)
	for v := now - math.Abs(way.Value-now) + 1; v < now+math.Abs(way.Value-now); v++ {
		if v == now || v < f.Min || f.Kind == build.Whole && v > f.Max || f.Kind == build.Choice && (v < 0 || int(v) >= len(f.Options())) {
			continue
		}
		require.False(t, core.IsWay(b, key, way.Key, v), "%s: %g is nearer than %s", key, v, way.Text)
	}
}

// A lever that is not offered has no value that would do: every whole number and every choice is tried.
func TestNoWayIsLeftOut(t *testing.T) {
	for _, text := range []string{"v=1&p=1&batt=60", "v=1&s=22", "v=1&cruise=40", "v=1&conn=pair-30", "v=1&awg=20"} {
		b := link.Decode(text).Build
		r, err := core.Plan(b)
		require.NoError(t, err)
		for _, readout := range unclear(&r) {
			offered := map[string]bool{}
			for _, way := range core.Seek(b, readout) {
				offered[way.Key] = true
			}
			for _, key := range core.Levers {
				f := build.FieldFor(key)
				lo, hi := f.Min, f.Max
				switch f.Kind {
				case build.Choice:
					lo, hi = 0, float64(len(f.Options())-1)
				case build.Whole:
				default:
					continue
				}
				some := false
				for v := lo; v <= hi && !some; v++ {
					some = v != f.Value(&b) && core.IsWay(b, readout, key, v)
				}
				assert.Equal(t, some, offered[key], "%s: %s by %s", text, readout, key)
			}
		}
	}
}

func TestSeekOnBoardsThatAreKnown(t *testing.T) {
	ways := func(text, readout string) map[string]float64 {
		m := map[string]float64{}
		for _, w := range core.Seek(link.Decode(text).Build, readout) {
			m[w.Key] = w.Value
		}
		return m
	}
	full := ways("v=1&s=22", "pack.full_v")
	assert.Equal(t, 21.0, full["s"], "90 V is the notch of the 100 V class; 21 × 4.2 V is 88.2 V")
	assert.Equal(t, 3.0, full["ctrl"], "or the next class of controller")
	assert.NotContains(t, full, "p", "which does nothing for volts")
	assert.NotContains(t, full, "vmax", "a rating is not to be written up")
	assert.NotContains(t, full, "vmargin")

	assert.Empty(t, ways("v=1", "pack.full_v"), "nothing is sought for what is clear")
	assert.Empty(t, ways("v=1", "speed.level_top_kmh"), "or has no limit")
	assert.Empty(t, ways("v=1", "nothing"))
}

func TestSeekStaysWithinItsPlans(t *testing.T) {
	most, who := 0, ""
	for _, text := range []string{"v=1&s=40&p=1&batt=400&phase=600&fuse=20&kpa=300&cruise=100&grade=30", "v=1&s=32&p=1&batt=200&fuse=20",
		"v=1&s=8&p=1&grade=30&cruise=100", "v=1&s=20&kpa=50", "v=1&cruise=40", "v=1&fw=100", "v=1&split=9&boxl=100&box2l=100&awg=20&crossawg=20"} {
		b := link.Decode(text).Build
		r, err := core.Plan(b)
		require.NoError(t, err)
		for _, key := range unclear(&r) {
			work := core.NewSeeking(b, key)
			for work.Step() {
			}
			if work.Plans() > most {
				most, who = work.Plans(), key+" of "+text
			}
		}
	}
	t.Logf("at most %d plans: %s", most, who)
	assert.LessOrEqual(t, most, 400)
	assert.Greater(t, most, 100)
}
