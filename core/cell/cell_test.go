package cell_test

import (
	"testing"

	"headroom/core/build"
	"headroom/core/cell"
	"headroom/core/internal/reference"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// published pairs each chemistry with its table and the ends that leave the table unstretched.
var published = map[build.Chemistry]struct {
	file        string
	empty, full float64
	mean        float64 // open-circuit voltage over charge, V, as published or integrated from the published equations
}{
	build.NickelRich:    {"nmc811_graphite_siox_chen2020", 2.5, 4.2, 3.7221},
	build.NickelCobalt:  {"nca_graphite_kim2011", 2.7, 4.2, 3.6727},
	build.IronPhosphate: {"lfp_graphite_bpx2022_18650", 2.0, 3.6486, 3.2605},
}

func unstretched(c build.Chemistry) *cell.Cell {
	p := published[c]
	return made(build.CellClass{Chemistry: c, FullV: p.full, EmptyV: p.empty, Resistance: 1}, 25, 0)
}

func made(class build.CellClass, celsius, growth float64) *cell.Cell {
	c := cell.New(class, celsius, growth)
	return &c
}

func TestOpenCircuitTables(t *testing.T) {
	for chemistry, p := range published {
		c := unstretched(chemistry)
		rows := reference.Table(t, "../../testdata/ocv_"+p.file+".csv")
		require.Len(t, rows, 21)
		last := 0.0
		for _, row := range rows {
			z, volts := row.Number("soc"), row.Number("ocv_V")
			assert.InDelta(t, volts, c.OpenCircuit(z), 5e-5, "%s at %g", p.file, z)
			assert.Greater(t, volts, last, "%s is monotone", p.file)
			last = volts
		}
	}
}

func TestOpenCircuitBetweenPoints(t *testing.T) {
	for chemistry, p := range published {
		c := unstretched(chemistry)
		checked := 0
		for _, row := range reference.Table(t, "../../testdata/pchip.csv") {
			if row.Text("table") != p.file {
				continue
			}
			checked++
			assert.InDelta(t, row.Number("ocv_V"), c.OpenCircuit(row.Number("soc")), 2e-9,
				"%s at %s: second method, testdata/oracle_cell.py", p.file, row.Text("soc"))
		}
		assert.Equal(t, 36, checked)
	}
}

func TestMeanOpenCircuit(t *testing.T) {
	for chemistry, p := range published {
		c := unstretched(chemistry)
		const n = 20000
		var sum float64
		for i := range n {
			sum += c.OpenCircuit((float64(i) + 0.5) / n)
		}
		// 21 points stand for the published equations; the wall of the last 5 % of iron phosphate costs the most.
		assert.InDelta(t, p.mean, sum/n, 8e-3, "%s: mean open-circuit voltage", p.file)
	}
}

func TestOpenCircuitIsMonotoneAndMeetsItsEnds(t *testing.T) {
	for _, class := range build.Cells {
		c := made(class, 20, 0)
		assert.InDelta(t, class.EmptyV, c.OpenCircuit(0), 1e-12, class.ID)
		assert.InDelta(t, class.FullV, c.OpenCircuit(1), 1e-12, class.ID)
		assert.Equal(t, c.OpenCircuit(0), c.OpenCircuit(-0.1), "%s: outside, the nearer end", class.ID)
		assert.Equal(t, c.OpenCircuit(1), c.OpenCircuit(1.1), "%s: outside, the nearer end", class.ID)
		for z := 0.0; z < 1; z += 1.0 / 1999 {
			require.Less(t, c.OpenCircuit(z), c.OpenCircuit(z+1.0/1999), "%s at %g", class.ID, z)
		}
	}
}

func TestIronPhosphateIsFlat(t *testing.T) {
	c := unstretched(build.IronPhosphate)
	assert.Less(t, c.OpenCircuit(0.9)-c.OpenCircuit(0.2), 0.15, "BPX 2022 iron phosphate, 20–90 %")
	assert.Greater(t, unstretched(build.NickelRich).OpenCircuit(0.9)-unstretched(build.NickelRich).OpenCircuit(0.2), 0.5)
	// The wall at the end must not be smeared over the plateau.
	assert.Less(t, c.OpenCircuit(0.94), 3.325)
}

// A generic curve of the 4.2 V class can only be asked to lie within the spread of the published ones: 130 mV of the NMC111 pouch
// of the open BPX set 2022 between 15 and 95 %.
func TestNickelCurvesLieTogether(t *testing.T) {
	for _, row := range reference.Table(t, "../../testdata/ocv_nmc111_graphite_bpx2022_pouch.csv") {
		z := row.Number("soc")
		if z < 0.145 || z > 0.955 {
			continue
		}
		rich, cobalt := unstretched(build.NickelRich).OpenCircuit(z), unstretched(build.NickelCobalt).OpenCircuit(z)
		assert.InDelta(t, row.Number("ocv_V"), rich, 0.130, "NMC111 against NMC811 at %g", z)
		assert.InDelta(t, rich, cobalt, 0.130, "NCA against NMC811 at %g", z)
	}
}
