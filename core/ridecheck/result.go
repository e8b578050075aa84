package ridecheck

import (
	"math"

	"headroom/core/build"
)

const (
	// alike is the correlation beyond which two inputs count as one.
	alike = 0.95
	// loose is how many times as wide the priors are where it is asked what the measurements alone can tell.
	loose = 10.0
	// digits of a fitted value: a tenth of what the measurements would leave of it if all else were known.
	lastDigit = 0.1
)

// finish tells what the fit has found.
func (f *Fitting) finish() {
	f.stage = finished
	s := &f.solver
	sigma, _ := s.sure(1)
	_, wide := s.sure(loose)
	sharp, _ := s.normal(1)
	if sigma == nil || wide == nil {
		f.fail("The measurements do not give a fit.")
		return
	}
	f.fit.Scale = s.scale
	if f.full > 0 { // what is further off for want of the inputs that were left
		f.fit.Scale *= max(1, spread(s.r, f.kept)/f.full)
	}
	f.fit.after = f.checking.b
	for n, j := range f.free {
		f.change(j, s.theta[n], 1/math.Sqrt(sharp[n][n]), Change{
			Sigma:   sigma[n],
			Learned: max(0, 1-sigma[n]/s.prior[n]),
			AtEnd:   !f.left[n] && (s.theta[n] <= s.low[n] || s.theta[n] >= s.high[n]),
			Left:    f.left[n],
		})
		for o := range n {
			r := wide[n][o] / math.Sqrt(wide[n][n]*wide[o][o])
			if math.Abs(r) >= alike {
				f.fit.Alike = append(f.fit.Alike, Pair{knobs[f.free[o]].label, knobs[j].label, r})
			}
		}
	}
	f.rows()
}

// change puts one knob's turn into the fields and notes what it did. within is the turn's uncertainty if all else were known: its digits
// need not be finer. As it comes, Sigma is that of the turn.
func (f *Fitting) change(j int, theta, within float64, as Change) {
	k, b := &knobs[j], &f.checking.b
	if j == center {
		as.Label, as.Unit, as.To, as.Sigma = k.label, "mm", theta/milli, as.Sigma/milli
		f.fit.Changes = append(f.fit.Changes, as)
		return
	}
	for n, key := range k.keys {
		field := build.FieldFor(key)
		from := field.ValueIn(b, &f.checking.p)
		to := from * math.Exp(theta)
		if key == "cellah" { // what is more than the whole of the rated charge goes into the rating
			to = from * max(1, b.HealthFraction*math.Exp(theta))
		}
		if from == 0 || n > 0 && to == from {
			continue
		}
		one := as
		one.Label, one.Key, one.Unit, one.From, one.To, one.Sigma = field.Label, key, field.Unit, from, from, as.Sigma*from
		if math.Abs(theta) > lastDigit*within {
			field.SetValue(&f.fit.after, coarsened(to, within*to*lastDigit))
			one.To = field.ValueIn(&f.fit.after, nil)
			one.Sigma = as.Sigma * one.To
		}
		f.fit.Changes = append(f.fit.Changes, one)
	}
}

// coarsened is v to the power of ten at or below a step, so that links stay short.
func coarsened(v, step float64) float64 {
	if !(step > 0) {
		return v
	}
	unit := math.Pow(10, math.Floor(math.Log10(step)))
	return math.Round(v/unit) * unit
}

// rows tells of every measurement what the build as it was and as it will be says.
func (f *Fitting) rows() {
	c, s := f.checking, &f.solver
	b := f.fit.after
	p := b.Parts()
	m := model{b: b, p: p}
	for n, j := range f.free {
		if j == center {
			m.forward = s.theta[n]
		}
	}
	m.settle()
	weight := map[int]float64{}
	for n, i := range f.used {
		if f.kept[n] {
			_, weight[i] = s.loss(s.r[n] / s.scale)
		}
	}
	for i := range c.list {
		k := &c.list[i]
		row := Row{Measurement: k.Measurement, Skipped: k.Skipped, Before: k.Predicted, After: k.Predicted, Reading: k.Reading, Weight: weight[i]}
		if k.Skipped == "" {
			if v, ok := m.predict(&k.Measurement); ok {
				row.After = v
			}
		}
		f.fit.Rows = append(f.fit.Rows, row)
	}
}

// Build returns the build with the fitted values in its fields.
func (f *Fit) Build() build.Build { return f.after }
