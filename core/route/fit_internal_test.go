package route

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The convolution weights of A. Savitzky and M. J. E. Golay, Anal. Chem. 36 (1964) 1627 (with the corrections of J. Steinier et al., Anal. Chem. 44
// (1972) 1906): tables I, IV and VII, quadratic, 5, 7 and 9 points.
func TestFitHasThePublishedWeights(t *testing.T) {
	for _, c := range []struct {
		value, slope, second  []float64
		of, ofSlope, ofSecond float64
	}{
		{[]float64{-3, 12, 17, 12, -3}, []float64{-2, -1, 0, 1, 2}, []float64{2, -1, -2, -1, 2}, 35, 10, 7},
		{[]float64{-2, 3, 6, 7, 6, 3, -2}, []float64{-3, -2, -1, 0, 1, 2, 3}, []float64{5, 0, -3, -4, -3, 0, 5}, 21, 28, 42},
		{[]float64{-21, 14, 39, 54, 59, 54, 39, 14, -21}, []float64{-4, -3, -2, -1, 0, 1, 2, 3, 4}, []float64{28, 7, -8, -17, -20, -17, -8, 7, 28}, 231, 60, 462},
	} {
		n := len(c.value)
		for i := range n {
			one := make([]float64, n)
			one[i] = 1
			f := newFit(one, n/2, n/2)
			assert.InDelta(t, c.value[i]/c.of, f.value, 1e-14)
			assert.InDelta(t, c.slope[i]/c.ofSlope, f.slope, 1e-14)
			assert.InDelta(t, c.second[i]/c.ofSecond, 2*f.bend, 1e-14)
		}
	}
	// At the ends the window is the last whole one.
	values := []float64{0, 1, 4, 9, 16, 25, 36}
	assert.Equal(t, newFit(values, 2, 2), newFit(values, 0, 2))
	assert.Equal(t, newFit(values, 4, 2), newFit(values, 6, 2))
}

func TestClimbedByHand(t *testing.T) {
	for _, c := range []struct {
		ele        []float64
		rise, fall float64
	}{
		{[]float64{0, 10, 0}, 10, 10},
		{[]float64{0, 2, 0, 2, 0, 2}, 0, 0},
		{[]float64{5, 3, 10, 8, 12, 2}, 9, 10}, // the dip of 2 m on the way up is no fall, and the one before it none either
		{[]float64{100, 90, 92, 80}, 0, 20},
		{[]float64{0, 10, 6.9, 20}, 23.1, 3.1},
		{[]float64{7}, 0, 0},
	} {
		rise, fall := climbed(c.ele)
		assert.InDelta(t, c.rise, rise, 1e-12, "%v", c.ele)
		assert.InDelta(t, c.fall, fall, 1e-12, "%v", c.ele)
	}
}

func TestBridge(t *testing.T) {
	nan := math.NaN()
	known := []float64{nan, nan, 3, nan, 5, nan}
	assert.True(t, bridge(known))
	assert.Equal(t, []float64{3, 3, 3, 4, 5, 5}, known)
	unknown := []float64{nan, nan}
	assert.False(t, bridge(unknown))
	assert.Equal(t, []float64{0, 0}, unknown)
}
