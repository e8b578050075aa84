package road_test

import (
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/internal/reference"
	"headroom/core/road"
	"headroom/core/tire"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// car is the vehicle of the worked figures: 100 kg, rolling coefficient 0.015, drag area 0.65 m² (Spring et al. 1988), 1.225 kg/m³
// (ISO 2533).
func car() road.Road {
	const mass = 100
	return road.Road{
		Mass: mass, Rider: 80, DragArea: 0.65, Density: 1.225,
		Tire: tire.New(build.TireClass{Radius: 0.2, Width: 0.1, Carcass: 1e5, RollingC0: 0.015, ReferenceP: 1e5, ReferenceLoad: 1000},
			1e5, mass*road.Gravity, 1),
	}
}

func TestRoadLoad(t *testing.T) {
	r := car()
	for _, c := range []struct{ v, rolling, air, power float64 }{
		{5, 14.710, 9.953, 123.32},
		{10, 14.710, 39.813, 545.22},
		{15, 14.710, 89.578, 1564.32},
	} {
		const source = "road-load equation at %g m/s, computed from ISO 2533 density and g"
		assert.InDelta(t, c.rolling, r.Tire.Rolling(c.v), 5e-4, source, c.v)
		assert.InDelta(t, c.air, r.Force(c.v, 0)-r.Tire.Rolling(c.v), 5.1e-4, source, c.v)
		assert.InDelta(t, c.power, r.Force(c.v, 0)*c.v, 5.1e-3, source, c.v)
		assert.InEpsilon(t, c.power, r.Torque(c.v, 0)*r.Omega(c.v), 5e-5, "force × speed = torque × turning speed at %g m/s", c.v)
	}
}

// What the tire and the air take over ECE-15 (break points: European Commission JRC), by Simpson's rule on Force.
func TestRoadLoadOverECE15(t *testing.T) {
	r := car()
	rows := reference.Table(t, "../../testdata/ece15.csv")
	var distance, energy, cubes float64
	for i := range rows[:len(rows)-1] {
		t0, t1 := rows[i].Number("t_s"), rows[i+1].Number("t_s")
		v0, v1 := rows[i].Number("v_km_h")/3.6, rows[i+1].Number("v_km_h")/3.6
		distance += (v0 + v1) / 2 * (t1 - t0)
		// Power is cubic in time between two break points, so Simpson's rule is exact.
		middle := (v0 + v1) / 2
		simpson := func(f func(v float64) float64) float64 { return (t1 - t0) / 6 * (f(v0) + 4*f(middle) + f(v1)) }
		energy += simpson(func(v float64) float64 { return r.Force(v, 0) * v })
		cubes += simpson(func(v float64) float64 { return v * v * v })
	}
	require.InDelta(t, 1018.333, distance, 1e-3, "ECE-15: integral of the legal break points")
	require.InDelta(t, 102359.7, cubes, 0.1, "ECE-15: integral of v³")
	assert.InEpsilon(t, 14979.7+40752.0, energy, 1e-5, "ECE-15: rolling and air, worked figure")
}

func TestGradeAndWind(t *testing.T) {
	r := car()
	weight := r.Mass * road.Gravity
	// tanθ = 3/4 makes sinθ = 0.6 and cosθ = 0.8.
	assert.InEpsilon(t, weight*0.6+r.Tire.Rolling(0)*0.8, r.Force(0, 0.75), 1e-12)
	assert.InEpsilon(t, -weight*0.6+r.Tire.Rolling(0)*0.8, r.Force(0, -0.75), 1e-12)
	r.Headwind = 5
	assert.InDelta(t, 39.813, r.Force(5, 0)-r.Tire.Rolling(5), 5.1e-4, "5 m/s into 5 m/s of wind is 10 m/s of air")
	r.Headwind = -15
	assert.InDelta(t, -39.813, r.Force(5, 0)-r.Tire.Rolling(5), 5.1e-4, "10 m/s of air from behind push")
}

func TestBalance(t *testing.T) {
	r := road.Road{Rider: 90, Mass: 100, Tire: car().Tire}
	assert.InEpsilon(t, 0.1, r.Shift(88.260), 1e-5, "static balance τ = m·g·d, 90 kg and 0.10 m: 88.260 N·m")
	assert.Negative(t, r.Shift(-1))
	// The torque that a grade asks for answers with that grade.
	for _, grade := range []float64{-0.3, -0.01, 0.05, 0.3, 1, 4} {
		sin := grade / math.Sqrt(1+grade*grade)
		torque := r.Mass * road.Gravity * sin * r.Tire.Radius(7)
		assert.InEpsilon(t, grade, r.EqualGrade(torque, 7), 1e-12)
	}
	assert.Equal(t, 10.0, r.EqualGrade(1e6, 7))
	assert.Equal(t, -10.0, r.EqualGrade(-1e6, 7))
}

func TestNewTakesTheBuild(t *testing.T) {
	b := build.Default()
	build.FieldFor("alt").SetValue(&b, 2000)
	build.FieldFor("temp").SetValue(&b, 2)
	build.FieldFor("wind").SetValue(&b, 18)
	build.FieldFor("board").SetValue(&b, 20)
	p := b.Parts()
	r := road.New(&b, &p)
	assert.InEpsilon(t, 1.006490, r.Density, 1e-5, "ISO 2533 at 2000 m, 275.15 K")
	assert.InEpsilon(t, 100.0, r.Mass, 1e-12)
	assert.InEpsilon(t, 5.0, r.Headwind, 1e-12)
	assert.InEpsilon(t, p.Tire.RollingC0*p.Surface.Factor, r.Tire.Rolling(0)/(100*road.Gravity)/
		math.Pow(b.Pressure/p.Tire.ReferenceP, p.Tire.PressureExponent), 1e-12)
}
