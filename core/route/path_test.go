package route_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/route"
)

// A straight ramp keeps its grade, its length and its height, whatever the spacing of its points.
func TestRampsAreKept(t *testing.T) {
	for _, leg := range []float64{2, 5, 13, 90} {
		for _, grade := range []float64{0.08, -0.03} {
			p := opened(t, straight(1170, leg, func(s float64) float64 { return 300 + grade*s }))
			for i, g := range p.Grade {
				require.InEpsilon(t, grade, g, 2e-4, "segment %d, legs of %g m", i, leg)
			}
			assert.InDelta(t, 1170, p.Meters(), 0.1)
			assert.InDelta(t, 300, p.Ele[0], 0.05)
			assert.InEpsilon(t, math.Abs(grade)*1170, p.Climb+p.Fall, 1e-3)
			assert.Zero(t, p.Climb*p.Fall)
			assert.LessOrEqual(t, p.Step, 5.0)
			assert.Zero(t, p.Gaps)
			assert.False(t, p.Level)
		}
	}
}

// Waves of 40 m, a kilometer and 500 m long: each climbs twice its half height. What smoothing takes off is what a slope over ±50 m must:
// 3·(sin x − x·cos x)/x³ with x = 2π·50/λ, the response of a least-squares slope.
func TestClimbOfWaves(t *testing.T) {
	for _, wave := range []float64{1000, 500} {
		x := 2 * math.Pi * 50 / wave
		keeps := 3 * (math.Sin(x) - x*math.Cos(x)) / (x * x * x)
		p := opened(t, straight(10*wave, 5, func(s float64) float64 { return 20 * (1 - math.Cos(2*math.Pi*s/wave)) }))
		assert.InEpsilon(t, 10*40*keeps, p.Climb, 0.02)
		assert.InEpsilon(t, 10*40, p.Climb, 0.08)
		assert.InEpsilon(t, p.Climb, p.Fall, 0.02)
		steepest := 0.0
		for _, g := range p.Grade {
			steepest = math.Max(steepest, g)
		}
		assert.InEpsilon(t, 20*2*math.Pi/wave*keeps, steepest, 0.02)
	}
}

// The same hills with the noise of a record: ±1 m of chance at every point. The climb must not count it.
func TestNoiseIsNotClimbed(t *testing.T) {
	chance := rand.New(rand.NewPCG(1, 2))
	hills := func(s float64) float64 { return 20 * (1 - math.Cos(2*math.Pi*s/1000)) }
	noisy := opened(t, straight(10000, 5, func(s float64) float64 { return hills(s) + chance.NormFloat64() }))
	clean := opened(t, straight(10000, 5, hills))
	assert.InEpsilon(t, clean.Climb, noisy.Climb, 0.03)
	var square float64
	for i := range clean.Grade {
		d := noisy.Grade[i] - clean.Grade[i]
		square += d * d
	}
	// σ/(h·√(Σu²)) of a least-squares slope: 1 m over 5 m·√770 is 0.72 %, and a segment is the mean of two slopes.
	assert.Less(t, math.Sqrt(square/float64(len(clean.Grade))), 0.0075)

	flat := opened(t, straight(10000, 5, func(float64) float64 { return chance.NormFloat64() }))
	assert.Less(t, flat.Climb, 10.0)
}

// A circle's curve is one over its radius, as near as a record every 4 m shows it.
func TestCirclesHaveTheirCurve(t *testing.T) {
	for _, c := range []struct{ radius, within float64 }{{20, 0.12}, {50, 0.03}, {200, 0.02}} {
		var at [][2]float64
		for s := 0.0; s < 2*math.Pi*c.radius; s += 4 {
			at = append(at, [2]float64{c.radius * math.Cos(s/c.radius), c.radius * math.Sin(s/c.radius)})
		}
		p := opened(t, plane(at))
		for _, k := range p.Curve {
			assert.InEpsilon(t, 1/c.radius, k, c.within)
		}
	}
	p := opened(t, straight(500, 5, even))
	for _, k := range p.Curve {
		assert.Less(t, k, 1e-6, "a straight way")
	}
	there := [][2]float64{}
	for x := 0.0; x <= 100; x += 5 {
		there = append(there, [2]float64{x, 0})
	}
	for x := 95.0; x >= 0; x -= 5 {
		there = append(there, [2]float64{x, 0})
	}
	p = opened(t, plane(there))
	assert.Equal(t, 0.7, p.Curve[20], "there and back is a turn on the spot")
	assert.Less(t, p.Curve[10], 1e-6)
}

func TestHolesAreRiddenStraight(t *testing.T) {
	p := opened(t, `<gpx><trk><trkseg><trkpt lat="0" lon="0"><ele>10</ele></trkpt><trkpt lat="0" lon="0.0005"/></trkseg>
		<trkseg><trkpt lat="0" lon="0.0105"><ele>20</ele></trkpt><trkpt lat="0" lon="0.0106"/></trkseg></trk></gpx>`)
	assert.Equal(t, 1, p.Gaps)
	assert.InEpsilon(t, 0.01*111319.49, p.GapM, 1e-6)
	assert.InEpsilon(t, 0.0106*111319.49, p.Meters(), 1e-6)
	assert.Equal(t, 2, p.Unknown)
	assert.InDelta(t, 20, p.Ele[len(p.Ele)-1], 0.5)

	level := opened(t, `<gpx><rte><rtept lat="10" lon="179.999"/><rtept lat="10" lon="-179.999"/></rte></gpx>`)
	assert.True(t, level.Level && level.Planned)
	assert.Zero(t, level.Gaps, "a plan has long legs")
	assert.InDelta(t, 219.3, level.Meters(), 0.2, "over the date line: 0.002° of 109.64 km")

	for _, c := range []struct {
		text, says string
		line       int
	}{
		{"<gpx><trk><trkseg>\n<trkpt lat='0' lon='0'/>\n<trkpt lat='1' lon='0'/></trkseg></trk></gpx>", "110.6 km", 3},
		{"<gpx><trk><trkseg>\n<trkpt lat='0' lon='0'/>\n<trkpt lat='0' lon='0.00001'/></trkseg></trk></gpx>", "only 1 m long", 0},
		{"<gpx><trk><trkseg>\n<trkpt lat='0' lon='0'/></trkseg></trk></gpx>", "nothing to ride", 0},
	} {
		_, problem := route.Open(c.text)
		require.NotNil(t, problem)
		assert.Contains(t, problem.Error(), c.says)
		assert.Equal(t, c.line, problem.Line)
	}
	var long strings.Builder
	long.WriteString("<gpx><trk><trkseg>")
	for i := range 200 {
		fmt.Fprintf(&long, "<trkpt lat='%g' lon='0'/>\n", float64(i)*0.04)
	}
	_, problem := route.Open(long.String() + "</trkseg></trk></gpx>")
	require.NotNil(t, problem)
	assert.Contains(t, problem.Error(), "longer than 500 km")
	assert.Equal(t, 115, problem.Line) // 4 423 m a leg: the 114th passes 500 km
}

// A hole stands out from the track's own legs: a planner's far points are none, and neither are few points where the way is straight.
func TestHolesStandOut(t *testing.T) {
	// along is a way eastward through points that many m apart, in segments.
	along := func(segments ...[]float64) *route.Path {
		text, at := "<gpx><trk>", 0.0
		for _, legs := range segments {
			text += "<trkseg>"
			for _, leg := range legs {
				at += leg
				text += fmt.Sprintf(`<trkpt lat="0" lon="%.9f"><ele>0</ele></trkpt>`, at/111319.49)
			}
			text += "</trkseg>"
		}
		return opened(t, text+"</trk></gpx>")
	}
	times := func(n int, legs ...float64) (list []float64) {
		for range n {
			list = append(list, legs...)
		}
		return list
	}
	bends := append(times(12, 8), 420, 15, 15, 15, 300) // planned: eleven points around a bend, then straight on
	for _, c := range []struct {
		name     string
		segments [][]float64
		gaps     int
		meters   float64
	}{
		{"planned, 100 m apart", [][]float64{times(40, 101)}, 0, 0},
		{"planned, 250 m apart", [][]float64{times(40, 250)}, 0, 0},
		{"planned with bends", [][]float64{times(9, bends...)}, 0, 0},
		{"planned in parts that meet", [][]float64{times(5, 300), append([]float64{0}, times(5, 300)...)}, 0, 0},
		{"few points where it is straight", [][]float64{times(30, 5, 8, 60, 5, 110)}, 0, 0},
		{"recorded every 5 m", [][]float64{append(times(100, 5), append([]float64{150}, times(100, 5)...)...)}, 1, 150},
		{"recorded every 5 m, a short hole", [][]float64{append(times(100, 5), append([]float64{95}, times(100, 5)...)...)}, 0, 0},
		{"recorded every 40 m", [][]float64{append(times(50, 40), append([]float64{170}, times(50, 40)...)...)}, 1, 170},
		{"recorded every 40 m, one leg long", [][]float64{append(times(50, 40), append([]float64{150}, times(50, 40)...)...)}, 0, 0},
		{"three holes, nearly half of the way", [][]float64{append(times(120, 5), 190, 5, 190, 5, 190, 5)}, 3, 570},
		{"most of the way is a hole", [][]float64{{0, 55, 11, 1000, 60}}, 1, 1000},
		{"nothing but one leg", [][]float64{{0, 300}}, 1, 300},
		{"begun anew", [][]float64{times(20, 60), append([]float64{150}, times(20, 60)...)}, 1, 150},
		{"begun anew, near", [][]float64{times(20, 60), append([]float64{90}, times(20, 60)...)}, 0, 0},
	} {
		p := along(c.segments...)
		assert.Equal(t, c.gaps, p.Gaps, c.name)
		assert.InDelta(t, c.meters, p.GapM, 0.01, c.name)
	}
}

// A board that stands still wanders about on its record; that is no way.
func TestStandingStillIsNoWay(t *testing.T) {
	chance := rand.New(rand.NewPCG(3, 4))
	var at [][2]float64
	for x := 0.0; x <= 200; x += 5 {
		at = append(at, [2]float64{x, 0})
	}
	for range 500 {
		at = append(at, [2]float64{200 + 0.25*chance.NormFloat64(), 0.25 * chance.NormFloat64()})
	}
	for x := 205.0; x <= 400; x += 5 {
		at = append(at, [2]float64{x, 0})
	}
	assert.InDelta(t, 400, opened(t, plane(at)).Meters(), 10)
}
