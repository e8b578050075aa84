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

// A descent so steep that the ride takes nothing out of the pack has no range. On paper a "clear" beside no figure would read as a promise.
func TestSheetGivesNoVerdictWithoutAFigure(t *testing.T) {
	p := opened(t, "v=1&p=4&grade=-19")
	p.SetUnits(US)
	p.PrintSheet()
	missing, verdicts := 0, 0
	for _, n := range all(show(t, p), carries("data-sheet")) {
		text := tidy(n)
		if strings.Contains(text, "–") {
			missing++
			assert.NotContains(t, text, "clear")
		} else if strings.Contains(text, "clear") {
			verdicts++
		}
	}
	assert.Positive(t, missing)
	assert.Positive(t, verdicts, "figures that are there keep theirs")
}
