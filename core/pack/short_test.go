package pack_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"headroom/core/build"
	"headroom/core/pack"
)

// E/R of new cells at 45 °C: the same build planned so, whatever frost and age the ride is planned for.
func TestMostShortCircuitIsThatOfNewWarmCells(t *testing.T) {
	of := func(celsius, growth float64) pack.Pack {
		b := build.Default()
		b.LeadLength = 0 // whose copper goes with the air too
		b.AmbientC, b.ResistanceGrowth = celsius, growth
		p := b.Parts()
		return pack.New(&b, &p)
	}
	warm := of(45, 0)
	for _, k := range []pack.Pack{of(-20, 1), of(20, 0), of(45, 0.5), warm} {
		assert.InEpsilon(t, warm.ShortCircuit(), k.MostShortCircuit(), 1e-12)
		assert.LessOrEqual(t, k.ShortCircuit(), k.MostShortCircuit())
	}
	hot := of(50, 0)
	assert.Greater(t, hot.MostShortCircuit(), warm.MostShortCircuit(), "the air may be warmer still")
	assert.InEpsilon(t, hot.ShortCircuit(), hot.MostShortCircuit(), 1e-12)
}
