package core_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/quote"
)

// The bill belongs to the build of the report, and takes its figures from it.
func TestBillIsOfThisReport(t *testing.T) {
	b := build.Default()
	require.Nil(t, build.FieldFor("s").Set(&b, "20"))
	require.Nil(t, build.FieldFor("cap").Set(&b, "4700"))
	r, err := core.Plan(b)
	require.NoError(t, err)
	found := 0
	for _, l := range r.Bill(quote.Allowances{}) {
		switch l.Key {
		case "cell":
			found++
			assert.Equal(t, "40", l.Measures[0].Quantity.String())
		case "precharge":
			found++
			// 1 s / (4.7 mF · ln 20) = 71.02 Ω, and the next lower value of series E12 is 68 Ω.
			assert.Equal(t, "Pre-charge resistor, 68 Ω", l.Name)
			assert.Contains(t, l.From, "16.6 J", "½ · 4.7 mF · (84 V)²")
		}
		assert.False(t, strings.Contains(l.Name, "0 Ω"))
	}
	assert.Equal(t, 2, found)
}
