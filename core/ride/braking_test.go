package ride

import (
	"testing"

	"headroom/core/build"
	"headroom/core/internal/randombuild"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func owns(t *testing.T, rows string) (Board, Profile) {
	t.Helper()
	b := build.Default()
	require.Nil(t, build.FieldFor("profile").Set(&b, "own"))
	require.Nil(t, build.FieldFor("own").Set(&b, rows))
	board := boardOf(&b)
	return board, NewProfile(&b, &board)
}

// By hand: charge is current times time, and what a full pack has no room for stays counted whatever is drawn later.
func TestChargingByHand(t *testing.T) {
	board, down := owns(t, "1000~20~-12")
	at, ok := board.Drive.At(board.Pack.At(1), board.Road.Omega(20/3.6), board.Road.Torque(20/3.6, -0.12))
	require.True(t, ok)
	require.Less(t, at.BusA, -2.0)
	whole := board.Pack.CapacityAh * 3600
	km := -at.BusA * 180 / whole // 1 km at 20 km/h is 180 s

	c, ok := board.Charging(&down, 1)
	require.True(t, ok)
	assert.InEpsilon(t, -at.BusA, c.PeakA, 1e-9)
	assert.InEpsilon(t, 4*km, c.Overfull, 1e-9, "four rounds of 180 s are the first to make ten minutes")
	none, ok := board.Charging(&down, 0.5)
	require.True(t, ok)
	assert.Zero(t, none.Overfull)

	up, ok := board.Drive.At(board.Pack.At(1), board.Road.Omega(20/3.6), board.Road.Torque(20/3.6, 0.08))
	require.True(t, ok)
	require.Greater(t, up.BusA, -at.BusA)
	_, first := owns(t, "4000~20~-12_4000~20~8")
	c, _ = board.Charging(&first, 1)
	assert.InEpsilon(t, 4*km, c.Overfull, 1e-9, "the way up after it changes nothing")
	_, last := owns(t, "4000~20~8_4000~20~-12")
	c, _ = board.Charging(&last, 1)
	assert.Zero(t, c.Overfull, "the way up has made room")
}

// A second method: looking at many speeds. What is taken for the limit lies within a twentieth of it.
func TestBrakePeakAgainstManySpeeds(t *testing.T) {
	below := 0
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Plausible().Draw(t, "build")
		board := boardOf(&b)
		src := board.Pack.At(rapid.Float64Range(0.05, 1).Draw(t, "charge"))
		peak := board.BrakePeak(src)
		top := board.FreeSpinWeakened(src)
		most := 0.0
		for i := range 601 {
			p, _ := board.Drive.MaxBraking(src, board.Road.Omega(top*float64(i)/600))
			most = max(most, -p.BusA)
		}
		require.LessOrEqual(t, most, peak*(1+5e-3)+1e-6, randombuild.Text(&b))
		require.LessOrEqual(t, peak, board.Drive.RegenLimit*(1+1e-9))
		if peak < board.Drive.RegenLimit {
			require.LessOrEqual(t, peak, most*(1+1e-2)+1e-6, randombuild.Text(&b))
			below++
		}
	})
	assert.Positive(t, below, "every board reached its limit")
}

func TestHardestBrakingOfASteadyWayDown(t *testing.T) {
	board, down := owns(t, "9000~20~-12")
	h, ok := board.Hardest(board.Pack.At(0.5), &down)
	require.True(t, ok)
	require.Greater(t, h.BrakeA, 2.0)
	assert.InEpsilon(t, h.BrakeA, h.BrakesA, 1e-12, "it lasts")
	// 90 s down and 540 s up: of the 600 s that hold all of the way down, 90 s brake.
	_, mixed := owns(t, "500~20~-12_3000~20~2")
	h, ok = board.Hardest(board.Pack.At(0.5), &mixed)
	require.True(t, ok)
	assert.InEpsilon(t, h.BrakeA*h.BrakeA*90/600, h.BrakesA*h.BrakesA, 1e-9)
}
