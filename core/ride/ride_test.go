package ride_test

import (
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/internal/randombuild"
	"headroom/core/pack"
	"headroom/core/ride"
	"headroom/core/road"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func boardOf(b build.Build) *ride.Board {
	p := b.Parts()
	return &ride.Board{Drive: drive.New(&b, &p), Road: road.New(&b, &p), Pack: pack.New(&b, &p), Shift: b.Shift, DutyGoal: b.CruiseDuty}
}

// steady is a ride at one speed on one grade.
func steady(bd *ride.Board, v, grade, start, floor float64) ride.Distance {
	p := ride.Steady(bd, v, grade)
	return bd.Range(&p, start, floor)
}

func with(t testing.TB, pairs ...string) build.Build {
	t.Helper()
	b := build.Default()
	for i := 0; i < len(pairs); i += 2 {
		require.Nil(t, build.FieldFor(pairs[i]).Set(&b, pairs[i+1]))
	}
	return b
}

// integral is the range by a plain midpoint sum of n slices of charge: distance v·dt, the energy that leaves the cells' open-circuit
// voltage, and what the resistance keeps of it.
func integral(bd *ride.Board, v, grade, start, end float64, n int) (meters, open, lost float64) {
	slice := (start - end) / float64(n)
	charge := bd.Pack.CapacityAh * 3600 * slice
	for i := range n {
		src := bd.Pack.At(start - (float64(i)+0.5)*slice)
		p, _ := bd.Drive.At(src, bd.Road.Omega(v), bd.Road.Torque(v, grade))
		seconds := charge / p.BusA
		meters += v * seconds
		open += src.OpenCircuit * p.BusA * seconds
		lost += p.BusA * p.BusA * src.Resistance * seconds
	}
	return meters, open, lost
}

func TestRangeAgainstAPlainSum(t *testing.T) {
	checked := 0
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Plausible().Draw(t, "build")
		bd := boardOf(b)
		v := rapid.Float64Range(0.1, 0.6).Draw(t, "share of free spin") * bd.FreeSpin(bd.Pack.At(1))
		grade := rapid.Float64Range(-0.02, 0.08).Draw(t, "grade")
		d := steady(bd, v, grade, b.StartCharge, b.FloorCharge)
		if bd.Drive.WeakenA > bd.Drive.Motor.Flux/bd.Drive.Motor.Ld {
			return // past the magnets' flux the weakening rule jumps from point to point as the charge falls
		}
		if d.Endless || d.Meters == 0 || bd.Road.Torque(v, grade) < 0 {
			return // no distance to sum, or one that braking limits decide
		}
		if p, _ := bd.Drive.At(bd.Pack.At(b.StartCharge), bd.Road.Omega(v), bd.Road.Torque(v, grade)); p.BusA < 0.25 {
			return // nearly a ride that uses no charge: the distance is singular there
		}
		checked++
		meters, open, lost := integral(bd, v, grade, b.StartCharge, d.End, 4000)
		text := randombuild.Text(&b)
		// 5e-4 on level ground (below); a slope, wind or weakening bends the curve more.
		require.InEpsilon(t, meters, d.Meters, 3e-3, text)
		require.InEpsilon(t, (open-lost)/3600, d.EnergyWh, 1e-3, "energy drawn = ∫E·I − ∫I²R: %s", text)
	})
	require.Positive(t, checked, "no build rode: the check is idle")
}

// The same on every cell class, over the whole charge.
func TestRangeOnEveryClass(t *testing.T) {
	for _, cell := range build.Cells {
		bd := boardOf(with(t, "cell", cell.ID, "shift", "0", "rideduty", "100", "vcut", "10"))
		for _, v := range []float64{2, 5, 8} {
			d := steady(bd, v, 0, 1, 0.05)
			meters, open, lost := integral(bd, v, 0, 1, d.End, 4000)
			assert.InEpsilon(t, meters, d.Meters, 5e-4, "%s at %g m/s", cell.ID, v)
			assert.InEpsilon(t, (open-lost)/3600, d.EnergyWh, 1e-3, "%s at %g m/s", cell.ID, v)
		}
	}
}

// What holds a steady ride at a charge, written out.
func holds(bd *ride.Board, z, v, grade float64) bool {
	src := bd.Pack.At(z)
	load := bd.Road.Torque(v, grade)
	limit, _ := bd.Drive.MaxTorque(src, bd.Road.Omega(v))
	p, ok := bd.Drive.At(src, bd.Road.Omega(v), load)
	return ok && (limit.Torque-load)/(bd.Road.Rider*road.Gravity) >= bd.Shift && limit.Torque >= load && p.Duty <= bd.DutyGoal &&
		(load < 0 || p.Phase() <= bd.Drive.PhaseLimit*(1+1e-9)) // what braking cannot hold back is left to the rider, and said elsewhere
}

func TestRangeEndsWhereItSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Plausible().Draw(t, "build")
		bd := boardOf(b)
		d := steady(bd, b.Cruise, b.Grade, b.StartCharge, b.FloorCharge)
		text := randombuild.Text(&b)
		switch {
		case d.Endless:
			p, ok := bd.Drive.At(bd.Pack.At(b.StartCharge), bd.Road.Omega(b.Cruise), bd.Road.Torque(b.Cruise, b.Grade))
			require.True(t, ok, text)
			// A slight descent may still draw standby power until a limit of braking comes in.
			require.True(t, p.BusA <= 1e-3 || bd.Road.Torque(b.Cruise, b.Grade) < 0, text)
		case b.FloorCharge >= b.StartCharge:
			require.Zero(t, d.Meters, text)
		case d.By == ride.StopFloor:
			require.InDelta(t, b.FloorCharge, d.End, 1e-12, text)
			require.True(t, holds(bd, b.FloorCharge, b.Cruise, b.Grade), text)
		default:
			require.False(t, holds(bd, d.End-3e-6, b.Cruise, b.Grade), "%s ends by %s at %g", text, d.By, d.End)
			if d.End < b.StartCharge {
				require.True(t, holds(bd, d.End+3e-6, b.Cruise, b.Grade), "%s ends by %s at %g", text, d.By, d.End)
			}
		}
	})
}

func TestEachStopIsNamed(t *testing.T) {
	for _, c := range []struct {
		by    ride.Stop
		pairs []string
	}{
		{ride.StopFloor, nil},
		{ride.StopCutoff, []string{"vcut", "60", "shift", "0", "floor", "5"}},
		{ride.StopReserve, []string{"shift", "90", "floor", "5"}},
		{ride.StopDuty, []string{"rideduty", "60", "cruise", "25"}},
		{ride.StopNoTorque, []string{"grade", "30", "phase", "30"}},
		{ride.StopNever, []string{"grade", "-20"}},
	} {
		b := with(t, c.pairs...)
		d := steady(boardOf(b), b.Cruise, b.Grade, b.StartCharge, b.FloorCharge)
		assert.Equal(t, c.by, d.By, "%v", c.pairs)
		assert.Equal(t, c.by == ride.StopNever, d.Endless, "%v", c.pairs)
	}
	b := with(t, "start", "20", "floor", "40")
	d := steady(boardOf(b), b.Cruise, 0, b.StartCharge, b.FloorCharge)
	assert.Zero(t, d.Meters)
	assert.Equal(t, ride.StopFloor, d.By)
}

func TestCeilingKeepsWhatItPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		bd := boardOf(b)
		src := bd.Pack.At(rapid.Float64Range(0.05, 1).Draw(t, "charge"))
		c := bd.Ceiling(src)
		text := randombuild.Text(&b)
		top := bd.FreeSpinWeakened(src)
		require.GreaterOrEqual(t, c.Speed, 0.0)
		require.LessOrEqual(t, c.Speed, top*(1+1e-12), text)
		if c.Speed < 0.5 || bd.Road.Headwind < 0 {
			return // with the wind from behind the load may fall with speed
		}
		keeps := func(v, shift, duty float64) bool {
			s := bd.Sample(src, v, 0)
			return s.Shift >= bd.Shift-shift && s.Reached && s.At.Duty <= bd.DutyGoal+duty
		}
		slack := 1e-9
		if onEdge(bd, src, c.Speed) {
			slack = 1e-3
		}
		for i := range 40 {
			require.True(t, keeps((c.Speed-1e-6)*float64(i)/39, 1e-9, slack), "%d/39 of the ceiling %g m/s: %s", i, c.Speed, text)
		}
		if v := c.Speed*(1+slack) + 1e-5; v < top*(1-1e-6) {
			// Where weakening reaches past the magnet's flux, the rule may pass the highest duty and At come down from there; the ceiling stays.
			p, ok := bd.Drive.Ruled(src, bd.Road.Omega(v), bd.Road.Torque(v, 0))
			ruled := ok && p.Duty <= bd.DutyGoal-slack || bd.DutyGoal > bd.Drive.MaxDuty
			require.False(t, keeps(v, 0, 0) && ruled, "just above the ceiling %g m/s: %s", c.Speed, text)
		}
	})
}

// onEdge tells where a speed's torque stands on the edge of what a saturated motor can make at all, and only some weakening that the rule does
// not ask for gets it there: a billionth of i_d is much in the duty of such a point.
func onEdge(bd *ride.Board, src pack.Source, v float64) bool {
	d := &bd.Drive
	p, _ := d.Ruled(src, bd.Road.Omega(v), bd.Road.Torque(v, 0))
	share := min(1, max(0, (p.Duty-d.WeakenDuty)/(d.MaxDuty-d.WeakenDuty)))
	return math.Abs(p.Id+d.WeakenA*share) > 1e-3*d.WeakenA
}

func TestCeilingFallsWithCharge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Plausible().Draw(t, "build")
		b.Headwind = math.Abs(b.Headwind) // with the wind from behind the load may fall with speed
		bd := boardOf(b)
		last := 0.0
		for _, z := range []float64{0.05, 0.15, 0.3, 0.5, 0.75, 1} {
			v := bd.Ceiling(bd.Pack.At(z)).Speed
			if v < 0.5 && last < 0.5 {
				last = v // hardly a speed: where a saturated motor just moves, its duty need not fall with charge
				continue
			}
			slack := 1e-6
			if onEdge(bd, bd.Pack.At(z), v) {
				slack = 0.01 * last
			}
			require.GreaterOrEqual(t, v, last-slack, "at charge %g: %s", z, randombuild.Text(&b))
			last = v
		}
	})
}

func TestSpeedsAreInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Plausible().Draw(t, "build")
		b.Headwind = math.Abs(b.Headwind) // with the wind from behind the load may fall with speed
		bd := boardOf(b)
		src := bd.Pack.At(1)
		ceiling, top, free := bd.Ceiling(src).Speed, bd.LevelTop(src), bd.FreeSpinWeakened(src)
		require.LessOrEqual(t, ceiling, top+1e-6, randombuild.Text(&b))
		require.LessOrEqual(t, top, free*(1+1e-12), randombuild.Text(&b))
		if top > 1e-6 && top < free*(1-1e-6) {
			require.GreaterOrEqual(t, bd.Sample(src, top-1e-6, 0).Reserve, -1e-3, "just below the level top speed: %s", randombuild.Text(&b))
			require.LessOrEqual(t, bd.Sample(src, top+1e-6, 0).Reserve, 1e-3, "nothing is left just above it: %s", randombuild.Text(&b))
		}
	})
}

// At the voltage limit no torque is left, so no reserve is left either, whatever the load.
func TestReserveVanishesAtFreeSpin(t *testing.T) {
	bd := boardOf(build.Default())
	src := bd.Pack.At(1)
	s := bd.Sample(src, bd.FreeSpinWeakened(src), 0)
	assert.InDelta(t, 0, s.Max, 1e-3)
	assert.Negative(t, s.Reserve)
	assert.False(t, s.OK)
}

func TestMorePressureNeverRollsHarder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		v := rapid.Float64Range(0, 30).Draw(t, "speed")
		last := math.Inf(1)
		for kpa := 30.0; kpa <= 300; kpa += 15 {
			build.FieldFor("kpa").SetValue(&b, kpa)
			force := boardOf(b).Road.Tire.Rolling(v)
			require.LessOrEqual(t, force, last, "%g kPa: %s", kpa, randombuild.Text(&b))
			last = force
		}
	})
}

func TestMoreSeriesNeverLowersFreeSpinSpeed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Plausible().Draw(t, "build")
		build.FieldFor("board").SetValue(&b, 17) // hold the rolling radius: more cells weigh more
		last := 0.0
		for s := 8.0; s <= 40; s++ {
			build.FieldFor("s").SetValue(&b, s)
			bd := boardOf(b)
			v := bd.FreeSpinWeakened(bd.Pack.At(1))
			require.GreaterOrEqual(t, v, last*(1-1e-9), "%g in series: %s", s, randombuild.Text(&b))
			last = v
		}
	})
}

func TestPeakIsNotPassedAtAnySpeed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Plausible().Draw(t, "build")
		bd := boardOf(b)
		src := bd.Pack.At(rapid.Float64Range(0.1, 1).Draw(t, "charge"))
		battery, phase := bd.Peak(src, bd.Envelope(src, 25))
		top := bd.FreeSpinWeakened(src)
		for i := range 120 {
			p, _ := bd.Drive.MaxTorque(src, bd.Road.Omega(top*float64(i)/119))
			require.LessOrEqual(t, p.BusA, battery*(1+1e-3), "battery, at %d/119 of free spin: %s", i, randombuild.Text(&b))
			require.LessOrEqual(t, p.Iq, phase*(1+1e-3), "phase, at %d/119 of free spin: %s", i, randombuild.Text(&b))
		}
		require.LessOrEqual(t, battery, bd.Drive.BatteryLimit*(1+1e-9))
		require.LessOrEqual(t, phase, bd.Drive.PhaseLimit*(1+1e-9))
	})
}

func TestEnvelopeSamplesEvenly(t *testing.T) {
	bd := boardOf(build.Default())
	src := bd.Pack.At(0.5)
	list := bd.Envelope(src, 11)
	require.Len(t, list, 11)
	for i, s := range list {
		assert.InDelta(t, bd.FreeSpinWeakened(src)*float64(i)/10, s.Speed, 1e-9)
		assert.InEpsilon(t, s.Max-s.Load, s.Reserve, 1e-12)
		assert.InEpsilon(t, s.Reserve/(80*road.Gravity), s.Shift, 1e-12, "τ = m_rider·g·x")
		// The equal grade uses up the reserve: its weight component at this radius is the torque to spare.
		sin := s.Grade / math.Sqrt(1+s.Grade*s.Grade)
		assert.InEpsilon(t, s.Reserve, sin*bd.Road.Mass*road.Gravity*bd.Road.Tire.Radius(s.Speed), 1e-9)
	}
}

// Braking that the phase limit cannot give is not held.
func TestBrakingIsHeldAgainstThePhaseLimit(t *testing.T) {
	b := with(t, "grade", "-30", "phase", "20")
	bd := boardOf(b)
	s := bd.Sample(bd.Pack.At(0.5), 5, b.Grade)
	require.True(t, s.Reached)
	require.Less(t, s.At.Iq, -bd.Drive.PhaseLimit)
	assert.False(t, s.OK)
	build.FieldFor("phase").SetValue(&b, 200)
	assert.True(t, boardOf(b).Sample(bd.Pack.At(0.5), 5, b.Grade).OK)
}
