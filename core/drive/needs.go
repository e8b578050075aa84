package drive

import (
	"headroom/core/pack"
	"headroom/core/solve"
)

// LeastDuty returns the least duty (fraction) at which a shaft torque in N·m can be had at a mechanical speed in rad/s ≥ 0: with as much of
// I_fw as lowers it. ok is false where saturation or the pack's power forbids it. The controller's limits are not applied.
func (d *Drive) LeastDuty(src pack.Source, omega, torque float64) (duty float64, ok bool) {
	id := 0.0
	if d.WeakenA > 0 {
		id = d.quietD(src, omega, torque)
	}
	p, ok := d.with(src, omega, torque, id)
	return p.Duty, ok
}

// LeastCurrent returns the operating point that gives a shaft torque in N·m at a mechanical speed in rad/s ≥ 0 with the least phase current
// within the highest duty, and so with the least power too. Where no d current brings the duty down that far it is the one of least duty. Limits
// of current and of the bus are not applied; ok is false where saturation or the pack's power forbids it.
func (d *Drive) LeastCurrent(src pack.Source, omega, torque float64) (p Point, ok bool) {
	low := d.deepest()
	if low == 0 {
		return d.with(src, omega, torque, 0)
	}
	id := 0.0
	if d.Motor.Ld != d.Motor.Lq {
		id, _ = solve.Max(func(id float64) float64 {
			iq, reachable := d.Motor.CurrentFor(torque+d.Motor.Drag(omega), id)
			if !reachable {
				return -1e12 * (1 - id)
			}
			return -(id*id + iq*iq)
		}, low, 0, 1e-6*-low)
	}
	p, ok = d.with(src, omega, torque, id)
	if ok && p.Duty <= d.MaxDuty {
		return p, ok
	}
	quiet := d.quietD(src, omega, torque)
	q, fine := d.with(src, omega, torque, quiet)
	if !fine || q.Duty >= d.MaxDuty {
		return q, fine
	}
	return d.with(src, omega, torque, solve.Root(d.overDuty(src, omega, torque), quiet, id, 1e-9*-low))
}

// PushedBack returns the most battery current in A ≥ 0 that braking pushes back on the way from no torque to a shaft torque in N·m < 0, at a
// mechanical speed in rad/s ≥ 0: the least regeneration limit that lets MaxBraking reach it, where duty does not bind. ok is false where saturation forbids it.
func (d *Drive) PushedBack(src pack.Source, omega, torque float64) (amps float64, ok bool) {
	back := func(torque float64) float64 {
		p, ok := d.LeastCurrent(src, omega, torque)
		if !ok {
			return 0
		}
		return -p.BusA
	}
	at, ok := d.LeastCurrent(src, omega, torque)
	if !ok {
		return 0, false
	}
	amps = -at.BusA
	// Past some torque copper eats more than the wheel gives, and less is pushed back than before.
	if back(torque*(1-1e-3)) > amps {
		_, amps = solve.Max(back, torque, 0, 1e-6*-torque)
	}
	return max(0, amps), true
}
