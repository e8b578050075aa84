package core

import "headroom/core/heat"

const (
	sourceHeat = "Two-node thermal network: any text on thermal networks, copper's growing resistance included. Heat capacities and thermal resistances are class values, no published source: enter your own."
	validHeat  = "Losses as at the end of the ride, at its mean speed. Radiation, sun, hot spots inside the winding and magnets that weaken when hot are left out; cooling that grows with speed is common practice, no published source."
)

const (
	lineCopper  = "P_w = P_20·(1 + 0.00393·(T_w − 20))"
	lineCooling = "R_ha = R_0/(1 + k·v/3.6)"
)

var whyHeat = []explanation{
	{Method{"heat.winding_c", "T_w = T_h + R_wh·P_w\n" + lineCopper, sourceHeat, validHeat},
		func(x *basis) []Quantity {
			list := []Quantity{x.inward()}
			if h := x.Heat.HubC; h != nil {
				list = append(list, Quantity{"T_h", "hub, settled", *h, "°C"}, x.losses()[0])
			}
			return list
		},
		func(x *basis) string {
			return "the controller takes current back from " + fixed(x.in.DerateC, 0) + " °C and leaves none at " + fixed(x.in.LimitC, 0) + " °C" + x.judged("heat.winding_c")
		}},
	{Method{"heat.hub_c", "T_h = T_a + R_ha·(P_w + P_fe)\n" + lineCopper + "\n" + lineCooling, sourceHeat, validHeat},
		func(x *basis) []Quantity {
			list := x.outward(x.route().Meters / x.route().Seconds * perKmh)
			if t := x.Heat.WindingC; t != nil {
				list = append(list, Quantity{"T_w", "winding, settled", *t, "°C"})
				list = append(list, x.losses()...)
			}
			return list
		}, nil},
	{Method{"heat.steady_nm", "T = T_em − T_fe\n" +
		"T_l = T_a + R_ha·(P_w + P_fe) + R_wh·P_w\n" +
		"P_w = 1.5·R_20·i_q²·(1 + 0.00393·(T_l − 20))\n" +
		"P_fe = p·(k_h + k_e·p·ω)·ω\n" +
		"T_em = 1.5·p·s·i_q·λ\n" +
		linesSaturation + "\n" +
		"T_fe = p·(k_h + k_e·p·ω)\n" +
		lineCooling, sourceHeat,
		"For hours, at the speed of the steepest climb, without field weakening. " + validHeat},
		numbersSteady, func(x *basis) string {
			return "the winding reaches " + fixed(x.in.DerateC, 0) + " °C, where the controller begins to take current back"
		}},
	{Method{"heat.minutes_to_limit", "t: first time that T_w reaches T_l, from T_a\n" +
		"C_w·dT_w/dt = P_w − (T_w − T_h)/R_wh\n" +
		"C_h·dT_h/dt = P_fe + (T_w − T_h)/R_wh\n" +
		"            − (T_h − T_a)/R_ha\n" +
		lineCopper + "\n" + lineCooling, sourceHeat + " Solved exactly, as two exponentials.",
		"The steepest climb of the ride at its speed, without end, motor and air equally warm at first. No figure means not within 4 hours. " + validHeat},
		numbersClimb, func(x *basis) string {
			if x.Heat.MinutesToLimit == nil {
				return "the winding does not reach " + fixed(x.in.DerateC, 0) + " °C within 4 hours, or the climb cannot be held"
			}
			return "the winding reaches " + fixed(x.in.DerateC, 0) + " °C"
		}},
	{Method{"heat.pack_rise_k", "ΔT = 3600·W_R·(1 − R_p/R)/(n·m_c·c)",
		"Energy balance. Specific heat of a lithium-ion cell, 900 to 1100 J/(kg·K), is from memory.",
		"The mean of the cells over the whole ride if no heat gets out: short rides come close, long ones shed some. The middle of a pack is warmer than its rim."},
		func(x *basis) []Quantity {
			return []Quantity{
				{"W_R", "heat in the pack's resistance", x.ridden().HeatWh, "Wh"},
				{"R_p", "of it links, leads, fuse and the rest", x.board.Pack.PathOhm, "Ω"},
				{"R", "pack at half charge", x.half.Resistance, "Ω"},
				{"n", "cells", float64(x.Pack.Cells), ""},
				{"m_c", "one cell", x.parts.Cell.Mass, "kg"},
				{"c", "specific heat of a cell", cellHeat, "J/(kg·K)"},
			}
		}, func(x *basis) string {
			return "with air of " + fixed(x.in.AmbientC, 0) + " °C, the " + fixed(packHot, 0) + " °C up to which data sheets usually allow a ride" + x.judged("heat.pack_rise_k")
		}},
}

func (x *basis) inward() Quantity {
	return Quantity{"R_wh", "thermal resistance, winding to hub", x.parts.Motor.WindingToHub, "K/W"}
}

// outward is the way from hub to air at a speed in km/h.
func (x *basis) outward(kmh float64) []Quantity {
	m := heat.New(x.parts.Motor, kmh/perKmh, x.in.AmbientC)
	return []Quantity{
		{"T_a", "air", m.AmbientC, "°C"},
		{"R_ha", "thermal resistance, hub to air", m.HubToAir, "K/W"},
		{"R_0", "the same standing still", x.parts.Motor.HubToAir, "K/W"},
		{"k", "how speed cools", heat.ConvectionPerSpeed, "s/m"},
		{"v", "speed", kmh, "km/h"},
	}
}

// losses are those of the ride's last round. They mean nothing where no temperature settles.
func (x *basis) losses() []Quantity {
	d := x.ridden()
	return copperAndIron(heat.LossesAt(d.Copper, d.Iron, x.in.WindingC))
}

func copperAndIron(l heat.Losses) []Quantity {
	return []Quantity{
		{"P_20", "heat in the winding, were it at 20 °C", l.Copper20, "W"},
		{"P_fe", "heat in the iron", l.Iron, "W"},
	}
}

func numbersSteady(x *basis) []Quantity {
	m := &x.board.Drive.Motor
	omega := x.board.Road.Omega(x.Heat.ClimbKmh / perKmh)
	list := append([]Quantity{{"T_l", "winding where current is taken back", x.in.DerateC, "°C"}}, x.outward(x.Heat.ClimbKmh)...)
	list = append(list, x.inward(), Quantity{"R_20", "winding of one phase, 20 °C", x.parts.Motor.Resistance, "Ω"})
	if t := x.Heat.SteadyNm; t != nil {
		if iq, ok := m.CurrentFor(*t+m.Drag(omega), 0); ok {
			list = append(list, Quantity{"i_q", "q current, makes torque", iq, "A"})
		}
	}
	list = append(list, Quantity{"λ", "flux linkage of the magnets", m.Flux, "Wb"}, Quantity{"I_sat", "saturation current", m.SaturationA, "A"})
	return append(list, x.drag(omega)...)
}

func numbersClimb(x *basis) []Quantity {
	v := x.route().AtGrade
	r := &x.board.Road
	list := append([]Quantity{
		{"G", "grade of the climb", x.Heat.ClimbPct, "%"},
		{"T_l", "winding where current is taken back", x.in.DerateC, "°C"},
		{"C_w", "heat capacity of the winding", x.parts.Motor.WindingJ, "J/K"},
		{"C_h", "heat capacity of iron, hub and shell", x.parts.Motor.HubJ, "J/K"},
		x.inward(),
	}, x.outward(x.Heat.ClimbKmh)...)
	if p, ok := x.board.Drive.At(x.half, r.Omega(v), r.Torque(v, x.route().TopGrade)); ok {
		list = append(list, copperAndIron(heat.LossesAt(p.Copper, p.Iron, x.in.WindingC))...)
	}
	return list
}
