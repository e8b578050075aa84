package drive

import (
	"math"

	"headroom/core/pack"
	"headroom/core/solve"
)

// At returns the operating point that gives a shaft torque in N·m at a mechanical speed in rad/s ≥ 0, weakened as the two settings
// say. ok is false where saturation or the pack's power forbids it; limits of the controller are not applied here.
func (d *Drive) At(src pack.Source, omega, torque float64) (p Point, ok bool) {
	p, quiet, ok := d.ruled(src, omega, torque)
	if d.WeakenA == 0 || ok && p.Duty <= d.MaxDuty {
		return p, ok
	}
	return d.leastDuty(src, omega, torque, quiet, p, ok)
}

// Ruled is At by the two settings and nothing else: its duty may be past the highest. At comes down from there where less weakening will do, so
// that its duty may fall with speed; this one's only rises while the wheel is driven.
func (d *Drive) Ruled(src pack.Source, omega, torque float64) (p Point, ok bool) {
	p, _, ok = d.ruled(src, omega, torque)
	return p, ok
}

// ruled is Ruled, with the d current of least duty where the field is weakened.
func (d *Drive) ruled(src pack.Source, omega, torque float64) (p Point, quiet float64, ok bool) {
	p, ok = d.with(src, omega, torque, 0)
	if d.WeakenA == 0 || ok && p.Duty <= d.WeakenDuty {
		return p, 0, ok
	}
	// The rule asks for 0 at i_d = 0 or less, and for no more than −I_fw there: a bracket, whatever the duty does between. Where duty
	// falls all the way to −I_fw there is one answer; past the magnet's flux there may be three, and the one nearest to no weakening
	// counts: down to the quietest current duty only falls, so that part holds at most one.
	rule := func(id float64) float64 {
		q, ok := d.with(src, omega, torque, id)
		return id + d.WeakenA*d.weakening(q, ok)
	}
	quiet = d.quietD(src, omega, torque)
	low, high := quiet, 0.0
	if rule(quiet) > 0 {
		// Beyond it duty rises, ever faster: what the rule asks for, less what there is, is convex, and its first zero lies before its
		// lowest point.
		low, high = -d.WeakenA, quiet
		below := func(id float64) float64 {
			q, ok := d.with(src, omega, torque, id)
			if !ok {
				return -1e6 * (1 - id)
			}
			return -(id + d.WeakenA*(q.Duty-d.WeakenDuty)/(d.MaxDuty-d.WeakenDuty))
		}
		if bottom, depth := solve.Max(below, low, high, 1e-7*d.WeakenA); depth >= 0 {
			low = bottom
		}
	}
	p, ok = d.with(src, omega, torque, solve.Root(rule, low, high, 1e-9*d.WeakenA))
	return p, quiet, ok
}

// weakening is the share of I_fw that the rule asks for at a point.
func (d *Drive) weakening(p Point, ok bool) float64 {
	if !ok { // as if its duty were beyond all
		return 1
	}
	return min(1, max(0, (p.Duty-d.WeakenDuty)/(d.MaxDuty-d.WeakenDuty)))
}

// leastDuty finds the d current that the rule missed because I_fw reaches past the magnet's flux: the smallest that brings duty to its
// highest, else the quietest. p is the rule's own point.
func (d *Drive) leastDuty(src pack.Source, omega, torque, quiet float64, p Point, ok bool) (Point, bool) {
	q, qok := d.with(src, omega, torque, quiet)
	if !qok || ok && q.Duty >= p.Duty {
		return p, ok
	}
	over := d.overDuty(src, omega, torque)
	if q.Duty < d.MaxDuty && over(0) > 0 {
		return d.with(src, omega, torque, solve.Root(over, quiet, 0, 1e-9*d.WeakenA))
	}
	return q, qok
}

// overDuty is by how much duty passes the highest, by d current; by all of it where the torque cannot be carried.
func (d *Drive) overDuty(src pack.Source, omega, torque float64) func(id float64) float64 {
	return func(id float64) float64 {
		p, ok := d.with(src, omega, torque, id)
		if !ok {
			return 1
		}
		return p.Duty - d.MaxDuty
	}
}

// quietD is the d current, down to −I_fw, that makes the least duty at a shaft torque. Duty falls with weakening to one lowest point and
// rises beyond it; the usual I_fw stops before that point, and one look beside it tells.
func (d *Drive) quietD(src pack.Source, omega, torque float64) float64 {
	low := d.deepest()
	fall := func(id float64) float64 {
		p, ok := d.with(src, omega, torque, id)
		if !ok {
			return -1e6 * (1 - id) // cannot be carried; the less weakening, the nearer to what can
		}
		return -p.Duty
	}
	if fall(low) >= fall(low*(1-1e-4)) {
		return low
	}
	id, _ := solve.Max(fall, low, 0, 1e-6*-low)
	return id
}

// FreeSpin returns the mechanical speed in rad/s at which duty reaches its highest with nothing but iron drag on the wheel and no
// field weakening; 0 for a motor that cannot overcome its own drag.
func (d *Drive) FreeSpin(src pack.Source) float64 {
	return d.spinning(src, func(omega float64) (Point, bool) { return d.with(src, omega, 0, 0) })
}

// FreeSpinWeakened is FreeSpin with the field weakened by as much of I_fw as lowers the duty: all of it, unless it reaches past the
// magnet's flux.
func (d *Drive) FreeSpinWeakened(src pack.Source) float64 {
	if d.WeakenA == 0 {
		return d.FreeSpin(src)
	}
	return d.spinning(src, func(omega float64) (Point, bool) { return d.with(src, omega, 0, d.quietD(src, omega, 0)) })
}

// spinning finds the speed at which the points of a lifted wheel reach the highest duty.
func (d *Drive) spinning(src pack.Source, point func(omega float64) (Point, bool)) float64 {
	spare := func(omega float64) float64 {
		p, ok := point(omega)
		if !ok {
			return -1
		}
		return d.MaxDuty - p.Duty
	}
	if spare(0) <= 0 {
		return 0
	}
	// Without drag, resistance, sag and weakening duty would be reached here. The first three bring it sooner; weakening, and
	// saturation under a strong drag, later. A flux weakened to nothing has no such speed at all: the search ends far beyond any.
	ideal := d.MaxDuty * src.OpenCircuit / (math.Sqrt(3) * d.Motor.PolePairs * d.Motor.Flux)
	top := ideal
	for range 6 {
		if spare(top) <= 0 {
			break
		}
		top *= 2
	}
	return solve.Root(spare, 0, top, 1e-10*ideal)
}

// WeakeningTo returns the least field-weakening current in A, up to most, with which a lifted wheel reaches a mechanical speed in rad/s ≥ 0 at
// the highest duty; ok is false where none does. It is FreeSpinWeakened the other way round.
func (d *Drive) WeakeningTo(src pack.Source, omega, most float64) (amps float64, ok bool) {
	spare := func(amps float64) float64 {
		p, ok := d.with(src, omega, 0, -amps)
		if !ok {
			return -1
		}
		return d.MaxDuty - p.Duty
	}
	if spare(0) >= 0 {
		return 0, true
	}
	// Past the magnet's flux the duty rises again; the quietest current is found as for any other point.
	deep := *d
	deep.WeakenA = most
	quiet := -deep.quietD(src, omega, 0)
	if spare(quiet) < 0 {
		return 0, false
	}
	return solve.Root(spare, 0, quiet, 1e-6*most), true
}

// BackEMF returns the peak line-to-line voltage in V that the magnets alone make at a mechanical speed in rad/s: √3·ω_e·λ. When the
// controller stops weakening at that speed, this is what meets the bus (T. M. Jahns and V. Caliskan, IEEE Trans. Ind. Appl. 35
// (1999) 347: uncontrolled generation).
func (d *Drive) BackEMF(omega float64) float64 {
	return math.Sqrt(3) * d.Motor.PolePairs * omega * d.Motor.Flux
}
