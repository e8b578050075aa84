package ride_test

import (
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/internal/randombuild"
	"headroom/core/ride"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The bound of the range against the range itself, over whatever can be entered.
func TestRangeAtMostIsABound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gen := randombuild.Plausible()
		if rapid.Bool().Draw(t, "any") {
			gen = randombuild.Any()
		}
		b := gen.Draw(t, "build")
		bd := boardOf(b)
		profile := ride.NewProfile(&b, bd)
		d := bd.Range(&profile, b.StartCharge, b.FloorCharge)
		slices := ride.Slices(&bd.Pack, b.StartCharge, b.FloorCharge)
		most := bd.RangeAtMost(&profile, b.StartCharge, b.FloorCharge, &slices)
		if d.Endless {
			require.True(t, math.IsInf(most, 1), randombuild.Text(&b))
			return
		}
		require.LessOrEqual(t, d.Meters, most, randombuild.Text(&b))
	})
}

// A bound that is far off would rule nothing out: within 5 % on every cell, motor and tire of the catalogs at a pace that nothing cuts short.
func TestRangeAtMostIsNear(t *testing.T) {
	checked := 0
	for _, cell := range build.Cells {
		for _, motor := range build.Motors {
			for _, tire := range build.Tires {
				b := with(t, "s", "20", "p", "4", "cell", cell.ID, "motor", motor.ID, "tire", tire.ID, "shift", "5")
				bd := boardOf(b)
				profile := ride.NewProfile(&b, bd)
				d := bd.Range(&profile, b.StartCharge, b.FloorCharge)
				if d.By != ride.StopFloor {
					continue
				}
				checked++
				slices := ride.Slices(&bd.Pack, b.StartCharge, b.FloorCharge)
				most := bd.RangeAtMost(&profile, b.StartCharge, b.FloorCharge, &slices)
				assert.InEpsilon(t, d.Meters, most, 0.05, "%s %s %s", cell.ID, motor.ID, tire.ID)
			}
		}
	}
	assert.Greater(t, checked, 200)
}

// The look against Ceiling, which searches.
func TestCeilingReaches(t *testing.T) {
	seen := map[bool]int{}
	rapid.Check(t, func(t *rapid.T) {
		gen := randombuild.Plausible()
		if rapid.Bool().Draw(t, "any") {
			gen = randombuild.Any()
		}
		b := gen.Draw(t, "build")
		bd := boardOf(b)
		src := bd.Pack.At(b.FloorCharge)
		ceiling := bd.Ceiling(src).Speed
		v := rapid.Float64Range(0.5, 1.5).Draw(t, "share") * max(ceiling, 1)
		reaches, sure := bd.CeilingReaches(src, v)
		if math.Abs(v-ceiling) < 1e-6 {
			return
		}
		if sure {
			seen[reaches]++
			require.Equal(t, v < ceiling, reaches, "%g m/s, ceiling %g: %s", v, ceiling, randombuild.Text(&b))
		}
		require.True(t, sure || b.WeakenA > 0 || b.Headwind < 0, "nothing stands in the way of telling: %s", randombuild.Text(&b))
	})
	require.Positive(t, seen[true])
	require.Positive(t, seen[false])
}

func BenchmarkRangeAtMost(b *testing.B) {
	choice := build.Default()
	bd := boardOf(choice)
	profile := ride.NewProfile(&choice, bd)
	slices := ride.Slices(&bd.Pack, 1, 0.15)
	b.ReportAllocs()
	for b.Loop() {
		bd.RangeAtMost(&profile, 1, 0.15, &slices)
	}
}

func BenchmarkCeilingReaches(b *testing.B) {
	bd := boardOf(build.Default())
	src := bd.Pack.At(0.15)
	b.ReportAllocs()
	for b.Loop() {
		bd.CeilingReaches(src, 8)
	}
}
