package quote_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/money"
	"headroom/core/price"
	"headroom/core/quote"
)

// Main fuse and charge fuse of one class are two things, for they carry different currents. What was for the class is for both still.
func TestFusesOfOneClassAreToldApart(t *testing.T) {
	lines := bill(board(t, "fusetype", "cyl-150", "chgtype", "cyl-150", "chgfuse", "12.5"), quote.Allowances{})
	s := quote.Settings{Currency: "EUR"}
	var l price.List
	taken := func() (main, charge string) {
		q, err := quote.Make(lines, l, &s)
		require.NoError(t, err)
		of := map[string]string{}
		for _, line := range q.Lines {
			if line.Item != nil {
				of[line.Key] = line.Item.ID
			}
		}
		return of["fuse.battery"], of["fuse.charge"]
	}
	check := func(wantMain, wantCharge, why string) {
		main, charge := taken()
		assert.Equal(t, [2]string{wantMain, wantCharge}, [2]string{main, charge}, why)
	}
	add := func(id, what string) {
		l = append(l, price.Item{ID: id, Name: id, For: what, Price: money.One, Unit: "piece"})
	}
	add("any", "fuse")
	check("any", "any", "of the kind")
	add("class", "fuse:cyl-150")
	check("class", "class", "of the class")
	add("80", "fuse:cyl-150-80")
	check("80", "class", "of the rating")
	add("12.5", "fuse:cyl-150-12.5")
	check("80", "12.5", "each its own")

	s.Picks = map[string]string{"fuse:cyl-150": "any"}
	check("any", "any", "a pick from before goes on")
	s.Pick("fuse:cyl-150-80", "class")
	check("class", "any", "a pick for one is not for the other")
	s.Pick("fuse:cyl-150-80", "")
	check("80", "any", "and can be taken back")
	again, ok := quote.ReadSettings(s.Text())
	require.True(t, ok)
	s = again
	check("80", "any", "and is kept so")
}
