package core

import (
	"math"

	"headroom/core/drive"
	"headroom/core/pack"
	"headroom/core/road"
)

const (
	sourceMotor   = "P. C. Krause, Analysis of Electric Machinery: d-q equations of the permanent-magnet machine. The saturation factor s is an engineering form made here, no published source."
	sourceReserve = "Derived here from the balance of a single-wheel board: the deck stays level only while motor torque meets foot pressure, T = m·g·x."
)

const whyCeiling = "v: highest level-ground speed with\n" +
	"x ≥ x_want and d ≤ d_want\n" +
	"x = 1000·(T_max − T_load)/(m_r·g)\n" +
	"d = 100·√3·v_s/V" + linesPush

const validCeiling = "Level ground, steady speed, the wind and surface you set. A bump, a climb or leaning into a push needs torque besides: that is what the wanted reserve is for."

// Symbols of the motor's equations, in lines that several figures share.
const (
	linesVoltage = "v_s = √(v_d² + v_q²)\n" +
		"v_d = R·i_d − ω_e·s·L_q·i_q\n" +
		"v_q = R·i_q + ω_e·s·(λ + L_d·i_d)\n" +
		linesSaturation
	linesTorque = "T_em = 1.5·p·s·i_q·(λ + (L_d − L_q)·i_d)\n" +
		linesSaturation + "\n" +
		"T_fe = p·(k_h + k_e·p·ω)"
	linesSaturation = "s = 1/√(1 + (i_q/I_sat)²)"
	linesSpin       = "v = 3.6·ω·r_e\n" +
		"d_max·V/(100·√3) = √(v_d² + v_q²)\n" +
		"v_d = R·i_d − p·ω·s·L_q·i_q\n" +
		"v_q = R·i_q + p·ω·s·(λ + L_d·i_d)\n" +
		linesSaturation
)

var whySpeed = []explanation{
	{Method{"speed.cruise_ceiling_kmh.low", whyCeiling, sourceReserve, validCeiling},
		func(x *basis) []Quantity { return x.ceiling(x.low, x.Speed.CruiseCeilingKmh.Low) },
		func(x *basis) string { return x.Speed.LimitedBy }},
	{Method{"speed.cruise_ceiling_kmh.half", whyCeiling, sourceReserve, validCeiling},
		func(x *basis) []Quantity { return x.ceiling(x.half, x.Speed.CruiseCeilingKmh.Half) },
		func(x *basis) string { return limitedBy(x.board.Ceiling(x.half)) }},
	{Method{"speed.cruise_ceiling_kmh.full", whyCeiling, sourceReserve, validCeiling + " The pack is full only for the first minutes."},
		func(x *basis) []Quantity { return x.ceiling(x.full, x.Speed.CruiseCeilingKmh.Full) },
		func(x *basis) string { return limitedBy(x.board.Ceiling(x.full)) }},
	{Method{"speed.level_top_kmh",
		"v: highest level speed with T_max ≥ T_load\n" +
			"T_load = r_e·(F_r + F_a)\n" +
			"F_a = 0.5·ρ·C_dA·u·|u|\n" +
			"u = (v + w)/3.6",
		"Road load: any vehicle-dynamics textbook; air density: ISO 2533 atmosphere. Largest torque: current circle and voltage ellipse, S. Morimoto et al., IEEE Trans. Ind. Appl. 26 (1990) 866.",
		"Level ground, full pack. Nothing is left to balance with at this speed: it is a fact to stay away from."},
		numbersLevelTop, boundLevelTop},
	{Method{"speed.stop_m",
		"s = ∫ (v/3.6)·(m + m_w)/F dv, from v to 0\n" +
			"F = F_road + F_b\n" +
			"F_b = T_b/r_e\n" +
			"a = F/(m + m_w)",
		"Derived here: Newton's second law summed over speed by Simpson's rule. What the spinning wheel adds, m_w, is an engineering estimate, no published source.",
		"What the motor can do, not what a rider can stand on; the reaction time before it is left out. Numbers are those at the start of the stop, F changes on the way."},
		numbersStop, func(x *basis) string {
			_, by := x.board.Drive.MaxBraking(x.start, x.board.Road.Omega(x.Speed.CruiseCeilingKmh.Low/perKmh))
			return string(by) + ", at the start of the stop"
		}},
	{Method{"speed.fall_m", "h = (v/3.6)²/(2·g)",
		"Energy of motion equals energy of height: any mechanics textbook.",
		"A picture of the energy at the ceiling at low charge. A slide along the ground is milder than the fall, an obstacle is not."},
		func(x *basis) []Quantity {
			return []Quantity{{"v", "cruise ceiling at low charge", x.Speed.CruiseCeilingKmh.Low, "km/h"}, gravity}
		}, nil},
	{Method{"speed.free_spin_kmh", linesSpin, sourceMotor,
		"Lifted wheel, full pack, no field weakening. The tire's growth is in r_e. Overmodulation, which some controllers allow, is left out: it would spin a little faster."},
		func(x *basis) []Quantity {
			return x.spin(x.unweakened(), x.board.Drive.FreeSpin(x.full), x.Speed.FreeSpinKmh)
		},
		func(x *basis) string { return x.boundSpin(x.unweakened(), x.board.Drive.FreeSpin(x.full)) }},
	{Method{"speed.free_spin_weakened_kmh", linesSpin, sourceMotor,
		"Lifted wheel, full pack, field weakened as set. When the controller stops at this speed the magnets alone make more voltage than the pack has: see the back-EMF."},
		func(x *basis) []Quantity {
			return x.spin(&x.board.Drive, x.board.Drive.FreeSpinWeakened(x.full), x.Speed.FreeSpinWeakenedKmh)
		},
		func(x *basis) string {
			by := x.boundSpin(&x.board.Drive, x.board.Drive.FreeSpinWeakened(x.full))
			if x.in.WeakenA == 0 {
				by += "; no field weakening is set"
			}
			return by
		}},
}

var gravity = Quantity{"g", "standard gravity", road.Gravity, "m/s²"}

func (x *basis) riderMass() Quantity { return Quantity{"m_r", "rider", x.board.Road.Rider, "kg"} }
func (x *basis) mass() Quantity      { return Quantity{"m", "board and rider", x.Weight.TotalKg, "kg"} }

// rolling is the effective radius at a speed in km/h.
func (x *basis) rolling(kmh float64) Quantity {
	return Quantity{"r_e", "rolling radius at this speed", x.board.Road.Tire.Radius(kmh / perKmh), "m"}
}

func (x *basis) ceiling(src pack.Source, kmh float64) []Quantity {
	s := x.board.Sample(src, kmh/perKmh, 0)
	list := []Quantity{
		{"x_want", "balance reserve wanted", x.in.Shift * 1e3, "mm"},
		{"x", "balance reserve at this speed", s.Shift * 1e3, "mm"},
		{"T_max", "most torque within every limit", s.Max, "N·m"},
		{"T_load", "torque that riding takes", s.Load, "N·m"},
		x.riderMass(), gravity,
		{"d_want", "duty to stay under", x.in.CruiseDuty * 100, "%"},
	}
	if s.Reached {
		list = append(list, Quantity{"d", "duty at this speed", s.At.Duty * 100, "%"}, x.stator(&s.At), busV(&s.At))
	}
	return append(list, x.push(src, &s.Limit)...)
}

// stator is the voltage that the motor asks for at a point.
func (x *basis) stator(p *drive.Point) Quantity {
	vd, vq := x.board.Drive.Motor.Voltage(x.board.Drive.Motor.PolePairs*p.Omega, p.Id, p.Iq)
	return Quantity{"v_s", "motor voltage, peak of one phase", math.Hypot(vd, vq), "V"}
}

func busV(p *drive.Point) Quantity { return Quantity{"V", "bus voltage under load", p.BusV, "V"} }

// magnetic lists what the voltage and torque equations of the motor hold, at a point.
func (x *basis) magnetic(p *drive.Point) []Quantity {
	m := &x.board.Drive.Motor
	return []Quantity{
		{"i_d", "d current, weakens the field", p.Id, "A"},
		{"i_q", "q current, makes torque", p.Iq, "A"},
		{"λ", "flux linkage of the magnets", m.Flux, "Wb"},
		{"L_d", "inductance, d axis", m.Ld, "H"},
		{"L_q", "inductance, q axis", m.Lq, "H"},
		{"I_sat", "saturation current", m.SaturationA, "A"},
	}
}

func (x *basis) winding() Quantity {
	return Quantity{"R", "winding of one phase, warm", x.board.Drive.Motor.Resistance, "Ω"}
}

func (x *basis) polePairs() Quantity {
	return Quantity{"p", "pole pairs", x.board.Drive.Motor.PolePairs, ""}
}

func (x *basis) spin(d *drive.Drive, omega, kmh float64) []Quantity {
	list := []Quantity{
		{"ω", "speed of the wheel", omega, "rad/s"},
		x.rolling(kmh),
		{"d_max", "highest duty", d.MaxDuty * 100, "%"},
	}
	if p, ok := d.At(x.full, omega, 0); ok {
		list = append(list, busV(&p), x.polePairs(), x.winding())
		list = append(list, x.magnetic(&p)...)
	}
	return list
}

func (x *basis) unweakened() *drive.Drive {
	d := x.board.Drive
	d.WeakenA = 0
	return &d
}

// boundSpin says what keeps the lifted wheel from turning faster than omega.
func (x *basis) boundSpin(d *drive.Drive, omega float64) string {
	if omega == 0 {
		return "the motor cannot overcome its own drag"
	}
	if p, ok := d.At(x.full, omega, 0); !ok || p.Duty < d.MaxDuty*(1-1e-6) {
		return "iron drag: the saturated motor has no torque to turn faster"
	}
	t := &x.board.Road.Tire
	if v := t.Speed(omega); v < omega*t.Radius(v)*(1-1e-6) {
		return "the tire, whose growth has no end at such a speed"
	}
	return "highest duty"
}

func numbersLevelTop(x *basis) []Quantity {
	v := x.Speed.LevelTopKmh
	s := x.board.Sample(x.full, v/perKmh, 0)
	return []Quantity{
		{"T_max", "most torque within every limit", s.Max, "N·m"},
		{"T_load", "torque that riding takes", s.Load, "N·m"},
		x.rolling(v),
		{"F_r", "rolling resistance", x.board.Road.Tire.Rolling(v / perKmh), "N"},
		{"ρ", "density of the air", x.Model.Road.AirDensity, "kg/m³"},
		{"C_dA", "drag area", x.Model.Road.CdaM2, "m²"},
		{"w", "headwind", x.in.Headwind * perKmh, "km/h"},
	}
}

func boundLevelTop(x *basis) string {
	_, by := x.board.Drive.MaxTorque(x.full, x.board.Road.Omega(x.Speed.LevelTopKmh/perKmh))
	return string(by)
}

func numbersStop(x *basis) []Quantity {
	kmh := x.Speed.CruiseCeilingKmh.Low
	r := &x.board.Road
	p, _ := x.board.Drive.MaxBraking(x.start, r.Omega(kmh/perKmh))
	road, brake := r.Force(kmh/perKmh, 0), -p.Torque/r.Tire.Radius(kmh/perKmh)
	return []Quantity{
		{"v", "cruise ceiling at low charge", kmh, "km/h"},
		{"T_b", "hardest braking within every limit", -p.Torque, "N·m"},
		x.rolling(kmh),
		{"F_b", "of it at the ground", brake, "N"},
		{"F_road", "rolling and air", road, "N"},
		{"F", "both", road + brake, "N"},
		x.mass(),
		{"m_w", "what the spinning wheel adds", r.Inertia, "kg"},
		{"a", "braking as it begins", (road + brake) / r.Accelerating(1), "m/s²"},
	}
}
