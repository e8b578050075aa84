package ui

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where current binds, a descent is hardest at the end of the ride; the sheet tells of the least.
func TestSheetTellsTheLeastDescent(t *testing.T) {
	p := opened(t, "v=1&profile=hills&regen=4&p=3")
	require.Less(t, *p.Report.Regen.Least.MaxDescentPct, *p.Report.Regen.MaxDescentPct)
	assert.Contains(t, strings.Join((&BuildSheet{P: p}).checks(), "\n"),
		"No descent steeper than "+decimal(*p.Report.Regen.Least.MaxDescentPct, 1)+" % with the pack at 15 %")
}
