package core_test

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/drive"
	"headroom/core/link"
)

func tenths(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }

func numbersOf(t *testing.T, text, key string) (core.Why, map[string]float64) {
	t.Helper()
	r, err := core.Plan(link.Decode(text).Build)
	require.NoError(t, err)
	w, ok := r.Why(key)
	require.True(t, ok)
	at := map[string]float64{}
	for _, q := range w.Numbers {
		at[q.Symbol] = q.Value
	}
	return w, at
}

// Why one parallel group gives half the ceiling of two: its pack sags to the cut-off. Ohm's law by hand: V = E − R·I.
func TestTheSagToTheCutoffIsShown(t *testing.T) {
	const key = "speed.cruise_ceiling_kmh.low"
	w, one := numbersOf(t, "v=1&p=1", key)
	assert.Equal(t, "low-voltage cut-off", w.Bound)
	assert.Equal(t, 54.0, one["U_c"], "18 cells of 3 V")
	assert.InDelta(t, 54, one["V_p"], 1e-6, "pushed hard it sags to it")
	assert.InDelta(t, one["E"]-one["R"]*one["I_p"], 54, 1e-6)
	assert.Equal(t, one["R"]*one["I_p"], one["ΔV"])
	for _, part := range []string{"sags by " + tenths(one["E"]-54), "from " + tenths(one["E"]) + " V to the cut-off of 54.0 V", "Twice the cells in parallel sag about half as much."} {
		assert.Contains(t, w.Plainly, part)
	}
	_, two := numbersOf(t, "v=1&p=2", key)
	// Cells alone would halve it; leads and fuse stay as they are.
	assert.InDelta(t, 0.5, two["R"]/one["R"], 0.06, "about half, as the sentence says")
	assert.Greater(t, two["V_p"], 54.0)

	w, at := numbersOf(t, "v=1&p=1", "range.km")
	assert.InDelta(t, at["E"]-at["R"]*at["I_p"], at["V_p"], 1e-9)
	assert.Contains(t, w.Bound, "balance reserve")
	assert.Contains(t, w.Plainly, "the 25 mm of balance reserve that you asked for are left")
	assert.Contains(t, w.Plainly, "to the cut-off of 54.0 V")
}

// Every bound that a ceiling or a range can have is said plainly, and with the figure that is the bound.
func TestEveryBoundIsSaidPlainly(t *testing.T) {
	keys := []string{"speed.cruise_ceiling_kmh.low", "speed.cruise_ceiling_kmh.half", "speed.cruise_ceiling_kmh.full", "speed.level_top_kmh", "ride.shift_mm", "range.km"}
	seen := map[string]int{}
	for _, b := range odd(300) {
		r, err := core.Plan(b)
		require.NoError(t, err)
		for _, key := range keys {
			w, _ := r.Why(key)
			if w.Bound == "" || strings.Contains(w.Bound, "nothing:") {
				assert.Empty(t, w.Plainly)
				continue
			}
			require.NotEmpty(t, w.Plainly, "%s, %s: %s", key, w.Bound, textOf(&b))
			assert.True(t, strings.HasSuffix(w.Plainly, "."))
			assert.NotContains(t, w.Plainly, "  ")
			if key != "range.km" {
				seen[w.Bound]++
			}
		}
	}
	for _, by := range []drive.Bound{drive.ByPhase, drive.ByWinding, drive.ByBattery, drive.ByCutoff, drive.ByDuty, "duty to stay under"} {
		assert.NotZero(t, seen[string(by)], "%s never binds: the check is idle", by)
	}
	for text, says := range map[string]string{
		"v=1&batt=10": "the 10 A that the battery current limit allows",
		"v=1&p=2&cell=18650-energy&celllimit=on&batt=60&vcut=36": "A that the cells are rated for",
		"v=1&phase=30":                "the 30 A that the phase current limit allows",
		"v=1&p=3&coil=125":            "The winding is at 125 °C, so the controller leaves the motor only ",
		"v=1&rideduty=30":             "more than the duty of 30 % that you asked to stay under",
		"v=1&p=6&duty=60&rideduty=95": "60 % duty of ",
	} {
		w, _ := numbersOf(t, text, "speed.cruise_ceiling_kmh.low")
		assert.Contains(t, w.Plainly, says, text)
	}
	w, _ := numbersOf(t, "v=1&p=8&floor=40&cruise=12", "range.km")
	assert.Equal(t, "The ride ends at the charge that you asked to turn home at; it is not the board that ends it.", w.Plainly)
}
