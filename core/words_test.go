package core

import (
	"testing"

	"headroom/core/build"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Two figures that differ never read the same, and two that are as good as equal are said to be.
func TestFiguresThatDifferReadApart(t *testing.T) {
	for _, c := range []struct {
		a, b   float64
		digits int
		x, y   string
		alike  bool
	}{
		{24, 25, 0, "24", "25", false}, {24.6, 25, 0, "24.6", "25.0", false}, {24.96, 25, 0, "24.96", "25.00", false}, {24.996, 25, 0, "24.996", "25.000", false},
		{24.9999, 25, 0, "25", "25", true}, {55, 55, 0, "55", "55", true}, {9.96, 10, 1, "9.96", "10.00", false}, {99.6, 100.4, 0, "99.6", "100.4", false},
	} {
		x, y, alike := apart(c.a, c.b, c.digits)
		assert.Equal(t, c.x, x)
		assert.Equal(t, c.y, y)
		assert.Equal(t, c.alike, alike)
	}
	assert.Equal(t, "only 24.6 mm of balance reserve are left at this speed; you asked for 25.0 mm.", reserveLeft(24.6, 25))
	assert.Equal(t, "hardly the 25 mm of balance reserve that you asked for are left at this speed.", reserveLeft(25-1e-6, 25))
	assert.Equal(t, "55 A peak, all that is allowed.", loadOf(55, 55, 0, "peak"))
	assert.Equal(t, "54.6 A peak of 55.0 A allowed.", loadOf(54.6, 55, 0, "peak"))
	assert.Equal(t, "7.04 A steady of 7.00 A allowed.", loadOf(7.04, 7, 1, "steady"))
}

func noted(t *testing.T, code string, pairs ...string) string {
	t.Helper()
	b := build.Default()
	for i := 0; i < len(pairs); i += 2 {
		require.Nil(t, build.FieldFor(pairs[i]).Set(&b, pairs[i+1]))
	}
	r, err := Plan(b)
	require.NoError(t, err)
	for _, n := range r.Notes {
		if n.Code == code {
			return n.Text
		}
	}
	return ""
}

// What helps against the back-EMF of a lifted wheel depends on what makes it.
func TestOverspeedSaysWhatHelps(t *testing.T) {
	none := noted(t, "overspeed", "s", "24")
	assert.NotContains(t, none, "weaken", "there is none to lower")
	assert.Contains(t, none, "A lifted wheel at its highest speed makes 95 V; the controller stands 100 V.")
	assert.Contains(t, none, "Take fewer cells in series or a controller of a higher voltage class.")
	enough := noted(t, "overspeed", "s", "18", "fw", "60")
	assert.Contains(t, enough, "at weakened free spin")
	assert.Regexp(t, `Lower the field-weakening current\.$`, enough)
	both := noted(t, "overspeed", "s", "24", "fw", "30")
	assert.Regexp(t, `Lower the field-weakening current, and as that is not enough take fewer cells`, both)
}

// A fuse of 100 A is not more than a lead of 108 A: what it lets pass for hours is.
func TestFuseAndLeadAreComparedByWhatTheyStandForHours(t *testing.T) {
	text := noted(t, "fuse-lead", "s", "24", "p", "3", "fuse", "100", "fusetype", "battery-450", "split", "12", "boxl", "230", "box2l", "230")
	assert.Contains(t, text, "A fuse of 100 A may let 113 A pass for hours, more than the 108 A that the weakest lead behind it carries")
}

// A connector that is used to the last ampere is not told as two figures that read the same.
func TestLoadsAtTheirLimit(t *testing.T) {
	assert.Contains(t, noted(t, "current-connector", "s", "24", "p", "3", "batt", "55", "conn", "pair-30", "ctrl", "c130", "phase", "140"), "55 A peak, all that is allowed.")
}
