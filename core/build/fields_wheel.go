package build

// wheelFields are the tire.
var wheelFields = []Field{
	{Key: "tire", Label: "Tire", Group: GroupWheel, Kind: Choice, Chosen: "trail-6", options: optionsOf(Tires),
		Help: "Tire class by rim and use.", choice: func(b *Build) *string { return &b.Tire }},
	{Key: "tirer", Label: "Tire radius", Group: GroupWheel, Unit: "mm", Scale: milli, Min: 80, Max: 300, Step: 1, Optional: true,
		Help: "Unloaded, inflated: half of the diameter.", part: func(p *Parts) *float64 { return &p.Tire.Radius }},
	{Key: "rub", Label: "Tire clearance", Group: GroupWheel, Unit: "mm", Scale: milli, Min: 0, Max: 60, Step: 1, Default: 8,
		Help: "Gap between the tire at rest and the nearest thing it would rub on.", number: func(b *Build) *float64 { return &b.RubClearance }},
	{Key: "tirew", Label: "Tire width", Group: GroupWheel, Unit: "mm", Scale: milli, Min: 40, Max: 250, Step: 1, Optional: true, Rare: true,
		Help: "Of the tread that meets the ground.", part: func(p *Parts) *float64 { return &p.Tire.Width }},
	{Key: "crr", Label: "Rolling coefficient", Group: GroupWheel, Unit: "", Scale: 1, Min: 0.004, Max: 0.1, Step: 0.001, Optional: true,
		Help: "Rolling force per load on smooth asphalt at the class's reference pressure and load.", part: func(p *Parts) *float64 { return &p.Tire.RollingC0 }},
	{Key: "carcass", Label: "Carcass stiffness", Group: GroupWheel, Unit: "N/mm", Scale: kilo, Min: 0, Max: 200, Step: 1, Optional: true, Rare: true,
		Help: "Stiffness of the tire with no air in it.", part: func(p *Parts) *float64 { return &p.Tire.Carcass }},
	{Key: "tirekg", Label: "Tire mass", Group: GroupWheel, Unit: "kg", Scale: 1, Min: 0.3, Max: 10, Step: 0.1, Optional: true, Rare: true,
		Help: "Tire and tube.", part: func(p *Parts) *float64 { return &p.Tire.Mass }},
}
