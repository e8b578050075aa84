package ride

import (
	"math"

	"headroom/core/pack"
	"headroom/core/road"
)

// Needs is the least that each limit of the controller must give for a ride to be held with a reserve, whatever the others are.
type Needs struct {
	Duty     float64 // fraction of V/√3
	PhaseA   float64 // A peak
	BatteryA float64 // A
	BusV     float64 // V, the lowest that the bus falls to
}

// And returns what both ask for.
func (n Needs) And(m Needs) Needs {
	return Needs{math.Max(n.Duty, m.Duty), math.Max(n.PhaseA, m.PhaseA), math.Max(n.BatteryA, m.BatteryA), math.Min(n.BusV, m.BusV)}
}

// Needs returns what a profile asks for with the pack as src and a reserve in m of center of pressure. Phase current, battery current and
// cut-off of the drive are not applied. ok is false where saturation or the pack's power forbids one of its moments: no setting gives it then.
func (b *Board) Needs(src pack.Source, p *Profile, shift float64) (n Needs, ok bool) {
	n.BusV = src.OpenCircuit
	d := &b.Drive
	for i := range p.moments {
		m := &p.moments[i]
		torque := m.torque + shift*b.Road.Rider*road.Gravity
		if torque <= -d.Motor.Drag(m.omega) { // the wheel's own drag is enough
			continue
		}
		at, ok := d.LeastCurrent(src, m.omega, torque)
		if !ok {
			return Needs{}, false
		}
		duty := at.Duty
		if d.WeakenA > 0 { // more weakening may lower it further
			if duty, ok = d.LeastDuty(src, m.omega, torque); !ok {
				return Needs{}, false
			}
		}
		n.Duty, n.PhaseA = math.Max(n.Duty, duty), math.Max(n.PhaseA, at.Phase())
		n.BatteryA, n.BusV = math.Max(n.BatteryA, at.BusA), math.Min(n.BusV, at.BusV)
	}
	return n, true
}

// BrakeNeed returns the regeneration limit in A that a steady way down (rise over run, negative) at a speed in m/s asks for; reserve in m of
// center of pressure is braking to spare. ok is false where saturation forbids it.
func (b *Board) BrakeNeed(src pack.Source, v, grade, reserve float64) (amps float64, ok bool) {
	torque := b.Road.Torque(v, grade) - reserve*b.Road.Rider*road.Gravity
	omega := b.Road.Omega(v)
	if torque >= -b.Drive.Motor.Drag(omega) {
		return 0, true
	}
	return b.Drive.PushedBack(src, omega, torque)
}

// Holds tells whether braking within every limit holds a steady way down as in BrakeNeed.
func (b *Board) Holds(src pack.Source, v, grade, reserve float64) bool {
	p, _ := b.Drive.MaxBraking(src, b.Road.Omega(v))
	return b.Road.Torque(v, grade)-reserve*b.Road.Rider*road.Gravity >= p.Torque
}
