package charge

import (
	"testing"

	"headroom/core/limit"

	"github.com/stretchr/testify/assert"
)

// A charger that is right for no pack and fills half of this one is tight, one that fills less is over.
func TestChargerThatFillsHalf(t *testing.T) {
	r := Report{ChargerErrorV: -7.5, ChargerV: 68.1, FullV: 75.6, FillPct: 50}
	assert.Equal(t, limit.Tight, r.judgeVoltage(18, 4.2).Status)
	r.FillPct = 49.99
	assert.Equal(t, limit.Over, r.judgeVoltage(18, 4.2).Status)
}
