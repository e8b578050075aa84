package charge_test

import (
	"testing"

	"headroom/core/limit"

	"github.com/stretchr/testify/assert"
)

// The pack of these is 18 cells of 4.2 V, 75.6 V, where nothing else is said.
func TestChargerVoltage(t *testing.T) {
	for _, c := range []struct {
		charger string
		status  limit.Status
		text    string
	}{
		{"75.6", limit.Clear, "The charger ends at the voltage of the full pack."},
		{"75.65", limit.Clear, "The charger ends at the voltage of the full pack."},
		{"75.66", limit.Over, "The charger ends 0.06 V above the full pack and would overcharge every cell."},
		{"75.55", limit.Clear, "The charger ends at the voltage of the full pack."},
		{"75.54", limit.Tight, "The charger ends 0.06 V below the full pack and fills it to 99 % at most."},
		{"71.4", limit.Over, "The charger ends 4.2 V below the full pack and fills it to 71 % at most; it is right for 17 cells of 4.2 V."},
		{"79.8", limit.Over, "The charger ends 4.2 V above the full pack and would overcharge every cell; it is right for 19 cells of 4.2 V."},
		{"78.3", limit.Over, "The charger ends 2.7 V above the full pack and would overcharge every cell; it is right for 18 cells of 4.35 V."},
		{"76.65", limit.Over, "The charger ends 1.05 V above the full pack and would overcharge every cell; it is right for 21 cells of 3.65 V."},
		{"77.5", limit.Over, "The charger ends 1.9 V above the full pack and would overcharge every cell."},
		{"40", limit.Over, "The charger ends 35.6 V below the full pack and fills it to 0 % at most."},
		// 121.8 V is 29 cells of 4.2 V and 28 of 4.35 V: the usual one is named.
		{"121.8", limit.Over, "The charger ends 46.2 V above the full pack and would overcharge every cell; it is right for 29 cells of 4.2 V."},
	} {
		r := plan(t, "chgv", c.charger)
		assert.Equal(t, c.status, r.Voltage.Status, c.charger)
		assert.Equal(t, c.text, r.Voltage.Text, c.charger)
		assert.Equal(t, c.status, r.Status, "%s: all else is clear", c.charger)
	}
}

func TestChargerOfTheOwnCellVoltage(t *testing.T) {
	assert.Contains(t, plan(t, "cellmax", "4.1", "chgv", "82").Voltage.Text, "right for 20 cells of 4.1 V")
	// 20 cells of 4.0505 V are 81.01 V and a tenth of a volt off; 20 of 4.05055 V are a millivolt further.
	assert.Contains(t, plan(t, "cellmax", "4.0505", "chgv", "80.91").Voltage.Text, "right for 20 cells of 4.051 V")
	assert.NotContains(t, plan(t, "cellmax", "4.05055", "chgv", "80.91").Voltage.Text, "right for")
	// The pack's own count is the right one where the cell is another.
	assert.Contains(t, plan(t, "cellmax", "4.1", "chgv", "75.6").Voltage.Text, "right for 18 cells of 4.2 V")
	assert.Contains(t, plan(t, "s", "16", "cell", "26650-iron", "chgv", "58.8").Voltage.Text, "right for 14 cells of 4.2 V")
}

// Series counts whose full voltage binary fractions do not hold exactly must be clear with the charger that belongs to them.
func TestEverySeriesCountHasItsCharger(t *testing.T) {
	for s, volts := range map[string]string{"9": "37.8", "13": "54.6", "17": "71.4", "20": "84", "24": "100.8", "27": "113.4", "30": "126", "36": "151.2"} {
		for _, c := range []string{volts, ""} {
			r := plan(t, "s", s, "chgv", c)
			assert.Equal(t, limit.Clear, r.Voltage.Status, s)
			assert.Zero(t, r.ChargerErrorV, s)
		}
	}
}

// Iron phosphate is full at 3.65 V; 4.25 V is the upper limit of IEC 62133-2 for oxides (from memory).
func TestCellVoltage(t *testing.T) {
	for _, c := range []struct {
		cell, volts string
		status      limit.Status
	}{
		{"26650-iron", "3.65", limit.Clear}, {"26650-iron", "3.651", limit.Tight}, {"26650-iron", "3.7", limit.Tight}, {"26650-iron", "3.701", limit.Over},
		{"21700-energy", "4.25", limit.Clear}, {"21700-energy", "4.251", limit.Tight}, {"21700-energy", "4.4", limit.Tight},
	} {
		r := plan(t, "cell", c.cell, "cellmax", c.volts)
		assert.Equal(t, c.status, r.Cell.Status, c.volts)
		assert.Equal(t, c.status, r.Status, "%s: all else is clear", c.volts)
	}
}

func TestTemperature(t *testing.T) {
	for celsius, status := range map[string]limit.Status{
		"-20": limit.Over, "-0.01": limit.Over, "0": limit.Tight, "9.99": limit.Tight, "10": limit.Clear, "25": limit.Clear,
		"45": limit.Clear, "45.1": limit.Tight, "60": limit.Tight,
	} {
		r := plan(t, "chgtemp", celsius)
		assert.Equal(t, status, r.Temperature.Status, celsius)
		assert.Equal(t, status, r.Status, "%s: all else is clear", celsius)
		assert.Contains(t, r.Temperature.Text, "Cells at "+celsius+" °C ")
	}
	assert.Contains(t, plan(t, "chgtemp", "-5").Temperature.Text, "lithium plates")
	assert.Contains(t, plan(t, "chgtemp", "5").Temperature.Text, "below 10 °C")
	assert.Contains(t, plan(t, "chgtemp", "50").Temperature.Text, "above the 45 °C")
}

// 2 parallel cells that may be charged with 5 A each, margin 20 %: up to 8 A clear, up to 10 A tight.
func TestCellCurrent(t *testing.T) {
	for amperes, status := range map[string]limit.Status{
		"8": limit.Clear, "8.01": limit.Tight, "10": limit.Tight, "10.1": limit.Over,
	} {
		r := plan(t, "p", "2", "cellchg", "5", "margin", "20", "chga", amperes)
		assert.Equal(t, status, r.Current.Status, amperes)
		assert.Equal(t, status, r.Status, "%s: all else is clear", amperes)
	}
	r := plan(t, "p", "2", "cellchg", "5", "margin", "20", "chga", "12", "z0", "95")
	assert.Equal(t, limit.Bar{
		Key: "charge.cell_a", Used: 6, Limit: 5, Want: 4, Status: limit.Over,
		Text: "The charger puts 6 A through each cell, and 5 A is the most that it may be charged with.",
	}, r.Current, "the charger's current counts, wherever this charge begins")
	assert.Less(t, r.StartA, 12.0)
}

func TestWorstStatus(t *testing.T) {
	assert.Equal(t, limit.Over, plan(t, "chga", "80", "chgtemp", "5", "chgv", "75").Status)
	assert.Equal(t, limit.Over, plan(t, "chgtemp", "5", "chgv", "80").Status)
	assert.Equal(t, limit.Over, plan(t, "chgtemp", "-5", "chgv", "75").Status)
	assert.Equal(t, limit.Tight, plan(t, "chgtemp", "5", "chgv", "75").Status)
}
