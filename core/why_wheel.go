package core

import "headroom/core/build"

const sourceMasses = "Sum of the parts; masses are the class's or yours."

var whyWheel = []explanation{
	{Method{"motor.torque_per_a", "k = 1.5·p·λ", "Torque of the permanent-magnet machine at i_d = 0, P. C. Krause, Analysis of Electric Machinery. With Kv it is 8.27/Kv.",
		"Per peak ampere, before saturation and iron drag. Per r.m.s. ampere it is 1.41 times as much."},
		func(x *basis) []Quantity { return []Quantity{x.polePairs(), x.flux()} },
		func(x *basis) string {
			return "saturation: at " + fixed(x.Model.Motor.SaturationA, 0) + " A the iron gives 0.71 of it"
		}},
	{Method{"motor.flux_wb", "λ = 60/(2·π·√3·p·K_v)", "Definition of Kv at full space-vector modulation, sine-wave back-EMF: peak, line to neutral.",
		"Kv as unloaded rpm per volt of bus, no field weakening. A Kv stated per r.m.s. volt must be divided by 1.41 first."},
		func(x *basis) []Quantity {
			return []Quantity{x.polePairs(), {"K_v", "speed per volt", x.parts.Motor.Kv, "rpm/V"}}
		}, nil},
	{Method{"model.tire.rolling_radius_m", "r_e = r_0 − δ/3", "R. N. Jazar, Vehicle Dynamics, chapter on tires.",
		"Standing still; growth with speed is added where speed matters. Narrow and bias tires follow it, belted radial tires roll a little larger. Slip is left out."},
		func(x *basis) []Quantity {
			return []Quantity{x.bare(), {"δ", "deflection", x.Tire.DeflectionM, "m"}}
		}, nil},
	{Method{"tire.deflection_m", "δ = min(Z/k_z, r_0/2)\n" +
		"Z = m·g\n" +
		"k_z = k_c + 1000·π·p·√(2·r_0·w)",
		"Derived here, not published: a membrane tire whose patch, an ellipse on two chords, carries load over pressure.",
		"Standing on a flat, hard floor. Real carcasses are some 10 % off. Half of the radius is the most that is shown: such a tire is flat."},
		func(x *basis) []Quantity {
			return []Quantity{
				x.mass(), gravity, x.pressure(), x.bare(),
				{"w", "width of the tread", x.parts.Tire.Width, "m"},
				{"k_c", "carcass with no air in it", x.parts.Tire.Carcass, "N/m"},
			}
		}, boundPressure},
	{Method{"tire.patch_m2", "A = m·g/(1000·p)", "Load over pressure: the air alone carries. Common practice.",
		"The carcass carries a little, so the real patch is some 10 % smaller."},
		func(x *basis) []Quantity { return []Quantity{x.mass(), gravity, x.pressure()} }, boundPressure},
	{Method{"tire.clearance_m", "c = c_0 − r_0·k_g·(v/3.6)²", "Growth with speed squared, the form of the usual tire models; the factor is a class value from memory.",
		"At the weakened free-spin speed, lifted wheel. Dirt, stones and a tire pressed in by a bump need room besides; half of the gap is wanted for them."},
		func(x *basis) []Quantity {
			return []Quantity{
				{"c_0", "gap at rest", x.in.RubClearance, "m"},
				x.bare(),
				{"k_g", "growth of the radius", x.parts.Tire.GrowthK, "s²/m²"},
				{"v", "weakened free-spin speed", x.Speed.FreeSpinWeakenedKmh, "km/h"},
			}
		},
		func(x *basis) string {
			return "gap of " + fixed(x.in.RubClearance*1e3, 1) + " mm" + x.judged("tire.clearance_m")
		}},
	{Method{"weight.total_kg", "m = m_b + m_r", sourceMasses, "All that the wheel carries, itself included."},
		func(x *basis) []Quantity {
			return []Quantity{{"m_b", "board", x.Weight.BoardKg, "kg"}, x.riderMass()}
		}, nil},
	{Method{"weight.board_kg", "m_b = S·P·m_c + m_m + m_t + m_k + m_f", sourceMasses,
		"Unless you entered what the scale shows: then that stands, whatever the parts weigh. The frame's mass is your estimate of everything else."},
		numbersBoard,
		func(x *basis) string {
			if weighed(x) {
				return "your figure from the scale stands instead of the sum"
			}
			return ""
		}},
}

func (x *basis) flux() Quantity {
	return Quantity{"λ", "flux linkage of the magnets", x.Motor.FluxWb, "Wb"}
}

func (x *basis) bare() Quantity {
	return Quantity{"r_0", "radius, unloaded", x.parts.Tire.Radius, "m"}
}

func (x *basis) pressure() Quantity {
	return Quantity{"p", "tire pressure", x.in.Pressure / 1e3, "kPa"}
}

func boundPressure(x *basis) string {
	t := &x.parts.Tire
	return "this class of tire takes " + fixed(t.MinP/1e3, 0) + " to " + fixed(t.MaxP/1e3, 0) + " kPa" + x.judged("build.kpa")
}

// weighed reports whether the board's mass was entered.
func weighed(x *basis) bool { return build.FieldFor("board").Given(&x.in) }

func numbersBoard(x *basis) []Quantity {
	p := &x.parts
	if weighed(x) {
		return []Quantity{{"m_b", "board, from the scale", x.Weight.BoardKg, "kg"}}
	}
	return []Quantity{
		x.series(), x.parallel(),
		{"m_c", "one cell", p.Cell.Mass, "kg"},
		{"m_m", "motor", p.Motor.Mass, "kg"},
		{"m_t", "tire", p.Tire.Mass, "kg"},
		{"m_k", "controller", p.Controller.Mass, "kg"},
		{"m_f", "rails, boxes, pads, links", p.RailsMass + p.BoxesMass + p.PadsMass + p.LinksMass, "kg"},
	}
}
