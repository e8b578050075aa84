package build

// chargingFields are charger and charge.
var chargingFields = []Field{
	{Key: "chga", Label: "Charger current", Group: GroupCharging, Unit: "A", Scale: 1, Min: 0.2, Max: 80, Step: 0.5, Default: 5,
		Help: "Constant current printed on the charger.", number: func(b *Build) *float64 { return &b.ChargerA }},
	{Key: "chgv", Label: "Charger voltage", Group: GroupCharging, Unit: "V", Scale: 1, Min: 15, Max: 200, Step: 0.1, Optional: true,
		Help: "Final voltage printed on the charger, measured with no load. It must be the full pack to a tenth of a volt.", derived: true, part: func(p *Parts) *float64 { return &p.ChargerV }},
	{Key: "z0", Label: "Charge from", Group: GroupCharging, Unit: "%", Scale: percent, Min: 0, Max: 95, Step: 5, Default: 15,
		Help: "State of charge when the charger is plugged in.", number: func(b *Build) *float64 { return &b.ChargeFrom }},
	{Key: "z1", Label: "Charge to", Group: GroupCharging, Unit: "%", Scale: percent, Min: 30, Max: 100, Step: 5, Default: 100,
		Help: "State of charge to unplug at. 80 to 90 % makes cells last longer (common practice, no published source).", number: func(b *Build) *float64 { return &b.ChargeTo }},
	{Key: "chgtemp", Label: "Cells at, when charging", Group: GroupCharging, Unit: "°C", Scale: 1, Min: -20, Max: 60, Step: 1, Default: 20,
		Help: "Temperature of the cells themselves, not of the room: a board that was outside in winter is cold for hours.", number: func(b *Build) *float64 { return &b.ChargeC }},
	{Key: "cellchg", Label: "Cell charge current", Group: GroupCharging, Unit: "A", Scale: 1, Min: 0.1, Max: 100, Step: 0.5, Optional: true,
		Help: "Highest lasting charge current of one cell, from its data sheet.", part: func(p *Parts) *float64 { return &p.Cell.ChargeA }},
	{Key: "chgfuse", Label: "Charge fuse", Group: GroupCharging, Unit: "A", Scale: 1, Min: 1, Max: 100, Step: 1, Default: 10,
		Help: "Rating of the fuse between charge socket and pack.", number: func(b *Build) *float64 { return &b.ChargeFuse }},
	{Key: "chgtype", Label: "Charge fuse class", Group: GroupCharging, Kind: Choice, Chosen: "cyl-150", options: optionsOf(Fuses),
		Help: "Its d.c. voltage rating must reach the full pack too.", choice: func(b *Build) *string { return &b.ChargeFuseClass }},
	{Key: "taper", Label: "Charger stops at", Group: GroupCharging, Unit: "%", Scale: percent, Min: 1, Max: 20, Step: 1, Default: 5, Rare: true,
		Help: "Current at which the charger calls it full, in % of rated charge per hour (5 % of 9 Ah: 0.45 A).", number: func(b *Build) *float64 { return &b.Taper }},
	{Key: "chgeff", Label: "Charger efficiency", Group: GroupCharging, Unit: "%", Scale: percent, Min: 60, Max: 99, Step: 1, Default: 90, Rare: true,
		Help: "From the wall to the pack. Common practice, no published source.", number: func(b *Build) *float64 { return &b.ChargerEfficiency }},
	{Key: "tariff", Label: "Price of energy", Group: GroupCharging, Unit: "per kWh", Scale: 1, Min: 0, Max: 1000, Step: 0.01, Default: 0.3, Rare: true,
		Help: "In your money.", number: func(b *Build) *float64 { return &b.Tariff }},
}
