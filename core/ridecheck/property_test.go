package ridecheck_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core/build"
	"headroom/core/internal/randombuild"
	rc "headroom/core/ridecheck"
)

// TestAnythingCanBeEntered: whatever build, whatever is entered within a form's bounds, every figure is a number and the build stays one that
// can be entered.
func TestAnythingCanBeEntered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		var list []rc.Measurement
		for range rapid.IntRange(0, 12).Draw(t, "measurements") {
			k := &rc.Kinds[rapid.IntRange(0, len(rc.Kinds)-1).Draw(t, "kind")]
			m := rc.Measurement{Kind: k.ID, At: rc.At{Weakened: rapid.Bool().Draw(t, "weakened")}}
			for _, e := range append([]rc.Entry{k.Value}, k.At...) {
				if e.Optional && rapid.Bool().Draw(t, "left empty") {
					continue
				}
				e.Set(&m, rapid.OneOf(rapid.Just(e.Min), rapid.Just(e.Max), rapid.Float64Range(e.Min, e.Max)).Draw(t, string(k.ID)+" "+e.ID))
			}
			list = append(list, m)
		}
		finite := func(name string, values ...float64) {
			for _, v := range values {
				require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%s is %g in %s", name, v, randombuild.Text(&b))
			}
		}
		for _, c := range rc.CheckAll(b, list) {
			finite(string(c.Kind), c.Predicted, c.Inputs, c.Reading, c.Off, c.Band())
			if c.Skipped == "" {
				require.NotEmpty(t, c.Status)
				require.NotEmpty(t, c.Means)
			}
			for _, cause := range c.Causes {
				finite(cause.Label, cause.Share, cause.Alone)
			}
		}
		fit := rc.FitAll(b, list)
		if fit.Failed != "" {
			return
		}
		got := fit.Build()
		require.NoError(t, got.Validate(), randombuild.Text(&b))
		finite("scale", fit.Scale)
		for _, r := range fit.Rows {
			finite(string(r.Kind), r.Before, r.After, r.Weight, r.Reading)
		}
		for _, c := range fit.Changes {
			finite(c.Label, c.From, c.To, c.Sigma, c.Learned)
			if c.Key != "" {
				f := build.FieldFor(c.Key)
				assert.InDelta(t, f.Value(&got), c.To, 1e-9*(1+math.Abs(c.To)), c.Key)
			}
		}
		for _, p := range fit.Alike {
			finite(p.One, p.Correlation)
			require.LessOrEqual(t, math.Abs(p.Correlation), 1+1e-9)
		}
	})
}

// BenchmarkFit is a thorough test ride: 32 measurements, 13 inputs.
func BenchmarkFit(b *testing.B) {
	plan := build.Default()
	list := ridden(11)
	for i, k := range rc.CheckAll(plan, list) {
		list[i].Value = k.Predicted * (1 + 0.03*math.Sin(float64(i)))
	}
	b.ResetTimer()
	for b.Loop() {
		rc.FitAll(plan, list)
	}
}

func BenchmarkCheck(b *testing.B) {
	plan := build.Default()
	list := ridden(11)
	for b.Loop() {
		rc.CheckAll(plan, list)
	}
}
