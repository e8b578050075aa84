package ridecheck

import "math"

// cholesky returns the lower triangle L of a symmetric positive definite matrix, L·Lᵀ = a; ok is false where it is not one.
func cholesky(a [][]float64) (l [][]float64, ok bool) {
	n := len(a)
	l = matrix(n)
	for i := range n {
		for j := range i + 1 {
			sum := a[i][j]
			for k := range j {
				sum -= l[i][k] * l[j][k]
			}
			switch {
			case i != j:
				l[i][j] = sum / l[j][j]
			case !(sum > 0):
				return nil, false
			default:
				l[i][i] = math.Sqrt(sum)
			}
		}
	}
	return l, true
}

// solved returns x with L·Lᵀ·x = b.
func solved(l [][]float64, b []float64) []float64 {
	x := append([]float64(nil), b...)
	for i := range x {
		for k := range i {
			x[i] -= l[i][k] * x[k]
		}
		x[i] /= l[i][i]
	}
	for i := len(x) - 1; i >= 0; i-- {
		for k := i + 1; k < len(x); k++ {
			x[i] -= l[k][i] * x[k]
		}
		x[i] /= l[i][i]
	}
	return x
}

// inverse returns the inverse of L·Lᵀ.
func inverse(l [][]float64) [][]float64 {
	out := matrix(len(l))
	for i := range l {
		unit := make([]float64, len(l))
		unit[i] = 1
		for j, v := range solved(l, unit) {
			out[j][i] = v
		}
	}
	return out
}

func matrix(n int) [][]float64 {
	m := make([][]float64, n)
	for i := range m {
		m[i] = make([]float64, n)
	}
	return m
}
