package route_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A hill that lies between two points is in no file. How much of a way is like that is told: worked by hand from the legs of each.
func TestWaysWithFewPointsAreBlind(t *testing.T) {
	hills := func(s float64) float64 { return 20 * (1 - math.Cos(2*math.Pi*s/1000)) } // 40 m, a kilometer each
	dips := opened(t, straight(5000, 1000, hills))
	assert.InDelta(t, 0, dips.Climb, 0.1, "a point in each dip shows no hill")
	assert.InDelta(t, 5000, dips.BlindM, 1)
	assert.InDelta(t, 5000, opened(t, straight(5000, 1250, hills)).BlindM, 1)
	assert.InDelta(t, 5000, opened(t, straight(5000, 250, hills)).BlindM, 1)
	for _, leg := range []float64{5, 50, 100, 190} {
		assert.Zero(t, opened(t, straight(3800, leg, hills)).BlindM, "legs of %g m", leg)
	}

	// along is a way eastward; a leg given as negative ends at a point without an elevation.
	along := func(head string, legs ...float64) string {
		at, out := 0.0, head
		for _, leg := range legs {
			at += math.Abs(leg)
			ele := "<ele>5</ele>"
			if leg < 0 {
				ele = ""
			}
			out += fmt.Sprintf(`<trkpt lat="0" lon="%.9f">%s</trkpt>`, at/111319.49, ele)
		}
		return out + "</trkseg></trk></gpx>"
	}
	track := "<gpx><trk><trkseg>"
	for _, c := range []struct {
		name  string
		text  string
		blind float64
	}{
		{"one long leg among short ones", along(track, 0, 50, 50, 1200, 50, 50), 1200},
		{"a hole that is a short leg", along(track, 0, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 150, 5, 5), 150},
		{"elevations missing for a while", along(track, 0, 60, -60, -60, -60, 60, 60), 240},
		{"elevations missing for a moment", along(track, 0, 60, -60, -60, 60, 60), 0},
		{"none at the beginning", along(track, -1, -60, 60, 60), 120},
		{"none at the end", along(track, 0, 60, 60, -60, -60), 120},
		{"none at all", along(track, -1, -60, -60), 120},
	} {
		assert.InDelta(t, c.blind, opened(t, c.text).BlindM, 0.01, c.name)
	}
	planned := strings.NewReplacer("<trkseg>", "", "</trkseg>", "", "trkpt", "rtept", "trk>", "rte>").Replace(along(track, 0, 300, 100, 250))
	p := opened(t, planned)
	assert.True(t, p.Planned)
	assert.InDelta(t, 550, p.BlindM, 0.01, "a plan hides hills as a record does")
}
