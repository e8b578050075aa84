package ridecheck

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/build"
)

// TestCholesky: the example of the encyclopaedia article on Cholesky decomposition, with whole numbers; and an indefinite matrix.
func TestCholesky(t *testing.T) {
	a := [][]float64{{4, 12, -16}, {12, 37, -43}, {-16, -43, 98}}
	l, ok := cholesky(a)
	require.True(t, ok)
	assert.Equal(t, [][]float64{{2, 0, 0}, {6, 1, 0}, {-8, 5, 3}}, l)
	assert.InDeltaSlice(t, []float64{1, 2, 3}, solved(l, []float64{4 + 24 - 48, 12 + 74 - 129, -16 - 86 + 294}), 1e-12)
	x := inverse(l)
	for i := range a {
		for j := range a {
			sum := 0.0
			for k := range a {
				sum += a[i][k] * x[k][j]
			}
			want := 0.0
			if i == j {
				want = 1
			}
			assert.InDelta(t, want, sum, 1e-10)
		}
	}
	_, ok = cholesky([][]float64{{1, 2}, {2, 1}})
	assert.False(t, ok)
	_, ok = cholesky([][]float64{{0}})
	assert.False(t, ok, "a zero on the diagonal has no inverse")
}

// linear is a solver for y = rows·θ with unit uncertainties.
func linear(rows [][]float64, y []float64, prior float64) *solver {
	n := len(rows[0])
	s := &solver{counts: make([]float64, len(y))}
	for range n {
		s.prior, s.low, s.high = append(s.prior, prior), append(s.low, -100), append(s.high, 100)
	}
	for i := range y {
		s.counts[i] = 1
	}
	s.eval = func(theta, out []float64) bool {
		for i, row := range rows {
			out[i] = y[i]
			for j, a := range row {
				out[i] -= a * theta[j]
			}
		}
		return true
	}
	return s
}

func run(t *testing.T, s *solver, l loss) {
	t.Helper()
	require.True(t, s.begin(l))
	for i := 0; s.step(); i++ {
		require.Less(t, i, 10000)
	}
}

// TestLinearProblem: the straight line through (0, 1), (1, 2), (2, 4) is 5/6 + 3/2·x, any statistics text; its covariance is (XᵀX)⁻¹ =
// [5 −3; −3 3]/6.
func TestLinearProblem(t *testing.T) {
	s := linear([][]float64{{1, 0}, {1, 1}, {1, 2}}, []float64{1, 2, 4}, 1e6)
	run(t, s, square)
	assert.InDeltaSlice(t, []float64{5. / 6, 1.5}, s.theta, 1e-6)
	sigma, c := s.sure(1)
	assert.InDelta(t, math.Sqrt(5./6), sigma[0], 1e-6)
	assert.InDelta(t, math.Sqrt(0.5), sigma[1], 1e-6)
	assert.InDelta(t, -0.5, c[0][1], 1e-6)
}

// TestNoMoreStepsThanNeeded: a straight line is there after two steps of little damping, and a fit that leaves nothing out looks once.
func TestNoMoreStepsThanNeeded(t *testing.T) {
	s := linear([][]float64{{1, 0}, {1, 1}, {1, 2}}, []float64{1, 2, 4}, 1e6)
	plain, evals := s.eval, 0
	s.eval = func(theta, out []float64) bool { evals++; return plain(theta, out) }
	run(t, s, square)
	assert.Equal(t, 20, evals)
	for looks, list := range [][]Measurement{1: {{Kind: BoardMass, Value: 17}}, 2: {{Kind: BoardMass, Value: 17}, {Kind: Rollout, Value: 0.88}}} {
		if list == nil {
			continue
		}
		f := NewFitting(build.Default(), list)
		for f.Step() {
		}
		assert.Equal(t, looks, f.sifted, "a turn of the wheel hardly tells of the rider: once more without")
	}
}

// TestPriorIsOneMoreMeasurement: y = 3 with uncertainty 1 and a prior of 0 ± 2 meet at 3·4/(4 + 1) = 2.4, with uncertainty √(4/5). With
// priors ten times as wide the uncertainty is √(400/401).
func TestPriorIsOneMoreMeasurement(t *testing.T) {
	s := linear([][]float64{{1}}, []float64{3}, 2)
	run(t, s, square)
	assert.InDelta(t, 2.4, s.theta[0], 1e-6)
	sigma, _ := s.sure(1)
	assert.InDelta(t, math.Sqrt(0.8), sigma[0], 1e-9)
	sigma, _ = s.sure(10)
	assert.InDelta(t, math.Sqrt(400./401), sigma[0], 1e-9)
	s.counts[0] = 0.25 // as if its uncertainty were 2: half-way
	run(t, s, square)
	assert.InDelta(t, 1.5, s.theta[0], 1e-6)
}

// TestBounds: least squares of θ1 + θ2 = 4, θ1 − θ2 = 2 is (3, 1). With θ1 ≤ 2 the rest is (4 − 2 − θ2)² + (2 − 2 + θ2)², least at θ2 = 1;
// with both rows weighed differently at another place: (3·(2 − θ2))² + θ2² is least at 18/10.
func TestBounds(t *testing.T) {
	s := linear([][]float64{{1, 1}, {1, -1}}, []float64{4, 2}, 1e6)
	s.high[0] = 2
	run(t, s, square)
	assert.InDeltaSlice(t, []float64{2, 1}, s.theta, 1e-5)
	s = linear([][]float64{{3, 3}, {1, -1}}, []float64{12, 2}, 1e6)
	s.high[0] = 2
	run(t, s, square)
	assert.InDeltaSlice(t, []float64{2, 1.8}, s.theta, 1e-5)
	s = linear([][]float64{{-3, 3}, {-1, -1}}, []float64{12, 2}, 1e6)
	s.low[0] = -2
	run(t, s, square)
	assert.InDeltaSlice(t, []float64{-2, 1.8}, s.theta, 1e-5)
}

// TestRosenbrock: the valley f = (1 − x)² + 100·(y − x²)² of H. H. Rosenbrock (Comput. J. 3 (1960) 175) from (0, 0): at (1, 1), where it is 0.
func TestRosenbrock(t *testing.T) {
	s := linear([][]float64{{1, 0}, {0, 1}}, []float64{0, 0}, 1e5)
	evals := 0
	s.eval = func(x, out []float64) bool {
		evals++
		out[0], out[1] = 1-x[0], 10*(x[1]-x[0]*x[0])
		return true
	}
	run(t, s, square)
	assert.InDeltaSlice(t, []float64{1, 1}, s.theta, 1e-6)
	assert.Less(t, evals, 300)
}

// TestNoValueBeyondAWall: the model has no value beyond x = 2, the best is at 5: the fit stays before the wall, and derivatives beside it are
// taken on one side.
func TestNoValueBeyondAWall(t *testing.T) {
	s := linear([][]float64{{1}}, []float64{5}, 1e6)
	plain := s.eval
	s.eval = func(x, out []float64) bool { return x[0] <= 2 && plain(x, out) }
	run(t, s, square)
	assert.LessOrEqual(t, s.theta[0], 2.0)
	assert.Greater(t, s.theta[0], 1.9)
	s.derive(0)
	assert.InDelta(t, -1, s.jac[0][0], 1e-6)
	s.eval = func(_, _ []float64) bool { return false }
	assert.False(t, s.begin(square))
}

// TestLosses: the location of 0, 0, 0 and 10. Huber's balances 3·μ = k, so k/3 (P. J. Huber, Robust Statistics, 1981, chapter 3: beyond k a
// residual pulls with k); Tukey's leaves the 10 out.
func TestLosses(t *testing.T) {
	rows, y := [][]float64{{1}, {1}, {1}, {1}}, []float64{0, 0, 0, 10}
	s := linear(rows, y, 1e6)
	run(t, s, huber)
	assert.InDelta(t, huberK/3, s.theta[0], 1e-5)
	s.use(tukey, 1)
	for s.step() {
	}
	assert.InDelta(t, 0, s.theta[0], 1e-5)
	s.use(tukey, 2) // twice the scale: the 10 counts a little
	for s.step() {
	}
	assert.InDelta(t, 0, s.theta[0], 1e-5, "5 scales away is beyond 4.685 too")

	for _, u := range []float64{-7, -1.3, 0, 0.5, 1.345, 2, 4.6, 4.7, 9} {
		for name, l := range map[string]loss{"square": square, "huber": huber, "tukey": tukey} {
			const h = 1e-5
			up, _ := l(u + h)
			down, _ := l(u - h)
			_, w := l(u)
			assert.InDelta(t, (up-down)/(2*h), w*u, 1e-4, "%s: weight is the slope of the cost over u, at %g", name, u)
		}
	}
	cost, weight := tukey(tukeyC)
	assert.Equal(t, [2]float64{tukeyC * tukeyC / 6, 0}, [2]float64{cost, weight})
	_, weight = huber(2 * huberK)
	assert.Equal(t, 0.5, weight)
}

// TestSpread: what is not kept has no part in it.
func TestSpread(t *testing.T) {
	all := []bool{true, true, true, true}
	assert.Equal(t, 1.0, spread(nil, nil))
	assert.Equal(t, 1.0, spread([]float64{9}, []bool{false}))
	assert.Equal(t, 1.0, spread([]float64{0.1, -0.2, 0.3}, all))
	assert.InDelta(t, 1.4826*2, spread([]float64{-2, 1, 9}, all), 1e-12)
	assert.InDelta(t, 1.4826*2.5, spread([]float64{-2, 3, 1, 9}, all), 1e-12)
	assert.InDelta(t, 1.4826*2, spread([]float64{-2, 3, 1, 9}, []bool{true, true, true, false}), 1e-12)
}

// TestCounts: two of a kind count as 2/1.1, ten as 10/1.9; one that is not kept is not there.
func TestCounts(t *testing.T) {
	list, kept := []Kind{Duty, Rollout, Duty}, []bool{true, true, true}
	assert.InDeltaSlice(t, []float64{1 / 1.1, 1, 1 / 1.1}, counts(list, kept), 1e-12)
	assert.InDeltaSlice(t, []float64{1, 1, 0}, counts(list, []bool{true, true, false}), 1e-12)
	for range 8 {
		list, kept = append(list, Duty), append(kept, true)
	}
	assert.InDelta(t, 1/1.9, counts(list, kept)[0], 1e-12)
}

// TestAgreeing: a kind of three has a middle, two have none. Of 0, 1, 2, 3 and 50 the middle is 2 and 1.4826 the scale.
func TestAgreeing(t *testing.T) {
	list := []Kind{Duty, Duty, Rollout, Rollout, Rollout}
	assert.Equal(t, []bool{true, true, true, true, false}, agreeing(list, []float64{0, 90, 10.2, 10.8, -97}))
	assert.Equal(t, []bool{true, true, true, true, true}, agreeing(list, []float64{0, 90, 10.2, 10.8, 10.5 + tukeyC}))
	five := []Kind{Duty, Duty, Duty, Duty, Duty}
	end := 2 + 1.4826*tukeyC
	assert.Equal(t, []bool{true, true, true, true, true}, agreeing(five, []float64{3, 1, 0, 2, end - 1e-9}))
	assert.Equal(t, []bool{true, true, true, true, false}, agreeing(five, []float64{3, 1, 0, 2, end + 1e-9}))
}

func TestCoarsened(t *testing.T) {
	assert.InDelta(t, 13.46, coarsened(13.4567, 0.03), 1e-12)
	assert.InDelta(t, 13.457, coarsened(13.4567, 0.005), 1e-12)
	assert.InDelta(t, 1300, coarsened(1349, 100), 1e-12)
	assert.Equal(t, 1.234567, coarsened(1.234567, 0))
}
