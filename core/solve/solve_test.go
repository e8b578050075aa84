package solve_test

import (
	"math"
	"testing"

	"headroom/core/solve"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestRootOfClosedForms(t *testing.T) {
	for name, c := range map[string]struct {
		f            func(float64) float64
		lo, hi, root float64
	}{
		"line":             {func(x float64) float64 { return 3*x - 6 }, 0, 10, 2},
		"falling line":     {func(x float64) float64 { return 6 - 3*x }, 0, 10, 2},
		"square root of 2": {func(x float64) float64 { return x*x - 2 }, 0, 2, math.Sqrt2},
		"cosine":           {math.Cos, 0, 3, math.Pi / 2},
		"flat":             {func(x float64) float64 { return math.Pow(x-1, 9) }, 0, 3, 1},
		"steep":            {func(x float64) float64 { return math.Expm1(50 * (x - 0.3)) }, 0, 1, 0.3},
		"step":             {func(x float64) float64 { return math.Copysign(1, x-0.7) }, 0, 1, 0.7},
		"at the low end":   {func(x float64) float64 { return x }, 0, 1, 0},
		"at the high end":  {func(x float64) float64 { return x - 1 }, 0, 1, 1},
		"turned bracket":   {func(x float64) float64 { return x - 0.25 }, 1, 0, 0.25},
	} {
		tol := 1e-10
		if name == "flat" {
			tol = 1e-3 // nine equal roots: f itself is below the smallest difference here
		}
		assert.InDelta(t, c.root, solve.Root(c.f, c.lo, c.hi, 1e-11), tol, name)
	}
}

func TestRootWithoutABracketIsTheNearerEnd(t *testing.T) {
	assert.Equal(t, 5.0, solve.Root(func(x float64) float64 { return x - 9 }, 0, 5, 1e-9))
	assert.Equal(t, 0.0, solve.Root(func(x float64) float64 { return x + 1 }, 0, 5, 1e-9))
	assert.Equal(t, 5.0, solve.Root(func(float64) float64 { return 1 }, 0, 5, 1e-9), "no end is nearer")
}

func TestRootAgainstBisection(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		root, a, b := rapid.Float64Range(-5, 5).Draw(t, "root"), rapid.Float64Range(0, 3).Draw(t, "a"), rapid.Float64Range(0, 3).Draw(t, "b")
		f := func(x float64) float64 { x -= root; return x*(1+a*x*x) + b*math.Atan(7*x) }
		calls := 0
		got := solve.Root(func(x float64) float64 {
			calls++
			require.True(t, x >= -6 && x <= 7, "it never leaves the bracket")
			return f(x)
		}, -6, 7, 1e-12)
		low, high := -6.0, 7.0
		for range 100 {
			if mid := (low + high) / 2; f(mid) < 0 {
				low = mid
			} else {
				high = mid
			}
		}
		require.InDelta(t, low, got, 1e-10)
		require.LessOrEqual(t, calls, 45, "bisection alone would need 44")
	})
}

func TestMax(t *testing.T) {
	for name, c := range map[string]struct {
		f          func(float64) float64
		lo, hi, at float64
	}{
		"hill":    {func(x float64) float64 { return -(x - 0.3) * (x - 0.3) }, 0, 1, 0.3},
		"roof":    {func(x float64) float64 { return -math.Abs(x - 0.7) }, 0, 1, 0.7},
		"rising":  {func(x float64) float64 { return x }, 0, 1, 1},
		"falling": {func(x float64) float64 { return -x }, 0, 1, 0},
		"sine":    {math.Sin, 0, 3, math.Pi / 2},
		"point":   {math.Sin, 2, 2, 2},
	} {
		x, y := solve.Max(c.f, c.lo, c.hi, 1e-7)
		assert.InDelta(t, c.at, x, 2e-7, name)
		assert.Equal(t, c.f(x), y, name)
		assert.InDelta(t, c.f(c.at), y, 1e-6, name)
	}
	_, y := solve.Max(func(x float64) float64 { return math.Min(x, 0.5) }, 0, 1, 1e-6)
	assert.Equal(t, 0.5, y, "flat at the top")
}
