package rules_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"headroom/core/build"
	"headroom/core/internal/randombuild"
	"headroom/core/internal/reference"
	"headroom/core/rules"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func facts(t *testing.T, b build.Build, f rules.Figures) map[string]rules.Fact {
	t.Helper()
	p := b.Parts()
	out := map[string]rules.Fact{}
	for _, fact := range rules.Facts(&b, &p, f) {
		require.NotContains(t, out, fact.Code)
		out[fact.Code] = fact
	}
	return out
}

func plain(t *testing.T, f rules.Figures) map[string]rules.Fact { return facts(t, build.Default(), f) }

// Every number is the one in the table of published limits.
func TestLimitsAreThePublishedOnes(t *testing.T) {
	table := map[string]reference.Row{}
	for _, row := range reference.Table(t, "../../testdata/limits.csv") {
		table[row.Text("quantity")] = row
	}
	list := plain(t, rules.Figures{})
	limits := 0
	for code, quantity := range map[string]string{
		"cabin-free": "air_cabin_battery_no_approval", "cabin-approval": "air_cabin_battery_with_approval",
		"small-cell": "small_cell_exception", "small-battery": "small_battery_exception",
		"un3480": "UN3480_air_soc_max", "un3481": "UN3481_packed_with_air_soc_max_over_2.7Wh_from_2026", "un3556": "UN3556_air_soc_max_over_100Wh_from_2026",
		"un38.3": "UN38.3_T5_case_temperature_max", "en17128-voltage": "PLEV_battery_max_dc", "en17128-speed": "PLEV_max_design_speed",
		"ekfv-speed": "eKFV_speed_max", "ekfv-mass": "eKFV_mass_max", "ekfv-bar": "eKFV_power_self_balancing",
	} {
		row, ok := table[quantity]
		require.True(t, ok, quantity)
		fact := list[code]
		require.NotNil(t, fact.Limit, code)
		assert.InDelta(t, row.Number("value"), *fact.Limit, 0, code)
		assert.Equal(t, row.Text("unit"), strings.Replace(strings.Replace(fact.Unit, "%", "percent", 1), "°C", "degC", 1), code)
		assert.Contains(t, fact.Text, row.Text("value"), "%s: the text has the number too", code)
		limits++
	}
	for code, fact := range list {
		if fact.Limit == nil {
			assert.Contains(t, []string{"ul2272", "ul2271", "iec62133", "local"}, code, "a fact without a number")
			limits++
		}
	}
	assert.Len(t, list, limits, "no number that the table does not hold")
	for code, quantities := range map[string][]string{
		"cabin-approval": {"air_cabin_spares_100_to_160"},
		"un38.3":         {"UN38.3_T1_pressure_max", "UN38.3_T1_duration_min", "UN38.3_T5_external_resistance_max"},
		"ekfv-speed":     {"eKFV_speed_min"},
	} {
		for _, quantity := range quantities {
			assert.Contains(t, list[code].Text, table[quantity].Text("value")+" ", quantity)
		}
	}
}

// At the limit is inside, past it is beyond.
func TestBothSidesOfEachLimit(t *testing.T) {
	for code, c := range map[string]struct {
		limit float64
		at    func(v float64) rules.Figures
	}{
		"cabin-free":      {100, func(v float64) rules.Figures { return rules.Figures{EnergyWh: v} }},
		"cabin-approval":  {160, func(v float64) rules.Figures { return rules.Figures{EnergyWh: v} }},
		"small-cell":      {20, func(v float64) rules.Figures { return rules.Figures{CellWh: v} }},
		"small-battery":   {100, func(v float64) rules.Figures { return rules.Figures{EnergyWh: v} }},
		"en17128-voltage": {100, func(v float64) rules.Figures { return rules.Figures{FullV: v} }},
		"en17128-speed":   {25, func(v float64) rules.Figures { return rules.Figures{CruiseKmh: v} }},
		"ekfv-speed":      {20, func(v float64) rules.Figures { return rules.Figures{CruiseKmh: v} }},
		"ekfv-mass":       {55, func(v float64) rules.Figures { return rules.Figures{BoardKg: v} }},
	} {
		for _, v := range []float64{0, c.limit - 0.01, c.limit, math.Nextafter(c.limit, 1e9)} {
			fact := plain(t, c.at(v))[code]
			assert.Equal(t, rules.Inside, fact.Status, "%s at %v", code, v)
			require.NotNil(t, fact.Value)
			assert.InDelta(t, v, *fact.Value, 0)
		}
		for _, v := range []float64{c.limit + 0.00001, c.limit + 1, 10 * c.limit} {
			assert.Equal(t, rules.Beyond, plain(t, c.at(v))[code].Status, "%s at %v", code, v)
		}
	}
}

// Arithmetic that anyone can redo: 3.6 V × 3.5 Ah = 12.6 Wh, so 7 cells are 88.2 Wh and 8 are 100.8 Wh; 3.6 V × 5.0 Ah = 18 Wh;
// 3.7 V × 5.5 Ah = 20.35 Wh. 23 cells of 4.2 V are 96.6 V full, 24 are 100.8 V; of 3.65 V, 27 are 98.55 V and 28 are 102.2 V.
func TestWorkedFigures(t *testing.T) {
	for cells, want := range map[float64]string{7: rules.Inside, 8: rules.Beyond} {
		list := plain(t, rules.Figures{EnergyWh: cells * 3.6 * 3.5, CellWh: 3.6 * 3.5})
		assert.Equal(t, want, list["cabin-free"].Status)
		assert.Equal(t, want, list["small-battery"].Status)
		assert.Equal(t, rules.Inside, list["small-cell"].Status)
		assert.Equal(t, rules.Inside, list["cabin-approval"].Status)
	}
	assert.Equal(t, rules.Inside, plain(t, rules.Figures{CellWh: 3.6 * 5.0})["small-cell"].Status)
	assert.Equal(t, rules.Beyond, plain(t, rules.Figures{CellWh: 3.7 * 5.5})["small-cell"].Status)
	for cells, want := range map[float64]string{23: rules.Inside, 24: rules.Beyond} {
		assert.Equal(t, want, plain(t, rules.Figures{FullV: cells * 4.2})["en17128-voltage"].Status)
	}
	for cells, want := range map[float64]string{27: rules.Inside, 28: rules.Beyond} {
		assert.Equal(t, want, plain(t, rules.Figures{FullV: cells * 3.65})["en17128-voltage"].Status)
	}
	// The default board, 18s2p of 3.6 V × 4.5 Ah: 16.2 Wh a cell, 583.2 Wh, 75.6 V full.
	list := plain(t, rules.Figures{EnergyWh: 583.2, CellWh: 16.2, FullV: 75.6, CruiseKmh: 24, BoardKg: 17.04})
	assert.Contains(t, list["cabin-free"].Text, "This pack is rated 583.2 Wh.")
	assert.Contains(t, list["cabin-approval"].Text, "This pack is rated 583.2 Wh.")
	assert.Contains(t, list["small-cell"].Text, "This cell is rated 16.2 Wh.")
	assert.Contains(t, list["small-battery"].Text, "This pack is rated 583.2 Wh.")
	assert.Contains(t, list["en17128-voltage"].Text, "the full pack is compared: 18 cells of 4.2 V in series, 75.6 V.")
	assert.Contains(t, list["en17128-speed"].Text, "the riding speed is compared: 24 km/h.")
	assert.Contains(t, list["ekfv-speed"].Text, "The riding speed here is 24 km/h.")
	assert.Contains(t, list["ekfv-mass"].Text, "This board is 17 kg.")
}

// Facts only: each with its source and year, in order of topic, and none that tells a person what to do.
func TestEveryFactIsAFact(t *testing.T) {
	b := build.Default()
	p := b.Parts()
	topics := []string{rules.Air, rules.Shipping, rules.Product, rules.Law}
	at := 0
	for _, f := range rules.Facts(&b, &p, rules.Figures{}) {
		for f.Topic != topics[at] {
			at++
			require.Less(t, at, len(topics), "%s stands out of order", f.Code)
		}
		assert.NotEmpty(t, f.Source, f.Code)
		assert.True(t, f.Year >= 2014 && f.Year <= 2026, "%s: %d", f.Code, f.Year)
		assert.Regexp(t, `^[A-Z].*\.$`, f.Text)
		for _, advice := range []string{"you", "your", "should", "please", "recommend ", "do not ", "never", "always"} {
			if advice == "do not " && f.Code == "ekfv-bar" {
				continue // boards do not have a bar: a fact
			}
			assert.NotContains(t, strings.ToLower(" "+f.Text), " "+advice, f.Code)
		}
		assert.Equal(t, f.Value == nil, f.Status == "", f.Code)
		assert.Equal(t, f.Limit == nil, f.Unit == "", f.Code)
	}
	assert.Equal(t, len(topics)-1, at, "every topic has facts")
}

func TestFinite(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := randombuild.Any().Draw(rt, "build")
		p := b.Parts()
		cell := p.Cell.CapacityAh * p.Cell.NominalV
		list := rules.Facts(&b, &p, rules.Figures{EnergyWh: cell * float64(b.Series*b.Parallel), CellWh: cell,
			FullV: float64(b.Series) * p.Cell.FullV, CruiseKmh: b.Cruise * 3.6, BoardKg: p.BoardMass})
		text, err := json.Marshal(list)
		require.NoError(rt, err, "JSON refuses NaN and infinity")
		assert.NotContains(rt, string(text), "NaN")
		for _, key := range []string{"code", "topic", "text", "source", "year", "status", "value", "limit", "unit"} {
			assert.Equal(rt, len(list), strings.Count(string(text), `"`+key+`":`), key)
		}
	})
}
