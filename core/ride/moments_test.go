package ride_test

import (
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/internal/randombuild"
	"headroom/core/ride"
	"headroom/core/road"
	"headroom/core/tire"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The moments that a round is summed over hold the published figures of the ECE-15 vehicle (100 kg, rolling coefficient 0.015, 0.65 m²,
// 1.225 kg/m³): 144.637 J/kg of speed gained, ∫v³dt of 102 359.7 m³/s², and so 19.499 Wh, 19.148 Wh/km without regeneration.
func TestUrbanCycleByItsMoments(t *testing.T) {
	class := build.TireClass{Radius: 0.25, Width: 0.1, RollingC0: 0.015, ReferenceP: 1e5, ReferenceLoad: 1}
	bd := &ride.Board{Road: road.Road{
		Mass: 100, Rider: 80, DragArea: 0.65, Density: 1.225, Tire: tire.New(class, 1e5, 100*road.Gravity, 1),
	}}
	b := with(t, "profile", "ece15", "cruise", "50")
	p := ride.NewProfile(&b, bd)
	var gained, steady, cubed, idle float64
	for _, m := range p.Moments() {
		force := bd.Road.Force(m.Speed, 0)
		gained += max(0, m.Torque*m.Omega-force*m.Speed) * m.Seconds
		steady += force * m.Speed * m.Seconds
		cubed += m.Speed * m.Speed * m.Speed * m.Seconds
		if m.Speed == 0 {
			idle += m.Seconds
			assert.Zero(t, m.Torque, "standing still the ground holds the wheel")
		}
	}
	assert.InEpsilon(t, 144.637, gained/100, 1e-5, "positive kinetic energy, J/kg")
	assert.InEpsilon(t, 102359.7, cubed, 1e-6, "∫v³dt: two points are exact")
	assert.InEpsilon(t, 14979.7+40752.0, steady, 1e-5, "rolling and air, J")
	assert.InEpsilon(t, 19.499, (gained+steady)/3600, 1e-3, "Wh of one round")
	assert.InEpsilon(t, 19.148, (gained+steady)/3600/(p.Meters/1e3), 1e-3, "Wh/km")
	assert.InDelta(t, 60, idle, 1e-9, "the regulation's idle phases, s")
}

// Every ride of the catalog: its sums are those of its legs, its moments stand for all of its time, and it ends as it begins.
func TestProfilesAddUp(t *testing.T) {
	ridden := 0
	for _, class := range build.Profiles {
		if len(class.Legs) == 0 {
			continue
		}
		ridden++
		b := with(t, "profile", class.ID, "cruise", "30")
		bd := boardOf(b)
		p := ride.NewProfile(&b, bd)
		at := class.Legs[len(class.Legs)-1].Share
		var seconds, meters, rise, kinetic float64
		low, high := math.Inf(1), math.Inf(-1)
		for _, l := range class.Legs {
			road := (at + l.Share) / 2 * 30 / 3.6 * l.Seconds
			seconds += l.Seconds
			meters += road
			rise += l.Grade * road
			low, high = min(low, l.Grade), max(high, l.Grade)
			assert.Less(t, math.Abs(l.Share-at)*30/3.6/l.Seconds, 3.0, "%s: no board changes speed faster, m/s²", class.ID)
			at = l.Share
		}
		assert.InEpsilon(t, seconds, p.Seconds, 1e-12, class.ID)
		assert.InEpsilon(t, meters, p.Meters, 1e-12, class.ID)
		assert.InDelta(t, high, p.TopGrade, 1e-12, class.ID)
		assert.InDelta(t, low, p.LowGrade, 1e-12, class.ID)
		assert.InDelta(t, 0, rise/meters, 0.02, "%s: a round that climbs or falls on balance is no round", class.ID)
		var sumS, sumM float64
		for _, m := range p.Moments() {
			sumS += m.Seconds
			sumM += m.Speed * m.Seconds
			if m.Speed > 0 {
				kinetic += (m.Torque*m.Omega - bd.Road.Force(m.Speed, m.Grade)*m.Speed) * m.Seconds
			}
		}
		assert.InEpsilon(t, seconds, sumS, 1e-12, class.ID)
		assert.InEpsilon(t, meters, sumM, 1e-12, class.ID)
		assert.InDelta(t, 0, kinetic, 1e-6*bd.Road.Mass, "%s: speed gained is speed lost over a round", class.ID)
	}
	assert.Equal(t, 5, ridden)
}

// No moment of the ride leaves less reserve than the one that is told.
func TestWorstMomentIsTheWorst(t *testing.T) {
	compared := 0
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Plausible().Draw(t, "build")
		bd := boardOf(b)
		p := ride.NewProfile(&b, bd)
		src := bd.Pack.At(b.FloorCharge)
		worst := bd.Worst(src, &p)
		for _, m := range p.Moments() {
			compared++
			limit, _ := bd.Drive.MaxTorque(src, m.Omega)
			require.GreaterOrEqual(t, limit.Torque-m.Torque, worst.Reserve-1e-9*(1+math.Abs(worst.Reserve)),
				"%s: at %g m/s less is left than at %g m/s", randombuild.Text(&b), m.Speed, worst.Speed)
		}
	})
	require.Greater(t, compared, 200)
}
