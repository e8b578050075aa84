package ridecheck

import (
	"math"
	"sort"
)

const (
	huberK = 1.345
	tukeyC = 4.685
)

// loss is how much a residual of u standard uncertainties costs, and the weight ψ(u)/u with which least squares counts it.
type loss func(u float64) (cost, weight float64)

// square is least squares itself.
func square(u float64) (cost, weight float64) { return u * u / 2, 1 }

func huber(u float64) (cost, weight float64) {
	a := math.Abs(u)
	if a <= huberK {
		return u * u / 2, 1
	}
	return huberK*a - huberK*huberK/2, huberK / a
}

func tukey(u float64) (cost, weight float64) {
	x := u / tukeyC
	left := 1 - x*x
	if left <= 0 {
		return tukeyC * tukeyC / 6, 0
	}
	return tukeyC * tukeyC / 6 * (1 - left*left*left), left * left
}

// spread is the scale of residuals that are said to be 1: 1.4826 times the median of the sizes of those that are kept, never less than 1,
// since a fit of few measurements leaves little.
func spread(r []float64, kept []bool) float64 {
	var a []float64
	for i, v := range r {
		if kept[i] {
			a = append(a, math.Abs(v))
		}
	}
	if len(a) == 0 {
		return 1
	}
	return max(1, 1.4826*median(a))
}

// agreeing tells which readings do not stand out among those of their own kind, by what the plan leaves of them: a kind of three or more has a
// middle, and one nonsense of three must not cost the other two what they say against the plan. This is for where to begin, no more: what
// lies far from the middle because of what it was read under comes back once the fit explains it.
func agreeing(kinds []Kind, r []float64) []bool {
	of := map[Kind][]float64{}
	for i, k := range kinds {
		of[k] = append(of[k], r[i])
	}
	kept := make([]bool, len(kinds))
	for i, k := range kinds {
		mid := median(of[k])
		off := make([]float64, len(of[k]))
		for j, v := range of[k] {
			off[j] = math.Abs(v - mid)
		}
		kept[i] = len(off) < 3 || math.Abs(r[i]-mid) <= tukeyC*max(1, 1.4826*median(off))
	}
	return kept
}

// median of a list that is not empty.
func median(list []float64) float64 {
	a := append([]float64(nil), list...)
	sort.Float64s(a)
	n := len(a)
	return (a[(n-1)/2] + a[n/2]) / 2
}

// common is the part of a reading's variance that all readings of its kind share.
const common = 0.1

// counts is how much each measurement counts: n of one kind that are kept count as n/(1 + (n − 1)·common) of them, and what is not kept
// counts nothing.
func counts(kinds []Kind, kept []bool) []float64 {
	n := map[Kind]float64{}
	for i, k := range kinds {
		if kept[i] {
			n[k]++
		}
	}
	out := make([]float64, len(kinds))
	for i, k := range kinds {
		if kept[i] {
			out[i] = 1 / (1 + (n[k]-1)*common)
		}
	}
	return out
}
