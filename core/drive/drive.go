// Package drive is battery, controller and motor together: what one operating point costs, and what is left.
//
//	duty  = |v|/(V/√3)                               |v| = √(v_d² + v_q²), linear (space-vector) modulation limit V/√3
//	P_inv = 1.5·R_on·I² + k_sw·V·I + P₀              I = √(i_d² + i_q²)
//	P_bus = 1.5·(v_d·i_d + v_q·i_q) + P_inv
//	V     = (E + √(E² − 4·R·P_bus))/2                the pack sags under its own load
//
// so that P_bus = copper + T_em·ω + inverter and T_em·ω = iron drag·ω + shaft power, exactly.
//
// Source of the modulation limit and loss forms: the worked examples and section 5 of the references in testdata. Currents are
// peak phase amperes. This package works at i_d = 0.
//
// What this leaves out: dead time and minimum pulse width (they are inside the highest duty the user sets), and the ripple of
// the bus voltage.
package drive

import (
	"math"

	"headroom/core/build"
	"headroom/core/motor"
	"headroom/core/pack"
	"headroom/core/solve"
)

// Bound names what stops the torque from growing.
type Bound string

// The bounds of the torque at a speed.
const (
	ByPhase   Bound = "phase current"
	ByBattery Bound = "battery current"
	ByCutoff  Bound = "low-voltage cut-off"
	ByPower   Bound = "pack power"
	ByDuty    Bound = "duty"
)

// Drive is a motor behind a controller with its settings.
type Drive struct {
	Motor        motor.Motor
	OnResistance float64 // Ω of one conducting switch
	SwitchingK   float64 // inverter loss per volt of bus and peak phase ampere
	StandbyW     float64
	PhaseLimit   float64 // A peak
	BatteryLimit float64 // A
	MaxDuty      float64 // fraction of V/√3
	CutoffV      float64 // V
}

// New makes the drive of a build.
func New(b *build.Build, p *build.Parts) Drive {
	d := Drive{
		Motor:        motor.New(p.Motor, b.WindingC),
		OnResistance: p.Controller.OnResistance,
		SwitchingK:   p.Controller.SwitchingK,
		StandbyW:     p.Controller.StandbyW,
		PhaseLimit:   b.PhaseLimit,
		BatteryLimit: b.BatteryLimit,
		MaxDuty:      b.MaxDuty,
		CutoffV:      p.CutoffV,
	}
	d.Motor.SaturationA = math.Max(d.Motor.SaturationA, d.Motor.LeastSaturation(0))
	return d
}

// Point is one operating point. Powers are W, positive while driving.
type Point struct {
	Omega    float64 // rad/s, mechanical
	Torque   float64 // N·m at the shaft
	Id, Iq   float64 // A peak
	Duty     float64 // fraction of V/√3; may pass 1 where the point cannot be reached
	BusV     float64
	BusA     float64
	BusW     float64
	Copper   float64
	Iron     float64
	Inverter float64
}

// bus is the electrical side of a point with i_d = 0 and q current iq. ok is false where the pack cannot carry the power.
func (d *Drive) bus(src pack.Source, omega, iq float64) (p Point, ok bool) {
	m := &d.Motor
	vd, vq := m.Voltage(m.PolePairs*omega, 0, iq)
	i := math.Abs(iq)
	fixed := 1.5*vq*iq + 1.5*d.OnResistance*i*i + d.StandbyW
	// P_bus = fixed + k_sw·I·V makes V² − (E − R·k_sw·I)·V + R·fixed = 0: the same source with a lower open-circuit voltage.
	k := d.SwitchingK * i
	v, _, ok := pack.Source{OpenCircuit: src.OpenCircuit - src.Resistance*k, Resistance: src.Resistance}.UnderPower(fixed)
	p = Point{
		Omega:    omega,
		Iq:       iq,
		BusV:     v,
		BusA:     (src.OpenCircuit - v) / src.Resistance,
		Duty:     math.Sqrt(3*(vd*vd+vq*vq)) / v,
		Copper:   1.5 * m.Resistance * i * i,
		Inverter: fixed - 1.5*vq*iq + k*v,
	}
	p.BusW = fixed + k*v
	drag := m.Drag(omega)
	p.Iron = drag * omega
	p.Torque = m.Torque(0, iq) - drag
	return p, ok && v > 0
}

// At returns the operating point that gives a shaft torque in N·m at a mechanical speed in rad/s ≥ 0. ok is false where
// saturation or the pack's power forbids it; limits of the controller are not applied here.
func (d *Drive) At(src pack.Source, omega, torque float64) (p Point, ok bool) {
	iq, reachable := d.Motor.CurrentFor(torque+d.Motor.Drag(omega), 0)
	if !reachable {
		return Point{Omega: omega}, false
	}
	return d.bus(src, omega, iq)
}

// MaxTorque returns the operating point of the largest driving shaft torque at a speed in rad/s ≥ 0 within every limit, and
// the limit that bound it. Where not even the wheel's own drag can be overcome the point has no current and its torque is
// minus the iron drag.
func (d *Drive) MaxTorque(src pack.Source, omega float64) (Point, Bound) {
	none := Point{Omega: omega, Torque: -d.Motor.Drag(omega), BusV: src.OpenCircuit}
	idle, ok := d.bus(src, omega, 0)
	amps, bound := d.busLimit(src)
	switch {
	case !ok || idle.BusA > amps:
		return none, bound
	case idle.Duty > d.MaxDuty:
		return none, ByDuty
	}

	iq, by := d.PhaseLimit, ByPhase
	// Bus power grows with i_q, so the bus limits hold up to one current. At that current the bus stands at a known voltage.
	v := src.Under(amps)
	spare := func(iq float64) float64 {
		_, vq := d.Motor.Voltage(d.Motor.PolePairs*omega, 0, iq)
		return v*amps - (1.5*vq*iq + 1.5*d.OnResistance*iq*iq + d.SwitchingK*iq*v + d.StandbyW)
	}
	if spare(iq) < 0 {
		iq, by = inside(spare, iq), bound
	}
	point, _ := d.bus(src, omega, iq)
	if point.Duty > d.MaxDuty {
		voltage := func(iq float64) float64 {
			q, _ := d.bus(src, omega, iq)
			return d.MaxDuty - q.Duty
		}
		iq, by = inside(voltage, iq), ByDuty
		point, _ = d.bus(src, omega, iq)
	}
	return point, by
}

// inside returns the current between 0 and high where spare reaches zero, stepped back by the solver's tolerance so that no limit
// is passed even in the last digit.
func inside(spare func(float64) float64, high float64) float64 {
	tol := 1e-9 * high
	return math.Max(0, solve.Root(spare, 0, high, tol)-tol)
}

// busLimit returns the largest battery current in A and what sets it.
func (d *Drive) busLimit(src pack.Source) (float64, Bound) {
	amps, by := d.BatteryLimit, ByBattery
	if a := src.OpenCircuit / (2 * src.Resistance); a < amps {
		amps, by = a, ByPower
	}
	if a := (src.OpenCircuit - d.CutoffV) / src.Resistance; a < amps {
		amps, by = math.Max(a, 0), ByCutoff
	}
	return amps, by
}

// FreeSpin returns the mechanical speed in rad/s at which duty reaches its highest with nothing but iron drag on the wheel; 0 for a
// motor that cannot overcome its own drag.
func (d *Drive) FreeSpin(src pack.Source) float64 {
	spare := func(omega float64) float64 {
		p, ok := d.At(src, omega, 0)
		if !ok {
			return -1
		}
		return d.MaxDuty - p.Duty
	}
	if spare(0) <= 0 {
		return 0
	}
	// Without drag, resistance and sag duty would be reached here. They bring it sooner; saturation under a strong drag, later.
	ideal := d.MaxDuty * src.OpenCircuit / (math.Sqrt(3) * d.Motor.PolePairs * d.Motor.Flux)
	top := ideal
	for range 8 {
		if spare(top) <= 0 {
			break
		}
		top *= 2
	}
	return solve.Root(spare, 0, top, 1e-10*ideal)
}
