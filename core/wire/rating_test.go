package wire_test

import (
	"math"
	"testing"

	"headroom/core/internal/reference"
	"headroom/core/wire"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestChassisIsTheHandbook(t *testing.T) {
	for _, row := range reference.Table(t, "../../testdata/awg.csv") {
		awg := int(row.Number("awg"))
		area := wire.Area(awg)
		assert.InEpsilon(t, row.Number("handbook_chassis_A"), wire.ChassisA(area), 1e-12, "AWG %d: Handbook of Electronic Tables and Formulas", awg)
		assert.Equal(t, float64(awg), wire.Gauge(area), "ASTM B258")
		assert.InEpsilon(t, wire.Diameter(awg), wire.SolidDiameter(area), 1e-12)
	}
}

// Between gauges and beyond them the current is a power of the area.
func TestChassisBetweenAndBeyond(t *testing.T) {
	mid := math.Sqrt(wire.Area(10) * wire.Area(11))
	assert.InEpsilon(t, math.Sqrt(55*47), wire.ChassisA(mid), 1e-9, "half way on logarithmic scales, by hand")
	assert.InEpsilon(t, 135*135.0/118, wire.ChassisA(wire.Area(3)), 1e-9, "one gauge beyond the thick end, by its slope")
	assert.InEpsilon(t, 11*11.0/14, wire.ChassisA(wire.Area(21)), 1e-9, "one gauge beyond the thin end, by its slope")
	rapid.Check(t, func(t *rapid.T) {
		area := rapid.Float64Range(0.2e-6, 100e-6).Draw(t, "area")
		assert.Greater(t, wire.ChassisA(area*1.01), wire.ChassisA(area), "thicker carries more")
	})
}

func TestAmbientFactor(t *testing.T) {
	for _, c := range []struct{ limit, ambient, factor float64 }{
		{70, 30, 1}, {70, 40, 0.87}, {70, 50, 0.71}, {70, 60, 0.50},
		{90, 30, 1}, {90, 40, 0.91}, {90, 50, 0.82}, {90, 60, 0.71},
	} {
		assert.InDelta(t, c.factor, wire.AmbientFactor(c.limit, c.ambient, 30), 0.0051,
			"IEC 60364-5-52 table B.52.14 (from memory; 70 °C seen in a public copy): %g °C in %g °C", c.limit, c.ambient)
	}
	assert.Zero(t, wire.AmbientFactor(70, 70, 30))
	assert.Zero(t, wire.AmbientFactor(70, 90, 30))
	assert.InEpsilon(t, math.Sqrt2, wire.AmbientFactor(70, -10, 30), 1e-12, "colder than the reference, by hand")
}

func TestBundleFactor(t *testing.T) {
	for circuits, factor := range map[int]float64{
		1: 1, 2: 0.80, 3: 0.70, 4: 0.65, 5: 0.60, 6: 0.57, 7: 0.54, 8: 0.52, 9: 0.50, 12: 0.45,
	} {
		assert.Equal(t, factor, wire.BundleFactor(circuits),
			"IEC 60364-5-52 table B.52.17 (from memory; 2, 3, 4, 6, 9 and 12 seen in a public copy): %d circuits", circuits)
	}
	assert.InDelta(t, 0.48333, wire.BundleFactor(10), 1e-5, "on the line from 9 to 12")
	assert.InDelta(t, 0.46667, wire.BundleFactor(11), 1e-5, "on the line from 9 to 12")
	assert.Equal(t, 1.0, wire.BundleFactor(0))
	assert.Equal(t, 0.45, wire.BundleFactor(13))
}

func TestAdiabatic(t *testing.T) {
	const mm2, cmil = 1e-6, 5.067075e-10
	assert.InDelta(t, 115.0, wire.Adiabatic(mm2, 1, 70, 160), 0.1, "IEC 60364-5-54: k of PVC")
	assert.InDelta(t, 143.1, wire.Adiabatic(mm2, 1, 90, 250), 0.1, "IEC 60364-5-54: k of cross-linked polyethylene")
	// Onderdonk writes the same with 33 and 234 in place of 226 and 234.5, and so differs by 0.25 %. A common copy has 234 − 25 in it and
	// gives 178 A for 5 s.
	assert.InEpsilon(t, 168.9, wire.Adiabatic(2581*cmil, 5, 25, 1083), 0.003, "Onderdonk: worked example, its sign put right")
	assert.InEpsilon(t, 377.6, wire.Adiabatic(2581*cmil, 1, 25, 1083), 0.003, "Onderdonk")
	for _, row := range reference.Table(t, "../../testdata/awg.csv") {
		area := row.Number("area_mm2") * mm2
		assert.InEpsilon(t, row.Number("onderdonk_1s_A"), wire.Adiabatic(area, 1, 25, 1083), 0.005, "AWG %s: Onderdonk", row.Text("awg"))
		assert.InEpsilon(t, row.Number("onderdonk_10s_A"), wire.Adiabatic(area, 10, 25, 1083), 0.005, "AWG %s: Onderdonk", row.Text("awg"))
		// Preece is for lasting current in open air, so copper melts at less than in 10 s with no heat leaving.
		assert.Less(t, row.Number("preece_fusing_A"), row.Number("onderdonk_1s_A"), "AWG %s: Preece", row.Text("awg"))
		assert.Greater(t, row.Number("preece_fusing_A"), wire.ChassisA(area)*3, "AWG %s: Preece, far above any rating", row.Text("awg"))
	}
	assert.Zero(t, wire.Adiabatic(mm2, 1, 90, 90))
	assert.Zero(t, wire.Adiabatic(mm2, 1, 91, 90))
	assert.InEpsilon(t, 1e4, wire.JouleIntegral(mm2, 70, 160)/wire.JouleIntegral(mm2/100, 70, 160), 1e-12, "square of the area")
}

// Copper by the simple balance: 24.4 A/mm² warm it by 30 K in 10 s; by hand √(30·3.43e6/(10/58e6)) = 2.443e7 A/m². The full formula of
// IEC 60949, from 20 to 50 °C, has copper's growing resistance in it and so gives about 6 % less.
func TestDensityFor(t *testing.T) {
	j := wire.DensityFor(30, 10, wire.Resistivity20, 3.43e6)
	assert.InEpsilon(t, 2.443e7, j, 1e-3, "by hand")
	assert.InEpsilon(t, j, wire.Adiabatic(1, 10, 20, 50), 0.06, "IEC 60949")
	assert.InEpsilon(t, j*2, wire.DensityFor(120, 10, wire.Resistivity20, 3.43e6), 1e-12)
	assert.InEpsilon(t, j/2, wire.DensityFor(30, 40, wire.Resistivity20, 3.43e6), 1e-12)
}
