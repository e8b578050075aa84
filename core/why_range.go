package core

import (
	"math"

	"headroom/core/ride"
)

const validRange = "A ride repeated without a break until it must end. Relaxing cells, cold cells' lost charge, and changes of wind are left out; expect the band, not the figure."

const sourceBand = "Corner method, derived here: every uncertain input moved at once. Drag area: Spring et al. 1988, 0.65 ± 0.05 m² upright, clothing on top; the other three are engineering judgment, no published source."

var whyRange = []explanation{
	{Method{"range.km", "D = v·Q·(z_1 − z_2)/(100·I)" + linesPush,
		"Derived here: a quasi-steady walk down the discharge curve in 20 slices of charge, each with its own current; I is their mean over time. The pack's voltage is that of the hardest moment, at the charge that ends the ride.",
		validRange},
		numbersRange, boundRange},
	{Method{"range.low_km", "D_low: range with all of these at once\n" +
		"C' = C_0·(1 + u_C/100)\n" +
		"A' = C_dA·(1 + u_A/100)\n" +
		"m' = m·(1 + u_m/100)\n" +
		"p' = p·(1 − u_p/100)", sourceBand, validRange + " Downhill or with the wind more drag may help: the band is then what both corners span."},
		func(x *basis) []Quantity { return x.corner(1) }, boundCorner},
	{Method{"range.high_km", "D_high: range with all of these at once\n" +
		"C' = C_0·(1 − u_C/100)\n" +
		"A' = C_dA·(1 − u_A/100)\n" +
		"m' = m·(1 − u_m/100)\n" +
		"p' = p·(1 + u_p/100)", sourceBand, validRange + " Absent where a corner of the band uses no charge at all."},
		func(x *basis) []Quantity { return x.corner(-1) }, boundCorner},
	{Method{"range.wh_per_km", "w = W/D", "Energy over distance, by definition.",
		"At the controller's terminals, braking counted back; what stays in the pack as heat is not in it, so a charger puts in more."},
		func(x *basis) []Quantity {
			list := []Quantity{{"W", "drawn at the controller", x.ridden().EnergyWh, "Wh"}}
			if x.Range.Km != nil {
				list = append(list, Quantity{"D", "range", *x.Range.Km, "km"})
			}
			return list
		}, boundRange},
}

// boundRange says what ends the ride.
func boundRange(x *basis) string {
	if x.Range.StoppedBy == string(ride.StopNever) {
		return x.Range.StoppedBy
	}
	return "ends at " + fixed(x.Range.EndPct, 0) + " % charge: " + x.Range.StoppedBy
}

func boundCorner(x *basis) string { return "the range as it stands: " + boundRange(x) }

func numbersRange(x *basis) []Quantity {
	list := []Quantity{
		{"v", "mean speed of the ride", x.route().Meters / x.route().Seconds * perKmh, "km/h"},
		{"Q", "usable charge of the pack", x.Pack.CapacityAh, "Ah"},
		{"z_1", "charge at the start", x.in.StartCharge * 100, "%"},
		{"z_2", "charge at the end", x.Range.EndPct, "%"},
	}
	if d := x.ridden(); d.Seconds > 0 {
		ah := x.Pack.CapacityAh * (x.in.StartCharge - d.End)
		list = append(list, Quantity{"I", "mean battery current", ah / (d.Seconds / 3600), "A"})
	}
	src, s := x.atEnd()
	return append(list, x.push(src, &s.Limit)...)
}

// corner lists the uncertain inputs and where a corner moves them.
func (x *basis) corner(sign float64) []Quantity {
	u := &x.Model.Road.Uncertainty
	moved := func(v, by float64) float64 { return v * (1 + sign*by) }
	t, in := &x.parts.Tire, &x.in
	list := []Quantity{
		{"C_0", "rolling coefficient", t.RollingC0, ""},
		{"u_C", "its uncertainty", u.Rolling * 100, "%"},
		{"C'", "rolling coefficient, moved", moved(t.RollingC0, u.Rolling), ""},
		{"C_dA", "drag area", in.DragArea, "m²"},
		{"u_A", "its uncertainty", u.DragArea * 100, "%"},
		{"A'", "drag area, moved", moved(in.DragArea, u.DragArea), "m²"},
		x.mass(),
		{"u_m", "its uncertainty", u.Mass * 100, "%"},
		{"m'", "mass, moved", moved(x.Weight.TotalKg, u.Mass), "kg"},
		{"p", "tire pressure", in.Pressure / 1e3, "kPa"},
		{"u_p", "its uncertainty", u.Pressure * 100, "%"},
		{"p'", "tire pressure, moved", in.Pressure / 1e3 * (1 - sign*u.Pressure), "kPa"},
	}
	if x.Range.Km != nil {
		list = append([]Quantity{{"D", "range as it stands", *x.Range.Km, "km"}}, list...)
	}
	return list
}

var whyDownhill = []explanation{
	{Method{"regen.max_descent_pct", "G = 100·tan θ\n" +
		"T_b = r_e·(m·g·sin θ − F_r·cos θ − F_a)", "Road load on a slope: any vehicle-dynamics textbook. Braking limit: current circle and voltage ellipse, S. Morimoto et al., IEEE Trans. Ind. Appl. 26 (1990) 866.",
		"Steady speed on an even slope, at the charge the ride starts with. No brake but the motor; past this the board pushes on. Heat of a long descent is left out."},
		numbersDescent, func(x *basis) string { return x.Regen.BoundBy }},
	{Method{"regen.bus_v", "V = E + R·I", "Ohm's law: any circuits textbook.",
		"At the steepest descent that can be held. Peaks from bumps and the ripple of the bus come on top."},
		func(x *basis) []Quantity {
			d := x.board.Descent(x.start, x.route().TopSpeed)
			return []Quantity{
				{"E", "resting pack at the starting charge", x.start.OpenCircuit, "V"},
				{"R", "resistance of the pack there", x.start.Resistance, "Ω"},
				{"I", "current into the battery", -d.Point.BusA + 0, "A"},
			}
		},
		func(x *basis) string {
			return x.Regen.BoundBy + "; the controller stands " + fixed(x.parts.Controller.AbsoluteV, 0) + " V"
		}},
	{Method{"overspeed.back_emf_v", "U = √3·p·ω·λ", "T. M. Jahns and V. Caliskan, IEEE Trans. Ind. Appl. 35 (1999) 347: uncontrolled generation.",
		"Peak between two leads at the weakened free-spin speed, cold magnets. Hot magnets make a little less. Below the pack's voltage nothing flows."},
		func(x *basis) []Quantity {
			return []Quantity{
				x.polePairs(),
				{"ω", "wheel at weakened free spin", freeSpinCool(&x.in, &x.parts, &x.board, x.full), "rad/s"},
				{"λ", "flux linkage of the magnets", x.Motor.FluxWb, "Wb"},
			}
		},
		func(x *basis) string {
			return "the controller stands " + fixed(x.parts.Controller.AbsoluteV, 0) + " V" + x.judged("overspeed.back_emf_v")
		}},
}

func numbersDescent(x *basis) []Quantity {
	r, v := &x.board.Road, x.route().TopSpeed
	p, _ := x.board.Drive.MaxBraking(x.start, r.Omega(v))
	list := []Quantity{
		{"T_b", "hardest braking within every limit", -p.Torque, "N·m"},
		x.rolling(x.Regen.SpeedKmh),
		x.mass(), gravity,
		{"F_r", "rolling resistance", r.Tire.Rolling(v), "N"},
		{"F_a", "drag of the air", r.Force(v, 0) - r.Tire.Rolling(v), "N"},
	}
	if d := x.Regen.MaxDescentPct; d != nil {
		list = append(list, Quantity{"θ", "angle of that slope", math.Atan(*d/100) * 180 / math.Pi, "°"})
	}
	return list
}
