package cell

import "math"

// curve is a monotone piecewise-cubic Hermite interpolant (PCHIP) of equally spaced points over 0…1. Slopes are the weighted
// harmonic means of F. N. Fritsch & J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300, with one-sided three-point slopes
// at the ends limited to keep the shape (C. Moler, Numerical Computing with MATLAB, 2004, section 3.6). It never overshoots:
// between two points it stays between their values.
type curve struct {
	y, slope []float64
	n        float64 // intervals
}

func newCurve(y []float64) *curve {
	n := len(y) - 1
	h := 1 / float64(n)
	delta := make([]float64, n)
	for i := range delta {
		delta[i] = (y[i+1] - y[i]) / h
	}
	d := make([]float64, n+1)
	for i := 1; i < n; i++ {
		if delta[i-1]*delta[i] > 0 {
			// Equal spacing makes the weighted harmonic mean the plain one.
			d[i] = 2 / (1/delta[i-1] + 1/delta[i])
		}
	}
	d[0] = endSlope(delta[0], delta[1])
	d[n] = endSlope(delta[n-1], delta[n-2])
	return &curve{y, d, float64(n)}
}

func endSlope(near, next float64) float64 {
	d := (3*near - next) / 2
	switch {
	case d*near <= 0:
		return 0
	case near*next <= 0 && math.Abs(d) > 3*math.Abs(near):
		return 3 * near
	}
	return d
}

// at returns the interpolated value; x outside 0…1 is taken at the nearer end.
func (c *curve) at(x float64) float64 {
	if x <= 0 {
		return c.y[0]
	}
	if x >= 1 {
		return c.y[len(c.y)-1]
	}
	i := int(x * c.n)
	s := x*c.n - float64(i)
	h := 1 / c.n
	y0, y1 := c.y[i], c.y[i+1]
	m0, m1 := c.slope[i]*h, c.slope[i+1]*h
	return y0 + s*(m0+s*(3*(y1-y0)-2*m0-m1+s*(2*(y0-y1)+m0+m1)))
}
