package ridecheck

import "math"

const (
	startDamping = 1e-3
	lastDamping  = 1e10 // no step is small enough
	closeEnough  = 1e-6 // of the standard uncertainty that a parameter has with all others known
	maxRounds    = 60   // derivatives taken anew, in one stage
)

// solver finds the parameters that cost least, one evaluation after the other: it may be left and taken up again between any two.
type solver struct {
	// eval puts the residuals, in standard uncertainties, into out; false where they have no value there.
	eval      func(theta, out []float64) bool
	prior     []float64 // standard uncertainty of each parameter about 0
	low, high []float64 // bounds; 0 is within them
	counts    []float64 // of each residual
	loss      loss
	scale     float64 // of the residuals

	theta, r []float64
	jac      [][]float64 // ∂r/∂θ, by parameter
	cost     float64
	damping  float64
	rounds   int
	column   int       // derivative to take next
	trial    []float64 // step to try; nil while derivatives are taken
	done     bool
	spare    [2][]float64
}

// begin starts at 0 with one loss; ok is false where the residuals have no value there.
func (s *solver) begin(l loss) bool {
	n := len(s.counts)
	s.theta, s.r = make([]float64, len(s.prior)), make([]float64, n)
	s.spare = [2][]float64{make([]float64, n), make([]float64, n)}
	s.jac = make([][]float64, len(s.prior))
	for i := range s.jac {
		s.jac[i] = make([]float64, n)
	}
	if !s.eval(s.theta, s.r) {
		return false
	}
	s.use(l, 1)
	return true
}

// use goes on from where the parameters are with another loss.
func (s *solver) use(l loss, scale float64) {
	s.loss, s.scale = l, scale
	s.cost, s.damping, s.rounds, s.column, s.trial, s.done = s.costOf(s.theta, s.r), startDamping, 0, 0, nil, false
}

func (s *solver) costOf(theta, r []float64) float64 {
	sum := 0.0
	for i, v := range r {
		c, _ := s.loss(v / s.scale)
		sum += s.counts[i] * c
	}
	for i, t := range theta {
		u := t / s.prior[i]
		sum += u * u / 2
	}
	return sum
}

// step does one piece: one derivative, or one trial. It is false once nothing is left to do.
func (s *solver) step() bool {
	switch {
	case s.done:
		return false
	case s.trial != nil:
		s.attempt()
	case s.column < len(s.theta):
		s.derive(s.column)
		s.column++
	default:
		s.propose()
	}
	return true
}

// derive takes the derivative by one parameter, both ways; one way where the other has no value.
func (s *solver) derive(k int) {
	theta := append([]float64(nil), s.theta...)
	up, down := s.spare[0], s.spare[1]
	width := 2 * nudge
	theta[k] = s.theta[k] + nudge
	if !s.eval(theta, up) {
		copy(up, s.r)
		width = nudge
	}
	theta[k] = s.theta[k] - nudge
	if !s.eval(theta, down) {
		copy(down, s.r)
		width = nudge
	}
	for i := range s.r {
		s.jac[k][i] = (up[i] - down[i]) / width
	}
}

// normal is the Gauss–Newton matrix, priors included as 1/(wide·τ)², and the slope downhill.
func (s *solver) normal(wide float64) (a [][]float64, b []float64) {
	n := len(s.theta)
	a, b = matrix(n), make([]float64, n)
	for i, v := range s.r {
		_, w := s.loss(v / s.scale)
		w *= s.counts[i] / (s.scale * s.scale)
		if w == 0 {
			continue
		}
		for j := range n {
			b[j] -= w * s.jac[j][i] * v
			for k := range j + 1 {
				a[j][k] += w * s.jac[j][i] * s.jac[k][i]
			}
		}
	}
	for j := range n {
		sure := 1 / (wide * wide * s.prior[j] * s.prior[j])
		a[j][j] += sure
		b[j] -= s.theta[j] * sure
		for k := range j {
			a[k][j] = a[j][k]
		}
	}
	return a, b
}

// propose finds the step to try next. A parameter at its bound that would go beyond stays, and the others are solved for without it.
func (s *solver) propose() {
	a, b := s.normal(1)
	n := len(b)
	held := make([]bool, n)
	for range n + 1 {
		m := matrix(n)
		c := make([]float64, n)
		for j := range n {
			if held[j] {
				m[j][j] = 1
				continue
			}
			c[j] = b[j]
			for k := range n {
				if !held[k] {
					m[j][k] = a[j][k]
				}
			}
			m[j][j] += s.damping * a[j][j]
		}
		l, ok := cholesky(m)
		if !ok { // never with a prior on every parameter, but for numbers beyond reason
			s.done = true
			return
		}
		step := solved(l, c)
		again := false
		for j := range n {
			to := s.theta[j] + step[j]
			if !held[j] && (to < s.low[j] && s.theta[j] <= s.low[j] || to > s.high[j] && s.theta[j] >= s.high[j]) {
				held[j], again = true, true
			}
		}
		if again {
			continue
		}
		s.trial = make([]float64, n)
		small := true
		for j := range n {
			s.trial[j] = min(s.high[j], max(s.low[j], s.theta[j]+step[j]))
			small = small && math.Abs(s.trial[j]-s.theta[j])*math.Sqrt(a[j][j]) <= closeEnough
		}
		if small && s.damping <= startDamping {
			s.done, s.trial = true, nil
		}
		return
	}
}

// attempt takes the step where it costs less, and else makes it shorter.
func (s *solver) attempt() {
	r := s.spare[0]
	if s.eval(s.trial, r) {
		if cost := s.costOf(s.trial, r); cost <= s.cost {
			gain := s.cost - cost
			copy(s.theta, s.trial)
			copy(s.r, r)
			s.cost, s.trial = cost, nil
			s.damping = max(1e-9, s.damping/10)
			s.rounds++
			s.column = 0
			// A thousandth of a billionth of a standard uncertainty squared is nothing that digits can tell.
			s.done = s.rounds >= maxRounds || gain <= 1e-13*(1+cost)
			return
		}
	}
	s.damping *= 10
	s.trial = nil // with the same derivatives
	s.done = s.damping > lastDamping
}

// sure returns the standard uncertainties of the parameters and their covariance, with priors wide times as wide; nil where there is none.
func (s *solver) sure(wide float64) (sigma []float64, covariance [][]float64) {
	a, _ := s.normal(wide)
	l, ok := cholesky(a)
	if !ok {
		return nil, nil
	}
	covariance = inverse(l)
	for i := range covariance {
		sigma = append(sigma, math.Sqrt(covariance[i][i]))
	}
	return sigma, covariance
}
