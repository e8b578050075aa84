package core

import "headroom/core/ride"

const (
	validWorst   = "The moment of the ride that leaves the least reserve, at the low charge you set. Bumps and the rider's own balance are left out."
	validVoltage = "Sinusoidal currents, linear modulation. Dead time, ripple of the bus and magnets that weaken when hot are left out. Absent where pack or iron cannot carry the ride."
	sourceBus    = "Ohm's law and P = V·I solved for the voltage: any circuits textbook."
	sourceLosses = "Energy balance of the d-q equations (P. C. Krause). Inverter: conduction and switching terms of usual application notes; switch values are common practice, no published source."
)

var whyRide = []explanation{
	{Method{"ride.shift_mm", "x = 1000·T_s/(m_r·g)\nT_s = T_max − T_load", sourceReserve, validWorst},
		func(x *basis) []Quantity { return append(x.reserve(), x.riderMass(), gravity) }, boundReserve},
	{Method{"ride.reserve_nm", "T_s = T_max − T_load\nT_max = T_em − T_fe\n" + linesTorque, sourceMotor, validWorst},
		func(x *basis) []Quantity {
			s := x.worst()
			list := append(x.reserve()[1:], x.magnetic(&s.Limit)...)
			return append(list, x.drag(s.Limit.Omega)...)
		}, boundReserve},
	{Method{"ride.grade_pct", "G = 100·k/√(1 − k²)\nk = T_s/(r_e·m·g)", "Weight along a slope: any vehicle-dynamics textbook.",
		"The slope that uses the spare torque up at this speed, besides any slope of the ride. Shown as 1000 % from a right angle on."},
		func(x *basis) []Quantity {
			return []Quantity{x.reserve()[0], x.rolling(x.Ride.WorstKmh), x.mass(), gravity}
		}, boundReserve},
	{Method{"ride.duty_pct", "d = 100·√3·v_s/V\n" + linesVoltage, sourceMotor + " Linear limit of space-vector modulation: V/√3.", validVoltage},
		func(x *basis) []Quantity {
			s := x.worst()
			if !s.Reached {
				return nil
			}
			list := []Quantity{busV(&s.At), x.winding(), {"ω_e", "electrical speed", x.board.Drive.Motor.PolePairs * s.At.Omega, "rad/s"}}
			return append(list, x.magnetic(&s.At)...)
		},
		func(x *basis) string {
			return "highest duty " + fixed(x.in.MaxDuty*100, 0) + " %, to stay under " + fixed(x.in.CruiseDuty*100, 0) + " %" + x.judged("ride.duty_pct")
		}},
	{Method{"ride.bus_v", "V = (E + √(E² − 4·R·P))/2", sourceBus, "Steady load. Cells differ, and the weakest group sags more; a pack that has just been ridden hard rests lower."},
		func(x *basis) []Quantity {
			list := x.resting()
			if x.Ride.PowerW != nil {
				list = append(list, Quantity{"P", "power drawn", *x.Ride.PowerW, "W"})
			}
			return list
		},
		func(x *basis) string { return "low-voltage cut-off at " + fixed(x.parts.CutoffV, 1) + " V" }},
	{Method{"ride.battery_a", "I = (E − V)/R", sourceBus, "Steady load, mean over the ripple of the inverter. Negative where the ride brakes."},
		func(x *basis) []Quantity {
			list := x.resting()
			if x.Ride.BusV != nil {
				list = append(list, Quantity{"V", "voltage under load", *x.Ride.BusV, "V"})
			}
			return list
		},
		func(x *basis) string {
			return string(x.board.Drive.BatteryBound) + " limit " + fixed(x.board.Drive.BatteryLimit, 0) + " A"
		}},
	{Method{"ride.phase_a", "I = √(i_d² + i_q²)\nT_load + T_fe = T_em\n" + linesTorque, sourceMotor,
		"Peak of the sine in each lead; a clamp meter that shows r.m.s. reads 0.71 of it. " + validVoltage},
		func(x *basis) []Quantity {
			s := x.worst()
			if !s.Reached {
				return nil
			}
			list := append([]Quantity{x.load()}, x.magnetic(&s.At)...)
			return append(list, x.drag(s.At.Omega)...)
		},
		func(x *basis) string {
			return string(x.board.Drive.PhaseBound) + " limit " + fixed(x.board.Drive.PhaseLimit, 0) + " A"
		}},
	{Method{"ride.power_w", "P = T_load·ω + P_cu + P_fe + P_inv\n" +
		"P_cu = 1.5·R·I²\n" +
		"P_fe = p·(k_h + k_e·p·ω)·ω\n" +
		"P_inv = 1.5·R_on·I² + k_sw·V·I + P_0", sourceLosses, validVoltage},
		numbersPower,
		func(x *basis) string {
			return "this pack at this charge gives " + fixed(x.low.MaxPower(), 0) + " W at most (E²/4R)"
		}},
}

func boundReserve(x *basis) string { return x.Ride.BoundBy }

// worst is the moment that the report's Ride describes.
func (x *basis) worst() ride.Sample { return x.board.Worst(x.low, x.route()) }

// reserve is the spare torque and what it is the difference of.
func (x *basis) reserve() []Quantity {
	return []Quantity{
		{"T_s", "torque to spare", x.Ride.ReserveNm, "N·m"},
		{"T_max", "most torque within every limit", x.Ride.MaxNm, "N·m"},
		x.load(),
	}
}

func (x *basis) load() Quantity {
	return Quantity{"T_load", "torque that riding takes", x.Ride.LoadNm, "N·m"}
}

// drag is what iron drag follows from, at a speed in rad/s.
func (x *basis) drag(omega float64) []Quantity {
	m := &x.board.Drive.Motor
	return []Quantity{
		x.polePairs(),
		{"k_h", "iron drag, constant part", m.HysteresisK, "N·m"},
		{"k_e", "iron drag, part that grows with speed", m.EddyK, "N·m·s"},
		{"ω", "speed of the wheel", omega, "rad/s"},
	}
}

// resting is the pack at low charge.
func (x *basis) resting() []Quantity {
	return []Quantity{
		{"E", "resting pack at low charge", x.low.OpenCircuit, "V"},
		{"R", "resistance of the pack there", x.low.Resistance, "Ω"},
	}
}

func numbersPower(x *basis) []Quantity {
	s := x.worst()
	if !s.Reached {
		return nil
	}
	d := &x.board.Drive
	list := []Quantity{
		x.load(),
		{"P_cu", "heat in the winding", s.At.Copper, "W"},
		{"P_fe", "heat in the iron", s.At.Iron, "W"},
		{"P_inv", "heat in the controller", s.At.Inverter, "W"},
		x.winding(),
		{"I", "phase current", s.At.Phase(), "A"},
		busV(&s.At),
		{"R_on", "one switch of the controller", d.OnResistance, "Ω"},
		{"k_sw", "switching loss per volt and ampere", d.SwitchingK, ""},
		{"P_0", "controller at rest", d.StandbyW, "W"},
	}
	return append(list, x.drag(s.At.Omega)...)
}
