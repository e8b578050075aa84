package ridecheck

import (
	"math"

	"headroom/core/balance"
	"headroom/core/build"
	"headroom/core/pack"
	"headroom/core/ride"
	"headroom/core/solve"
	"headroom/core/wire"
)

// model is the board as planned, with some of its inputs moved.
type model struct {
	b       build.Build
	p       build.Parts
	forward float64 // m by which the center of mass is further forward than the parts make it
	board   ride.Board
}

// settle makes the board of what the inputs are now.
func (m *model) settle() { m.board = ride.NewBoard(&m.b, &m.p) }

// direct is the resistance in Ω that stands behind a voltage which was read under load: none, but small enough for the currents to come out.
const direct = 1e-6

// source is the pack as a measurement found it.
func (m *model) source(a *At) pack.Source {
	switch {
	case a.BusV > 0:
		return pack.Source{OpenCircuit: a.BusV, Resistance: direct}
	case a.RestV > 0:
		src := m.board.Pack.At(m.charge(a.RestV, 0))
		src.OpenCircuit = a.RestV
		return src
	}
	return m.board.Pack.At(a.Charge)
}

// charge is the state of charge at which the pack rests at a voltage in V, or the given one where there is no voltage.
func (m *model) charge(rest, given float64) float64 {
	if rest <= 0 {
		return given
	}
	return solve.Root(func(z float64) float64 { return m.board.Pack.At(z).OpenCircuit - rest }, 0, 1, 1e-10)
}

// predict is what the model says a measurement reads, SI. ok is false where the board cannot do what was measured at all.
func (m *model) predict(k *Measurement) (value float64, ok bool) {
	a := &k.At
	switch k.Kind {
	case Rollout:
		return 2 * math.Pi * m.board.Road.Tire.RollingRadius, true
	case BoardMass:
		return m.p.BoardMass, true
	case NoseMass, TailMass:
		return m.endMass(k.Kind), true
	case PhaseOhm:
		return m.p.Motor.Resistance * wire.Heated(a.Celsius), true
	case LeadsOhm:
		return 2 * m.p.Motor.Resistance * wire.Heated(a.Celsius), true
	case FreeSpin, FreeSpinTurns, FreeSpinAmps:
		return m.free(k)
	case LoadedVolts:
		src := m.source(a)
		return src.Under(a.Amps), true
	case PackResistance:
		return m.source(a).Resistance, true
	case Capacity:
		from, to := m.charge(a.RestV, a.Charge), m.charge(a.EndV, a.EndCharge)
		return m.board.Pack.CapacityAh * hour * (from - to), true
	case Duty, BatteryAmps:
		return m.steady(k)
	case EnergyUsed, ChargeUsed:
		return m.used(k)
	}
	return 0, false
}

// endMass is what a scale under one end shows, kg, with the board level on both: moments about the other end.
func (m *model) endMass(k Kind) float64 {
	at := balance.Of(&m.b, &m.p, m.board.Road.Tire.LoadedRadius).ForwardMm*milli + m.forward
	nose := m.p.BoardMass * (m.b.Tail + at) / (m.b.Nose + m.b.Tail)
	if k == NoseMass {
		return nose
	}
	return m.p.BoardMass - nose
}

// free is the lifted wheel at the highest duty.
func (m *model) free(k *Measurement) (float64, bool) {
	src, d := m.source(&k.At), m.board.Drive
	omega := 0.0
	if k.At.Weakened {
		omega = d.FreeSpinWeakened(src)
	} else {
		d.WeakenA = 0
		omega = d.FreeSpin(src)
	}
	switch k.Kind {
	case FreeSpin:
		return m.board.Road.Tire.Speed(omega), omega > 0
	case FreeSpinTurns:
		return omega, omega > 0
	}
	p, ok := d.At(src, omega, 0)
	return p.BusW / p.BusV, ok && omega > 0
}

// steady is a speed held on a grade.
func (m *model) steady(k *Measurement) (float64, bool) {
	v := k.At.Speed
	p, ok := m.board.Drive.At(m.source(&k.At), m.board.Road.Omega(v), m.board.Road.Torque(v, k.At.Grade))
	if k.Kind == Duty {
		return p.Duty, ok
	}
	return p.BusW / p.BusV, ok
}

// used is what a ride took.
func (m *model) used(k *Measurement) (float64, bool) {
	p := ride.Steady(&m.board, k.At.Speed, k.At.Grade)
	if k.At.Speed == 0 {
		p = ride.NewProfile(&m.b, &m.board)
	}
	coulombs, joules, ok := m.board.Used(&p, m.charge(k.At.RestV, k.At.Charge), k.At.Meters)
	if k.Kind == ChargeUsed {
		return coulombs, ok
	}
	return joules, ok
}
