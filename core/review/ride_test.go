package review_test

import (
	"testing"

	"headroom/core/review"

	"github.com/stretchr/testify/assert"
)

// ridden adds what the ride asks for to the round figures of facts.
func ridden() review.Facts {
	f := facts()
	f.HoldPhaseA, f.HoldBatteryA = ptr(60), ptr(30)
	f.NeedDuty, f.HoldDuty = ptr(0.8), ptr(0.7)
	f.NeedBusV, f.HoldBusV = ptr(61.5), ptr(66)
	f.DescentA, f.DescentWantA = ptr(12), ptr(20)
	f.WindingC, f.BoxAirC = ptr(80), 30
	return f
}

// Every bound from the ride on its edges and at both sides of each: 20s2p, 120 A of phase current, current falls from 100 to 130 °C.
func TestEveryEdgeOfTheRide(t *testing.T) {
	for _, c := range []struct {
		key, has string
		status   string
		by       float64
		should   float64
		also     []string
		change   func(*review.Facts)
	}{
		// Held from 60 A, with the reserve from 110 A.
		{"phase", "59.9", "over", -50.1, 110, nil, nil}, {"phase", "60", "tight", -50, 110, nil, nil},
		// Half of it is left at the winding's temperature: 120 and 220 A, of which the winding of 180 A stands 144 A with its margin.
		{"phase", "119.9", "over", -100.1, 140, nil, func(f *review.Facts) { f.LeftShare = ptr(0.5) }},
		{"phase", "120", "tight", -100, 140, nil, func(f *review.Facts) { f.LeftShare = ptr(0.5) }},
		{"phase", "20", "clear", 0, 20, nil, func(f *review.Facts) { f.LeftShare = ptr(0) }},
		// What holds the ride is just what the winding stands, or a little more.
		{"phase", "179.9", "over", -0.1, 180, nil, func(f *review.Facts) { f.HoldPhaseA = ptr(180) }},
		{"phase", "59", "tight", -51, 110, nil, func(f *review.Facts) { f.HoldPhaseA = ptr(180.1) }},
		{"phase", "121", "tight", -1879, 140, nil, func(f *review.Facts) { f.NeedPhaseA, f.HoldPhaseA, f.LeftShare = ptr(20), nil, ptr(0.01) }},
		{"phase", "121", "clear", 0, 121, nil, func(f *review.Facts) { f.NeedPhaseA, f.HoldPhaseA, f.LeftShare = ptr(20), nil, ptr(0.0099) }},
		// A bound that is on no step: what lies on it stays, what lies outside comes to a step inside where there is one.
		{"phase", "61.3", "clear", 0, 61.3, nil, func(f *review.Facts) { f.NeedPhaseA, f.HoldPhaseA = ptr(60), ptr(61.3) }},
		{"phase", "150", "over", -26, 180, nil, func(f *review.Facts) { f.HoldPhaseA = ptr(176) }},
		{"vcut", "62.3", "clear", 0, 62.3, nil, func(f *review.Facts) { f.FloorLoadedV, f.NeedBusV, f.HoldBusV = ptr(70), ptr(70), ptr(62.3) }},
		{"vcut", "55", "over", 10, 50, nil, func(f *review.Facts) { f.NeedBusV, f.HoldBusV = ptr(45), ptr(50.3) }},
		{"batt", "29.9", "over", -15.1, 45, nil, nil}, {"batt", "30", "tight", -15, 45, nil, nil},
		// The way down asks for 12 A, with something to spare for 20 A; the cells take 40.5 A.
		{"regen", "11.9", "over", -8.1, 20, nil, nil}, {"regen", "12", "tight", -8, 20, nil, nil}, {"regen", "19.9", "tight", -0.1, 20, nil, nil}, {"regen", "20", "clear", 0, 20, nil, nil},
		{"regen", "40.4", "over", -0.01, 41, nil, func(f *review.Facts) { f.RegenCellsA, f.DescentA = 15.13, ptr(40.41) }},
		{"regen", "35", "over", -5.5, 40.5, nil, func(f *review.Facts) { f.DescentA = ptr(40.5) }},
		{"regen", "20", "over", 0, 20, nil, func(f *review.Facts) { f.DescentA = ptr(40.6) }},
		{"regen", "20", "over", 9.2, 20, nil, func(f *review.Facts) { f.RideBrakesA = ptr(13.6); f.DescentA = ptr(13.51) }},
		{"regen", "12.9", "over", -7.1, 13.5, nil, func(f *review.Facts) { f.RideBrakesA = ptr(13.6); f.DescentA = ptr(13.5) }},
		{"regen", "20", "over", 0, 20, nil, func(f *review.Facts) { f.DescentA, f.DescentOver = ptr(40.6), true }},
		{"regen", "25", "over", 0, 25, nil, func(f *review.Facts) { f.DescentA, f.DescentOver, f.DescentBound = nil, true, "duty" }},
		{"regen", "33", "over", 0.6, 33, nil, func(f *review.Facts) { f.DescentA, f.DescentOver, f.DescentBound = nil, true, "duty" }},
		{"regen", "17", "over", -3, 17, nil, func(f *review.Facts) { f.DescentA, f.DescentOver, f.DescentBound = nil, true, "duty" }},
		// Held from 70 %, with the reserve from 80 %. 95 % leaves the switches time; beyond that no setting is to blame.
		{"duty", "69.9", "over", -10.1, 80, nil, nil}, {"duty", "70", "tight", -10, 80, nil, nil}, {"duty", "79.9", "tight", -0.1, 80, nil, nil}, {"duty", "80", "clear", 0, 80, nil, nil},
		{"duty", "94.9", "over", -0.1, 95, nil, func(f *review.Facts) { f.NeedDuty, f.HoldDuty = ptr(1.2), ptr(0.95) }},
		{"duty", "94.9", "tight", -0.1, 95, nil, func(f *review.Facts) { f.NeedDuty, f.HoldDuty = ptr(1.2), ptr(0.951) }},
		{"duty", "95", "clear", 0, 95, nil, func(f *review.Facts) { f.NeedDuty, f.HoldDuty = ptr(1.2), ptr(1.1) }},
		{"duty", "60", "tight", -20, 80, nil, func(f *review.Facts) { f.HoldDuty = nil }}, {"duty", "69", "over", -1, 70, nil, func(f *review.Facts) { f.NeedDuty = nil }},
		// 61.5 V with the reserve, 66 V to be held at all; empty 50 V, careful 60 V.
		{"vcut", "61.5", "clear", 0, 61.5, nil, nil}, {"vcut", "61.6", "tight", 0.1, 61.5, nil, nil}, {"vcut", "66", "tight", 4.5, 61.5, nil, nil}, {"vcut", "66.1", "over", 4.6, 61.5, nil, nil},
		{"vcut", "62", "clear", 0, 62, nil, func(f *review.Facts) { f.NeedBusV = ptr(70) }},
		// What holds the ride lies below what is careful: over where it drops the rider, though the cells would rather have it.
		{"vcut", "58.3", "over", 1.3, 58, nil, func(f *review.Facts) { f.NeedBusV, f.HoldBusV = ptr(57), ptr(58.2) }},
		{"vcut", "58.2", "tight", 1.2, 58, nil, func(f *review.Facts) { f.NeedBusV, f.HoldBusV = ptr(57), ptr(58.2) }},
		{"vcut", "50.1", "over", 5.1, 50, nil, func(f *review.Facts) { f.NeedBusV, f.HoldBusV = ptr(45), ptr(50) }},
		{"vcut", "60", "tight", 15, 60, nil, func(f *review.Facts) { f.NeedBusV, f.HoldBusV = ptr(45), ptr(49.9) }},
		{"vcut", "84", "over", 22.5, 61.5, nil, func(f *review.Facts) { f.HoldBusV = ptr(83.9) }},
		{"vcut", "84", "tight", 22.5, 61.5, nil, func(f *review.Facts) { f.HoldBusV = ptr(84) }},
		// The winding comes to 80 °C; half of 120 A holds the ride: 130 − (130 − 80)/0.5 is 30 °C, 120 − (120 − 80)/0.5 is 40 °C.
		{"derate", "80", "clear", 0, 80, nil, nil}, {"derate", "79.9", "tight", -0.1, 80, nil, nil}, {"derate", "40", "tight", -40, 80, nil, nil},
		{"derate", "40", "tight", -40, 80, []string{"coilmax", "120"}, nil},
		// With 0.6 of it, 119 − (119 − 80)/0.6 is 54 °C. From 46.67 °C on a usual end makes up for it: that one is over then.
		{"derate", "46.6", "over", -33.4, 80, []string{"coilmax", "119"}, func(f *review.Facts) { f.HoldPhaseA = ptr(72) }},
		{"derate", "46.7", "tight", -33.3, 80, []string{"coilmax", "119"}, func(f *review.Facts) { f.HoldPhaseA = ptr(72) }},
		{"coilmax", "119", "over", -10.95, 130, []string{"derate", "46.7"}, func(f *review.Facts) { f.HoldPhaseA = ptr(72) }},
		{"derate", "53.9", "over", -26.1, 80, []string{"coilmax", "140"}, func(f *review.Facts) { f.HoldPhaseA = ptr(84) }},
		{"derate", "54.3", "tight", -25.7, 80, []string{"coilmax", "140"}, func(f *review.Facts) { f.HoldPhaseA = ptr(84) }},
		{"derate", "100", "tight", -30, 120, nil, func(f *review.Facts) { f.WindingC = ptr(130) }},
		{"derate", "100", "over", 29.5, 80, []string{"coilmax", "80.5"}, nil},
		// All of it is needed: nothing may be taken back. More than all: that is not its fault, nor where there is no current for it to take.
		{"derate", "79.9", "over", -0.1, 80, nil, func(f *review.Facts) { f.HoldPhaseA = ptr(120) }},
		{"derate", "79.9", "tight", -0.1, 80, nil, func(f *review.Facts) { f.HoldPhaseA = ptr(120.1) }},
		{"derate", "79.9", "tight", -0.1, 80, nil, func(f *review.Facts) { f.HoldPhaseA = ptr(0) }},
		{"derate", "79.9", "tight", -0.1, 80, nil, func(f *review.Facts) { f.HoldPhaseA = nil }},
		{"derate", "100", "tight", -35, 120, nil, func(f *review.Facts) { f.WindingC = ptr(135) }},
		// An end of 75 °C is too low for 80 °C: the one that should be counts, 80 + 10 °C.
		{"derate", "70", "tight", -10, 80, []string{"coilmax", "75"}, nil},
		{"derate", "69", "over", -11, 80, []string{"coilmax", "75"}, func(f *review.Facts) { f.HoldPhaseA = ptr(110) }},
		{"derate", "70", "tight", -10, 80, []string{"coilmax", "80"}, func(f *review.Facts) { f.HoldPhaseA = nil }},
		// Above a fall that begins at 100 °C one kelvin times the share is the least; below, from 40 °C, (80 − 0.5·40)/0.5 is 120 °C.
		{"coilmax", "80.4", "over", -9.6, 90, nil, nil}, {"coilmax", "80.5", "tight", -9.5, 90, nil, nil}, {"coilmax", "89.9", "tight", -0.1, 90, nil, nil}, {"coilmax", "90", "clear", 0, 90, nil, nil},
		{"coilmax", "80.4", "over", -9.6, 90, []string{"derate", "80"}, nil}, {"coilmax", "80.5", "tight", -9.5, 90, []string{"derate", "80"}, nil},
		{"coilmax", "119.9", "over", -0.1, 120, []string{"derate", "40"}, nil}, {"coilmax", "120", "clear", 0, 120, []string{"derate", "40"}, nil},
		// (80 − 0.6·5)/0.4 would be 192 °C for a fall from 5 °C; from 46.67 °C with 0.6 it is 130 °C, the last that is usual.
		{"coilmax", "129.9", "over", -0.1, 130, []string{"derate", "46.666667"}, func(f *review.Facts) { f.HoldPhaseA = ptr(72) }},
		{"coilmax", "86", "tight", -4, 90, []string{"derate", "46.6"}, func(f *review.Facts) { f.HoldPhaseA = ptr(72) }},
		{"coilmax", "85.9", "over", -4.1, 90, []string{"derate", "46.6"}, func(f *review.Facts) { f.HoldPhaseA = ptr(72) }},
		{"coilmax", "90", "clear", 0, 90, []string{"derate", "40"}, func(f *review.Facts) { f.HoldPhaseA = ptr(120) }},
		{"coilmax", "89.9", "over", -0.1, 90, []string{"derate", "40"}, func(f *review.Facts) { f.HoldPhaseA = ptr(120) }},
		{"coilmax", "129", "over", -1, 130, []string{"derate", "40"}, func(f *review.Facts) { f.WindingC = ptr(85) }},
		{"coilmax", "80", "over", -10, 90, nil, func(f *review.Facts) { f.HoldPhaseA = ptr(0) }},
		// What holds it cannot be told: no current at all is left at the end itself.
		{"coilmax", "80", "over", -10, 90, nil, func(f *review.Facts) { f.HoldPhaseA = nil }}, {"coilmax", "80.1", "tight", -9.9, 90, nil, func(f *review.Facts) { f.HoldPhaseA = nil }},
		{"coilmax", "80.1", "tight", -9.9, 90, nil, func(f *review.Facts) { f.HoldPhaseA = ptr(121) }}, {"coilmax", "80.1", "tight", -9.9, 90, nil, func(f *review.Facts) { f.HoldPhaseA = ptr(0) }},
		// A ride that warms the winding past class B is the fault, and a higher end no advice.
		{"coilmax", "120", "over", -25, 120, nil, func(f *review.Facts) { f.WindingC = ptr(135) }},
		// 110 of 120 A are needed at 125 °C: 130 − 5/0.917 is 124.5 °C, later than any fall should begin. Nothing is offered.
		{"derate", "100", "over", -25, 100, nil, func(f *review.Facts) { f.WindingC, f.HoldPhaseA = ptr(125), ptr(110) }},
		// The ceiling's duty is a good place for a warning unless the ride itself lies there, or no warning can be set so low.
		{"warn", "85", "tight", 5, 74, nil, func(f *review.Facts) { f.CeilingDuty, f.RideDuty = ptr(0.74), ptr(0.7399) }},
		{"warn", "85", "tight", 5, 80, nil, func(f *review.Facts) { f.CeilingDuty, f.RideDuty = ptr(0.74), ptr(0.74) }},
		{"warn", "85", "tight", 5, 80, nil, func(f *review.Facts) { f.CeilingDuty, f.RideDuty = ptr(0.3), nil }},
		{"regen", "25", "tight", -0.5, 26, nil, func(f *review.Facts) { f.StreetA = ptr(25.5) }}, {"regen", "25.5", "clear", 0, 25.5, nil, func(f *review.Facts) { f.StreetA = ptr(25.5) }},
		// Air of 30 °C in the box; half of the loss at the lasting rating: 30 + 0.5·85 °C.
		{"ctrlt", "40", "tight", -32.5, 73, nil, func(f *review.Facts) { f.LossShare = ptr(0.5) }}, {"ctrlt", "72.5", "clear", 0, 72.5, nil, func(f *review.Facts) { f.LossShare = ptr(0.5) }},
		{"ctrlt", "72.4", "tight", -0.1, 73, nil, func(f *review.Facts) { f.LossShare = ptr(0.5) }},
		{"ctrlt", "45", "over", -1, 46, nil, func(f *review.Facts) { f.BoxAirC = 45 }}, {"ctrlt", "45.1", "tight", -0.9, 46, nil, func(f *review.Facts) { f.BoxAirC = 45 }},
		{"ctrlt", "46", "clear", 0, 46, nil, func(f *review.Facts) { f.BoxAirC = 45 }},
	} {
		f := ridden()
		if c.change != nil {
			c.change(&f)
		}
		r := row(t, c.key, with(t, append([]string{"s", "20", "p", "2", c.key, c.has}, c.also...)...), f)
		name := c.key + "=" + c.has
		assert.Equal(t, c.status, string(r.Status), "%s: %s", name, r.Why)
		assert.InDelta(t, c.by, r.By, 1e-5, name)
		assert.InDelta(t, c.should, r.Should, 1e-5, name)
	}
}

func TestWhyHoldsWhatTheRideAsksFor(t *testing.T) {
	f := ridden()
	f.LossShare = ptr(0.25)
	b := with(t, "s", "20", "p", "2", "duty", "65", "regen", "10", "vcut", "70", "derate", "70", "coilmax", "75", "ctrlt", "45", "phase", "50")
	for key, want := range map[string]string{
		"duty":    "This alone drops the nose on this ride, or leaves it no range with the reserve asked for. Switches need time to rest, in which the currents are measured: 95 % leaves enough (common practice, no published source). At the charge to turn home the ride with its reserve needs 80 %. Below 70 % the nose drops, or no range is left with the reserve asked for.",
		"regen":   "The ride's way down is not held: past the limit nothing brakes. The cells take 13.5 A lasting and three times that for seconds (common practice, no published source), 32.4 A with the margin asked for. With no limit, braking on this ride pushes back up to 18 A. Its steepest way down asks for 12 A at its highest speed, 20 A with a fifth of the slope and the reserve asked for to spare.",
		"vcut":    "This alone drops the nose on this ride, or leaves it no range with the reserve asked for. Cells in series times 3 V make 60 V, times the empty 2.5 V 50 V. At the charge to turn home the pack shows 68 V at rest and at its lowest under load 62 V. With the reserve asked for it falls to 61.5 V. Above 66 V the nose drops, or no range is left with the reserve asked for.",
		"derate":  "Current is taken back on this ride already. Held against an end of 90 °C, since 75 °C is too low for this ride. Falling from 120 °C at most, over 10 K or more, is common practice with no published source. The winding comes to 80 °C: what the figures are computed with, or what the ride settles at, if that is more.",
		"coilmax": "This alone drops the nose on this ride, or leaves it no range with the reserve asked for. Insulation class B stands 130 °C, F 155 °C, H 180 °C (IEC 60085). The winding comes to 80 °C: what the figures are computed with, or what the ride settles at, if that is more.",
		"ctrlt":   "Current is likely taken back on this ride. A usual begin is 85 °C, the most 110 °C (common practice, no published source). The air in the box is at 30 °C. With the losses of this ride's hardest ten minutes the switches come to about 51.3 °C: an estimate, for a controller that comes to 110 °C at its lasting rating in air of 25 °C (common practice, no published source).",
		"phase":   "This alone drops the nose on this ride, or leaves it no range with the reserve asked for. The weakest part, motor winding, stands 180 A for seconds, 144 A with the margin asked for. The ride with its reserve needs 110 A. Below 60 A the nose drops, or no range is left with the reserve asked for.",
	} {
		assert.Equal(t, want, row(t, key, b, f).Why, key)
	}
	f.HoldBusV = ptr(84)
	assert.Contains(t, row(t, "vcut", with(t, "s", "20", "vcut", "85"), f).Why, "Even the full pack is below it.")
	f.LeftShare = ptr(0.8)
	assert.Contains(t, row(t, "phase", b, f).Why, "As warm as the winding gets, 80 % of what is set is left; both allow for that.")
	f.LeftShare = ptr(1)
	assert.NotContains(t, row(t, "phase", b, f).Why, "As warm")
	f.DescentA, f.DescentWantA = ptr(0), ptr(0)
	assert.NotContains(t, row(t, "regen", b, f).Why, "steepest")
	f.DescentA, f.DescentWantA, f.DescentOver = ptr(41), ptr(50), true
	assert.Contains(t, row(t, "regen", b, f).Why, "pushes back more than the cells take, and a lower limit does not hold it.")
	f.DescentA, f.DescentBound = nil, "duty"
	assert.Contains(t, row(t, "regen", b, f).Why, "no setting here changes that: it is set by duty.")
}
