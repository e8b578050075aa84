package ui

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
)

func TestCurvesAreTheReportsOwn(t *testing.T) {
	p := NewPlanner()
	c := Curves{P: p}
	rows := c.reserves().Rows
	require.Len(t, rows, 9)
	assert.Equal(t, decimal(p.Report.Envelope.Low[3].ShiftMm, 0), rows[1].Cells[2])
	assert.Equal(t, "over", rows[len(rows)-1].Status, "at free spin nothing is left")
	assert.Empty(t, rows[0].Status, "from standstill this board has enough")
	far := c.ranges().Rows
	require.Len(t, far, len(p.Report.Range.BySpeed))
	assert.Equal(t, decimal(*p.Report.Range.BySpeed[0].Km, 0), far[0].Cells[0])
	assert.Equal(t, "–", far[len(far)-1].Cells[1], "a speed that cannot be held uses nothing")
	assert.Len(t, all(show(t, p), class("curves")), len(curveCards))

	p.SetUnits(US)
	assert.Equal(t, "mph", c.reserves().Head[0])
	assert.Equal(t, decimal(p.Report.Envelope.Low[3].SpeedKmh/1.609344, 0), c.reserves().Rows[1].At)
}

func TestShiftBetweenPoints(t *testing.T) {
	points := []core.Point{{SpeedKmh: 0, ShiftMm: 80}, {SpeedKmh: 10, ShiftMm: 60}, {SpeedKmh: 20, ShiftMm: 20}}
	assert.InDelta(t, 70, shiftAt(points, 5), 1e-12)
	assert.InDelta(t, 40, shiftAt(points, 15), 1e-12)
	assert.InDelta(t, 20, shiftAt(points, 99), 1e-12)
	assert.Zero(t, shiftAt(nil, 5))
}
