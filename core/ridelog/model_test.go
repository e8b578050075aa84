package ridelog

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"headroom/core/build"
	"headroom/core/ride"
	"headroom/core/ridecheck"
	"headroom/core/road"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func someBoard(set func(*build.Build)) *ride.Board {
	b := build.Default()
	if set != nil {
		set(&b)
	}
	p := b.Parts()
	board := ride.NewBoard(&b, &p)
	return &board
}

var boards = map[string]*ride.Board{
	"standard": someBoard(nil),
	"weakened": someBoard(func(b *build.Build) { b.WeakenA = 40 }),
	"large":    someBoard(func(b *build.Build) { b.Series, b.Parallel, b.Motor, b.PhaseLimit = 24, 3, "hub65-wide", 200 }),
}

// The table against the drive itself at moments between its knots: within 5 % of the largest torque there is, in the mean within
// three thousandths.
func TestMostTorqueAgainstTheDrive(t *testing.T) {
	for name, b := range boards {
		m := NewModel(b)
		lots := rand.New(rand.NewPCG(1, 2))
		full := m.Most(0, b.Pack.At(1).OpenCircuit)
		sum := 0.0
		const n = 4000
		for range n {
			src := b.Pack.At(0.02 + 0.98*lots.Float64())
			v := 1 + (b.FreeSpinWeakened(b.Pack.At(1))-1)*lots.Float64()
			want, _ := b.Drive.MaxTorque(src, b.Road.Omega(v))
			got := m.Most(v, src.OpenCircuit)
			sum += math.Abs(got-want.Torque) / full
			require.InDelta(t, want.Torque, got, 0.05*full, "%s at %.2f m/s and %.1f V", name, v, src.OpenCircuit)
		}
		t.Logf("%s: %.2f %% of the largest torque in the mean", name, 100*sum/n)
		assert.Less(t, sum/n, 0.003, name)
	}
}

// The torque taken, found back from the current and from the power of an operating point that the drive made for it.
func TestTorqueTakenIsThatOfTheOperatingPoint(t *testing.T) {
	for _, name := range []string{"standard", "large"} {
		b := boards[name]
		m := NewModel(b)
		lots := rand.New(rand.NewPCG(3, 4))
		for range 2000 {
			src := b.Pack.At(0.3 + 0.7*lots.Float64())
			v := 1 + 6*lots.Float64()
			torque := -20 + 60*lots.Float64()
			at, ok := b.Drive.At(src, b.Road.Omega(v), torque)
			require.True(t, ok)
			row := Row{Speed: v, PackV: at.BusV, BatteryA: at.BusA, PhaseA: math.NaN()}
			got, by := m.Taken(&row)
			assert.Equal(t, ByPower, by)
			// Saturation is not in the power's own equation; it is some hundredths of the torque at most. Braking may be told too weak.
			if torque > -5 || v > 4 {
				assert.InDelta(t, torque, got, 0.4+0.03*math.Abs(torque), "%v m/s", v)
			} else {
				assert.Greater(t, got, torque-0.4, "%v m/s", v)
				assert.Negative(t, got)
			}
			row[PhaseA] = math.Copysign(at.Phase(), at.Iq)
			got, by = m.Taken(&row)
			assert.Equal(t, ByPhase, by)
			assert.InDelta(t, torque, got, 1e-9)
			row[PhaseA], row[BatteryA] = math.NaN(), math.NaN()
			got, by = m.Taken(&row)
			assert.Equal(t, ByRoad, by)
			assert.Equal(t, b.Road.Torque(v, 0), got)

			row = Row{Speed: v, PackV: at.BusV, BatteryA: at.BusA, PhaseA: math.Copysign(at.Phase(), at.Iq)}
			most, _ := b.Drive.MaxTorque(src, b.Road.Omega(v))
			shift, _ := m.Shift(&row)
			assert.InDelta(t, b.Road.Shift(most.Torque-torque), shift, 0.006, "reserve in m of shift")
			row[Speed] = math.NaN()
			shift, by = m.Shift(&row)
			assert.True(t, math.IsNaN(shift) && by == "")
		}
	}
}

// Events against a second computation over all moments at once.
func TestEventsAgainstAllMomentsAtOnce(t *testing.T) {
	m := NewModel(boards["standard"])
	rows := someRows(8, 4000)
	const wanted = 0.05
	r := newReserver(m, wanted)
	type known struct{ at, shift float64 }
	var list []known
	for i := range rows {
		r.add(&rows[i], i+2)
		if s, _ := m.Shift(&rows[i]); !math.IsNaN(s) {
			list = append(list, known{rows[i][Time], s})
		}
	}
	got := r.result()

	// What counts of each moment: the mildest pair it is part of tells how low the reserve surely was.
	var under []known
	for i := range list {
		counted, some := math.Inf(1), false
		for _, j := range []int{i - 1, i + 1} {
			if j >= 0 && j < len(list) && math.Abs(list[j].at-list[i].at) <= 0.5 {
				some = true
				if pair := math.Max(list[i].shift, list[j].shift); pair == list[i].shift {
					counted = math.Min(counted, pair)
				}
			}
		}
		if !some {
			counted = list[i].shift
		}
		if counted < wanted {
			under = append(under, known{list[i].at, counted})
		}
	}
	require.NotEmpty(t, under)
	met, seconds, least := 0, 0.0, math.Inf(1)
	for i, u := range under {
		least = math.Min(least, u.shift)
		if i == 0 || u.at-under[i-1].at > 1 {
			met++
		} else {
			seconds += u.at - under[i-1].at
		}
	}
	assert.Equal(t, met, got.Met)
	assert.InDelta(t, seconds, got.Under, 1e-6)
	assert.InDelta(t, least, got.Least.Value, 1e-12)
	require.Len(t, got.Events, min(met, mostEvents))
	require.Greater(t, met, mostEvents, "the test wants more events than are kept")
	kept := math.Inf(1)
	for i, e := range got.Events {
		kept = math.Min(kept, e.Shift)
		assert.Less(t, e.Shift, wanted)
		assert.Equal(t, rows[e.Line-2][Speed], e.Speed)
		if i > 0 {
			assert.Greater(t, e.At, got.Events[i-1].At)
		}
	}
	assert.InDelta(t, least, kept, 1e-12, "the worst is kept")
}

func TestNoReserveWithoutSpeedAndVolts(t *testing.T) {
	r, failure := Read([]byte("time,speed\n0,10\n1,10\n2,10\n"), Settings{Model: NewModel(boards["standard"]), Wanted: 0.02})
	require.Empty(t, failure)
	assert.Nil(t, r.Reserve)
	assert.Nil(t, r.Resistance)
	assert.False(t, r.Powered)
	_, ok := r.PerMeter()
	assert.False(t, ok)
	assert.Empty(t, Measurements(&r, boards["standard"]))
}

// A pack of known volts and ohms under a load that swings: without noise the slope is exact, with the charge falling too.
func TestResistanceOfAnIdealPack(t *testing.T) {
	lots := rand.New(rand.NewPCG(5, 6))
	var o ohms
	for i := range 4000 {
		at := float64(i) * 0.1
		amps := 10 + 8*math.Sin(at/3) + 2*lots.NormFloat64()
		o.add(&Row{Time: at, PackV: 72 - 0.002*at - 0.15*amps, BatteryA: amps})
	}
	r := o.result()
	require.NotNil(t, r)
	assert.InDelta(t, 0.15, r.Ohm, 1e-6)
	assert.Equal(t, 10, r.Spans)
	assert.InDelta(t, 72-0.002*200, r.RestV, 0.01)

	o = ohms{}
	for i := range 4000 {
		o.add(&Row{Time: float64(i) * 0.1, PackV: 72 + 0.1*lots.NormFloat64(), BatteryA: 5 + 0.3*lots.NormFloat64()})
	}
	assert.Nil(t, o.result(), "a steady load tells nothing")
}

// Stretches worked by hand: ten seconds at 5 m/s on a climb of 2 %, then a ramp, then five at 8 m/s.
func TestSteadyStretches(t *testing.T) {
	var b blocks
	var s steadier
	line := 1
	put := func(at, v, duty, altitude float64) {
		line++
		if done, ok := b.add(&Row{Time: at, Speed: v, Duty: duty, PackV: 70, BatteryA: v, PhaseA: math.NaN(), Altitude: altitude}, line); ok {
			s.add(done)
		}
	}
	for at := 0.0; at < 10; at += 0.125 {
		put(at, 5, 0.4, 100+0.1*at)
	}
	for at := 10.0; at < 16; at += 0.125 {
		put(at, 6+(at-10)/5, 0.5, 101)
	}
	for at := 16.0; at < 21; at += 0.125 {
		put(at, 8, 0.6, 101)
	}
	put(21, 0, 0, 101)
	put(22.5, 0, 0, 101)
	list, found := s.result()
	require.Len(t, list, 2)
	assert.Equal(t, 2, found)
	first, second := list[0], list[1]
	assert.Equal(t, []float64{10, 5, 0.4, 70, 5}, []float64{first.Seconds, first.Speed, math.Round(first.Duty*1e9) / 1e9, first.PackV, first.BatteryA})
	assert.InDelta(t, 0.02, first.Grade, 1e-9)
	assert.InDelta(t, 0, first.Change, 1e-9)
	assert.True(t, math.IsNaN(first.PhaseA))
	assert.Equal(t, 2, first.Line)
	assert.InDelta(t, 8, second.Speed, 0.05)
	assert.InDelta(t, 0, second.Grade, 1e-9)

	list[0].GradeSigma, list[1].GradeSigma = 0.001, 1
	board := boards["standard"]
	m := Measurements(&Ride{Steady: list, Resistance: &Resistance{0.17, 0.001, 71, 9}}, board)
	require.Len(t, m, 5)
	assert.Equal(t, ridecheck.PackResistance, m[0].Kind)
	assert.Equal(t, []float64{0.17, 71}, []float64{m[0].Value, m[0].At.RestV})
	assert.InDelta(t, math.Sqrt(0.001*0.001+0.0051*0.0051+0.00085*0.00085), m[0].Sigma, 1e-12, "3 % of amps and half a percent of volts")
	assert.True(t, m[0].Bare, "charge and temperature come on top")
	assert.Equal(t, ridecheck.Duty, m[1].Kind)
	assert.Equal(t, ridecheck.BatteryAmps, m[2].Kind)
	assert.InDelta(t, 0.02, m[2].At.Grade, 1e-9)
	assert.InDelta(t, 0, m[4].At.Grade, 0.003, "a slope that the altitude cannot tell is level, in doubt")
	// The doubt of the slope in amps is that of the power it takes: F·v = V·I.
	weight := board.Road.Mass * road.Gravity
	assert.Greater(t, m[4].Sigma, 0.99*weight*levelDoubt*8/70)
	for _, x := range m {
		assert.Empty(t, x.Missing())
		assert.Positive(t, x.Sigma)
	}
}

// A board speeding up needs what a slope needs: m·a + J·a/r² = m·g·grade.
func TestChangeOfSpeedIsToldAsASlope(t *testing.T) {
	board := boards["standard"]
	nan := math.NaN()
	m := Measurements(&Ride{Steady: []Stretch{{Speed: 6, Duty: 0.5, PackV: 70, BatteryA: 6, Change: 0.1, Grade: nan, GradeSigma: nan, DutySigma: 0.001, BatterySigma: 0.1}}}, board)
	require.Len(t, m, 2)
	assert.InDelta(t, board.Road.Accelerating(0.1), board.Road.Mass*road.Gravity*m[0].At.Grade, 1e-9)
}

// The longest of each speed are kept, and no more than a fit takes.
func TestLongestStretchesAreKept(t *testing.T) {
	var s steadier
	lots := rand.New(rand.NewPCG(7, 8))
	want := map[int][]float64{} // what lasted longest of each bin, found by sorting
	for i := range 3000 {
		x := Stretch{At: float64(i), Seconds: 4 + 16*lots.Float64(), Speed: 2 + 18*lots.Float64(), Duty: 0.5, PackV: 70, BatteryA: 5}
		s.keep(x)
		bin := min(int(x.Speed/0.7), 23)
		want[bin] = append(want[bin], x.Seconds)
	}
	list, found := s.result()
	assert.Equal(t, 3000, found)
	got := map[int][]float64{}
	for i, x := range list {
		bin := min(int(x.Speed/0.7), 23)
		got[bin] = append(got[bin], x.Seconds)
		if i > 0 {
			assert.Greater(t, x.At, list[i-1].At)
		}
	}
	require.Len(t, got, len(want))
	for bin, all := range want {
		slices.Sort(all)
		slices.Sort(got[bin])
		assert.Equal(t, all[max(0, len(all)-10):], got[bin])
	}
	m := Measurements(&Ride{Steady: list}, boards["standard"])
	assert.LessOrEqual(t, len(m), ridecheck.MaxMeasurements)
}
