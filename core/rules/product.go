package rules

import (
	"strconv"

	"headroom/core/build"
)

// Limits of a product standard and a law. Each has its row in testdata/limits.csv.
const (
	productVolt   = 100  // V d.c.
	productSpeed  = 25   // km/h
	germanSpeed   = 20   // km/h
	germanMass    = 55   // kg
	germanBalance = 1400 // W
)

const (
	productSource = "EN 17128:2020, scope"
	germanSource  = "Germany, eKFV 2019, section 1"
)

func product(b *build.Build, p *build.Parts, f Figures) []Fact {
	return []Fact{
		Fact{Code: "en17128-voltage", Topic: Product, Source: productSource, Year: 2020,
			Text: "EN 17128, light vehicles for one person, with or without self-balancing, covers batteries of up to " + say(productVolt, "V d.c.") +
				" The scope does not say whether nominal or full; here the full pack is compared: " + strconv.Itoa(b.Series) + " cells of " +
				strconv.FormatFloat(p.Cell.FullV, 'f', -1, 64) + " V in series, " + say(f.FullV, "V") + ".",
		}.compared(f.FullV, productVolt, "V"),
		Fact{Code: "en17128-speed", Topic: Product, Source: productSource, Year: 2020,
			Text: "EN 17128 covers design speeds of up to " + say(productSpeed, "km/h") + ". A design speed is not known here; the riding speed is compared: " + say(f.CruiseKmh, "km/h") + ".",
		}.compared(f.CruiseKmh, productSpeed, "km/h"),
		{Code: "ul2272", Topic: Product, Source: "UL 2272, second edition", Year: 2024,
			Text: "UL 2272 tests the whole electric drive with battery and charger for fire and shock; it says nothing about riding or balance."},
		{Code: "ul2271", Topic: Product, Source: "UL 2271", Year: 2023,
			Text: "UL 2271 tests batteries of light electric vehicles."},
		{Code: "iec62133", Topic: Product, Source: "IEC 62133-2:2017, from memory", Year: 2017,
			Text: "IEC 62133-2 tests portable lithium cells and batteries, external short circuit, heat of 130 °C and overcharge among others."},
	}
}

func law(f Figures) []Fact {
	return []Fact{
		Fact{Code: "ekfv-speed", Topic: Law, Source: germanSource, Year: 2019,
			Text: "Germany admits small electric vehicles that are built for 6 to " + say(germanSpeed, "km/h") + " at most. The riding speed here is " + say(f.CruiseKmh, "km/h") + ".",
		}.compared(f.CruiseKmh, germanSpeed, "km/h"),
		Fact{Code: "ekfv-mass", Topic: Law, Source: germanSource + "; that the rider does not count: from memory", Year: 2019,
			Text: "Germany admits them up to " + say(germanMass, "kg") + " without rider. This board is " + say(f.BoardKg, "kg") + ".",
		}.compared(f.BoardKg, germanMass, "kg"),
		Fact{Code: "ekfv-bar", Topic: Law, Source: germanSource, Year: 2019,
			Text: "Germany admits them only with a steering or holding bar, which boards of this kind do not have; self-balancing ones with a bar may have " + say(germanBalance, "W") + ".",
		}.limited(germanBalance, "W"),
		{Code: "local", Topic: Law, Source: "no single source: rules differ by country, state and town, and change; year of writing", Year: 2026,
			Text: "Local law varies: where, how fast and with what insurance such a board may be ridden is known to the authority of the place."},
	}
}
