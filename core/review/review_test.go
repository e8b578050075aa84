package review_test

import (
	"encoding/json"
	"testing"

	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/review"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func with(t *testing.T, pairs ...string) build.Build {
	t.Helper()
	b := build.Default()
	for i := 0; i < len(pairs); i += 2 {
		require.Nil(t, build.FieldFor(pairs[i]).Set(&b, pairs[i+1]), "%s=%s", pairs[i], pairs[i+1])
	}
	return b
}

func check(b build.Build, f review.Facts) []review.Row {
	p := b.Parts()
	return review.Check(&b, &p, f)
}

// row returns one setting's row.
func row(t *testing.T, key string, b build.Build, f review.Facts) review.Row {
	t.Helper()
	for _, r := range check(b, f) {
		if r.Key == key {
			return r
		}
	}
	t.Fatalf("no row %q", key)
	return review.Row{}
}

func ptr(v float64) *float64 { return &v }

// facts are round figures, so that every edge below can be worked out in the head: 20s, full 84 V, 100 V controller.
func facts() review.Facts {
	return review.Facts{
		FullV: 84, FloorRestV: 68, FloorLoadedV: ptr(62),
		BatteryPathA: 70, BatteryPathPart: "cells", PhasePathA: 180, PhasePathPart: "motor winding", RegenCellsA: 13.5,
		NeedPhaseA: ptr(110), NeedBatteryA: ptr(45), RideBrakeA: ptr(18),
		MaxWeakenA: ptr(20), MaxWeakenLimitA: ptr(35), CharacteristicA: 150, CeilingDuty: ptr(0.74), BoxAirC: 30,
	}
}

var natural = []string{"phase", "batt", "regen", "fw", "fwduty", "duty", "warn", "vcut", "vend", "ovv", "derate", "coilmax", "ctrlt"}

func keys(rows []review.Row) (list []string) {
	for _, r := range rows {
		list = append(list, r.Key)
	}
	return list
}

func TestNaturalOrderAndWords(t *testing.T) {
	b := with(t, "s", "20")
	p := b.Parts()
	rows := review.Settings(&b, &p, facts())
	assert.Equal(t, natural, keys(rows))
	for _, r := range rows {
		field := build.FieldFor(r.Key)
		require.NotNil(t, field, r.Key)
		assert.Equal(t, field.Unit, r.Unit, r.Key)
		assert.Contains(t, []string{"A", "V", "%", "°C"}, r.Unit)
		assert.Regexp(t, `^[A-Z].*[^.]$`, r.Label, "a name")
		assert.Regexp(t, `^[A-Z].*\.$`, r.Does, "a sentence")
		assert.NotEqual(t, field.Label, r.Label, "what it does, beside what it is called")
		assert.Regexp(t, `^[A-Z].*\d.*\.$`, r.Why, "%s: a sentence with a number", r.Key)
	}
}

// A board that someone else built, worked out by hand: 20s2p of 4.2 / 3.0 / 2.5 V, 6.75 A charge; 20 % margin; 100 V controller.
var elsewhere = []string{"s", "20", "p", "2", "cell", "21700-balanced", "ctrl", "c100", "margin", "20", "rideduty", "80",
	"phase", "190", "batt", "60", "regen", "45", "fw", "25", "fwduty", "90", "duty", "93", "warn", "93",
	"vcut", "49", "vend", "49", "ovv", "98", "derate", "140", "coilmax", "150"}

func TestBoardFromElsewhere(t *testing.T) {
	rows := check(with(t, elsewhere...), facts())
	for i, want := range []struct {
		key    string
		status limit.Status
		by     float64
		should float64
	}{
		{"regen", limit.Over, 12.6, 32},  // cells 13.5 A, 40.5 A for seconds, 32.4 A with margin; 12.6/45 = 0.28 outside
		{"phase", limit.Over, 46, 140},   // winding 180 A, 144 A with margin; 46/190 = 0.24
		{"vcut", limit.Over, -11, 60},    // 20 × 2.5 V = 50 V is empty, 20 × 3.0 V = 60 V careful; 11/60 = 0.18
		{"warn", limit.Over, 13, 74},     // at the highest duty; 80 % to stay under, 74 % at the ceiling; 13/93 = 0.14
		{"vend", limit.Over, -1, 50},     // below empty too; 1/50 = 0.02
		{"fw", limit.Tight, 5, 20},       // 20 A with the voltage margin, 35 A without; 5/25 = 0.2
		{"derate", limit.Tight, 20, 120}, // 120 °C at most; 20/140 = 0.143
		{"coilmax", limit.Tight, 20, 130},
		{"ovv", limit.Tight, 98 - 1.03*84, 86.5}, // 3 % above 84 V; 11.48/98 = 0.12
		{"batt", limit.Tight, 4, 55},             // cells 70 A, 56 A with margin; 4/60 = 0.07
		{"fwduty", limit.Tight, 2, 88},           // 93 − 5; 2/90 = 0.02
		{"duty", limit.Clear, 0, 93},
		{"ctrlt", "", 0, 85},
	} {
		r := rows[i]
		require.Equal(t, want.key, r.Key, "place %d", i)
		assert.Equal(t, want.status, r.Status, want.key)
		assert.InDelta(t, want.by, r.By, 1e-9, want.key)
		assert.InDelta(t, want.should, r.Should, 1e-9, want.key)
	}
}

func TestWhyHoldsTheNumbers(t *testing.T) {
	b := with(t, elsewhere...)
	for key, want := range map[string]string{
		"phase": "More than the weakest part stands. The weakest part, motor winding, stands 180 A for seconds, 144 A with the margin asked for. The ride with its reserve needs 110 A.",
		"batt":  "More than the margin asked for leaves. The weakest part, cells, stands 70 A for seconds, 56 A with the margin asked for. The ride with its reserve needs 45 A.",
		"regen": "More than the cells take even for seconds: lithium can plate out, and that stays. The cells take 13.5 A lasting and three times that for seconds (common practice, no published source), 32.4 A with the margin asked for. With no limit, braking on this ride pushes back up to 18 A.",
		"fw":    "Past what the voltage margin, or the motor's own flux, leaves. With the voltage margin asked for, the back-EMF of a lifted wheel allows 20 A. From 150 A on, more of it gains nothing (λ/L_d).",
		"warn":  "It warns when nothing is left. The duty to stay under is 80 %, the highest is 93 %; 10 points between warning and the highest are wanted (common practice, no published source). At the cruise ceiling at low charge the duty is 74 %.",
		"vcut":  "The cells are emptied past what they stand. Cells in series times 3 V make 60 V, times the empty 2.5 V 50 V. At the charge to turn home the pack shows 68 V at rest and at its lowest under load 62 V.",
		"ovv":   "Braking may lift the cells far above their highest voltage, or too little is left for spikes and for the error of the measurement. The full pack is 84 V, the controller stands 100 V; 1 to 3 % above the one and 3 % below the other are wanted (common practice, no published source).",
		"ctrlt": "Not entered. A usual begin is 85 °C, the most 110 °C (common practice, no published source). The air in the box is at 30 °C.",
		"vend":  "The cells are emptied past what they stand. Current falls from 49 V; the cells are empty at 50 V. 2 % between fall and end are wanted (common practice, no published source). The two ends pass each other, so no setting is clear with this build.",
		"duty":  "Switches need time to rest, in which the currents are measured: 95 % leaves enough (common practice, no published source).",
	} {
		assert.Equal(t, want, row(t, key, b, facts()).Why, key)
	}
}

// Of rows that are equally far outside, and of all that are clear, the natural order stays; what was not entered stands last.
func TestEqualDangerKeepsTheNaturalOrder(t *testing.T) {
	f := facts()
	f.PhasePathA, f.BatteryPathA, f.NeedPhaseA, f.NeedBatteryA = 150, 150, nil, nil
	b := with(t, "s", "20", "phase", "130", "batt", "130", "vcut", "60")
	assert.Equal(t, []string{"phase", "batt", "regen", "fw", "fwduty", "duty", "vcut", "derate", "coilmax", "warn", "vend", "ovv", "ctrlt"}, keys(check(b, f)),
		"phase and batt 10 A above 120 A")
	b = with(t, "s", "20", "phase", "130", "batt", "131", "vcut", "60")
	assert.Equal(t, []string{"batt", "phase"}, keys(check(b, f))[:2])
}

// The least over stands before the furthest tight.
func TestOverBeforeTight(t *testing.T) {
	f := facts()
	b := with(t, "s", "20", "phase", "10", "batt", "70.1", "fw", "0")
	rows := check(b, f)
	assert.Equal(t, []string{"batt", "phase"}, keys(rows)[:2])
	assert.Equal(t, limit.Over, rows[0].Status)
	assert.Equal(t, limit.Tight, rows[1].Status)
	assert.InDelta(t, -100, rows[1].By, 1e-9)
}

func TestKeysOfTheReport(t *testing.T) {
	text, err := json.Marshal(check(with(t, "s", "20"), facts()))
	require.NoError(t, err)
	var rows []map[string]any
	require.NoError(t, json.Unmarshal(text, &rows))
	for _, r := range rows {
		assert.Len(t, r, 13)
		for _, key := range []string{"key", "label", "does", "unit", "has", "should", "low", "high", "limit_low", "limit_high", "status", "by", "why"} {
			assert.Contains(t, r, key)
		}
	}
	last := rows[len(rows)-1]
	assert.Nil(t, last["has"], "not entered")
	assert.Equal(t, "", last["status"])
}
