package ridelog

import "math"

// carryS is the longest blank in s over which a figure is carried on for the sums: what a logger writes by turns, or once a second, with
// something to spare. Engineering judgment with no published source.
const carryS = 1.25

// carried are the quantities that are summed.
var carried = [...]Quantity{Speed, PackV, BatteryA, PhaseA, Power}

// carrier holds the last figure of each.
type carrier struct {
	last, at Row
	has      [quantities]bool
}

// fill returns a row with its short blanks filled by what stood before them, and with the battery's power.
func (c *carrier) fill(row *Row, byPower bool) Row {
	out := *row
	for _, q := range carried {
		switch v := row[q]; {
		case !math.IsNaN(v):
			c.last[q], c.at[q], c.has[q] = v, row[Time], true
		case c.has[q] && row[Time]-c.at[q] <= carryS:
			out[q] = c.last[q]
		}
	}
	if byPower {
		out[BatteryA] = out[Power] / out[PackV]
	} else {
		out[Power] = out[PackV] * out[BatteryA]
	}
	return out
}

// rideSums are what is summed over a ride by the trapezoid rule: not across gaps, nor where a figure is missing for long.
type rideSums struct {
	seconds, moving, sped, meters float64
	out, back, powered            float64
	charge, charged               float64
	bySpeed, byCounter            paired

	counted            float64
	hasCounter         bool
	counter, countedAt float64 // the last distance read, and when
	// Since the counter last went on: the s, those with a known power, and the J out in them.
	wait, waitPowered, waitJ float64
}

// paired is energy with the way that it was spent on.
type paired struct{ j, m float64 }

// between sums over the time between two rows.
func (s *rideSums) between(a, b *Row, dt float64) {
	s.seconds = b[Time]
	s.wait += dt
	if dt > gapS {
		return
	}
	v, w := (a[Speed]+b[Speed])/2, (a[Power]+b[Power])/2
	if !math.IsNaN(v) {
		s.sped += dt
		s.meters += v * dt
		if v > walk {
			s.moving += dt
		}
	}
	if !math.IsNaN(w) {
		s.powered += dt
		s.waitPowered += dt
		s.waitJ += w * dt
		if w > 0 {
			s.out += w * dt
		} else {
			s.back -= w * dt
		}
	}
	if !math.IsNaN(v + w) {
		s.bySpeed.j += w * dt
		s.bySpeed.m += v * dt
	}
	if i := (a[BatteryA] + b[BatteryA]) / 2; !math.IsNaN(i) {
		s.charged += dt
		s.charge += i * dt
	}
}

// coarsest is the step of the coarsest distance counter, a tenth of a mile and a little, m.
const coarsest = 200

// count follows the distance counter. One that begins anew, or leaps further than a board goes, adds nothing. Energy belongs to the way since
// the counter last went on, as far as the power is known in that time.
func (s *rideSums) count(row *Row) {
	d := row[Distance]
	if math.IsNaN(d) {
		return
	}
	on, dt := d-s.counter, row[Time]-s.countedAt
	if s.hasCounter && on > 0 && on < kinds[Speed].hi*dt+coarsest {
		s.counted += on
		if s.wait > 0 {
			s.byCounter.m += on * s.waitPowered / s.wait
			s.byCounter.j += s.waitJ
		}
	}
	if !s.hasCounter || on != 0 {
		s.wait, s.waitPowered, s.waitJ = 0, 0, 0
	}
	s.counter, s.countedAt, s.hasCounter = d, row[Time], true
}

func (s *rideSums) finish(r *Ride) {
	r.Seconds, r.Moving, r.SpeedS = s.seconds, s.moving, s.sped
	r.Meters = s.meters
	by := s.bySpeed
	if s.hasCounter && s.counted > 0 {
		r.Meters, r.ByCounter, by = s.counted, true, s.byCounter
	}
	r.Out, r.Back, r.Powered, r.PoweredS = s.out, s.back, s.powered > 0, s.powered
	r.Charge, r.ChargedS = s.charge, s.charged
	r.PairedJ, r.PairedM = by.j, by.m
}
