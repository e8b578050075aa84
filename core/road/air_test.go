package road_test

import (
	"testing"

	"headroom/core/internal/reference"
	"headroom/core/road"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestStandardAtmosphere(t *testing.T) {
	rows := reference.Table(t, "../../testdata/isa.csv")
	require.Len(t, rows, 11)
	for _, row := range rows {
		h := row.Number("geopotential_m")
		assert.InEpsilon(t, row.Number("p_Pa"), road.Pressure(h), 1e-5, "ISO 2533 at %g m", h)
		assert.InEpsilon(t, row.Number("rho_kg_m3"), road.AirDensity(h, row.Number("T_K")-273.15), 1e-5, "ISO 2533 at %g m", h)
	}
}

func TestAirDensityAgainstCIPM(t *testing.T) {
	dry := 0
	for _, row := range reference.Table(t, "../../testdata/humid_air.csv") {
		celsius, density := row.Number("t_C"), row.Number("rho_CIPM2007")
		if row.Number("p_Pa") != 101325 {
			continue // the model takes its pressure from altitude
		}
		model := road.AirDensity(0, celsius)
		if row.Number("rh") == 0 {
			dry++
			assert.InEpsilon(t, density, model, 1.5e-3, "CIPM-2007, dry, %g °C (polynomial constants from memory)", celsius)
			continue
		}
		// Moist air is lighter, by no more than the model's documentation says at ordinary temperatures.
		assert.Less(t, density, model*1.001, "CIPM-2007, moist, %g °C", celsius)
		if celsius <= 20 {
			assert.Greater(t, density, model*0.99, "CIPM-2007, moist, %g °C", celsius)
		}
	}
	assert.Equal(t, 6, dry)
}
