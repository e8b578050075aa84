package ridelog

import (
	"math"
	"slices"
)

// What counts as steady. Common practice of coast-down and consumption tests, narrowed to what a logger can tell; no published source.
const (
	leastSteady = 4    // s
	mostSteady  = 20   // s; longer ones are cut, for the charge falls on
	speedWithin = 0.4  // m/s from the mean so far
	dutyWithin  = 0.03 // the same
	slowSteady  = 2.0  // m/s; below it a board is balanced more than ridden
	changeMost  = 0.12 // m/s² over the stretch
	speedBins   = 24   // of speedBin each, from which the longest are kept
	speedBin    = 0.7  // m/s
	keptInBin   = 10
)

// Stretch is a piece of the ride at steady speed and duty. What was not logged is NaN.
type Stretch struct {
	At       float64 // s, where it begins
	Seconds  float64
	Line     int // of the file
	Speed    float64
	Duty     float64
	PackV    float64
	BatteryA float64
	PhaseA   float64
	Change   float64 // m/s² left over: how the mean speed rises
	Grade    float64 // by the altitude, rise over run
	// Standard uncertainties of the means, from their scatter within the stretch and the steps of the logger.
	DutySigma, BatterySigma, GradeSigma float64
}

// steadier finds stretches in the blocks of a log.
type steadier struct {
	run   []Row // blocks of the stretch so far
	line  int
	sumV  float64
	sumD  float64
	found int
	bins  [speedBins][]Stretch
}

func (s *steadier) add(b *block) {
	v, d := b.at[Speed], b.at[Duty]
	if n := float64(len(s.run)); n > 0 {
		// A duty that is not logged stands in no way.
		if b.broken || !(math.Abs(v-s.sumV/n) <= speedWithin) || math.Abs(d-s.sumD/n) > dutyWithin || len(s.run) == mostSteady {
			s.close()
		}
	}
	if !(v >= slowSteady) {
		s.close()
		return
	}
	if len(s.run) == 0 {
		s.line = b.line
	}
	s.run = append(s.run, b.at)
	s.sumV, s.sumD = s.sumV+v, s.sumD+d
}

func (s *steadier) close() {
	if len(s.run) >= leastSteady {
		if x := s.stretch(); math.Abs(x.Change) <= changeMost {
			s.keep(x)
		}
	}
	s.run, s.sumV, s.sumD = s.run[:0], 0, 0
}

func (s *steadier) stretch() Stretch {
	at := func(q Quantity) (list []float64) {
		for i := range s.run {
			if v := s.run[i][q]; !math.IsNaN(v) {
				list = append(list, v)
			}
		}
		return list
	}
	mean := func(q Quantity) (v, sigma float64) {
		list := at(q)
		n := float64(len(list))
		if 2*len(list) < len(s.run) {
			return math.NaN(), math.NaN()
		}
		v = total(list) / n
		square := 0.0
		for _, x := range list {
			square += (x - v) * (x - v)
		}
		// Scatter alone would be nothing where a coarse logger stands on one step all the while.
		return v, math.Hypot(math.Sqrt(square/max(n-1, 1)/n), kinds[q].fine/math.Sqrt(12*n))
	}
	first := &s.run[0]
	x := Stretch{At: first[Time], Line: s.line, Seconds: s.run[len(s.run)-1][Time] - first[Time] + blockS}
	x.Speed, _ = mean(Speed)
	x.Duty, x.DutySigma = mean(Duty)
	x.PackV, _ = mean(PackV)
	x.BatteryA, x.BatterySigma = mean(BatteryA)
	x.PhaseA, _ = mean(PhaseA)
	x.Change = (s.run[len(s.run)-1][Speed] - first[Speed]) / (x.Seconds - blockS)
	climb, sigma := s.slope(Altitude)
	x.Grade, x.GradeSigma = climb/x.Speed, sigma/x.Speed
	return x
}

// slope is how a quantity rises per s along the stretch by least squares, and its standard error.
func (s *steadier) slope(q Quantity) (slope, sigma float64) {
	var n, t, v, tt, tv, vv float64
	from := s.run[0][Time]
	for i := range s.run {
		y := s.run[i][q]
		if math.IsNaN(y) {
			continue
		}
		x := s.run[i][Time] - from
		n, t, v, tt, tv, vv = n+1, t+x, v+y, tt+x*x, tv+x*y, vv+y*y
	}
	if 2*n < float64(len(s.run)) || n < 3 {
		return math.NaN(), math.NaN()
	}
	tt, tv, vv = tt-t*t/n, tv-t*v/n, vv-v*v/n
	slope = tv / tt
	left := max(0, vv-slope*tv)/(n-2) + kinds[q].fine*kinds[q].fine/12
	return slope, math.Sqrt(left / tt)
}

// keep holds the longest of each speed.
func (s *steadier) keep(x Stretch) {
	s.found++
	bin := &s.bins[min(int(x.Speed/speedBin), speedBins-1)]
	if len(*bin) < keptInBin {
		*bin = append(*bin, x)
		return
	}
	shortest := 0
	for i := range *bin {
		if (*bin)[i].Seconds < (*bin)[shortest].Seconds {
			shortest = i
		}
	}
	if (*bin)[shortest].Seconds < x.Seconds {
		(*bin)[shortest] = x
	}
}

// result lists what was kept in the order of time, and how many were found.
func (s *steadier) result() (list []Stretch, found int) {
	s.close()
	for i := range s.bins {
		list = append(list, s.bins[i]...)
	}
	sortBy(list, func(x *Stretch) float64 { return x.At })
	return list, s.found
}

// sortBy puts a list in the order of a key; equals keep their places.
func sortBy[T any](list []T, key func(*T) float64) {
	slices.SortStableFunc(list, func(a, b T) int {
		switch x, y := key(&a), key(&b); {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
}
