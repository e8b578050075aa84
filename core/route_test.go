package core_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/route"
)

// way is a track straight north from the equator, a point every 10 m, its elevation told by the distance in m.
func way(t testing.TB, meters float64, ele func(s float64) float64) *route.Path {
	return sparse(t, meters, 10, ele)
}

// sparse is the same with points so many m apart.
func sparse(t testing.TB, meters, leg float64, ele func(s float64) float64) *route.Path {
	t.Helper()
	var out strings.Builder
	out.WriteString(`<gpx><trk><trkseg>`)
	for s := 0.0; s <= meters; s += leg {
		fmt.Fprintf(&out, `<trkpt lat="%.9f" lon="7"><ele>%.3f</ele></trkpt>`, s/110574.3, ele(s))
	}
	p, problem := route.Open(out.String() + `</trkseg></trk></gpx>`)
	require.Nil(t, problem)
	return p
}

func routeOf(t testing.TB, p *route.Path, pairs ...string) (*core.Route, core.Report) {
	t.Helper()
	b := build.Default()
	for i := 0; i < len(pairs); i += 2 {
		require.Nil(t, build.FieldFor(pairs[i]).Set(&b, pairs[i+1]))
	}
	r, err := core.Plan(b)
	require.NoError(t, err)
	w := r.NewRouteRiding(p)
	require.Nil(t, w.Route())
	share := 0.0
	for w.Step() {
		require.GreaterOrEqual(t, w.Share(), share)
		share = w.Share()
	}
	require.Equal(t, 1.0, w.Share())
	return w.Route(), r
}

// On a level way that is longer than the range, the board stops where the report's range ends. Getting going costs the speed's energy
// once, ½·m·v², and the end is met rolling: a tenth of a percent or two.
func TestLevelRouteEndsAtTheRange(t *testing.T) {
	got, r := routeOf(t, way(t, 45000, func(float64) float64 { return 0 }))
	require.NotNil(t, r.Range.Km)
	require.Less(t, *r.Range.Km, 45.0)
	assert.InEpsilon(t, *r.Range.Km, got.RiddenKm, 2.5e-3)
	assert.InEpsilon(t, *r.Range.WhPerKm, *got.WhPerKm, 2.5e-3)
	assert.Equal(t, r.Range.StoppedBy, got.StoppedBy)
	assert.Equal(t, limit.Over, got.End)
	assert.InDelta(t, r.Range.EndPct, got.EndPct, 1e-9)
	assert.InDelta(t, r.Ride.SpeedKmh, got.MeanKmh, 0.05)
	assert.Nil(t, got.Descent)
	assert.Less(t, len(got.Points), 610)
	// Warmest at the end, on its way to where Plan says that it settles: the hub takes the better part of an hour for two thirds of it.
	assert.InDelta(t, got.RiddenKm, got.Hottest.Km, 1)
	assert.Less(t, got.Hottest.Value, *r.Heat.WindingC)
	assert.Greater(t, got.Hottest.Value, *r.Heat.WindingC-5)
}

// A hill and back: the places are where the hill is, and every figure is one of the points.
func TestRouteNamesItsPlaces(t *testing.T) {
	// Up 60 m on the second kilometer and down again on the third; steepest half-way, π/2·6 %.
	hill := func(s float64) float64 {
		switch {
		case s < 1000 || s > 3000:
			return 100
		}
		return 100 + 30*(1-math.Cos(math.Pi*(s-1000)/1000))
	}
	got, _ := routeOf(t, way(t, 4000, hill))
	assert.Empty(t, got.StoppedBy)
	assert.Equal(t, limit.Clear, got.End)
	assert.InDelta(t, 4, got.Km, 1e-3)
	assert.InDelta(t, 4, got.RiddenKm, 1e-3)
	assert.InDelta(t, 60, got.ClimbM, 1.5)
	assert.InDelta(t, 60, got.FallM, 1.5)
	assert.InDelta(t, 1.5, got.Lowest.Km, 0.2, "in the steepest of the climb")
	assert.InDelta(t, 1.8, got.Hottest.Km, 0.3, "towards the top")
	require.NotNil(t, got.Descent)
	assert.InDelta(t, 2.5, got.Descent.Km, 0.2)
	assert.InDelta(t, 100*math.Pi/2*0.06, got.Descent.GradePct, 0.4)
	at := map[float64]core.RoutePlaceAt{}
	for _, q := range got.Points {
		at[q.Km] = q
	}
	assert.Equal(t, got.Lowest.Value, at[got.Lowest.Km].ShiftMm)
	assert.Equal(t, got.Hottest.Value, at[got.Hottest.Km].WindingC)
	assert.Equal(t, got.Descent.GradePct, -at[got.Descent.Km].GradePct)
	text, err := json.Marshal(got)
	require.NoError(t, err, "no figure is NaN or infinite")
	assert.Contains(t, string(text), `"ridden_km"`)
}

func TestRouteIsJudged(t *testing.T) {
	level := func(float64) float64 { return 0 }
	down := func(s float64) float64 { return 600 - s*0.1 }
	for _, c := range []struct {
		name  string
		path  *route.Path
		pairs []string
		of    func(*core.Route) limit.Status
		want  limit.Status
	}{
		{"ends with little to spare", way(t, 3000, level), []string{"start", "40"}, func(r *core.Route) limit.Status { return r.End }, limit.Clear},
		{"ends with too little to spare", way(t, 3000, level), []string{"start", "26"}, func(r *core.Route) limit.Status { return r.End }, limit.Tight},
		{"does not get there", way(t, 3000, level), []string{"start", "20"}, func(r *core.Route) limit.Status { return r.End }, limit.Over},
		{"keeps the reserve", way(t, 3000, level), nil, func(r *core.Route) limit.Status { return r.Lowest.Status }, limit.Clear},
		{"keeps it by going slower", way(t, 3000, level), []string{"cruise", "80"}, func(r *core.Route) limit.Status { return r.Lowest.Status }, limit.Clear},
		{"cannot climb", way(t, 3000, func(s float64) float64 { return max(0, s-1500) * 0.7 }), nil, func(r *core.Route) limit.Status { return r.End }, limit.Over},
		{"way down it holds", way(t, 3000, func(s float64) float64 { return 600 - s*0.04 }), []string{"start", "80"}, func(r *core.Route) limit.Status { return r.Descent.Status }, limit.Clear},
		{"way down just held", way(t, 3000, down), []string{"regen", "4", "start", "80"}, func(r *core.Route) limit.Status { return r.Descent.Status }, limit.Tight},
		{"way down not held", way(t, 3000, down), []string{"regen", "0"}, func(r *core.Route) limit.Status { return r.Descent.Status }, limit.Over},
		{"full at the top of a hill", way(t, 3000, down), nil, func(r *core.Route) limit.Status { return r.Overfull }, limit.Over},
		{"room for what comes back", way(t, 3000, down), []string{"start", "80"}, func(r *core.Route) limit.Status { return r.Overfull }, limit.Clear},
		{"stays cool", way(t, 3000, level), nil, func(r *core.Route) limit.Status { return r.Hottest.Status }, limit.Clear},
		{"warms", way(t, 3000, level), []string{"derate", "40", "temp", "39"}, func(r *core.Route) limit.Status { return r.Hottest.Status }, limit.Tight},
		{"gets too hot", way(t, 3000, level), []string{"derate", "40", "coilmax", "50", "temp", "50", "coil", "20"}, func(r *core.Route) limit.Status { return r.Hottest.Status }, limit.Over},
	} {
		got, _ := routeOf(t, c.path, c.pairs...)
		assert.Equal(t, c.want, c.of(got), c.name)
	}
	// Every bar says what the figure's status does.
	for _, c := range []struct{ ele func(float64) float64 }{{level}, {down}} {
		for _, start := range []string{"100", "26", "20"} {
			got, _ := routeOf(t, way(t, 3000, c.ele), "start", start, "regen", "5", "cruise", "30")
			for key, status := range map[string]limit.Status{"route.end_pct": got.End, "route.lowest.value": got.Lowest.Status, "route.hottest.value": got.Hottest.Status} {
				bar := got.Bar(key)
				assert.Equal(t, status, bar.Status, key)
				if key != "route.end_pct" || got.StoppedBy == "" { // a fraction of a millimeter may be missing, and the floor is reached exactly
					assert.Equal(t, status, limit.Judge(bar.Used-1e-2, bar.Want, bar.Limit), "%s %+v", key, bar)
				}
			}
		}
	}
	slow, _ := routeOf(t, way(t, 3000, level), "cruise", "80")
	require.NotEmpty(t, slow.Slower)
	assert.Contains(t, []string{"balance reserve", "duty"}, slow.Slower[0].By)
	assert.InDelta(t, 3, slow.Slower[0].Km, 0.7, "all but gathering and losing speed")
}

// An end that the middle of the range's band reaches and its low end does not is not clear.
func TestRouteEndsWithinTheBandAreNotClear(t *testing.T) {
	level := func(float64) float64 { return 0 }
	_, r := routeOf(t, way(t, 1000, level))
	require.NotNil(t, r.Range.LowKm)
	between := (*r.Range.LowKm + *r.Range.Km) / 2
	got, _ := routeOf(t, way(t, 1e3*between, level))
	require.Empty(t, got.StoppedBy)
	assert.Equal(t, limit.Tight, got.End)
	got, _ = routeOf(t, way(t, 700**r.Range.LowKm, level))
	assert.Equal(t, limit.Clear, got.End)
	bar := got.Bar("route.end_pct")
	assert.Less(t, bar.Used, bar.Want)
}

// Braking that is asked for and not there is told, whether or not one way down stands out; and ground that nobody knows is not called clear.
func TestRouteHidesNoMissingBraking(t *testing.T) {
	steps := way(t, 3000, func(s float64) float64 { return 400 - 0.12*s })
	got, _ := routeOf(t, steps, "regen", "1", "start", "100")
	require.Positive(t, got.UnheldM)
	assert.Equal(t, limit.Over, got.Unheld)
	got, _ = routeOf(t, way(t, 3000, func(float64) float64 { return 0 }))
	assert.Zero(t, got.UnheldM)
	assert.Equal(t, limit.Clear, got.Unheld)
	assert.Equal(t, limit.Clear, got.Ground)

	var text strings.Builder
	text.WriteString(`<gpx><trk><trkseg>`)
	for s := 0.0; s <= 2000; s += 10 {
		fmt.Fprintf(&text, `<trkpt lat="%.9f" lon="7"/>`, s/110574.3)
	}
	p, problem := route.Open(text.String() + `</trkseg></trk></gpx>`)
	require.Nil(t, problem)
	got, _ = routeOf(t, p)
	assert.Equal(t, limit.Tight, got.Ground)
}

// Hills of 10 % with a point every 1250 m look like a way of 6 %, and hills with a point in each dip like none: nothing that they take from is
// called clear. With a point every 10 m the same hills are known.
func TestNothingIsClearWhereHillsCanHide(t *testing.T) {
	for _, c := range []struct{ leg, wave float64 }{{1250, 2500}, {1000, 1000}} {
		// π·height/wave = 10 %
		hills := func(s float64) float64 { return 0.05 * c.wave / math.Pi * (1 - math.Cos(2*math.Pi*s/c.wave)) }
		known, _ := routeOf(t, way(t, 5000, hills), "start", "80", "cruise", "15")
		assert.Equal(t, limit.Clear, known.Ground)
		assert.Zero(t, known.UnknownKm)
		require.NotNil(t, known.Descent)
		assert.InDelta(t, 10, known.Descent.GradePct, 0.5)

		got, _ := routeOf(t, sparse(t, 5000, c.leg, hills), "start", "80", "cruise", "15")
		assert.InDelta(t, 5, got.UnknownKm, 1e-2)
		assert.Equal(t, limit.Tight, got.Ground)
		assert.InDelta(t, 5, got.RiddenKm, 1e-2, "it is ridden all the same")
		for name, s := range map[string]limit.Status{"end": got.End, "reserve": got.Lowest.Status, "winding": got.Hottest.Status} {
			assert.NotEqual(t, limit.Clear, s, name)
		}
		if got.Descent != nil {
			assert.NotEqual(t, limit.Clear, got.Descent.Status)
		}
		for _, bar := range got.Limits {
			assert.NotEqual(t, limit.Clear, bar.Status, bar.Key)
		}
	}
	over, _ := routeOf(t, sparse(t, 5000, 1000, func(float64) float64 { return 0 }), "start", "20")
	assert.Equal(t, limit.Over, over.End, "what is over stays so")
}
