package rules

// Limits of passenger and freight rules. Each has its row in testdata/limits.csv.
const (
	cabinFree     = 100 // Wh
	cabinApproval = 160 // Wh
	cabinSpares   = "2"
	smallCell     = 20  // Wh
	smallBattery  = 100 // Wh
	loneCharge    = 30  // % of rated charge
	vehicleCharge = 30  // %
	packedCharge  = 30  // %
	shortCase     = 170 // °C
)

const (
	cabinSource   = "U.S. Federal Aviation Administration, PackSafe page, as quoted in a public data set; the page bears no date, year of reading"
	smallSource   = "49 CFR 173.185(c)(1)(i), as revised by 79 FR 46011"
	piSource      = "IATA Packing Instruction 965, guides of 2023 and 2025"
	vehicleSource = "IATA Dangerous Goods Regulations 2025, as summarised by a training firm for dangerous goods"
	testSource    = "UN Manual of Tests and Criteria, 38.3, as quoted by test houses; they bear no common edition, year of reading"
)

func air(f Figures) []Fact {
	pack := " This pack is rated " + say(f.EnergyWh, "Wh") + "."
	return []Fact{
		Fact{Code: "cabin-free", Topic: Air, Source: cabinSource, Year: 2026,
			Text: "In the cabin of an airliner a lithium-ion battery of up to " + say(cabinFree, "Wh") + " needs no approval." + pack,
		}.compared(f.EnergyWh, cabinFree, "Wh"),
		Fact{Code: "cabin-approval", Topic: Air, Source: cabinSource + "; cargo only above that: from memory", Year: 2026,
			Text: "From " + say(cabinFree, "Wh") + " to " + say(cabinApproval, "Wh") + " the airline's approval is needed, with " + cabinSpares +
				" spare batteries at most; above that batteries fly as cargo only." + pack,
		}.compared(f.EnergyWh, cabinApproval, "Wh"),
	}
}

func shipping(f Figures) []Fact {
	return []Fact{
		Fact{Code: "small-cell", Topic: Shipping, Source: smallSource, Year: 2014,
			Text: "The lighter rules for small lithium-ion cells end at " + say(smallCell, "Wh") + " a cell. This cell is rated " + say(f.CellWh, "Wh") + ".",
		}.compared(f.CellWh, smallCell, "Wh"),
		Fact{Code: "small-battery", Topic: Shipping, Source: smallSource, Year: 2014,
			Text: "The lighter rules for small lithium-ion batteries end at " + say(smallBattery, "Wh") + " a battery. This pack is rated " + say(f.EnergyWh, "Wh") + ".",
		}.compared(f.EnergyWh, smallBattery, "Wh"),
		Fact{Code: "un3480", Topic: Shipping, Source: piSource, Year: 2025,
			Text: "UN 3480, lithium-ion batteries alone: forbidden as cargo on passenger aircraft; on cargo aircraft at " + say(loneCharge, "%") + " of their rated charge at most.",
		}.limited(loneCharge, "%"),
		Fact{Code: "un3481", Topic: Shipping, Source: vehicleSource, Year: 2025,
			Text: "UN 3481, lithium-ion batteries packed with or contained in equipment: those packed with it, above 2.7 Wh, fly at " + say(packedCharge, "%") + " of their rated charge at most since 2026.",
		}.limited(packedCharge, "%"),
		Fact{Code: "un3556", Topic: Shipping, Source: vehicleSource, Year: 2025,
			Text: "UN 3556, vehicle powered by a lithium-ion battery: since 2025 the entry by air for a whole board, which was UN 3171 before. A battery above 100 Wh flies at " +
				say(vehicleCharge, "%") + " of its rated charge at most, or at an indicated 25 % at most: recommended in 2025, required since 2026.",
		}.limited(vehicleCharge, "%"),
		Fact{Code: "un38.3", Topic: Shipping, Source: testSource, Year: 2026,
			Text: "UN 38.3: cells and batteries that are transported have passed tests of low pressure (11.6 kPa for 6 h), heat and cold, vibration, shock, external short circuit (0.1 Ω at most, case up to " +
				say(shortCase, "°C") + "), impact or crush, overcharge and forced discharge (the last two: from memory). A pack that someone built has passed them only if that very design was tested.",
		}.limited(shortCase, "°C"),
	}
}
