package protect

import (
	"math"
	"testing"

	"headroom/core/build"

	"github.com/stretchr/testify/assert"
)

// Where two figures just meet, the demand is met; past it, it is not.
func TestDemandsWhereTheyMeet(t *testing.T) {
	class := build.FuseClass{VoltageDC: 58, BreakingA: 1000, Band: build.BladeBand}
	c := candidate{&class, 60}
	_, last := Opening(build.BladeBand, 60, 1000)
	holds := lasting * c.rating
	assert.InEpsilon(t, 67.8, holds, 1e-12, "1.13 × 60 A")
	meets := task{full: 58, short: 1000, most: 1000, load: Row{LoadA: 30, PeakA: 40}, keeps: 1, leads: holds, withstand: *last}
	_, fits := c.fails(&meets)
	assert.True(t, fits)
	for want, change := range map[demand]func(*task){
		voltage:  func(t *task) { t.full = math.Nextafter(58, 60) },
		breaking: func(t *task) { t.most = math.Nextafter(1000, 2000) },
		carrying: func(t *task) { t.load.PeakA = 61 },
		guarding: func(t *task) { t.leads = math.Nextafter(holds, 0) },
		opening:  func(t *task) { t.withstand = math.Nextafter(*last, 0) },
	} {
		task := meets
		change(&task)
		got, fits := c.fails(&task)
		assert.Equal(t, want, got)
		assert.False(t, fits)
	}
}

func TestResistors(t *testing.T) {
	assert.Equal(t, 47.0, below(47), "just met")
	assert.Equal(t, 39.0, below(math.Nextafter(47, 0)))
	assert.Equal(t, 0.01, below(0), "the least there is")
	assert.Equal(t, 0.82, below(0.99))
	assert.Equal(t, 1.0, below(1))
}

func TestObstacleOfVoltage(t *testing.T) {
	task := task{full: 2000}
	assert.Equal(t, "No class in the catalog reaches 2000.0 V d.c.", task.obstacle(voltage, standard[0], ""))
}

// Smallest rating first, then smallest voltage, then catalog order.
func TestStandardFusesAreSorted(t *testing.T) {
	assert.Equal(t, "cyl-150", standard[0].class.ID)
	assert.Equal(t, 1.0, standard[0].rating)
	for i, c := range standard[1:] {
		before := standard[i]
		assert.LessOrEqual(t, before.rating, c.rating)
		if before.rating == c.rating {
			assert.LessOrEqual(t, before.class.VoltageDC, c.class.VoltageDC)
		}
	}
}
