package ride

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

// Worked by hand: 100 s of 1, 200 s of 4, 50 s of 9, again and again (350 s).
func TestMostMeanByHand(t *testing.T) {
	seconds, value := []float64{100, 200, 50}, []float64{1, 4, 9}
	for _, c := range []struct{ window, want float64 }{
		{50, 9}, {25, 9},
		{250, (200*4 + 50*9) / 250.0},
		{350, (100*1 + 200*4 + 50*9) / 350.0},
		{100, (50*9 + 50*4) / 100.0},           // the end of the long stretch and the short one
		{600, (1350 + 200*4 + 50*9) / 600.0},   // a round and the best 250 s
		{700, 2 * 1350 / 700.0},                // two rounds
		{300, (50*9 + 200*4 + 50*1) / 300.0},   // around the end
		{3500 + 50, (10*1350 + 50*9) / 3550.0}, // many rounds
	} {
		assert.InDelta(t, c.want, mostMean(seconds, value, c.window), 1e-12, "%g s", c.window)
	}
	assert.InDelta(t, 5, mostMean([]float64{1}, []float64{5}, 600), 1e-12, "a steady ride")
}

// A second method: slide the window in small steps.
func TestMostMeanAgainstSliding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "stretches")
		seconds, value := make([]float64, n), make([]float64, n)
		var clock []float64 // value second by second
		for i := range n {
			whole := rapid.IntRange(1, 40).Draw(t, "seconds")
			seconds[i], value[i] = float64(whole), float64(rapid.IntRange(0, 100).Draw(t, "value"))
			for range whole {
				clock = append(clock, value[i])
			}
		}
		window := rapid.IntRange(1, 150).Draw(t, "window")
		most := 0.0
		for from := range clock {
			sum := 0.0
			for k := range window {
				sum += clock[(from+k)%len(clock)]
			}
			most = max(most, sum/float64(window))
		}
		require.InDelta(t, most, mostMean(seconds, value, float64(window)), 1e-9)
	})
}

func boardOf(b *build.Build) Board {
	p := b.Parts()
	return Board{Drive: drive.New(b, &p), Road: road.New(b, &p), Pack: pack.New(b, &p), Shift: b.Shift, DutyGoal: b.CruiseDuty}
}

func TestHardestOfASteadyRide(t *testing.T) {
	b := build.Default()
	board := boardOf(&b)
	src := board.Pack.At(0.15)
	p := NewProfile(&b, &board)
	h, ok := board.Hardest(src, &p)
	require.True(t, ok)
	at, ok := board.Drive.At(src, board.Road.Omega(b.Cruise), board.Road.Torque(b.Cruise, 0))
	require.True(t, ok)
	assert.InEpsilon(t, at.BusA, h.BatteryA, 1e-9, "one moment is its own worst")
	assert.InEpsilon(t, at.Phase(), h.PhaseA, 1e-9)
	assert.Zero(t, h.BrakeA)
}

// The hills' steepest climb is a minute long; held for ten it asks for more than the mix does.
func TestHardestCountsTheClimbAndTheBraking(t *testing.T) {
	b := build.Default()
	require.Nil(t, build.FieldFor("profile").Set(&b, "hills"))
	board := boardOf(&b)
	src := board.Pack.At(0.5)
	p := NewProfile(&b, &board)
	h, ok := board.Hardest(src, &p)
	require.True(t, ok)
	climb, ok := board.Drive.At(src, board.Road.Omega(p.AtGrade), board.Road.Torque(p.AtGrade, p.TopGrade))
	require.True(t, ok)
	assert.InEpsilon(t, climb.BusA, h.BatteryA, 1e-9)
	assert.InEpsilon(t, climb.Phase(), h.PhaseA, 1e-9)
	assert.Greater(t, h.BrakeA, 1.0, "the way down pushes back")
	assert.LessOrEqual(t, h.BrakeA, b.RegenLimit*(1+1e-6))
	mix, ok := board.round(src, &p)
	require.True(t, ok)
	assert.Greater(t, h.BatteryA, math.Sqrt(mix.Square))
}

func TestHardestIsNeverBelowTheWholeRide(t *testing.T) {
	held := 0
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		board := boardOf(&b)
		src := board.Pack.At(b.FloorCharge)
		p := NewProfile(&b, &board)
		h, ok := board.Hardest(src, &p)
		if !ok {
			return
		}
		held++
		mix, mixed := board.round(src, &p)
		require.True(t, mixed)
		require.GreaterOrEqual(t, h.BatteryA, math.Sqrt(mix.Square)*(1-1e-9), randombuild.Text(&b))
		require.False(t, math.IsNaN(h.PhaseA) || math.IsInf(h.PhaseA, 0))
		require.GreaterOrEqual(t, h.PhaseA, 0.0)
	})
	assert.Positive(t, held)
}
