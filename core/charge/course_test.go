package charge_test

import (
	"math"
	"testing"

	"headroom/core/charge"

	"github.com/stretchr/testify/assert"
)

func straight(low, rise, ohm float64) func(float64) (float64, float64) {
	return func(z float64) (float64, float64) { return low + rise*z, ohm }
}

// One cell of 5 Ah and 30 mΩ whose voltage is 3.2 V + 1.0 V·z, 2.5 A and 4.2 V, taper 0.25 A. With a fixed resistance and a straight
// voltage the current at held voltage falls exponentially, so everything has a closed form, worked here:
//
//	held from z = (4.2 − 2.5·0.03 − 3.2)/1 = 0.925, after 0.925·5/2.5 = 1.85 h
//	τ = R·Q/U' = 0.03·5/1 = 0.15 h, held for τ·ln(2.5/0.25) = 0.34539 h
//	ends at z = (4.2 − 0.25·0.03 − 3.2)/1 = 0.9925
//	stored 5·(3.2·0.9925 + 0.9925²/2) Wh
//	heat 2.5²·0.03·1.85 + 0.03·(2.5² − 0.25²)·τ/2 Wh
func TestWorkedExample(t *testing.T) {
	c := charge.Course{At: straight(3.2, 1, 0.03), Volts: 4.2, Amperes: 2.5, Taper: 0.25, Capacity: 5}
	d := c.Run(0, 1)
	assert.InDelta(t, 0.9925, d.Charge, 1e-12)
	assert.InEpsilon(t, 0.15*math.Log(10), d.Held, 1e-9)
	assert.InEpsilon(t, 1.85+0.15*math.Log(10), d.Hours, 1e-9)
	heat := 2.5*2.5*0.03*1.85 + 0.03*(2.5*2.5-0.25*0.25)*0.15/2
	assert.InEpsilon(t, heat, d.HeatWh, 1e-9)
	assert.InEpsilon(t, 5*(3.2*0.9925+0.9925*0.9925/2)+heat, d.PackWh, 1e-9)

	part := c.Run(0.2, 0.7)
	assert.InEpsilon(t, 0.5*5/2.5, part.Hours, 1e-12, "constant current alone: charge over current")
	assert.Zero(t, part.Held)
	assert.Equal(t, 0.7, part.Charge)

	held := c.Run(0.95, 0.99) // from (4.2 − 4.15)/0.03 A to (4.2 − 4.19)/0.03 A
	assert.InEpsilon(t, 0.15*math.Log(5), held.Hours, 1e-9)
	assert.Equal(t, held.Hours, held.Held)
}

// A taper of a millionth stands for the steepest end: the closed form must hold there too.
func TestSteepEnd(t *testing.T) {
	for _, taper := range []float64{1e-1, 1e-2, 1e-3, 1e-4, 1e-5, 2.5e-6} {
		c := charge.Course{At: straight(3.2, 1, 0.03), Volts: 4.2, Amperes: 2.5, Taper: taper, Capacity: 5}
		assert.InEpsilon(t, 1.85+0.15*math.Log(2.5/taper), c.Run(0, 1).Hours, 2e-8, "taper %g A", taper)
	}
}

func TestWhereItStops(t *testing.T) {
	c := charge.Course{At: straight(3.2, 1, 0.03), Volts: 4.2, Amperes: 2.5, Taper: 4, Capacity: 5}
	assert.InDelta(t, 0.925, c.Run(0, 1).Charge, 1e-12, "a taper above the charger's current: where that current ends")
	assert.Zero(t, c.Run(0, 1).Held)

	c.Taper = 0.25
	for _, from := range []float64{0.9926, 0.999, 1} {
		assert.Equal(t, charge.Done{Charge: from}, c.Run(from, 1), "less than the taper at once")
	}
	assert.Equal(t, charge.Done{Charge: 0.6}, c.Run(0.6, 0.6), "nothing to do")
	assert.Equal(t, charge.Done{Charge: 0.6}, c.Run(0.6, 0.5), "nothing to do")
	c.Volts = 3
	assert.Equal(t, charge.Done{Charge: 0.3}, c.Run(0.3, 1), "the pack stands above the charger")
}

// Resistance that falls faster than voltage rises: the charger begins at held voltage and goes on at constant current. Worked:
//
//	E = 3 V, R = 2 − z Ω, 4 V: (V − E)/R = 1/(2 − z) A reaches 0.8 A at z = 0.75
//	held ∫(2 − z)dz from 0 to 0.75 = 1.21875 h, then 0.25/0.8 h
func TestCurrentThatRises(t *testing.T) {
	c := charge.Course{
		At:    func(z float64) (float64, float64) { return 3, 2 - z },
		Volts: 4, Amperes: 0.8, Taper: 0.1, Capacity: 1,
	}
	d := c.Run(0, 1)
	assert.InEpsilon(t, 1.21875, d.Held, 1e-9)
	assert.InEpsilon(t, 1.21875+0.25/0.8, d.Hours, 1e-9)

	c.Taper = 0.6 // the first current is 0.5 A
	assert.Equal(t, charge.Done{Charge: 0}, c.Run(0, 1), "the charger calls it full at once, though it is not")
}
