package wire_test

import (
	"math"
	"testing"

	"headroom/core/internal/reference"
	"headroom/core/wire"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// The horizontal steam pipe of a heat transfer textbook (from memory): diameter 0.1 m, surface 165 °C, air and walls 23 °C, emissivity
// 0.85. Film 367 K, k 0.0313 W/(m·K), ν 22.8e-6 m²/s, Pr 0.697, so Ra 5.07e6, Nu 23.3 and h 7.29 W/(m²·K); by hand
// 7.29·π·0.1·142 = 325 W/m and 0.85·5.67e-8·π·0.1·(438⁴ − 296⁴) = 441 W/m.
func TestSteamPipe(t *testing.T) {
	assert.InEpsilon(t, 23.3, wire.Nusselt(5.07e6, 0.697), 0.01, "Churchill & Chu 1975: worked example of a textbook, from memory")
	convection, radiation := wire.CylinderLoss(0.1, 165, 23, 0.85)
	assert.InEpsilon(t, 325, convection, 0.01, "the same")
	assert.InEpsilon(t, 441, radiation, 0.003, "Stefan-Boltzmann, by hand")
	_, dark := wire.CylinderLoss(0.1, 165, 23, 0)
	assert.Zero(t, dark, "no emissivity, no radiation")
}

// A bare wire at rest: as Ra goes to 0 Churchill & Chu go to Nu = 0.36.
func TestNusseltOfAThinWire(t *testing.T) {
	assert.InDelta(t, 0.36, wire.Nusselt(0, 0.7), 1e-12, "Churchill & Chu 1975: 0.60²")
}

// The roots in place of powers change nothing: the formula as printed by Churchill & Chu 1975.
func TestNusseltAsPrinted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rayleigh := math.Exp(rapid.Float64Range(math.Log(1e-6), math.Log(1e12)).Draw(t, "Ra"))
		prandtl := rapid.Float64Range(0.1, 100).Draw(t, "Pr")
		root := 0.60 + 0.387*math.Pow(rayleigh, 1.0/6)/math.Pow(1+math.Pow(0.559/prandtl, 9.0/16), 8.0/27)
		assert.InEpsilon(t, root*root, wire.Nusselt(rayleigh, prandtl), 1e-12)
	})
}

// Air that is nearly as hot as the formulas go leaves little room, and still a number.
func TestLeadInHotAir(t *testing.T) {
	for _, air := range []float64{380, 390, 395, 399.9} {
		celsius := (air + wire.MaxLeadC) / 2
		got, ok := wire.LeadC(wire.LeadCurrent(celsius, wire.Area(10), 1e-3, air), wire.Area(10), 1e-3, air)
		assert.True(t, ok)
		assert.InDelta(t, celsius, got, 1e-6)
	}
}

// lead draws a lead in air.
func lead(t *rapid.T) (area, wall, air float64) {
	return math.Exp(rapid.Float64Range(math.Log(0.2e-6), math.Log(100e-6)).Draw(t, "area")), rapid.Float64Range(0.5e-3, 2e-3).Draw(t, "wall"),
		rapid.Float64Range(-20, 110).Draw(t, "air")
}

func TestLeadBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		area, wall, air := lead(t)
		celsius := air + math.Exp(rapid.Float64Range(math.Log(0.01), math.Log(wire.MaxLeadC-air)).Draw(t, "rise"))*0.9999
		current := wire.LeadCurrent(celsius, area, wall, air)
		got, ok := wire.LeadC(current, area, wall, air)
		assert.True(t, ok)
		assert.InDelta(t, celsius, got, 1e-8, "there and back")

		convection, radiation := wire.CylinderLoss(wire.SolidDiameter(area)+2*wall, celsius, air, 0.9)
		assert.InEpsilon(t, current*current*wire.Resistance(area, 1, celsius), convection+radiation, 1e-9, "what is made leaves")

		// A second, slower method: halving between the air and 400 °C.
		cold, hot := air, wire.MaxLeadC
		for range 60 {
			if mid := (cold + hot) / 2; wire.LeadCurrent(mid, area, wall, air) < current {
				cold = mid
			} else {
				hot = mid
			}
		}
		assert.InDelta(t, hot, got, 1e-8, "bisection")

		more, _ := wire.LeadC(current*1.01, area, wall, air)
		assert.Greater(t, more, got, "more current, more heat")
	})
}

func TestLeadRunsAway(t *testing.T) {
	area := wire.Area(12)
	edge := wire.LeadCurrent(wire.MaxLeadC, area, 1e-3, 30)
	at, ok := wire.LeadC(edge*1.0001, area, 1e-3, 30)
	assert.False(t, ok, "beyond 400 °C")
	assert.Equal(t, wire.MaxLeadC, at)
	_, ok = wire.LeadC(edge*0.9999, area, 1e-3, 30)
	assert.True(t, ok)
	rest, ok := wire.LeadC(0, area, 1e-3, 30)
	assert.True(t, ok)
	assert.InDelta(t, 30, rest, 0.0011, "no current, no rise")
}

// The handbook's chassis current warms every gauge by a middling rise, so rule and physics agree.
func TestChassisRatingWarmsByAMiddlingRise(t *testing.T) {
	for _, row := range reference.Table(t, "../../testdata/awg.csv") {
		area, air := row.Number("area_mm2")*1e-6, 30.0
		at, ok := wire.LeadC(row.Number("handbook_chassis_A"), area, 0.8e-3, air)
		assert.True(t, ok)
		t.Logf("AWG %s: %.0f K", row.Text("awg"), at-air)
		assert.Greater(t, at-air, 20.0, "AWG %s: Handbook of Electronic Tables and Formulas", row.Text("awg"))
		assert.Less(t, at-air, 70.0, "AWG %s: the same", row.Text("awg"))
	}
}
