package cell_test

import (
	"fmt"
	"testing"

	"headroom/core/build"
	"headroom/core/cell"
	"headroom/core/internal/reference"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestArrhenius(t *testing.T) {
	checked := 0
	for _, row := range reference.Table(t, "../../testdata/arrhenius_factor.csv") {
		energy := row.Number("Ea_kJ_per_mol") * 1e3
		for _, celsius := range []float64{-20, -10, 0, 10, 25, 40, 60} {
			checked++
			assert.InEpsilon(t, row.Number(fmt.Sprintf("%gC", celsius)), cell.Arrhenius(energy, celsius), 5e-4,
				"Arrhenius 1889, %g J/mol at %g °C", energy, celsius)
		}
	}
	assert.Equal(t, 63, checked)
}

func TestResistanceAtReference(t *testing.T) {
	for _, class := range build.Cells {
		fresh := made(class, 25, 0)
		assert.InEpsilon(t, class.Resistance, fresh.Resistance(0.5), 1e-12, "%s: 25 °C, half charge", class.ID)
		old := made(class, 25, 0.4)
		assert.InEpsilon(t, 1.4*fresh.Resistance(0.3), old.Resistance(0.3), 1e-12, "%s: growth multiplies", class.ID)
		// Ohmic 17 kJ/mol and kinetic 30–55 kJ/mol (BPX 2022, Chen 2020) bound the lumped energy; 20–30 is usual (from memory).
		cold := made(class, 0, 0).Resistance(0.5) / fresh.Resistance(0.5)
		assert.Greater(t, cold, 1.8801, "%s: 17.1 kJ/mol at 0 °C, BPX 2022 electrolyte", class.ID)
		assert.Less(t, cold, 3.6409, "%s: 35 kJ/mol at 0 °C, Chen 2020 graphite exchange current", class.ID)
		assert.Less(t, made(class, 40, 0).Resistance(0.5), fresh.Resistance(0.5), class.ID)
	}
}

var measured = map[string]build.Chemistry{"NMC": build.NickelRich, "LFP": build.IronPhosphate}

func TestResistanceShapeAgainstMeasurement(t *testing.T) {
	half := map[string]float64{}
	rows := reference.Table(t, "../../testdata/cell_effective_dc_resistance_bpx.csv")
	for _, row := range rows {
		if row.Text("soc_by_charge") == "0.5" {
			half[row.Text("cell")] = row.Number("R_mohm_from_1C_vs_C/20")
		}
	}
	require.Len(t, half, 2)
	for _, row := range rows {
		name := row.Text("cell")
		c := unstretched(measured[name])
		z := row.Number("soc_by_charge")
		assert.InEpsilon(t, row.Number("R_mohm_from_1C_vs_C/20")/half[name], c.Resistance(z)/c.Resistance(0.5), 0.09,
			"open BPX set 2022, %s at %g, 1C against C/20", name, z)
	}
}

func TestResistanceShapeIsItsRegression(t *testing.T) {
	for _, row := range reference.Table(t, "../../testdata/resistance_shape.csv") {
		c := unstretched(measured[row.Text("cell")])
		assert.InDelta(t, row.Number("shape"), c.Resistance(row.Number("soc"))/c.Resistance(0.5), 1e-3,
			"isotonic regression of the open BPX set 2022, %s at %s: second method, testdata/oracle_cell.py", row.Text("cell"), row.Text("soc"))
	}
}

func TestResistanceNeverGrowsWithCharge(t *testing.T) {
	for chemistry := range published {
		c := unstretched(chemistry)
		for z := 0.0; z < 1; z += 1.0 / 999 {
			require.GreaterOrEqual(t, c.Resistance(z), c.Resistance(z+1.0/999)*(1-1e-12), "chemistry %d at %g", chemistry, z)
		}
		assert.Positive(t, c.Resistance(1))
	}
}

// R·Ah of energy types at half charge, long pulse: 0.11–0.12 Ω·Ah; ohmic part 0.039–0.052 Ω·Ah (open BPX set 2022). A 10 s pulse
// of any class lies between half of the ohmic and the long-pulse value.
func TestCatalogResistances(t *testing.T) {
	for _, class := range build.Cells {
		product := class.Resistance * class.CapacityAh
		assert.Greater(t, product, 0.030, "%s: Ω·Ah", class.ID)
		assert.Less(t, product, 0.140, "%s: Ω·Ah", class.ID)
	}
}
