package ridecheck

import (
	"math"

	"headroom/core/build"
)

// Fitting fits a build to measurements, a piece a Step.
type Fitting struct {
	checking *Checking
	used     []int // measurements that can be judged
	kinds    []Kind
	free     []int // knobs that a measurement moves
	solver   solver
	theta    []float64 // of all knobs
	stage    stage
	kept     []bool  // which of used are not left out
	sifted   int     // how often that was looked at
	left     []bool  // which of free are hardly measured, and so stay as they were
	full     float64 // spread of what was left off before they did; 0 while none does
	fit      Fit
}

type stage int

const (
	checks stage = iota
	coarse
	fine // again with whatever it leaves out taken away
	lean // see which knobs are hardly measured, and go on without them
	finished
)

// least is how much of a reading's uncertainty a knob must move it by, over its own uncertainty, to take part in the fit: less changes
// what is known of it by a tenth of a percent.
const least = 0.05

// hardly is which part of an input's uncertainty has to go for it to count as measured. What is not stays as it was, and the others are
// fitted without it: a turn that the measurements do not ask for is no finding, and would only look like one in the build.
const hardly = 0.1

// contradiction is the scale from which on the measurements do not bear any fit: so far off from one another, whichever of them is wrong.
const contradiction = 3.0

// exceeding is how many standard uncertainties of its own a duty may lie above what the plan has after the fit. Once in 160 good readings it
// lies further by chance; that a danger is said once too often costs another measurement and no more.
const exceeding = 2.5

// Fit is what comes of fitting.
type Fit struct {
	Rows    []Row
	Changes []Change
	Alike   []Pair
	// Scale is how much further the fit leaves the measurements off than their uncertainties say, 1 where it does not.
	Scale float64
	// Failed says why there is no fit, one sentence; the rest is then empty.
	Failed string

	after build.Build
}

// Row is one measurement before and after.
type Row struct {
	Measurement
	Skipped string  // why it had no part in it
	Before  float64 // predicted, SI
	After   float64
	Reading float64 // standard uncertainty
	// Weight is how much it counted, 1 as measured; 0 is left out as a gross error.
	Weight float64
}

// Change is one input as fitted. From, To and Sigma are in the field's unit, of the center of mass in mm.
type Change struct {
	Label string
	Key   string // link key of the field that takes it; "" for what no field holds
	Unit  string
	From  float64
	To    float64
	Sigma float64 // standard uncertainty of To
	// Learned is which part of the uncertainty before is gone, 0…1.
	Learned float64
	AtEnd   bool // the field's range, or what can be believed, ended it
	Left    bool // hardly measured, and so left as it was
}

// Pair is two inputs that act alike on everything that was measured: what is known is one combination of them.
type Pair struct {
	One, Other string
	// Correlation of the two by the measurements alone, −1…1: near 1 only their ratio is known, near −1 only their product.
	Correlation float64
}

// Text says in a sentence what is known of a pair.
func (p *Pair) Text() string {
	how := "one more of the one looks like less of the other"
	if p.Correlation > 0 {
		how = "more of both looks like no change"
	}
	return p.One + " and " + lowerFirst(p.Other) + " cannot be told apart by these measurements: " + how + "."
}

// Contradictory tells that the measurements disagree too much for anything of the fit to be put into a build.
func (f *Fit) Contradictory() bool { return f.Scale > contradiction }

// Demanding tells that more duty was read than the plan has after the fit, by more than the reading's own uncertainty allows. What weight the
// fit gave it does not matter: where many disagree the scale grows, and none counts as left out.
func (r *Row) Demanding() bool {
	return r.Kind == Duty && r.Skipped == "" && r.Value-r.After > exceeding*r.Reading
}

// NewFitting begins to fit a valid build.
func NewFitting(b build.Build, measured []Measurement) *Fitting {
	return &Fitting{checking: NewChecking(b, measured), theta: make([]float64, len(knobs))}
}

// FitAll fits a valid build to measurements.
func FitAll(b build.Build, measured []Measurement) Fit {
	f := NewFitting(b, measured)
	for f.Step() {
	}
	return f.Fit()
}

// Done tells whether the fit is there.
func (f *Fitting) Done() bool { return f.stage == finished }

// Fit returns what has come of it once it is done.
func (f *Fitting) Fit() Fit { return f.fit }

// Step does one piece; it is false where there was none left.
func (f *Fitting) Step() bool {
	switch f.stage {
	case finished:
		return false
	case checks:
		if !f.checking.Step() {
			f.start()
		}
	case coarse:
		if !f.solver.step() {
			f.solver.use(tukey, spread(f.solver.r, f.kept))
			f.stage = fine
		}
	case fine:
		if !f.solver.step() && !f.sift() {
			f.stage = lean
		}
	case lean:
		if f.stage = fine; !f.hold() {
			f.finish()
		}
	}
	return true
}

func (f *Fitting) fail(why string) { f.fit.Failed, f.stage = why, finished }

// start sets the problem up: the measurements that can be judged, and the knobs that they move.
func (f *Fitting) start() {
	c := f.checking
	strength := make([]float64, len(knobs))
	for i := range c.list {
		k := &c.list[i]
		if k.Skipped != "" || k.Reading <= 0 {
			continue
		}
		f.used, f.kinds = append(f.used, i), append(f.kinds, k.Kind)
		for j := range knobs {
			x := k.row[j] * c.sigma[j] / k.Reading
			strength[j] += x * x
		}
	}
	if len(f.used) == 0 {
		f.fail("There is nothing to fit to: no measurement can be judged.")
		return
	}
	s := &f.solver
	for j := range knobs {
		if math.Sqrt(strength[j]) >= least && c.low[j] < c.high[j] {
			f.free = append(f.free, j)
			s.prior, s.low, s.high = append(s.prior, c.sigma[j]), append(s.low, c.low[j]), append(s.high, c.high[j])
		}
	}
	f.left = make([]bool, len(f.free))
	s.eval = f.residuals
	before := make([]float64, len(f.used))
	for n, i := range f.used {
		before[n] = (c.list[i].Value - c.list[i].Predicted) / c.list[i].Reading
	}
	f.kept = agreeing(f.kinds, before)
	s.counts = counts(f.kinds, f.kept)
	if !s.begin(huber) {
		f.fail("The plan cannot be held against these measurements.")
		return
	}
	f.stage = coarse
}

// siftings is how often at most the fit looks anew at what it leaves out: a reading at the very edge might go in and out for ever.
const siftings = 10

// sift takes what the fit leaves out away from all that it rests on: the scale, and how many readings of a kind there are. It tells whether
// that changed anything, so that the fit has to go on. What comes near again is taken in again.
func (f *Fitting) sift() bool {
	s := &f.solver
	f.sifted++
	changed := false
	for i, r := range s.r {
		_, w := s.loss(r / s.scale)
		in := w > 0
		changed = changed || in != f.kept[i]
		f.kept[i] = in
	}
	if !changed || f.sifted > siftings {
		return false
	}
	s.counts = counts(f.kinds, f.kept)
	s.use(tukey, spread(s.r, f.kept))
	return true
}

// hold leaves the knobs that are hardly measured as they were, and tells whether there were any left, so that the fit has to go on. What
// they leave open of the others stays in the others' uncertainty: their derivatives are still taken.
func (f *Fitting) hold() bool {
	s := &f.solver
	sigma, _ := s.sure(1)
	if sigma == nil {
		return false
	}
	changed, full := false, spread(s.r, f.kept)
	for n := range f.left {
		ended := s.theta[n] <= s.low[n] || s.theta[n] >= s.high[n] // pushed there: that is to be told of
		if !f.left[n] && !ended && 1-sigma[n]/s.prior[n] < hardly {
			f.left[n], s.low[n], s.high[n], s.theta[n] = true, 0, 0, 0
			changed = true
		}
	}
	if !changed {
		return false
	}
	if f.full == 0 {
		f.full = full
	}
	if !s.eval(s.theta, s.r) { // the board cannot do without those turns what was measured: from the plan on, which can
		clear(s.theta)
		s.eval(s.theta, s.r)
	}
	s.use(tukey, s.scale) // of what all inputs together leave: what one fewer leaves is no noise of the readings
	return true
}

// residuals of the used measurements, in standard uncertainties.
func (f *Fitting) residuals(theta, out []float64) bool {
	for n, j := range f.free {
		f.theta[j] = theta[n]
	}
	c := f.checking
	m := turned(&c.b, &c.p, f.theta)
	for n, i := range f.used {
		k := &c.list[i]
		v, ok := m.predict(&k.Measurement)
		if !ok {
			return false
		}
		out[n] = (k.Value - v) / k.Reading
	}
	return true
}
