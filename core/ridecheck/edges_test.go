package ridecheck_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/build"
	rc "headroom/core/ridecheck"
)

// TestAValueOfNothing has no uncertainty of its own to be weighed by; it is left aside.
func TestAValueOfNothing(t *testing.T) {
	b := build.Default()
	nothing := rc.Measurement{Kind: rc.Rollout}
	assert.Contains(t, rc.FitAll(b, []rc.Measurement{nothing}).Failed, "nothing to fit")
	mass := rc.Measurement{Kind: rc.BoardMass, Value: 17}
	assert.Equal(t, rc.FitAll(b, []rc.Measurement{mass}).Changes, rc.FitAll(b, []rc.Measurement{mass, nothing}).Changes)
}

// TestWhatNoFieldHoldsIsNotFitted: the parts of a board may weigh more than can be entered; then its mass is no input to fit.
func TestWhatNoFieldHoldsIsNotFitted(t *testing.T) {
	b := with(t, "s", "40", "p", "12", "cell", "21700-energy", "motorkg", "40", "frame", "30")
	parts := b.Parts()
	require.Greater(t, parts.BoardMass, build.FieldFor("board").Max)
	fit := rc.FitAll(b, []rc.Measurement{{Kind: rc.BoardMass, Value: 60}, {Kind: rc.LeadsOhm, Value: 0.08, At: rc.At{Celsius: 20}}})
	require.Empty(t, fit.Failed)
	assert.Nil(t, changeOf(fit, "board"))
	assert.NotNil(t, changeOf(fit, "motorr"))
}

// TestAWheelThatDoesNotTurn: where the iron holds the wheel against all that the pack can push, there is no free spin to hold a reading against.
func TestAWheelThatDoesNotTurn(t *testing.T) {
	for _, parallel := range []string{"1", "12"} { // a pack too weak for it, and one that could but for the highest duty
		b := with(t, "s", "8", "p", parallel, "kv", "80", "motorr", "500", "hyst", "500", "isat", "300")
		for _, kind := range []rc.Kind{rc.FreeSpin, rc.FreeSpinTurns, rc.FreeSpinAmps} {
			m := rc.Measurement{Kind: kind, Value: 1, At: rc.At{Charge: 0.5}}
			assert.Contains(t, rc.CheckAll(b, []rc.Measurement{m})[0].Skipped, "cannot do this at all", kind)
		}
	}
}

// TestTheFirstInputIsToldToo: a free spin inside its band leaves most of all the Kv open, which stands first among the inputs.
func TestTheFirstInputIsToldToo(t *testing.T) {
	k := off(t, build.Default(), rc.FreeSpinTurns, rc.At{BusV: 70}, 1.05)
	require.True(t, k.Inside())
	assert.Equal(t, "Within what the inputs leave open, most of all the motor Kv.", k.Means)
}

// TestLowEndOfAField: a drag area that no one could enter ends at the least, and it is said.
func TestLowEndOfAField(t *testing.T) {
	b := with(t, "cda", "0.205")
	m := rc.Measurement{Kind: rc.BatteryAmps, Sigma: 0.1, At: rc.At{Charge: 0.8, Speed: 10}}
	m.Value = one(t, b, m).Predicted * 0.8
	n := m
	n.At.Speed = 5
	n.Value = one(t, b, n).Predicted
	fit := rc.FitAll(b, []rc.Measurement{m, n, m, n})
	c := changeOf(fit, "cda")
	require.NotNil(t, c)
	assert.Equal(t, build.FieldFor("cda").Min, c.To)
	assert.True(t, c.AtEnd)
}
