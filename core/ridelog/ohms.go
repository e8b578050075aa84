package ridelog

import "math"

// Resistance is that of the pack, as the slope of volts against amps tells it.
type Resistance struct {
	Ohm   float64
	Sigma float64 // standard uncertainty, Ω
	RestV float64 // V of the pack at rest that it belongs to: the mean of volts + resistance·amps, weighted as the pieces are
	Spans int     // pieces of the log that it comes from
}

// Pieces of the log within which the charge falls on a straight line of time.
const (
	spanS      = 40.0  // s
	leastSwing = 1.0   // A, standard deviation of the seconds within a piece, for it to tell anything
	mostSpans  = 4096  // some 45 hours
	fewSpans   = 3     // pieces that tell a resistance
	mostRows   = 2560  // of a piece; rows closer than a 64th of a second to the last are passed over
	spoilt     = 4.0   // standard deviations from the line at which a row is left out
	slopeDoubt = 0.003 // share of the resistance that the method itself leaves open: its bias over random boards, see TestResistanceIsAsSureAsItSays
	sameCharge = 0.02  // share of the volts at rest within which pieces count as of one charge
)

// ohms finds the pack's resistance: within each piece V = a + b·t − R·I by least squares, b being the charge that falls; R over all of
// them with Tukey's weights, so that a piece that something else disturbed counts for nothing.
//
// Within a piece rows far from a first, robust line are left out. The rest is averaged over each second before the slope is taken: noise in
// the amps, of which least squares knows nothing, would make the slope too small.
type ohms struct {
	rows        []reading3
	spans       []span
	slopes, off []float64 // working space
}

type reading3 struct{ t, v, i float64 }

// span is one piece: its slope, the squares of amps that it rests on, the variance in V² that its volts are left with, and its mean volts and
// amps.
type span struct{ ohm, weight, rest, v, i float64 }

func (o *ohms) add(row *Row) {
	v, i := row[PackV], row[BatteryA]
	if math.IsNaN(v) || math.IsNaN(i) {
		return
	}
	t := row[Time]
	if n := len(o.rows); n > 0 {
		last := o.rows[n-1].t
		switch {
		case t-last > gapS, t-o.rows[0].t >= spanS, n == mostRows:
			o.close()
		case t-last < 1./64:
			return
		}
	}
	o.rows = append(o.rows, reading3{t, v, i})
}

func (o *ohms) close() {
	rows := o.rows
	o.rows = o.rows[:0]
	n := len(rows)
	if n < 15 || rows[n-1].t-rows[0].t < spanS/2 || len(o.spans) == mostSpans {
		return
	}
	o.off = o.off[:0]
	for _, x := range rows {
		o.off = append(o.off, x.i)
	}
	usual := median(o.off)
	for i := range o.off {
		o.off[i] = math.Abs(o.off[i] - usual)
	}
	if median(o.off) < leastSwing/2 { // little but noise and spoilt rows
		return
	}
	// A first slope: the middle of those between rows half a piece apart, where the amps differ enough (after H. Theil and P. K. Sen).
	o.slopes = o.slopes[:0]
	for k := range rows {
		for _, apart := range [...]int{n / 2, n / 3, n / 7} {
			a, b := &rows[k], &rows[(k+apart)%n]
			if d := b.i - a.i; math.Abs(d) > 2*leastSwing {
				o.slopes = append(o.slopes, (b.v-a.v)/d)
			}
		}
	}
	if len(o.slopes) < 15 {
		return
	}
	line := straight{ohm: -median(o.slopes)}
	o.off = o.off[:0]
	for _, x := range rows {
		o.off = append(o.off, x.v+line.ohm*x.i)
	}
	line.level = median(o.off)
	// Rows far from the line are left out, and the line is drawn anew through the others, some times.
	within := math.Inf(1)
	for range 4 {
		o.off = o.off[:0]
		for _, x := range rows {
			o.off = append(o.off, line.off(&x))
		}
		within = spoilt * math.Max(perMAD*median(o.off), kinds[PackV].fine/6)
		var s sums
		for _, x := range rows {
			if line.off(&x) <= within {
				s.add(x.t-rows[0].t, x.v, x.i)
			}
		}
		if next, ok := s.line(rows[0].t); ok {
			line = next
		}
	}

	var s sums
	var second reading3
	count, inverse := 0.0, 0.0
	end := func() {
		if count > 0 {
			inverse += 1 / count
			s.add(second.t/count-rows[0].t, second.v/count, second.i/count)
		}
		second, count = reading3{}, 0
	}
	of := math.Inf(-1)
	for _, x := range rows {
		if line.off(&x) > within {
			continue
		}
		if now := math.Floor(x.t / blockS); now != of {
			end()
			of = now
		}
		second = reading3{second.t + x.t, second.v + x.v, second.i + x.i}
		count++
	}
	end()
	// Noise in the amps that is left in the means of seconds adds to the squares; it is known and taken off.
	noise := o.noise(rows, &line, within)
	if ohm, weight := s.slope(); weight > leastSwing*leastSwing*s.n {
		if swing := weight - noise*noise*inverse; swing > weight/2 {
			o.spans = append(o.spans, span{ohm * weight / swing, swing, s.rest(), s.v / s.n, s.i / s.n})
		}
	}
}

// noise is the standard deviation of the amps that the volts do not follow: what jumps from row to row, but no more than would explain how
// far the volts lie off the line.
func (o *ohms) noise(rows []reading3, line *straight, within float64) float64 {
	jumps := func(of func(*reading3) float64) float64 {
		o.off = o.off[:0]
		for k := 1; k+1 < len(rows); k++ {
			a, b, c := &rows[k-1], &rows[k], &rows[k+1]
			if line.off(a) <= within && line.off(b) <= within && line.off(c) <= within {
				o.off = append(o.off, math.Abs(of(a)-2*of(b)+of(c)))
			}
		}
		if len(o.off) == 0 {
			return 0
		}
		return perMAD * median(o.off) / math.Sqrt(6) // 1 + 4 + 1: what independent noise makes of such a difference
	}
	amps := jumps(func(x *reading3) float64 { return x.i })
	return math.Min(amps, jumps(func(x *reading3) float64 { return x.v + line.ohm*x.i })/math.Abs(line.ohm))
}

// sums are those that least squares needs.
type sums struct{ n, t, v, i, tt, tv, ti, vi, ii, vv float64 }

func (s *sums) add(t, v, i float64) {
	s.n, s.t, s.v, s.i = s.n+1, s.t+t, s.v+v, s.i+i
	s.tt, s.tv, s.ti, s.vi, s.ii, s.vv = s.tt+t*t, s.tv+t*v, s.ti+t*i, s.vi+v*i, s.ii+i*i, s.vv+v*v
}

// slope takes out of volts and amps what time explains; the resistance is the slope of what is left, the weight its squares of amps.
func (s *sums) slope() (ohm, weight float64) {
	tt, tv, ti := s.tt-s.t*s.t/s.n, s.tv-s.t*s.v/s.n, s.ti-s.t*s.i/s.n
	vi, ii := s.vi-s.v*s.i/s.n-tv*ti/tt, s.ii-s.i*s.i/s.n-ti*ti/tt
	return -vi / ii, ii
}

// rest is the variance of volts that time and amps leave, with three numbers drawn from the data.
func (s *sums) rest() float64 {
	ohm, weight := s.slope()
	tt, tv := s.tt-s.t*s.t/s.n, s.tv-s.t*s.v/s.n
	return max(0, s.vv-s.v*s.v/s.n-tv*tv/tt-ohm*ohm*weight) / max(1, s.n-3)
}

// straight is volts by time and amps.
type straight struct{ level, fall, ohm, from float64 }

func (l *straight) off(x *reading3) float64 {
	return math.Abs(x.v - l.level - l.fall*(x.t-l.from) + l.ohm*x.i)
}

// line is the straight line through what was summed, time counted from a moment.
func (s *sums) line(from float64) (l straight, ok bool) {
	ohm, weight := s.slope()
	if !(weight > leastSwing*leastSwing*s.n) {
		return l, false
	}
	tt, tv, ti := s.tt-s.t*s.t/s.n, s.tv-s.t*s.v/s.n, s.ti-s.t*s.i/s.n
	fall := (tv + ohm*ti) / tt
	return straight{(s.v + ohm*s.i - fall*s.t) / s.n, fall, ohm, from}, true
}

// tukey is where the weights of J. W. Tukey's biweight reach nothing, in standard deviations: 95 % as good as the mean where nothing is
// spoilt (P. J. Huber, Robust Statistics).
const tukey = 4.685

func (o *ohms) result() *Resistance {
	o.close()
	if len(o.spans) < fewSpans {
		return nil
	}
	r := middleOf(o.spans)
	spans := near(o.spans, r)
	// What each piece leaves of its volts says how sure it is; so does how far the pieces lie apart, which is little to go by where they are few.
	// The larger counts.
	rests := make([]float64, len(spans))
	for j, s := range spans {
		rests[j] = s.rest
	}
	own, n := math.Sqrt(median(rests)), float64(len(spans))
	var sigma, volts float64
	for range 30 {
		// The residuals of the spans in V, weighted by the amps behind them, tell their own spread.
		off := make([]float64, len(spans))
		for j, s := range spans {
			off[j] = math.Abs(s.ohm-r) * math.Sqrt(s.weight)
		}
		scale := max(perMAD*median(off)*math.Sqrt(n/(n-1)), own, 1e-9)
		sum, weight := 0.0, 0.0
		volts = 0
		for _, s := range spans {
			u := math.Abs(s.ohm-r) * math.Sqrt(s.weight) / (scale * tukey)
			w := s.weight * max(0, 1-u*u) * max(0, 1-u*u)
			sum, weight, volts = sum+w*s.ohm, weight+w, volts+w*(s.v+s.i*r)
		}
		next := sum / weight
		volts /= weight
		sigma = scale / math.Sqrt(weight)
		if math.Abs(next-r) <= 1e-9*math.Abs(r) {
			r = next
			break
		}
		r = next
	}
	if !(r > 0) || sigma > r/2 {
		return nil
	}
	return &Resistance{r, math.Hypot(sigma, slopeDoubt*r), volts, len(spans)}
}

// near leaves out the pieces whose volts at rest are far from the usual ones, r being about the resistance: towards empty it rises steeply, and
// the mean of a whole ride's belongs to no charge in particular.
func near(spans []span, r float64) []span {
	volts := make([]float64, len(spans))
	for j, s := range spans {
		volts[j] = s.v + r*s.i
	}
	usual := median(volts)
	var kept []span
	for _, s := range spans {
		if math.Abs(s.v+r*s.i-usual) <= sameCharge*usual {
			kept = append(kept, s)
		}
	}
	if len(kept) < fewSpans {
		return spans
	}
	return kept
}

// middleOf is the weighted median of the spans.
func middleOf(spans []span) float64 {
	list := append([]span(nil), spans...)
	sortBy(list, func(s *span) float64 { return s.ohm })
	sum := 0.0
	for _, s := range list {
		sum += s.weight
	}
	half := 0.0
	for _, s := range list {
		if half += s.weight; half >= sum/2 {
			return s.ohm
		}
	}
	return list[len(list)-1].ohm
}
