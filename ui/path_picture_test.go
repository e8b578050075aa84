package ui

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// In a box of 142 there is room for a name and a figure of four signs, such as −99 %, as wide as letters of 11 px are at most.
func TestNamesOfThePathKeepOffTheirFigures(t *testing.T) {
	p := opened(t, "v=1&s=24&p=3&split=12&bms=path")
	p.SetOpen("out-path", true)
	picture := find(show(t, p), class("picture"))
	require.NotNil(t, picture)
	seen := map[string]bool{}
	for _, n := range all(picture, class("node")) {
		texts := all(n, element("text"))
		require.Len(t, texts, 2)
		name, figure := text(texts[0]), text(texts[1])
		seen[name] = true
		assert.LessOrEqual(t, wide(name)*6/letter+4+wide("−99 %"), 142.0, "%s %s", name, figure)
	}
	assert.True(t, seen["Box leads"])
	assert.Contains(t, value(picture, "aria-label"), "leads between boxes", "who hears it hears all of it")
}
