package ride_test

import (
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/internal/randombuild"
	"headroom/core/pack"
	"headroom/core/road"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Constant force: v²/2a, any mechanics textbook.
func TestStopWithConstantForce(t *testing.T) {
	bd := boardOf(build.Default())
	d := &bd.Drive
	d.Motor.HysteresisK, d.Motor.EddyK = 0, 0
	d.BatteryLimit, d.RegenLimit, d.AbsoluteV, d.CutoffV = 1e9, 1e9, 1e9, 0
	bd.Road.DragArea, bd.Road.Tire.Growth = 0, 0
	src := pack.Source{OpenCircuit: 1000, Resistance: 1e-9}
	braking, bound := d.MaxBraking(src, 10)
	require.Equal(t, drive.ByPhase, bound)
	for _, v := range []float64{0.5, 5, 15} {
		got, ok := bd.StoppingDistance(src, v)
		require.True(t, ok)
		// Rolling grows a little with speed: the distance lies between those with the force of either end.
		a := func(u float64) float64 {
			return (-braking.Torque/bd.Road.Tire.RollingRadius + bd.Road.Tire.Rolling(u)) / (bd.Road.Mass + bd.Road.Inertia)
		}
		assert.LessOrEqual(t, got, v*v/2/a(0)*(1+1e-9))
		assert.GreaterOrEqual(t, got, v*v/2/a(v)*(1-1e-9))
		assert.InEpsilon(t, v*v/2/a(0), got, 0.02, "rolling hardly matters")
	}
	m, ok := bd.StoppingDistance(src, 0)
	assert.True(t, ok)
	assert.Zero(t, m)
}

// A board that brakes less than the wind pushes does not stop.
func TestNoStopBeforeTheWind(t *testing.T) {
	bd := boardOf(with(t, "wind", "-60", "cda", "1.2", "crr", "0.004", "kpa", "300", "hyst", "0", "eddy", "0"))
	_, ok := bd.StoppingDistance(bd.Pack.At(0.5), 5)
	require.True(t, ok)
	bd.Drive.PhaseLimit = 0.1
	_, ok = bd.StoppingDistance(bd.Pack.At(0.5), 5)
	assert.False(t, ok)
}

// The stop by stepping time: v falls by a·dt, the road goes by at the mean of the speeds.
func TestStopAgainstStepsOfTime(t *testing.T) {
	for _, pairs := range [][]string{nil, {"fw", "60", "regen", "60"}, {"vmax", "77"}} {
		bd := boardOf(with(t, pairs...))
		src := bd.Pack.At(1)
		a := func(v float64) float64 {
			p, _ := bd.Drive.MaxBraking(src, bd.Road.Omega(v))
			return (-p.Torque/bd.Road.Tire.Radius(v) + bd.Road.Force(v, 0)) / (bd.Road.Mass + bd.Road.Inertia)
		}
		meters, dt := 0.0, 2e-3
		for v := 9.0; v > 0; {
			next := max(0, v-dt*a(max(0, v-dt/2*a(v))))
			meters += (v + next) / 2 * dt
			v = next
		}
		got, ok := bd.StoppingDistance(src, 9)
		require.True(t, ok)
		assert.InEpsilon(t, meters, got, 0.01, "%v", pairs)
	}
}

// The regeneration ceiling by walking down ever steeper hills with the motor's own point for the load, held to every limit by hand.
func TestDescentByBruteForce(t *testing.T) {
	bounds := map[drive.Bound]int{}
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Plausible().Draw(t, "build")
		b.WeakenA, b.Headwind = 0, math.Abs(b.Headwind) // without weakening a load has one point
		bd := boardOf(b)
		d := &bd.Drive
		src := bd.Pack.At(rapid.Float64Range(0.1, 1).Draw(t, "charge"))
		d.RegenLimit = rapid.Float64Range(0, 60).Draw(t, "regen")
		v := rapid.Float64Range(0.2, 1).Draw(t, "share of free spin") * bd.FreeSpin(src)
		if v < 1 || d.CutoffV >= src.OpenCircuit {
			return // below its cut-off the controller does nothing
		}
		held := func(grade float64) bool {
			load, omega := bd.Road.Torque(v, grade), bd.Road.Omega(v)
			if load+d.Motor.Drag(omega) >= 0 {
				return true // the motor does not brake yet
			}
			p, ok := d.At(src, omega, load)
			return ok && p.Phase() <= d.PhaseLimit && p.BusA >= -d.RegenLimit && p.BusV <= max(d.AbsoluteV, src.OpenCircuit) &&
				p.Duty <= d.MaxDuty && p.BusA <= d.BatteryLimit && p.BusV >= d.CutoffV
		}
		got := bd.Descent(src, v)
		walked := 0.0
		for walked > -1 && held(walked-0.001) {
			walked -= 0.001
		}
		bounds[got.Bound]++
		require.InDelta(t, max(-1, walked), got.Grade, 0.0011, "at %g m/s, bound by %s: %s", v, got.Bound, randombuild.Text(&b))
	})
	for _, bound := range []drive.Bound{drive.ByRegen, drive.ByPhase} {
		require.Positive(t, bounds[bound], "%s never bound: the check is idle (%v)", bound, bounds)
	}
}

// A full pack at the controller's limit takes nothing back: no descent beyond what rolling and losses hold.
func TestFullPackHoldsNoHill(t *testing.T) {
	bd := boardOf(build.Default())
	src := bd.Pack.At(1)
	bd.Drive.AbsoluteV = src.OpenCircuit
	none := bd.Descent(src, 24/3.6)
	assert.Equal(t, drive.ByBusV, none.Bound)
	assert.InDelta(t, src.OpenCircuit, none.Point.BusV, 1e-6)
	bd.Drive.AbsoluteV = src.OpenCircuit + 10
	some := bd.Descent(src, 24/3.6)
	assert.Less(t, some.Grade, none.Grade-0.02)
	down := -some.Grade / math.Sqrt(1+some.Grade*some.Grade) * bd.Road.Mass * road.Gravity * 24 / 3.6
	assert.Less(t, -some.Point.BusW, down, "what comes back is less than what the hill gives")
}
