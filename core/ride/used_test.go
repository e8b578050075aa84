package ride_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/build"
	"headroom/core/ride"
)

// TestUsedIsTheRangeBackwards rides what Range says can be ridden: charge and energy must come out again. Range walks equal slices of charge
// and Used equal slices of distance.
func TestUsedIsTheRangeBackwards(t *testing.T) {
	for _, profile := range []string{"steady", "hills", "stopgo"} {
		b := build.Default()
		require.Nil(t, build.FieldFor("profile").Set(&b, profile))
		p := b.Parts()
		bd := ride.NewBoard(&b, &p)
		round := ride.NewProfile(&b, &bd)
		d := bd.Range(&round, 0.9, 0.3)
		coulombs, joules, ok := bd.Used(&round, 0.9, d.Meters)
		require.True(t, ok)
		assert.InEpsilon(t, bd.Pack.CapacityAh*3600*(0.9-d.End), coulombs, 1e-3, profile)
		assert.InEpsilon(t, d.EnergyWh*3600, joules, 1e-3, profile)
		part, _, _ := bd.Used(&round, 0.9, d.Meters/2)
		assert.Less(t, part, coulombs/2, "a fuller pack needs less current")
	}
}

// TestUsedSaysWhatCannotBeRidden: a slope that asks for more than the pack's E²/4R.
func TestUsedSaysWhatCannotBeRidden(t *testing.T) {
	b := build.Default()
	require.Nil(t, build.FieldFor("cellr").Set(&b, "300"))
	p := b.Parts()
	bd := ride.NewBoard(&b, &p)
	steep := ride.Steady(&bd, 12, 0.3)
	_, _, ok := bd.Used(&steep, 0.9, 1000)
	assert.False(t, ok)
}
