package protect

import (
	"math"

	"headroom/core/build"
	"headroom/core/wire"
)

const (
	referenceC = 30.0 // °C of the air that ratings of leads and contacts hold in (IEC 60364-5-52)
	contactC   = 90.0 // °C that contacts may reach (common practice, no published source)
	leastShare = 0.01 // of a rating stays where the air alone is too hot, so that every load is over and every figure finite
	fuseSteady = 0.75 // of its rating a fuse carries for hours at 25 °C (common practice; a maker's guide allows 80 % for fast types)
)

// airC is what surrounds fuse, leads and plugs, °C.
func airC(b *build.Build) float64 { return b.AmbientC + b.BoxWarmth }

// share is the factor for air of airC on a rating that holds at referenceC: never above the rating, never quite nothing.
func share(limitC, airC float64) float64 {
	return max(leastShare, min(1, wire.AmbientFactor(limitC, airC, referenceC)))
}

func contactFactor(b *build.Build) float64 { return share(contactC, airC(b)) }

// leadFactor is for air and bundle together.
func leadFactor(b *build.Build, p *build.Parts) float64 {
	return share(p.Insulation.LimitC, airC(b)) * wire.BundleFactor(b.Bundle)
}

// rerating is a maker's sheet for a 40 A blade, type E: 40 A up to 20 °C, 34 A at 65, 30 A at 85, 25 A at 110, 22 A at 125 °C. Its last line is
// carried on to 30 % of the rating. It stands for every class: none of the others has a public table.
var rerating = [...]struct{ celsius, amps float64 }{{20, 40}, {65, 34}, {85, 30}, {110, 25}, {125, 22}, {175, 12}}

// FuseFactor is the share of its rating that a fuse keeps in air of celsius: lines between the points of the sheet, 1 below, 0.3 at the
// least.
func FuseFactor(celsius float64) float64 {
	amps := rerating[0].amps
	for i := range len(rerating) - 1 {
		from, to := rerating[i], rerating[i+1]
		amps += (to.amps - from.amps) / (to.celsius - from.celsius) * max(0, min(celsius, to.celsius)-from.celsius)
	}
	return amps / rerating[0].amps
}

// stripDensities are what a metal of links may carry for hours and for a peak, A/m².
func stripDensities(c *build.StripClass) (lasting, peak float64) {
	return stripLasting * math.Sqrt(nickel/c.Resistivity), wire.DensityFor(stripRise, stripSeconds, c.Resistivity, c.HeatJ)
}

// LinkOhm is the resistance in Ω at 20 °C of one link's strip alone, without its welds.
func LinkOhm(b *build.Build, p *build.Parts) float64 {
	return p.Strip.Resistivity * b.StripLength / b.StripArea
}
