package route_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/heat"
	"headroom/core/pack"
	"headroom/core/ride"
	"headroom/core/road"
	"headroom/core/route"
)

func with(t testing.TB, pairs ...string) build.Build {
	t.Helper()
	b := build.Default()
	for i := 0; i < len(pairs); i += 2 {
		require.Nil(t, build.FieldFor(pairs[i]).Set(&b, pairs[i+1]))
	}
	return b
}

func riderOf(b *build.Build) route.Rider {
	p := b.Parts()
	return route.Rider{
		Board: ride.Board{Drive: drive.New(b, &p), Road: road.New(b, &p), Pack: pack.New(b, &p), Shift: b.Shift, DutyGoal: b.CruiseDuty},
		Motor: p.Motor, AmbientC: b.AmbientC, WindingC: b.WindingC, Wanted: b.Cruise, Start: b.StartCharge, Floor: b.FloorCharge,
	}
}

// rolling begins and ends at the wanted speed.
func rolling(r route.Rider) route.Rider {
	r.From, r.To = r.Wanted, r.Wanted
	return r
}

// straight is a way along a meridian of even legs, with the elevation told by its distance.
func straight(meters, leg float64, ele func(s float64) float64) string {
	var out strings.Builder
	out.WriteString(`<gpx xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>`)
	// 111 km to the degree at the equator's meridian arc: a(1 − e²)π/180 there, growing by e²; Distance measures what comes of it.
	const perMeter = 1 / 110574.3
	for s := 0.0; s <= meters+1e-9; s += leg {
		fmt.Fprintf(&out, `<trkpt lat="%.9f" lon="7"><ele>%.4f</ele></trkpt>`, s*perMeter, ele(s))
	}
	return out.String() + `</trkseg></trk></gpx>`
}

func opened(t testing.TB, text string) *route.Path {
	t.Helper()
	p, problem := route.Open(text)
	require.Nil(t, problem)
	return p
}

func ridden(r route.Rider, p *route.Path) *route.Ride {
	t := route.NewTraveler(r, p)
	for t.Step() {
	}
	return t.Ride()
}

func even(float64) float64 { return 0 }

// On level ground at a steady speed the ride along a track is Range's: as far, as long, with the same energy.
func TestLevelRideIsTheRange(t *testing.T) {
	for _, c := range [][]string{{}, {"cruise", "18", "p", "3"}, {"cruise", "15", "rider", "60", "shift", "10"}} {
		b := with(t, append(c, "alt", "0")...)
		r := rolling(riderOf(&b))
		profile := ride.NewProfile(&b, &r.Board)
		want := r.Board.Range(&profile, b.StartCharge, b.FloorCharge)
		require.Equal(t, ride.StopFloor, want.By)
		p := opened(t, straight(1.2*want.Meters, 50, even))
		got := ridden(r, p)
		assert.Equal(t, ride.StopFloor, got.Stop)
		assert.InEpsilon(t, want.Meters, got.Meters, 5e-4, "the range's own sum is as near as that")
		assert.InEpsilon(t, want.Seconds, got.Seconds, 5e-4)
		assert.InEpsilon(t, want.EnergyWh, got.EnergyWh, 5e-4)
		assert.InEpsilon(t, want.HeatWh, got.HeatWh, 2e-3)
		assert.InDelta(t, want.Meters/want.Seconds, b.Cruise, 1e-9)
	}
}

// slope is a way of one grade, with the build's air all along.
func slope(grade, meters float64) *route.Path {
	n := int(meters / 5)
	p := &route.Path{Step: 5, Level: true, Ele: make([]float64, n+1), Curve: make([]float64, n+1), Grade: make([]float64, n)}
	for i := range p.Grade {
		p.Grade[i], p.Ele[i+1] = grade, p.Ele[i]+5*grade
	}
	return p
}

// On one grade it is the range on that grade, whose distance is that along the slope.
func TestRideOnOneGradeIsTheRange(t *testing.T) {
	for _, percent := range []string{"2", "4", "-0.5"} {
		b := with(t, "grade", percent, "cruise", "16", "shift", "10")
		r := rolling(riderOf(&b))
		profile := ride.NewProfile(&b, &r.Board)
		want := r.Board.Range(&profile, b.StartCharge, b.FloorCharge)
		require.Equal(t, ride.StopFloor, want.By)
		got := ridden(r, slope(b.Grade, 1.1*want.Meters))
		assert.Equal(t, ride.StopFloor, got.Stop)
		assert.InEpsilon(t, want.Meters, got.Road, 5e-4)
		assert.InEpsilon(t, got.Road, got.Meters*math.Hypot(1, b.Grade), 1e-12)
		assert.InEpsilon(t, want.EnergyWh, got.EnergyWh, 5e-4)
	}
}

// What is drawn is what lifting, rolling and air take, what is left in the speed, and what motor and controller lose.
func TestEnergyBalancesOverHills(t *testing.T) {
	b := with(t, "cruise", "20", "shift", "10")
	r := riderOf(&b)
	p := opened(t, straight(6000, 5, func(s float64) float64 { return 100 + 25*math.Sin(s/250) + s/400 }))
	got := ridden(r, p)
	require.Empty(t, got.Stop)
	require.Zero(t, got.Unheld)
	var joules float64
	for i := range got.Places[:len(got.Places)-1] {
		q, next := &got.Places[i], &got.Places[i+1]
		length := 5 * math.Hypot(1, q.Grade) * p.Step / 5
		middle := math.Sqrt((q.Speed*q.Speed + next.Speed*next.Speed) / 2)
		density := road.AirDensity(q.Ele, b.AmbientC)
		rolling := r.Board.Road.Tire.Rolling(middle) / math.Hypot(1, q.Grade)
		air := density / 2 * r.Board.Road.DragArea * middle * middle
		kinetic := r.Board.Road.Accelerating(1) / 2 * (next.Speed*next.Speed - q.Speed*q.Speed)
		lift := r.Board.Road.Mass * road.Gravity * (next.Ele - q.Ele)
		force := rolling + air + (kinetic+lift)/length
		src := r.Board.Pack.At((q.Charge + next.Charge) / 2)
		point, ok := r.Board.Drive.At(src, r.Board.Road.Omega(middle), force*r.Board.Road.Tire.Radius(middle))
		require.True(t, ok)
		seconds := 2 * length / (q.Speed + next.Speed)
		joules += force*length + (point.Copper+point.Iron+point.Inverter)*seconds
	}
	assert.InEpsilon(t, got.EnergyWh, joules/3600, 2e-3)

	// And what leaves the cells is what arrives and what stays in the pack: ∫E dQ by many slices.
	open, end := 0.0, got.Places[len(got.Places)-1].Charge
	for i := range 1000 {
		z := 1 - (float64(i)+0.5)/1000*(1-end)
		open += r.Board.Pack.At(z).OpenCircuit * r.Board.Pack.CapacityAh * (1 - end) / 1000
	}
	assert.InEpsilon(t, open, got.EnergyWh+got.HeatWh, 1e-3)
}

// Between standing and standing the speed changes no faster than it should, and in a curve it is what the curve allows.
func TestSpeedsKeepToTheirLimits(t *testing.T) {
	b := with(t, "cruise", "30", "shift", "10", "rideduty", "95")
	r := riderOf(&b)
	// 300 m straight, round a half circle of 15 m, and 300 m back.
	var at [][2]float64
	for x := 0.0; x <= 300; x += 5 {
		at = append(at, [2]float64{x, 0})
	}
	for a := 0.1; a < math.Pi; a += 0.1 {
		at = append(at, [2]float64{300 + 15*math.Sin(a), 15 - 15*math.Cos(a)})
	}
	for x := 300.0; x >= 0; x -= 5 {
		at = append(at, [2]float64{x, 30})
	}
	p := opened(t, plane(at))
	got := ridden(r, p)
	require.Empty(t, got.Stop)
	assert.Zero(t, got.Places[0].Speed)
	assert.Zero(t, got.Places[len(got.Places)-1].Speed)
	slowest, fastest := math.Inf(1), 0.0
	reasons := map[string]bool{}
	for i, q := range got.Places[:len(got.Places)-1] {
		next := got.Places[i+1]
		a := (next.Speed*next.Speed - q.Speed*q.Speed) / (2 * p.Step)
		assert.LessOrEqual(t, a, 0.6+1e-9)
		assert.GreaterOrEqual(t, a, -0.8-1e-9)
		assert.LessOrEqual(t, q.Speed*q.Speed*p.Curve[i], 2+1e-9, "2 m/s² across")
		fastest = math.Max(fastest, q.Speed)
		if i > len(p.Grade)/3 && i < 2*len(p.Grade)/3 {
			slowest = math.Min(slowest, q.Speed)
		}
		reasons[q.By] = true
	}
	assert.InDelta(t, b.Cruise, fastest, 1e-6)
	assert.InEpsilon(t, math.Sqrt(2*15), slowest, 0.1, "v² = a·r; smoothing rounds the ends of the half circle")
	for _, by := range []string{route.ByWish, route.ByCurve, route.ByChange} {
		assert.True(t, reasons[by], by)
	}
}

// plane is a way over points in m around a place on the equator, where a degree is 111 319.49 m east and 110 574.28 m north (WGS 84).
func plane(at [][2]float64) string {
	var out strings.Builder
	out.WriteString(`<gpx><trk><trkseg>`)
	for _, q := range at {
		fmt.Fprintf(&out, `<trkpt lat="%.9f" lon="%.9f"><ele>0</ele></trkpt>`, q[1]/110574.28, q[0]/111319.49)
	}
	return out.String() + `</trkseg></trk></gpx>`
}

// On a hill that the wanted speed is too much for, the speed is the one that just keeps the reserve, or the duty, at the charge there.
func TestHillsSlowTheBoardDown(t *testing.T) {
	for _, c := range []struct {
		by    string
		pairs []string
	}{
		{route.ByReserve, []string{"cruise", "30", "batt", "30"}},
		{route.ByDuty, []string{"cruise", "34", "rideduty", "70", "shift", "5"}},
	} {
		b := with(t, c.pairs...)
		r := riderOf(&b)
		got := ridden(r, slope(0.05, 3000))
		require.Empty(t, got.Stop, c.by)
		q := got.Places[300]
		require.Equal(t, c.by, q.By)
		assert.Less(t, q.Speed, b.Cruise)
		src := r.Board.Pack.At(q.Charge)
		s := r.Board.Sample(src, q.Speed, 0.05)
		if c.by == route.ByReserve {
			assert.InDelta(t, b.Shift, s.Shift, 2e-4, "the reserve asked for, to a fifth of a millimeter")
			assert.InDelta(t, b.Shift, q.Shift, 3e-4)
		} else {
			assert.InDelta(t, b.CruiseDuty, s.At.Duty, 2e-3)
		}
		for _, q := range got.Places { // also while gathering speed
			assert.GreaterOrEqual(t, q.Shift, b.Shift-3e-4)
		}
	}
}

func TestRidesEndWhereTheyMust(t *testing.T) {
	b := with(t)
	r := riderOf(&b)
	wall := slope(0, 1000)
	for i := range wall.Grade {
		if i >= 100 {
			wall.Grade[i] = 0.6
		}
	}
	got := ridden(r, wall)
	assert.NotEmpty(t, got.Stop)
	assert.NotEqual(t, ride.StopFloor, got.Stop)
	assert.InDelta(t, 500, got.Meters, 1, "at the foot of what it cannot climb")

	r.Start = b.FloorCharge
	got = ridden(r, slope(0, 1000))
	assert.Equal(t, ride.StopFloor, got.Stop)
	assert.Zero(t, got.Meters)
	assert.Len(t, got.Places, 1)

	r.Start = 0.2
	got = ridden(r, slope(0.08, 30000))
	assert.Equal(t, ride.StopFloor, got.Stop)
	assert.InDelta(t, b.FloorCharge, got.Places[len(got.Places)-1].Charge, 1e-12, "not a node further")

	cut := with(t, "vcut", "62", "start", "60", "shift", "0", "rideduty", "100")
	got = ridden(riderOf(&cut), slope(0.1, 30000))
	assert.Equal(t, ride.StopCutoff, got.Stop)
}

// A board on one long climb warms as the two nodes do in one go, and is hottest at the end.
func TestClimbHeatsTheWinding(t *testing.T) {
	b := with(t, "cruise", "15", "shift", "10", "p", "4")
	r := rolling(riderOf(&b))
	got := ridden(r, slope(0.06, 2500))
	require.Empty(t, got.Stop)
	end := got.Places[len(got.Places)-1]
	assert.Equal(t, len(got.Places)-1, got.Hottest)
	src := r.Board.Pack.At((1 + end.Charge) / 2)
	point, ok := r.Board.Drive.At(src, r.Board.Road.Omega(b.Cruise), r.Board.Road.Torque(b.Cruise, 0.06))
	require.True(t, ok)
	p := b.Parts()
	m := heat.New(p.Motor, b.Cruise, b.AmbientC)
	want := m.After(heat.State{Winding: b.AmbientC, Hub: b.AmbientC}, heat.LossesAt(point.Copper, point.Iron, b.WindingC), got.Seconds)
	assert.InDelta(t, want.Winding, end.Winding, 0.05)
	assert.InDelta(t, want.Hub, got.Hub, 0.05)
	assert.Greater(t, end.Winding, b.AmbientC+5)
}

// The way down is held against the regeneration ceiling at the charge and the speed there; beyond it the board goes slower, and where
// even walking is too fast it is told for how far.
func TestWaysDownMeetTheCeiling(t *testing.T) {
	b := with(t, "cruise", "25", "regen", "4", "shift", "0")
	r := riderOf(&b)
	p := slope(0, 2000)
	for i := 100; i < 300; i++ {
		p.Grade[i] = -0.12
	}
	got := ridden(r, p)
	require.Empty(t, got.Stop)
	q := got.Places[got.Descent.At]
	assert.InDelta(t, -0.12, q.Grade, 1e-12)
	braking := 0
	for _, q := range got.Places {
		if q.By == route.ByBraking {
			braking++
			assert.Less(t, q.Speed, b.Cruise)
		}
	}
	assert.Greater(t, braking, 50)
	middle := got.Places[200]
	d := r.Board.Descent(r.Board.Pack.At(middle.Charge), middle.Speed)
	assert.InDelta(t, -0.12, d.Grade, 1e-3, "just what can be held")
	assert.Less(t, got.Unheld, 100.0, "slowing down before it may ask for a little more")

	// A pack that is full to the controller's limit takes nothing back.
	full := with(t, "cruise", "20", "ovv", "75.6", "shift", "0")
	rider := riderOf(&full)
	got = ridden(rider, slope(-0.1, 1000))
	require.Empty(t, got.Stop)
	assert.Greater(t, got.Unheld, 900.0)
	assert.Equal(t, drive.ByBusV, got.Descent.Ceiling.Bound)
	assert.Greater(t, got.Descent.Ceiling.Grade, -0.1)
}

// What a full pack is made to take is counted, not lost.
func TestFullPacksAreNotOverfilledUnseen(t *testing.T) {
	b := with(t, "cruise", "20", "shift", "0")
	r := rolling(riderOf(&b))
	got := ridden(r, slope(-0.06, 2000))
	require.Empty(t, got.Stop)
	assert.Negative(t, got.EnergyWh)
	assert.Positive(t, got.Overfull)
	src := r.Board.Pack.At(1)
	ah := got.Overfull * r.Board.Pack.CapacityAh
	assert.InEpsilon(t, -got.EnergyWh, ah*src.OpenCircuit+got.HeatWh, 1e-3)
}
