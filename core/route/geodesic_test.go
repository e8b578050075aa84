package route_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"headroom/core/internal/reference"
	"headroom/core/route"
)

func place(lat, lon float64) route.Point { return route.Point{Lat: lat, Lon: lon} }

func dms(d, m, s float64) float64 { return d + m/60 + s/3600 }

// Flinders Peak to Buninyong, the worked example of the Geocentric Datum of Australia Technical Manual: 54 972.271 m on GRS 80, whose
// ellipsoid is that of WGS 84 to a tenth of a millimeter.
func TestDistanceOfTheWorkedExample(t *testing.T) {
	peak := place(-dms(37, 57, 3.72030), dms(144, 25, 29.52440))
	buninyong := place(-dms(37, 39, 10.15610), dms(143, 55, 35.38390))
	assert.InEpsilon(t, 54972.271, route.Distance(peak, buninyong), 1e-6)
	assert.InEpsilon(t, 54972.271, route.Distance(buninyong, peak), 1e-6)
}

// Karney's exact geodesics, see testdata/geodesic.mjs; the table includes the poles and the date line.
func TestDistanceAgainstExactGeodesics(t *testing.T) {
	for _, row := range reference.Table(t, "../../testdata/geodesic.csv") {
		want := row.Number("distance_m")
		got := route.Distance(place(row.Number("lat1"), row.Number("lon1")), place(row.Number("lat2"), row.Number("lon2")))
		assert.InDelta(t, want, got, 1e-3+1e-6*max(0, want-5000), "%s %s", row.Text("lat1"), row.Text("lon1"))
	}
	assert.Zero(t, route.Distance(place(50, 7), place(50, 7)))
}
