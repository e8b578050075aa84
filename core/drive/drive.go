// Package drive is battery, controller and motor together: what one operating point costs, and what is left.
//
//	duty  = |v|/(V/√3)                               |v| = √(v_d² + v_q²), linear (space-vector) modulation limit V/√3
//	P_inv = 1.5·R_on·I² + k_sw·V·I + P₀              I = √(i_d² + i_q²)
//	P_bus = 1.5·(v_d·i_d + v_q·i_q) + P_inv
//	V     = (E + √(E² − 4·R·P_bus))/2                the pack sags under its own load, and rises while braking
//
// so that P_bus = copper + T_em·ω + inverter and T_em·ω = iron drag·ω + shaft power, exactly.
//
// Field weakening is set by two numbers, a current I_fw and the duty d_fw where it begins:
//
//	i_d = −I_fw·clamp((duty − d_fw)/(d_max − d_fw), 0, 1)      solved together with the sag
//
// and where the wheel wants more than that point can give, any −I_fw ≤ i_d ≤ 0 may be used to find the largest torque. Largest
// torque follows the current circle and voltage ellipse of any text on the control of permanent-magnet machines (S. Morimoto et
// al., IEEE Trans. Ind. Appl. 26 (1990) 866; worked examples A to C and pmsm_envelope.csv in testdata): maximum torque per ampere
// while currents bind, along the voltage limit beyond.
//
// Currents are peak phase amperes. What this leaves out: dead time and minimum pulse width (they are inside the highest duty the
// user sets), overmodulation, and the ripple of the bus voltage.
package drive

import (
	"math"

	"headroom/core/build"
	"headroom/core/motor"
	"headroom/core/pack"
)

// Bound names what stops the torque from growing.
type Bound string

// The bounds of the torque at a speed.
const (
	ByPhase     Bound = "phase current"
	ByWinding   Bound = "winding temperature"
	ByBattery   Bound = "battery current"
	ByCells     Bound = "cell current"
	ByCutoff    Bound = "low-voltage cut-off"
	ByPower     Bound = "pack power"
	ByDuty      Bound = "duty"
	ByWeakening Bound = "field-weakening current"
	ByRegen     Bound = "regeneration limit"
	ByBusV      Bound = "controller voltage"
)

// Drive is a motor behind a controller with its settings.
type Drive struct {
	Motor        motor.Motor
	OnResistance float64 // Ω of one conducting switch
	SwitchingK   float64 // inverter loss per volt of bus and peak phase ampere
	StandbyW     float64
	PhaseLimit   float64 // A peak
	PhaseBound   Bound   // what set PhaseLimit: ByPhase, or ByWinding once it is derated
	BatteryLimit float64 // A
	BatteryBound Bound   // ByBattery, or ByCells where the cells were asked to limit
	RegenLimit   float64 // A into the battery, ≥ 0
	MaxDuty      float64 // fraction of V/√3
	CutoffV      float64 // V
	AbsoluteV    float64 // V that braking may not pass
	WeakenA      float64 // I_fw, A ≥ 0
	WeakenDuty   float64 // d_fw, fraction

	// crest is the q current in A where maximum torque per ampere meets the phase limit. It depends on no speed and no charge, so New
	// finds it once, for the limits as they are then; 0 has it found at each use.
	crest float64
}

// New makes the drive of a build.
func New(b *build.Build, p *build.Parts) Drive {
	d := Drive{
		Motor:        motor.New(p.Motor, b.WindingC),
		OnResistance: p.Controller.OnResistance,
		SwitchingK:   p.Controller.SwitchingK,
		StandbyW:     p.Controller.StandbyW,
		PhaseLimit:   b.PhaseLimit,
		PhaseBound:   ByPhase,
		BatteryLimit: b.BatteryLimit,
		BatteryBound: ByBattery,
		RegenLimit:   b.RegenLimit,
		MaxDuty:      b.MaxDuty,
		CutoffV:      p.CutoffV,
		AbsoluteV:    math.Min(p.Controller.AbsoluteV, p.OverV),
		WeakenA:      min(b.WeakenA, b.PhaseLimit), // a controller spends no more on it than it may have in all
		WeakenDuty:   b.WeakenDuty,
	}
	if cells := float64(b.Parallel) * p.Cell.PeakA; b.CellsLimit == build.On && cells < d.BatteryLimit {
		d.BatteryLimit, d.BatteryBound = cells, ByCells
	}
	if share := Derating(b.WindingC, b.DerateC, b.LimitC); share < 1 {
		d.PhaseLimit, d.PhaseBound = d.PhaseLimit*share, ByWinding
		d.WeakenA = min(d.WeakenA, d.PhaseLimit)
	}
	d.Motor.SaturationA = max(d.Motor.SaturationA, d.Motor.LeastSaturation(d.WeakenA))
	// A duty to begin at that is never reached would leave the setting without effect while driving and yet let the largest torque use
	// it; it begins a hundredth below the highest at the latest.
	d.WeakenDuty = min(d.WeakenDuty, d.MaxDuty-0.01)
	d.crest = d.findCrest()
	return d
}

// Derating is the share of the phase current that a controller leaves a winding at a temperature: all of it up to from, none at to,
// on a straight line between (the usual setting of controllers; common practice, no published source).
func Derating(celsius, from, to float64) float64 {
	if to <= from {
		from = to - 1
	}
	return min(1, max(0, (to-celsius)/(to-from)))
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

// Phase is the phase current in A peak.
func (p *Point) Phase() float64 { return math.Hypot(p.Id, p.Iq) }

// bus is the electrical side of a point. ok is false where the pack cannot carry the power.
func (d *Drive) bus(src pack.Source, omega, id, iq float64) (p Point, ok bool) {
	m := &d.Motor
	vd, vq := m.Voltage(m.PolePairs*omega, id, iq)
	i2 := id*id + iq*iq
	i := math.Sqrt(i2)
	motorW := 1.5 * (vd*id + vq*iq)
	fixed := motorW + 1.5*d.OnResistance*i2 + d.StandbyW
	// P_bus = fixed + k_sw·I·V makes V² − (E − R·k_sw·I)·V + R·fixed = 0: the same source with a lower open-circuit voltage.
	k := d.SwitchingK * i
	v, _, ok := pack.Source{OpenCircuit: src.OpenCircuit - src.Resistance*k, Resistance: src.Resistance}.UnderPower(fixed)
	drag := m.Drag(omega)
	return Point{
		Omega:    omega,
		Torque:   m.Torque(id, iq) - drag,
		Id:       id,
		Iq:       iq,
		Duty:     math.Sqrt(3*(vd*vd+vq*vq)) / v,
		BusV:     v,
		BusA:     (src.OpenCircuit - v) / src.Resistance,
		BusW:     fixed + k*v,
		Copper:   1.5 * m.Resistance * i2,
		Iron:     drag * omega,
		Inverter: fixed - motorW + k*v,
	}, ok && v > 0
}

// with is the point of a shaft torque at a d current. ok is false where saturation or the pack's power forbids it.
func (d *Drive) with(src pack.Source, omega, torque, id float64) (Point, bool) {
	iq, reachable := d.Motor.CurrentFor(torque+d.Motor.Drag(omega), id)
	if !reachable {
		return Point{Omega: omega}, false
	}
	return d.bus(src, omega, id, iq)
}
