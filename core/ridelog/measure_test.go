package ridelog

import (
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/ridecheck"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// However quiet the logger: its speed, volts and the wind, and how warm the cells are, are no surer than those of a reading by hand.
func TestLogIsNoSurerThanItsInstruments(t *testing.T) {
	nan := math.NaN()
	list := Measurements(&Ride{Resistance: &Resistance{Ohm: 0.15, Sigma: 1e-9, RestV: 72}, Steady: []Stretch{{Speed: 6, Duty: 0.5, PackV: 70, BatteryA: 6,
		Grade: 0, GradeSigma: 1e-9, DutySigma: 1e-9, BatterySigma: 1e-9, PhaseA: nan}}}, boards["standard"])
	require.Len(t, list, 3)
	for _, m := range list {
		exact := m
		exact.Sigma, exact.Bare = 1e-9, true
		alone := ridecheck.CheckAll(build.Default(), []ridecheck.Measurement{exact})[0].Reading
		got := ridecheck.CheckAll(build.Default(), []ridecheck.Measurement{m})[0].Reading
		require.Positive(t, m.Sigma)
		assert.Greater(t, alone, 0.001*m.Value, "%s: the conditions alone", m.Kind)
		assert.InEpsilon(t, math.Hypot(m.Sigma, alone), got, 1e-6, string(m.Kind))
		m.Bare = false
		assert.Equal(t, m.Sigma, ridecheck.CheckAll(build.Default(), []ridecheck.Measurement{m})[0].Reading, "a stated one stands")
	}
}
