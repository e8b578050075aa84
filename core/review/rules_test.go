package review_test

import (
	"strings"
	"testing"

	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/review"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	clear = limit.Clear
	tight = limit.Tight
	over  = limit.Over
)

// Every rule on its edges and at both sides of each. 20s2p, 84 V full, 100 V controller, 20 % margin, highest duty 95 %, 80 % to stay under.
func TestEveryEdge(t *testing.T) {
	for _, c := range []struct {
		key, has string
		status   limit.Status
		by       float64
		should   float64
		also     []string
	}{
		// Need 110 A; 144 A is 80 % of the winding's 180 A.
		{"phase", "109.9", tight, -0.1, 110, nil}, {"phase", "110", clear, 0, 110, nil}, {"phase", "121.3", clear, 0, 121.3, nil},
		{"phase", "144", clear, 0, 144, nil}, {"phase", "144.1", tight, 0.1, 140, nil}, {"phase", "180", tight, 36, 140, nil},
		{"phase", "180.1", over, 36.1, 140, nil}, {"phase", "10", tight, -100, 110, nil},
		// Need 45 A; 56 A is 80 % of the cells' 70 A.
		{"batt", "44.9", tight, -0.1, 45, nil}, {"batt", "45", clear, 0, 45, nil}, {"batt", "56", clear, 0, 56, nil},
		{"batt", "56.1", tight, 0.1, 55, nil}, {"batt", "70", tight, 14, 55, nil}, {"batt", "70.1", over, 14.1, 55, nil},
		// Braking pushes back 18 A; the cells take 40.5 A for seconds, 32.4 A with margin.
		{"regen", "0", tight, -18, 18, nil}, {"regen", "17.9", tight, -0.1, 18, nil}, {"regen", "18", clear, 0, 18, nil}, {"regen", "32.4", clear, 0, 32.4, nil},
		{"regen", "32.5", tight, 0.1, 32, nil}, {"regen", "40.5", tight, 8.1, 32, nil}, {"regen", "40.6", over, 8.2, 32, nil},
		// 20 A with the voltage margin, 35 A without.
		{"fw", "0", clear, 0, 0, nil}, {"fw", "20", clear, 0, 20, nil}, {"fw", "20.1", tight, 0.1, 20, nil}, {"fw", "35", tight, 15, 20, nil}, {"fw", "35.1", over, 15.1, 20, nil},
		// Five points below 95 %, if there is any weakening.
		{"fwduty", "90", clear, 0, 90, []string{"fw", "1"}}, {"fwduty", "90.1", tight, 0.1, 90, []string{"fw", "1"}},
		{"fwduty", "99", tight, 9, 90, []string{"fw", "1"}}, {"fwduty", "99", clear, 0, 99, nil}, {"fwduty", "30", clear, 0, 30, []string{"fw", "1"}},
		{"fwduty", "75.1", tight, 0.1, 75, []string{"fw", "1", "duty", "80"}},
		{"duty", "60", clear, 0, 60, nil}, {"duty", "95", clear, 0, 95, nil}, {"duty", "95.1", tight, 0.1, 95, nil}, {"duty", "100", tight, 5, 95, nil},
		// 80 % to stay under; 74 % at the cruise ceiling.
		{"warn", "80", clear, 0, 74, nil}, {"warn", "80.1", tight, 0.1, 74, nil}, {"warn", "94.9", tight, 14.9, 74, nil}, {"warn", "95", over, 15, 74, nil}, {"warn", "30", clear, 0, 30, nil},
		{"warn", "75", clear, 0, 74, []string{"duty", "85"}}, {"warn", "75.1", tight, 0.1, 74, []string{"duty", "85"}}, {"warn", "100", over, 10, 74, []string{"duty", "100", "rideduty", "99"}},
		{"warn", "99.9", tight, 9.9, 74, []string{"duty", "100", "rideduty", "99"}},
		// 20 × 2.5 V empty, 20 × 3.0 V careful, 62 V under load when turning home, 84 V full.
		{"vcut", "49.9", over, -10.1, 60, nil}, {"vcut", "50", tight, -10, 60, nil}, {"vcut", "59.9", tight, -0.1, 60, nil}, {"vcut", "60", clear, 0, 60, nil},
		{"vcut", "62", clear, 0, 62, nil}, {"vcut", "62.1", tight, 0.1, 62, nil}, {"vcut", "84", tight, 22, 62, nil}, {"vcut", "84.1", over, 22.1, 62, nil},
		// Empty 50 V; falls from 60 V, 2 % below is 58.8 V.
		{"vend", "49.9", over, -0.1, 50, nil}, {"vend", "50", clear, 0, 50, nil}, {"vend", "58.8", clear, 0, 58.8, nil}, {"vend", "58.9", tight, 0.1, 58.5, nil},
		{"vend", "59.9", tight, 1.1, 58.5, nil}, {"vend", "60", over, 1.2, 58.5, nil}, {"vend", "60.1", over, 1.3, 58.5, nil},
		{"vend", "60", clear, 0, 60, []string{"vcut", "62"}},
		// Full 84 V, 84.84 V with room to brake; 97 V of 100 V.
		{"ovv", "83.9", over, -0.94, 85, nil}, {"ovv", "84", tight, -0.84, 85, nil}, {"ovv", "84.83", tight, -0.01, 85, nil}, {"ovv", "84.84", clear, 0, 84.84, nil}, {"ovv", "84.85", clear, 0, 84.85, nil},
		{"ovv", "86.52", clear, 0, 86.52, nil}, {"ovv", "86.53", tight, 0.01, 86.5, nil}, {"ovv", "100", tight, 13.48, 86.5, nil}, {"ovv", "100.1", over, 13.58, 86.5, nil},
		// Ends at 130 °C: falls 10 K below. Ends at 150 °C: falls from 120 °C.
		{"derate", "120", clear, 0, 120, nil}, {"derate", "120.1", tight, 0.1, 120, nil}, {"derate", "129.9", tight, 9.9, 120, nil}, {"derate", "130", over, 10, 120, nil}, {"derate", "130.1", over, 10.1, 120, nil},
		{"derate", "110", clear, 0, 110, []string{"coilmax", "120"}}, {"derate", "110.1", tight, 0.1, 110, []string{"coilmax", "120"}},
		{"derate", "120", clear, 0, 120, []string{"coilmax", "150"}}, {"derate", "121", tight, 1, 120, []string{"coilmax", "150"}}, {"derate", "40", clear, 0, 40, nil},
		// IEC 60085: B 130 °C, H 180 °C.
		{"coilmax", "130", clear, 0, 130, nil}, {"coilmax", "130.1", tight, 0.1, 130, nil}, {"coilmax", "155", tight, 25, 130, nil}, {"coilmax", "180", tight, 50, 130, nil}, {"coilmax", "180.1", over, 50.1, 130, nil},
		{"ctrlt", "85", clear, 0, 85, nil}, {"ctrlt", "85.1", tight, 0.1, 85, nil}, {"ctrlt", "110", tight, 25, 85, nil}, {"ctrlt", "110.1", over, 25.1, 85, nil}, {"ctrlt", "40", clear, 0, 40, nil},
	} {
		r := row(t, c.key, with(t, append([]string{"s", "20", "p", "2", c.key, c.has}, c.also...)...), facts())
		name := c.key + "=" + c.has
		require.NotNil(t, r.Has, name)
		assert.Equal(t, c.status, r.Status, name)
		assert.InDelta(t, c.by, r.By, 1e-9, name)
		assert.InDelta(t, c.should, r.Should, 1e-9, name)
		assert.Regexp(t, `^[A-Z]`, r.Why, "%s: what is wrong is said", name)
	}
}

func TestBandsOfTheRow(t *testing.T) {
	b := with(t, "s", "20", "p", "2", "fw", "1")
	for key, want := range map[string][4]*float64{
		"phase": {nil, ptr(110), ptr(144), ptr(180)}, "batt": {nil, ptr(45), ptr(56), ptr(70)}, "regen": {nil, ptr(18), ptr(32.4), ptr(40.5)},
		"fw": {nil, nil, ptr(20), ptr(35)}, "fwduty": {nil, nil, ptr(90), nil}, "duty": {nil, nil, ptr(95), ptr(100)}, "warn": {nil, nil, ptr(80), ptr(95)},
		"vcut": {ptr(50), ptr(60), ptr(62), ptr(84)}, "vend": {ptr(50), ptr(50), ptr(58.8), ptr(60)}, "ovv": {ptr(84), ptr(84.84), ptr(86.52), ptr(100)},
		"derate": {nil, nil, ptr(120), ptr(130)}, "coilmax": {nil, nil, ptr(130), ptr(180)}, "ctrlt": {ptr(30), ptr(31), ptr(85), ptr(110)},
	} {
		r := row(t, key, b, facts())
		assert.Equal(t, want, [4]*float64{r.LimitLow, r.Low, r.High, r.LimitHigh}, key)
	}
}

// What was not entered is told what it should be, and judged in no way.
func TestNotEntered(t *testing.T) {
	for key, should := range map[string]float64{"warn": 74, "vcut": 60, "vend": 50, "ovv": 86.5, "ctrlt": 85} {
		r := row(t, key, with(t, "s", "20"), facts())
		assert.Nil(t, r.Has, key)
		assert.Empty(t, r.Status, key)
		assert.Zero(t, r.By, key)
		assert.InDelta(t, should, r.Should, 1e-9, key)
		assert.Contains(t, r.Why, "Not entered.", key)
	}
}

// What the physics cannot tell leaves the rest of each rule standing.
func TestFactsThatDoNotExist(t *testing.T) {
	f := review.Facts{FullV: 84, FloorRestV: 68, BatteryPathA: 70, PhasePathA: 180, RegenCellsA: 13.5, CharacteristicA: 1e9}
	b := with(t, "s", "20", "p", "2", "phase", "10", "batt", "5", "fw", "300", "warn", "80", "vcut", "68")
	for _, key := range []string{"phase", "batt", "fw", "warn", "vcut"} {
		assert.Equal(t, clear, row(t, key, b, f).Status, key)
	}
	assert.Nil(t, row(t, "fw", b, f).LimitHigh)
	assert.InDelta(t, 300, *row(t, "fw", b, f).High, 0, "all that the setting takes")
	assert.InDelta(t, 80, row(t, "warn", b, f).Should, 1e-9)
	assert.NotContains(t, row(t, "warn", b, f).Why, "ceiling")
	assert.Equal(t, tight, row(t, "vcut", with(t, "s", "20", "vcut", "68.1"), f).Status, "held against the pack at rest")
	assert.Contains(t, row(t, "vcut", b, f).Why, "under load it cannot be told.")
	assert.Contains(t, row(t, "phase", b, f).Why, "needs cannot be told.")
	// One ampere counts as braking at all.
	assert.Equal(t, tight, row(t, "regen", with(t, "regen", "0.9"), f).Status)
	assert.Equal(t, clear, row(t, "regen", with(t, "regen", "1"), f).Status)
	f.RideBrakeA = ptr(0)
	assert.Equal(t, tight, row(t, "regen", with(t, "regen", "0"), f).Status, "nothing brakes, whatever the ride")
}

// Braking that lasts is held against the cells' lasting charge rating, as a charger is.
func TestBrakingThatLasts(t *testing.T) {
	f := facts()
	f.RegenCellsA, f.RideBrakeA = 10, ptr(9)
	b := with(t, "regen", "12", "margin", "20")
	for lasting, want := range map[float64]limit.Status{7.9: clear, 8: clear, 8.1: tight, 9.9: tight, 10: tight, 10.1: over} {
		f.RideBrakesA = ptr(lasting)
		r := row(t, "regen", b, f)
		assert.Equal(t, want, r.Status, lasting)
		assert.Equal(t, want == over, strings.Contains(r.Why, "lasts"), lasting)
	}
	f.RideBrakesA = ptr(9)
	assert.InDelta(t, 8, row(t, "regen", b, f).Should, 1e-9, "what the cells take for long, with the margin")
}

func TestWeakening(t *testing.T) {
	f := facts()
	at := func(fw string) review.Row { return row(t, "fw", with(t, "s", "20", "fw", fw), f) }
	f.MaxWeakenA, f.MaxWeakenLimitA, f.CharacteristicA = ptr(100), ptr(200), 60
	assert.Equal(t, clear, at("60").Status)
	assert.Equal(t, tight, at("61").Status, "past λ/L_d")
	assert.Equal(t, tight, at("200").Status)
	assert.Equal(t, over, at("201").Status)
	// The back-EMF passes the limit as the board is set: no missing figure may mean “any current”.
	f.BackEMFOver = true
	assert.Equal(t, tight, at("200").Status, "the figures stand where they exist")
	f.MaxWeakenLimitA = nil
	assert.Equal(t, clear, at("60").Status)
	assert.Equal(t, tight, at("100").Status)
	assert.Equal(t, over, at("101").Status)
	f.MaxWeakenA = nil
	assert.Equal(t, clear, at("0").Status, "none is none of the danger")
	assert.Equal(t, over, at("1").Status)
	assert.InDelta(t, 0, at("1").Should, 0)

	// A value below zero, which no input allows, is no weakening either.
	b := with(t, "s", "20", "fwduty", "99")
	b.WeakenA = -1
	assert.Equal(t, clear, row(t, "fwduty", b, facts()).Status)
}

// Where the two ends of a band pass each other nothing is clear; the safer end is recommended.
func TestEmptyBands(t *testing.T) {
	const passing = "pass each other"
	f := facts()
	f.NeedPhaseA = ptr(160) // above the 144 A that the parts leave
	for has, want := range map[string]float64{"120": 140, "150": 140, "170": 140} {
		r := row(t, "phase", with(t, "s", "20", "phase", has), f)
		assert.Equal(t, tight, r.Status, has)
		assert.InDelta(t, want, r.Should, 1e-9, "%s: never above what the parts leave", has)
		assert.Contains(t, r.Why, passing)
	}
	assert.InDelta(t, -40, row(t, "phase", with(t, "s", "20", "phase", "120"), f).By, 1e-9)
	assert.InDelta(t, 6, row(t, "phase", with(t, "s", "20", "phase", "150"), f).By, 1e-9)

	// Both ends at one value: that value is clear, though it is on no step.
	f.NeedPhaseA = ptr(144)
	r := row(t, "phase", with(t, "s", "20", "phase", "144"), f)
	assert.Equal(t, clear, r.Status)
	assert.NotContains(t, r.Why, passing)
	assert.InDelta(t, 144, row(t, "phase", with(t, "s", "20", "phase", "120"), f).Should, 1e-9)
	assert.InDelta(t, 144, row(t, "phase", with(t, "s", "20", "phase", "150"), f).Should, 1e-9)

	// A narrow band between two steps: rounding stays inside.
	f.NeedPhaseA = ptr(141.3)
	assert.InDelta(t, 144, row(t, "phase", with(t, "s", "20", "phase", "120"), f).Should, 1e-9)
	assert.InDelta(t, 141.3, row(t, "phase", with(t, "s", "20", "phase", "150"), f).Should, 1e-9)
	// The low end itself is not moved to a step.
	f.NeedPhaseA = ptr(101.3)
	assert.InDelta(t, 101.3, row(t, "phase", with(t, "s", "20", "phase", "101.3"), f).Should, 1e-9)
	assert.InDelta(t, 105, row(t, "phase", with(t, "s", "20", "phase", "101.2"), f).Should, 1e-9)

	// Rounding down never makes a small current nothing: 80 % of 5 A.
	f.NeedPhaseA, f.PhasePathA = nil, 5
	assert.InDelta(t, 4, row(t, "phase", with(t, "s", "20", "phase", "10"), f).Should, 1e-9)

	// A pack that sags to 55 V: careful cells ask for 60 V. The cells come first.
	f.FloorLoadedV = ptr(55)
	for _, has := range []string{"52", "57", "70"} {
		r := row(t, "vcut", with(t, "s", "20", "vcut", has), f)
		assert.Equal(t, tight, r.Status)
		assert.InDelta(t, 60, r.Should, 1e-9, has)
		assert.Contains(t, r.Why, passing)
	}

	// Full pack 84 V on a controller of 86 V: 84.84 to 83.42 V. The controller comes first, but a full pack must still start.
	r = row(t, "ovv", with(t, "s", "20", "vmax", "86", "ovv", "85"), f)
	assert.Equal(t, tight, r.Status)
	assert.InDelta(t, 84, r.Should, 1e-9)
	// Full pack 84 V on a controller of 80 V: no setting helps; never above what the controller stands.
	r = row(t, "ovv", with(t, "s", "20", "vmax", "80", "ovv", "85"), f)
	assert.Equal(t, over, r.Status)
	assert.InDelta(t, 80, r.Should, 1e-9)
}

// An end voltage is judged against the fall that is set, and recommended for the one that should be.
func TestEndBelowAFallThatIsTooLow(t *testing.T) {
	r := row(t, "vend", with(t, "s", "20", "vcut", "45", "vend", "44"), facts())
	assert.Equal(t, over, r.Status)
	assert.InDelta(t, 50, r.Should, 1e-9, "20 × 2.5 V, whatever the fall")
}

// 18 × 2.7 V is the 48.6 V that a person enters, though binary arithmetic may differ in its last digit.
func TestDecimalEdges(t *testing.T) {
	f := facts()
	for s := 8; s <= 40; s++ {
		b := build.Default()
		build.FieldFor("cell").SetValue(&b, 1)
		build.FieldFor("s").SetValue(&b, float64(s))
		p := b.Parts()
		build.FieldFor("vend").SetValue(&b, float64(27*s)/10)
		require.InDelta(t, 2.7, p.Cell.EmptyV, 0)
		assert.Equal(t, clear, row(t, "vend", b, f).Status, "%d × 2.7 V", s)
	}
}
