// Package solve finds roots of one variable within a bracket.
//
// The method is Brent's (R. P. Brent, Algorithms for Minimization without Derivatives, 1973, chapter 4): inverse quadratic
// interpolation guarded by bisection, so it never leaves the bracket and always ends.
package solve

import "math"

// maxSteps bounds the work; bisection alone needs 60 halvings to exhaust a float64 bracket.
const maxSteps = 100

// Root returns x between lo and hi with f(x) = 0 to within tol, for a continuous f. Where f(lo) and f(hi) have the same
// sign there is no bracket, and the end with the smaller |f| is returned: a caller whose f is monotone gets the nearest
// point, which is what a limit wants.
func Root(f func(float64) float64, lo, hi, tol float64) float64 {
	a, b := lo, hi
	fa, fb := f(a), f(b)
	if fa == 0 {
		return a
	}
	if fb == 0 {
		return b
	}
	if (fa > 0) == (fb > 0) {
		if math.Abs(fa) < math.Abs(fb) {
			return a
		}
		return b
	}
	c, fc := a, fa
	d := b - a
	e := d
	for range maxSteps {
		if (fb > 0) == (fc > 0) {
			c, fc = a, fa
			d = b - a
			e = d
		}
		if math.Abs(fc) < math.Abs(fb) {
			a, b, c = b, c, b
			fa, fb, fc = fb, fc, fb
		}
		t := 2*2.220446049250313e-16*math.Abs(b) + tol/2
		m := (c - b) / 2
		if math.Abs(m) <= t || fb == 0 {
			return b
		}
		if math.Abs(e) >= t && math.Abs(fa) > math.Abs(fb) {
			var p, q float64
			s := fb / fa
			if a == c { // secant
				p, q = 2*m*s, 1-s
			} else { // inverse quadratic
				q = fa / fc
				r := fb / fc
				p = s * (2*m*q*(q-r) - (b-a)*(r-1))
				q = (q - 1) * (r - 1) * (s - 1)
			}
			if p > 0 {
				q = -q
			} else {
				p = -p
			}
			if 2*p < math.Min(3*m*q-math.Abs(t*q), math.Abs(e*q)) {
				e, d = d, p/q
			} else {
				d, e = m, m
			}
		} else {
			d, e = m, m
		}
		a, fa = b, fb
		if math.Abs(d) > t {
			b += d
		} else {
			b += math.Copysign(t, m)
		}
		fb = f(b)
	}
	return b
}

// Max returns where between lo and hi, to within tol, a function that rises and then falls (either part may be missing, or flat at the
// top) is largest, and its value there. Golden-section search (J. Kiefer, Proc. Amer. Math. Soc. 4 (1953) 502).
func Max(f func(float64) float64, lo, hi, tol float64) (x, y float64) {
	const inner = 0.3819660112501051 // 2 − φ
	a, b := lo, hi
	x1, x2 := a+inner*(b-a), b-inner*(b-a)
	y1, y2 := f(x1), f(x2)
	for range maxSteps {
		if b-a <= tol {
			break
		}
		if y1 >= y2 {
			b, x2, y2 = x2, x1, y1
			x1 = a + inner*(b-a)
			y1 = f(x1)
		} else {
			a, x1, y1 = x1, x2, y2
			x2 = b - inner*(b-a)
			y2 = f(x2)
		}
	}
	x, y = x1, y1
	// The ends count too: where one part is missing the top is there.
	for _, at := range [3]float64{x2, lo, hi} {
		if v := f(at); v > y {
			x, y = at, v
		}
	}
	return x, y
}
