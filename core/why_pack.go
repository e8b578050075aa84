package core

import (
	"headroom/core/cell"
	"headroom/core/drive"
	"headroom/core/protect"
)

const (
	byCount   = "Counting cells; the cell's figures are its class's or yours."
	sourceOhm = "Ohm's law: any circuits textbook."
)

var whyPack = []explanation{
	{Method{"pack.full_v", "V = S·U_full", byCount, "A full, resting pack. It is exactly what the charger must end at."},
		func(x *basis) []Quantity {
			return []Quantity{x.series(), {"U_full", "one full cell", x.parts.Cell.FullV, "V"}}
		},
		func(x *basis) string {
			return "the controller stands " + fixed(x.parts.Controller.AbsoluteV, 0) + " V" + x.judged("pack.full_v")
		}},
	{Method{"pack.loaded_v", "V = E − R·I", sourceOhm, "Full pack after some seconds at that current. Cells differ, and the weakest group sags more."},
		func(x *basis) []Quantity {
			return append([]Quantity{{"E", "full pack at rest", x.full.OpenCircuit, "V"}}, x.sag()...)
		}, boundPeak},
	{Method{"pack.sag_v", "ΔV = R·I", sourceOhm, "Full pack after some seconds at that current. An emptier or colder pack sags more."},
		(*basis).sag, boundPeak},
	{Method{"pack.nominal_v", "V = S·U_nom", byCount, "A name for the pack, between full and empty; it is measured nowhere."},
		func(x *basis) []Quantity {
			return []Quantity{x.series(), x.nominal()}
		}, nil},
	{Method{"pack.energy_wh", "W = S·P·Q_c·U_nom", byCount + " Rated energy is rated charge times nominal voltage, as makers and carriers state it.",
		"A new pack, discharged slowly to empty. Age, cold, sag and the charge you keep take from it; range counts them."},
		func(x *basis) []Quantity {
			return []Quantity{x.series(), x.parallel(), x.charge(), x.nominal()}
		}, nil},
	{Method{"pack.capacity_ah", "Q = P·Q_c·h/100", byCount, "From full to empty at the state of health you entered. Charge that cold locks away is left out."},
		func(x *basis) []Quantity {
			return []Quantity{x.parallel(), x.charge(), {"h", "state of health", x.in.HealthFraction * 100, "%"}}
		}, nil},
	{Method{"pack.resistance_ohm", "R = S·R_c/P + (S − 1)·R_j + R_l + R_f + R_x\n" +
		"R_c = R_25·(1 + a/100)·k_T\n" +
		"R_f = U_f/I_f",
		sourceOhm + " Leads: ASTM B258 wire gauge, IEC 60028 copper. Temperature: Arrhenius factor with 25 kJ/mol, between the published parts of the BPX 2022 and Chen 2020 parameter sets.",
		"Half charge, direct current for some 10 s. Nearly empty cells resist more; stranded leads may by IEC 60228 resist 11 to 16 % more than their ideal copper."},
		numbersResistance, nil},
	{Method{"pack.continuous_a", "I = P·I_c", byCount, "As long as the cells stay cool enough; a closed box without air may not allow it."},
		func(x *basis) []Quantity {
			return []Quantity{x.parallel(), {"I_c", "one cell, continuous", x.parts.Cell.ContinuousA, "A"}}
		}, boundCells},
	{Method{"pack.peak_a", "I = P·I_p", byCount, "A few seconds, warm cells, not nearly empty."},
		func(x *basis) []Quantity {
			return []Quantity{x.parallel(), {"I_p", "one cell, for seconds", x.parts.Cell.PeakA, "A"}}
		}, boundCells},
	{Method{"pack.mass_kg", "m = S·P·m_c", byCount, "Cells alone: strip, wrap, box and BMS are in the frame's mass."},
		func(x *basis) []Quantity {
			return []Quantity{x.series(), x.parallel(), {"m_c", "one cell", x.parts.Cell.Mass, "kg"}}
		}, nil},
}

func (x *basis) series() Quantity { return Quantity{"S", "cells in series", float64(x.in.Series), ""} }
func (x *basis) parallel() Quantity {
	return Quantity{"P", "cells in parallel", float64(x.in.Parallel), ""}
}
func (x *basis) charge() Quantity {
	return Quantity{"Q_c", "rated charge of one cell", x.parts.Cell.CapacityAh, "Ah"}
}
func (x *basis) nominal() Quantity {
	return Quantity{"U_nom", "one cell, nominal", x.parts.Cell.NominalV, "V"}
}

func (x *basis) sag() []Quantity {
	return []Quantity{
		{"R", "resistance of the full pack", x.full.Resistance, "Ω"},
		{"I", "most current that the limits allow out of it", x.Pack.DrawnA, "A"},
	}
}

// boundPeak says what keeps the battery current from growing.
func boundPeak(x *basis) string {
	d := &x.board.Drive
	if x.Pack.DrawnA < d.BatteryLimit*(1-1e-6) {
		return "the battery never sees its limit of " + fixed(d.BatteryLimit, 0) + " A: something else stops the motor first"
	}
	if d.BatteryBound == drive.ByCells {
		return "the cells' peak rating, " + fixed(d.BatteryLimit, 0) + " A"
	}
	return "battery current limit, " + fixed(d.BatteryLimit, 0) + " A"
}

func boundCells(x *basis) string {
	for _, row := range x.Protection.Rows {
		if row.Part == "cells" {
			return "the ride takes " + fixed(row.LoadA, 1) + " A, the limits allow " + fixed(row.PeakA, 1) + " A: " + string(row.Status)
		}
	}
	return ""
}

func numbersResistance(x *basis) []Quantity {
	in, class := &x.in, x.parts.Cell
	unaged, aged := cell.New(class, in.AmbientC, 0), cell.New(class, in.AmbientC, in.ResistanceGrowth)
	return []Quantity{
		x.series(), x.parallel(),
		{"R_c", "one cell at half charge", aged.Resistance(0.5), "Ω"},
		{"R_25", "the same new, at 25 °C", class.Resistance, "Ω"},
		{"a", "growth with age", in.ResistanceGrowth * 100, "%"},
		{"k_T", "factor of the temperature", unaged.Resistance(0.5) / class.Resistance, ""},
		{"R_j", "one link, group to group", in.JointResistance, "Ω"},
		{"R_l", "leads, there and back", x.board.Pack.LeadOhm, "Ω"},
		{"R_f", "fuse, cold", x.board.Pack.FuseOhm, "Ω"},
		{"U_f", "voltage across the fuse at its rating", x.parts.Fuse.DropV, "V"},
		{"I_f", "rating of the fuse", in.FuseRating, "A"},
		{"R_x", "BMS and connectors", in.OtherResistance, "Ω"},
	}
}

const sourceMargin = "Derived here: spare is what is left of the nearer rating. Ratings are the class's or yours; 75 % of a fuse's rating for hours is common practice."

var whyProtection = []explanation{
	{Method{"protection.margin_pct", "M = 100·(1 − max(I/I_r, I_p/I_pr))", sourceMargin,
		"For the part of the current path with the least spare. Steady is the ride's r.m.s. current at its last and lowest charge; a hot box or poor airflow lowers every rating."},
		func(x *basis) []Quantity {
			w := x.weakest()
			return []Quantity{
				{"I", "steady current of the ride", w.LoadA, "A"},
				{"I_r", "continuous rating", w.RatingA, "A"},
				{"I_p", "most that the limits allow", w.PeakA, "A"},
				{"I_pr", "rating for seconds", w.PeakRating, "A"},
			}
		}, boundWeakest},
	{Method{"protection.spare_a", "ΔI = I_n − I_l", sourceMargin, "For the weakest part and that of its two ratings which is nearer. Negative means that the part is overloaded."},
		func(x *basis) []Quantity {
			w := x.weakest()
			near, load := w.RatingA, w.LoadA
			if w.PeakA/w.PeakRating >= w.LoadA/w.RatingA {
				near, load = w.PeakRating, w.PeakA
			}
			return []Quantity{{"I_n", "the nearer rating", near, "A"}, {"I_l", "the current against it", load, "A"}}
		}, boundWeakest},
	{Method{"protection.fuse.voltage_dc", "U: d.c. rating of the fuse, must be\nU ≥ V_full",
		"ISO 8820 and IEC 60269 rate fuses for d.c. voltage; the class's note says which part, or that it is from memory.",
		"The printed d.c. rating counts, an a.c. rating does not: a d.c. arc does not go out by itself."},
		func(x *basis) []Quantity {
			return []Quantity{{"U", "d.c. rating of the fuse", x.Protection.Fuse.VoltageDC, "V"}, {"V_full", "full pack", x.Pack.FullV, "V"}}
		},
		func(x *basis) string {
			return "full pack " + fixed(x.Pack.FullV, 1) + " V" + x.judged("protection.fuse.voltage_dc")
		}},
	{Method{"protection.fuse.short_circuit_a", "I = E/(R − R_f)\nR_f = U_f/I_f\nI_w = E/(R_w − R_f)",
		"Prospective short-circuit current, IEC 60269-1: what would flow with the fuse replaced by a link of no impedance.",
		"A dead short at the controller's terminals, full pack, resistance as for a 10 s pulse. The fuse must be able to stop what new cells at 45 °C would give too: warm, they resist hardly more than in the first instant."},
		func(x *basis) []Quantity {
			return []Quantity{
				{"E", "full pack at rest", x.full.OpenCircuit, "V"},
				{"R", "resistance of the full pack", x.full.Resistance, "Ω"},
				{"R_f", "of it the fuse", x.board.Pack.FuseOhm, "Ω"},
				{"U_f", "voltage across the fuse at its rating", x.parts.Fuse.DropV, "V"},
				{"I_f", "rating of the fuse", x.in.FuseRating, "A"},
				{"R_w", "resistance with new cells at 45 °C", x.full.OpenCircuit/x.Protection.Fuse.MostShortA + x.board.Pack.FuseOhm, "Ω"},
				{"I_w", "dead short with those", x.Protection.Fuse.MostShortA, "A"},
			}
		},
		func(x *basis) string {
			f := &x.Protection.Fuse
			return "new cells at 45 °C would give " + fixed(f.MostShortA, 0) + " A; this fuse can stop " + fixed(f.BreakingA, 0) + " A" + x.judged("protection.fuse.short_circuit_a")
		}},
}

func (x *basis) weakest() protect.Row { return protect.Weakest(x.Protection.Rows) }

func boundWeakest(x *basis) string {
	w := x.weakest()
	return w.Part + " (" + w.Why + "): " + string(w.Status)
}
