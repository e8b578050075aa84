package core

import (
	"headroom/core/wire"
)

const (
	sourceGates  = "Gates of the class: ISO 8820-3 for blades, class tables from memory for the others. Between gates straight lines on logarithmic scales, which no standard sanctions; beyond the last gate I²·t stays the same."
	sourceCharge = "Capacitor filled through a resistor: any circuits textbook; 95 % after R·C·ln 20."
)

var whyLeads = []explanation{
	{Method{"protection.fuse.open_s_at_short", "t: latest of the class's band at n\nn = I/I_f", sourceGates,
		"A cold fuse in air of about 25 °C under a lasting current; a warm one opens sooner. Absent where it may never open."},
		func(x *basis) []Quantity {
			return []Quantity{
				{"n", "times its rating", x.Protection.Fuse.ShortCircuitA / x.in.FuseRating, ""},
				{"I", "dead short", x.Protection.Fuse.ShortCircuitA, "A"}, {"I_f", "rating of the fuse", x.in.FuseRating, "A"},
			}
		},
		func(x *basis) string {
			return "the thinnest battery lead stands it for " + fixed(x.Protection.Fuse.LeadWithstand, 2) + " s"
		}},
	{Method{"protection.leads.drop_v", "ΔV = R_l·I", sourceOhm + " Copper: IEC 60028.",
		"Battery leads there and back, those between the boxes included, copper at air temperature. Stranded leads may by IEC 60228 resist 11 to 16 % more."},
		func(x *basis) []Quantity {
			return []Quantity{{"R_l", "leads, there and back", x.board.Pack.LeadOhm, "Ω"}, {"I", "most current that the limits allow", x.peakA(), "A"}}
		}, boundLeads},
	{Method{"protection.leads.battery.steady_c", "T: settles where\nq = I_b²·(1 + 0.00393·(T − 20))/(58·A)\nI_b = I/k\nT ≥ T_a",
		"Heat made against heat shed by a single horizontal lead: convection by Churchill and Chu 1975, radiation by the law of Stefan and Boltzmann. Copper: IEC 60028.",
		"Still air in a warm box, copper and jacket at one temperature, a bundle as its factor of IEC 60364-5-52 says. Absent where the lead settles nowhere below 400 °C."},
		numbersLeadHeat,
		func(x *basis) string {
			return "the jacket stands " + fixed(x.Protection.Leads.LimitC, 0) + " °C" + x.judged("protection.leads.battery.steady_c")
		}},
	{Method{"protection.precharge.ohm", "R: largest of E12 with t_95 ≤ t\nt_95 = 2.99573227355·R·C", sourceCharge + " Values: IEC 60063.",
		"Full pack, empty capacitors, nothing else switched on."},
		func(x *basis) []Quantity {
			p := &x.Protection.Precharge
			return []Quantity{{"t", "time wanted", x.in.Precharge, "s"}, {"t_95", "time to 95 %", p.Seconds, "s"}, {"C", "controller's capacitance", x.parts.Controller.CapacitanceF, "F"}}
		}, nil},
	{Method{"protection.precharge.energy_j", "W = C·V²/2", sourceCharge, "Each closing on empty capacitors; the resistor must stand it as a pulse, again and again."},
		(*basis).capacitor, nil},
	{Method{"protection.precharge.peak_w", "P = V²/R", sourceCharge, "The first moment; it falls with time constant R·C."},
		func(x *basis) []Quantity {
			return []Quantity{{"V", "full pack", x.Pack.FullV, "V"}, {"R", "resistor", x.Protection.Precharge.Ohm, "Ω"}}
		}, nil},
	{Method{"protection.precharge.inrush_a", "I = E/R", sourceOhm, "Without the inductance of the leads, which rounds the rise off, and with the fuse cold."},
		func(x *basis) []Quantity {
			return []Quantity{{"E", "full pack at rest", x.full.OpenCircuit, "V"}, {"R", "resistance of the full pack", x.full.Resistance, "Ω"}}
		}, nil},
}

func (x *basis) capacitor() []Quantity {
	return []Quantity{{"C", "controller's capacitance", x.parts.Controller.CapacitanceF, "F"}, {"V", "full pack", x.Pack.FullV, "V"}}
}

func numbersLeadHeat(x *basis) []Quantity {
	load := 0.0
	for i := range x.Protection.Rows {
		if row := &x.Protection.Rows[i]; row.Key == "leads" {
			load = row.LoadA
		}
	}
	k := wire.BundleFactor(x.in.Bundle)
	list := []Quantity{
		{"I_b", "current that would heat it alone", load / k, "A"}, {"I", "hardest ten minutes", load, "A"}, {"k", "factor of the bundle", k, ""},
		{"T_a", "air in the box", x.Protection.Leads.AirC, "°C"},
		{"A", "copper of one lead", x.parts.LeadArea * 1e6, "mm²"},
	}
	if t := x.Protection.Leads.Battery.SteadyC; t != nil {
		list = append(list, Quantity{"q", "heat shed at that temperature", wire.LeadLoss(x.parts.LeadArea, x.parts.Insulation.Wall, *t, x.Protection.Leads.AirC), "W/m"})
	}
	return list
}

// boundLeads says what keeps the current of the leads from growing, which may be that of braking.
func boundLeads(x *basis) string {
	if x.peakA() > x.Pack.DrawnA {
		return "braking: it may push back more than driving draws"
	}
	return boundPeak(x)
}
