package cell

import (
	"math"

	"headroom/core/build"
)

const (
	gasConstant = 8.314462618 // J/(mol·K), exact in the SI since 2019
	reference   = 298.15      // K, 25 °C
	// activationEnergy of the lumped resistance, J/mol: between the published ohmic part (electrolyte, 17.1 kJ/mol) and the
	// kinetic part (30–55 kJ/mol) of the BPX 2022 and Chen 2020 parameter sets; 20–30 is usual (from memory).
	activationEnergy = 25e3
)

// Cell is one cell at one temperature and age.
type Cell struct {
	ocv          *curve
	shape        *curve
	fullV        float64
	emptyV       float64
	scale        float64 // volts of this cell per volt of the table
	resistance25 float64 // Ω at 25 °C, half charge, with age
	thermal      float64 // R(T)/R(25 °C)
}

// New makes a cell of a class at a temperature in °C with a resistance growth (fraction ≥ 0). The table is stretched
// linearly so that it meets the class's full and empty voltages exactly.
func New(class build.CellClass, celsius, growth float64) Cell {
	t := tables[class.Chemistry]
	low, high := t.ocv.at(0), t.ocv.at(1)
	return Cell{
		ocv: t.ocv, shape: t.shape,
		fullV: class.FullV, emptyV: class.EmptyV,
		scale:        (class.FullV - class.EmptyV) / (high - low),
		resistance25: class.Resistance * (1 + growth),
		thermal:      Arrhenius(activationEnergy, celsius),
	}
}

// OpenCircuit returns U(z) in V.
func (c *Cell) OpenCircuit(z float64) float64 {
	return c.emptyV + (c.ocv.at(z)-c.ocv.y[0])*c.scale
}

// Resistance returns R(z) in Ω at the cell's temperature and age.
func (c *Cell) Resistance(z float64) float64 {
	return c.resistance25 * c.shape.at(z) * c.thermal
}

// Arrhenius returns R(T)/R(25 °C) = exp(Eₐ/R·(1/T − 1/298.15)) for an activation energy in J/mol and a temperature in °C
// (S. Arrhenius 1889; factors tabulated in testdata/arrhenius_factor.csv).
func Arrhenius(energy, celsius float64) float64 {
	return math.Exp(energy / gasConstant * (1/(celsius+273.15) - 1/reference))
}
