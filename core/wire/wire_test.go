package wire_test

import (
	"testing"

	"headroom/core/internal/reference"
	"headroom/core/wire"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWireGaugeTable(t *testing.T) {
	rows := reference.Table(t, "../../testdata/awg.csv")
	require.Len(t, rows, 17)
	for _, row := range rows {
		awg := int(row.Number("awg"))
		diameter := wire.Diameter(awg) * 1e3
		perKm := wire.Resistance(wire.Area(awg), 1000, 20)
		assert.InDelta(t, row.Number("diameter_mm_B258"), diameter, 5e-5, "AWG %d: ASTM B258 formula", awg)
		assert.InDelta(t, row.Number("area_mm2"), wire.Area(awg)*1e6, 5e-5, "AWG %d: ASTM B258 formula", awg)
		assert.InEpsilon(t, row.Number("R20_ohm_per_km_IACS"), perKm, 1e-4, "AWG %d: IEC 60028 copper", awg)
		assert.InEpsilon(t, row.Number("handbook_diameter_mm"), diameter, 2e-3, "AWG %d: Handbook of Electronic Tables and Formulas", awg)
		assert.InEpsilon(t, row.Number("handbook_ohm_per_km"), perKm, 2e-3, "AWG %d: Handbook of Electronic Tables and Formulas", awg)
	}
}

func TestWireGaugeDefinition(t *testing.T) {
	assert.InEpsilon(t, 0.005*0.0254, wire.Diameter(36), 1e-12, "ASTM B258: number 36 is 0.005 in")
	assert.InEpsilon(t, 0.460*0.0254, wire.Diameter(-3), 1e-12, "ASTM B258: number 0000 is 0.460 in")
	for awg := 4; awg < 20; awg++ {
		assert.InEpsilon(t, 1.1229322, wire.Diameter(awg)/wire.Diameter(awg+1), 1e-7, "ASTM B258: neighbours differ by 92^(1/39)")
	}
}

func TestCopper(t *testing.T) {
	assert.InEpsilon(t, 0.017241, wire.Resistivity20*1e6, 5e-5, "IEC 60028: 1/58 Ω·mm²/m")
	for _, c := range []struct {
		from, to, ratio float64
	}{
		{20, 90, 1.2751}, {20, 120, 1.3930}, {25, 100, 1.2890},
	} {
		assert.InDelta(t, c.ratio, wire.Heated(c.to)/wire.Heated(c.from), 1e-4,
			"IEC 60028, 0.00393 /K: %g to %g °C", c.from, c.to)
	}
	assert.InDelta(t, 0, wire.Heated(-234.45), 1e-4, "IEC 60028: inferred zero-resistance temperature")
	assert.InEpsilon(t, 2.873563e-3, wire.Resistance(6e-6, 1, 20), 1e-6, "1 m of 6 mm²: prospective short-circuit example, computed from IEC 60028")
	assert.InEpsilon(t, 1.724138e-3, wire.Resistance(10e-6, 1, 20), 1e-6, "1 m of 10 mm²: the same")
}

// Stranded conductors may resist more than their ideal area (IEC 60228 class 5): the limits lie 1.107…1.158 above it.
func TestIdealAreaIsBelowStandardLimits(t *testing.T) {
	for _, row := range reference.Table(t, "../../testdata/iec60228_class5.csv") {
		ratio := row.Number("Rmax20_plain_ohm_per_km") / wire.Resistance(row.Number("area_mm2")*1e-6, 1000, 20)
		assert.Greater(t, ratio, 1.107, "IEC 60228 class 5, %s mm²", row.Text("area_mm2"))
		assert.Less(t, ratio, 1.158, "IEC 60228 class 5, %s mm²", row.Text("area_mm2"))
	}
}
