package build

// mainFields are the four leading sliders of the page.
var mainFields = []Field{
	{Key: "s", Label: "Cells in series", Group: GroupPack, Kind: Whole, Min: 8, Max: 40, Step: 1, Default: 18,
		Help: "More volts, more speed; parts must stand it.", whole: func(b *Build) *int { return &b.Series }},
	{Key: "p", Label: "Cells in parallel", Group: GroupPack, Kind: Whole, Min: 1, Max: 12, Step: 1, Default: 2,
		Help: "They share the current: less sag, farther.", whole: func(b *Build) *int { return &b.Parallel }},
	{Key: "motor", Label: "Motor", Group: GroupDrive, Kind: Choice, Chosen: "hub6-wide", options: optionsOf(Motors),
		Help: "From small and fast to large and strong.", choice: func(b *Build) *string { return &b.Motor }},
	{Key: "kpa", Label: "Tire pressure", Group: GroupWheel, Unit: "kPa", Scale: kilo, Min: 30, Max: 300, Step: 5, Default: 130,
		Help: "Gauge, cold. Softer grips, harder rolls farther.", number: func(b *Build) *float64 { return &b.Pressure }},
}
