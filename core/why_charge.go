package core

import "headroom/core/cell"

const (
	sourceCC    = "Constant current, then constant voltage, with the same cell model: Ohm's law behind the open-circuit voltage."
	validCharge = "Cells at the temperature entered. Resistance is that of a 10 s pulse, so the slow end takes longer in truth; balancing, and a charger that gets hot, are left out."
)

var whyCharge = []explanation{
	{Method{"charge.charger_v", "V: must be V_full to 0.1 V\nV_full = S·U_full", byCount, "The final voltage, measured with no load. What is printed may be wrong: measure it."},
		func(x *basis) []Quantity {
			return []Quantity{{"V_full", "full pack", x.Charge.FullV, "V"}, x.series(), {"U_full", "one full cell", x.parts.Cell.FullV, "V"}}
		},
		func(x *basis) string { return x.Charge.Voltage.Text }},
	{Method{"charge.minutes_to_80", "t: ∫ 60·Q·dz/I from z_0 to 80 %\nQ = P·Q_c·h/100", sourceCC, validCharge + " Absent where 80 % is not on the way."},
		func(x *basis) []Quantity {
			return append(x.usable(), Quantity{"z_0", "charge at the start", x.in.ChargeFrom * 100, "%"}, Quantity{"I", "on plugging in", x.Charge.StartA, "A"})
		}, nil},
	{Method{"charge.minutes", "t = t_cc + t_cv\nt_cc: constant current, 60·Q·Δz/I_c\nt_cv: constant voltage, ∫ 60·Q·dz/I", sourceCC, validCharge},
		func(x *basis) []Quantity {
			return []Quantity{{"t_cc", "at constant current", x.Charge.MinutesCC, "min"}, {"t_cv", "at constant voltage", x.Charge.MinutesCV, "min"}, {"I_c", "charger's current", x.Charge.CurrentA, "A"}}
		}, nil},
	{Method{"charge.end_pct", "z: where I is I_t, at most z_1\nI_t = f·P·Q_c/100", sourceCC, validCharge},
		func(x *basis) []Quantity {
			return []Quantity{{"z_1", "charge wanted", x.in.ChargeTo * 100, "%"}, {"I_t", "current where the charger stops", x.in.Taper * float64(x.in.Parallel) * x.parts.Cell.CapacityAh, "A"},
				{"f", "share of rated charge per hour", x.in.Taper * 100, "%"}, x.parallel(), x.charge()}
		}, nil},
	{Method{"charge.c_rate", "c = I_c/(P·Q_c)", byCount, "The charger's constant current; it falls towards the end."},
		func(x *basis) []Quantity {
			return []Quantity{{"I_c", "charger's current", x.Charge.CurrentA, "A"}, x.parallel(), x.charge()}
		}, nil},
	{Method{"charge.cell_a", "I = I_c/P", byCount, "Cells of one group share it evenly; a weak one takes more than its share."},
		func(x *basis) []Quantity {
			return []Quantity{{"I_c", "charger's current", x.Charge.CurrentA, "A"}, x.parallel()}
		},
		func(x *basis) string {
			return "one cell takes " + fixed(x.Charge.CellLimitA, 2) + " A for long" + x.judged("charge.cell_a")
		}},
	{Method{"charge.wall_wh", "W = 100·W_p/η", "Energy is conserved; the efficiency is yours.", validCharge},
		func(x *basis) []Quantity {
			return []Quantity{{"W_p", "into the pack's terminals", x.Charge.PackWh, "Wh"}, {"η", "efficiency of the charger", x.in.ChargerEfficiency * 100, "%"}}
		}, nil},
	{Method{"charge.cost", "K = W·k/1000", "Energy times its price.", "At the price entered; standing charges are left out."},
		func(x *basis) []Quantity {
			return []Quantity{{"W", "from the wall", x.Charge.WallWh, "Wh"}, {"k", "price of 1 kWh", x.in.Tariff, ""}}
		}, nil},
	{Method{"charge.storage_v", "V = S·U_50", byCount + " Open-circuit tables of the cell's chemistry.", "At rest for some hours, at the temperature for charging."},
		func(x *basis) []Quantity {
			c := cell.New(x.parts.Cell, x.in.ChargeC, x.in.ResistanceGrowth)
			return []Quantity{x.series(), {"U_50", "one cell at half charge, at rest", c.OpenCircuit(0.5), "V"}}
		}, nil},
}

func (x *basis) usable() []Quantity {
	return []Quantity{{"Q", "usable charge", x.Pack.CapacityAh, "Ah"}, x.parallel(), x.charge(), {"h", "state of health", x.in.HealthFraction * 100, "%"}}
}
