package wire

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Handbook table of dry air at one atmosphere (any heat transfer handbook, from memory).
func TestAirAgainstHandbook(t *testing.T) {
	for _, row := range []struct{ kelvin, milliK, microNu, prandtl float64 }{
		{250, 22.3, 11.44, 0.720}, {300, 26.3, 15.89, 0.707}, {350, 30.0, 20.92, 0.700}, {400, 33.8, 26.41, 0.690}, {450, 37.3, 32.39, 0.686}, {500, 40.7, 38.79, 0.684},
	} {
		a := airAt(row.kelvin)
		assert.InEpsilon(t, row.milliK, a.conductivity*1e3, 0.02, "%g K", row.kelvin)
		assert.InEpsilon(t, row.microNu, a.viscosity*1e6, 0.03, "%g K", row.kelvin)
		assert.InEpsilon(t, row.prandtl, a.prandtl, 0.03, "%g K", row.kelvin)
	}
}
