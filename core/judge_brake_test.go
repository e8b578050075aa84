package core_test

import (
	"math"
	"strconv"
	"testing"

	"headroom/core"
	"headroom/core/limit"
	"headroom/core/protect"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func rowOf(t *testing.T, r core.Report, key string) protect.Row {
	t.Helper()
	for _, row := range r.Protection.Rows {
		if row.Key == key {
			return row
		}
	}
	require.Fail(t, key)
	return protect.Row{}
}

func decimal(v float64) string { return strconv.FormatFloat(v, 'f', 9, 64) }

// By hand: charge is current times time, and a full pack has room for none of it.
func TestBrakingIntoAFullPackByHand(t *testing.T) {
	r := plan(t, "grade", "-19")
	share := *r.Regen.RideA * 600 / 3600 / r.Pack.CapacityAh
	assert.InEpsilon(t, 100*share, *r.Regen.OverfullPct, 1e-9, "ten minutes of a steady way down")
	assert.Greater(t, *r.Regen.RideA, 9.0)
	// The charge that is advised leaves room, and little more than that.
	at := func(start float64) core.Report { return plan(t, "grade", "-19", "start", decimal(start)) }
	require.NotNil(t, r.Regen.RoomPct)
	assert.NotContains(t, codes(at(*r.Regen.RoomPct)), "overfull")
	assert.Equal(t, limit.Over, codes(at(*r.Regen.RoomPct + 2))["overfull"])
	assert.Nil(t, at(*r.Regen.RoomPct).Regen.RoomPct)
	for start := 70.0; start <= 100; start += 0.05 {
		r := at(start)
		pushed := start/100 + *r.Regen.RideA*600/3600/r.Pack.CapacityAh - 1
		want := limit.Clear
		switch { // the shares of a recorded way
		case pushed > 0.005:
			want = limit.Over
		case pushed > 0.0005:
			want = limit.Tight
		}
		got, noted := codes(r)["overfull"]
		require.Equal(t, want != limit.Clear, noted, start)
		if noted {
			require.Equal(t, want, got, start)
		}
	}
	assert.Zero(t, *plan(t).Regen.OverfullPct)
}

// The reserve of braking by hand: the climb between the steepest way down that is held and the ride's, on the lever of the wheel, over the
// rider's weight. Rolling loss hardly changes between the two.
func TestBrakingReserveByHand(t *testing.T) {
	for _, grade := range []float64{-16.7, -14, -10} {
		r := plan(t, "grade", decimal(grade), "regen", "8")
		m := r.Model
		sin := func(pct float64) float64 { return math.Sin(math.Atan(pct / 100)) }
		hand := 1e3 * m.Road.Mass * m.Tire.RollingRadiusM * (sin(*r.Regen.MaxDescentPct) - sin(-grade)) / 80
		require.NotNil(t, r.Regen.Least.ShiftMm)
		assert.InDelta(t, hand, *r.Regen.Least.ShiftMm, 0.02*hand+0.01, "%g %%", grade)
	}
}

func TestDescentAtItsBoundaries(t *testing.T) {
	most := *plan(t, "start", "60", "regen", "8").Regen.MaxDescentPct // set by current: a full pack holds more
	for _, c := range []struct {
		share  float64 // of the steepest that is held
		status limit.Status
	}{{1.0001, limit.Over}, {0.999, limit.Over}, {0.97, limit.Tight}, {0.81, limit.Tight}, {0.79, limit.Clear}} {
		r := plan(t, "start", "60", "regen", "8", "grade", decimal(-c.share*most), "shift", "0", "rider", "80")
		if c.status == limit.Clear && *r.Regen.Least.ShiftMm < 15 {
			c.status = limit.Tight // 15 mm is the least there as everywhere
		}
		got, noted := codes(r)["descent"]
		assert.Equal(t, c.status != limit.Clear, noted, c.share)
		if noted {
			assert.Equal(t, c.status, got, c.share)
		}
	}
	// What the rider wants to keep of it.
	left := *plan(t, "grade", "-12", "start", "80").Regen.Least.ShiftMm
	require.Less(t, left, 100.0)
	assert.NotContains(t, codes(plan(t, "grade", "-12", "start", "80", "shift", decimal(left-0.001))), "descent")
	assert.Equal(t, limit.Tight, codes(plan(t, "grade", "-12", "start", "80", "shift", decimal(left+0.001)))["descent"])
}

// A fifth is asked for where the shift is no matter: a light rider's shift is long.
func TestAFifthOfADescentStaysFree(t *testing.T) {
	for grade, tight := range map[string]bool{"-23.5": false, "-24.5": true} {
		r := plan(t, "grade", grade, "start", "50", "regen", "10", "shift", "0", "rider", "25", "board", "30")
		most, shift := *r.Regen.Least.MaxDescentPct, *r.Regen.Least.ShiftMm
		require.Greater(t, shift, 15.0, grade)
		require.Equal(t, tight, r.Regen.RidePct > 0.8*most && r.Regen.RidePct < most, "%s: %g", grade, most)
		assert.Equal(t, tight, codes(r)["descent"] == limit.Tight, grade)
	}
}

// Where current binds, the charge that the ride ends with leaves least: the same amperes at less voltage hold less.
func TestBrakingIsJudgedAtBothEndsOfARide(t *testing.T) {
	r := plan(t, "profile", "own", "own", "500~20~8_500~20~-12", "regen", "6")
	require.Equal(t, "regeneration limit", r.Regen.BoundBy)
	assert.InDelta(t, 100, r.Regen.ChargePct, 0)
	assert.InDelta(t, r.Range.EndPct, r.Regen.Least.ChargePct, 1e-9)
	assert.Less(t, *r.Regen.Least.MaxDescentPct, *r.Regen.MaxDescentPct)
	// Where voltage binds, the one that it starts with.
	r = plan(t, "profile", "own", "own", "500~20~8_500~20~-12", "ovv", "76.5")
	require.Equal(t, "controller voltage", r.Regen.BoundBy)
	assert.InDelta(t, 100, r.Regen.Least.ChargePct, 0)
	for _, n := range r.Notes {
		if n.Code == "descent" {
			assert.Contains(t, n.Text, "lower charge, or slower")
		}
	}
}

func TestBrakingCountsAmongThePeaks(t *testing.T) {
	pairs := []string{"p", "6", "regen", "90", "batt", "30", "fuse", "40", "phase", "140", "conn", "pair-30", "awg", "12"}
	r := plan(t, pairs...)
	// 52 A at 40 km/h were worked by hand from the motor's equations (full pack, braking at the phase limit); free spin is faster yet.
	for _, key := range []string{"cells", "fuse", "connector", "leads", "controller"} {
		assert.Greater(t, rowOf(t, r, key).PeakA, 52.0, key)
		assert.LessOrEqual(t, rowOf(t, r, key).PeakA, 90.0, key)
	}
	assert.Equal(t, limit.Over, codes(r)["current-fuse"])
	assert.InDelta(t, 30, r.Pack.DrawnA, 1e-6, "what sags the pack is what is drawn")
	// Braking that may push back no more than is drawn changes nothing.
	assert.InDelta(t, 30, rowOf(t, plan(t, append(pairs, "regen", "30")...), "fuse").PeakA, 1e-6)
}

// A hot winding has its current taken from it, but it was cool when the ride began.
func TestAHotWindingHidesNoPeak(t *testing.T) {
	warm, hot := plan(t, "phase", "400", "coil", "100"), plan(t, "phase", "400", "coil", "125")
	for _, key := range []string{"controller_phases", "phase_leads", "cells", "fuse"} {
		assert.InEpsilon(t, rowOf(t, warm, key).PeakA, rowOf(t, hot, key).PeakA, 1e-9, key)
	}
	assert.Equal(t, limit.Over, codes(hot)["current-controller phases"])
	// A controller told to take current back above where none is left takes it within the last kelvin.
	warm, hot = plan(t, "phase", "400", "derate", "200", "coilmax", "100", "coil", "99"), plan(t, "phase", "400", "derate", "200", "coilmax", "100", "coil", "120")
	require.Less(t, hot.Ride.MaxNm, 0.0)
	assert.InEpsilon(t, rowOf(t, warm, "motor_winding").PeakA, rowOf(t, hot, "motor_winding").PeakA, 1e-9)
	warm, hot = plan(t, "phase", "400", "coil", "100"), plan(t, "phase", "400", "coil", "125")
	assert.Less(t, hot.Ride.MaxNm, warm.Ride.MaxNm, "the ride has the hot one")
	assert.InEpsilon(t, plan(t, "fw", "100", "coil", "100").Overspeed.BackEMFV, plan(t, "fw", "100", "coil", "125").Overspeed.BackEMFV, 1e-9)
}

func TestPackTemperatureAtItsBoundaries(t *testing.T) {
	seen := map[limit.Status]bool{}
	for i := range 80 {
		temp := 30 + float64(i/2)/2 // to 49.5
		grown := strconv.Itoa(120 * (i % 2))
		r := plan(t, "temp", decimal(temp), "s", "18", "p", "2", "cell", "21700-energy", "cruise", "24", "grade", "4", "rgrow", grown, "batt", "25", "regen", "15", "shift", "15", "tire", "slick-6")
		mean := temp + *r.Heat.PackRiseK
		want := limit.Clear
		switch {
		case mean > 75: // engineering judgment
			want = limit.Over
		case mean > 60: // data sheets (common practice, no published source)
			want = limit.Tight
		}
		expect(t, r, "heat.pack_rise_k", "pack-heat", want, decimal(temp))
		seen[want] = true
	}
	assert.Len(t, seen, 3, "%v", seen)
}

func TestWindingColderThanTheRideMakesIt(t *testing.T) {
	for coil, noted := range map[string]bool{"20": true, "72": true, "74": false, "80": false, "95": false} { // it settles at 83 °C, 10 K are free
		r := plan(t, "grade", "6", "cruise", "15", "p", "4", "coil", coil)
		require.InDelta(t, 83.1, *r.Heat.WindingC, 1.5, coil)
		assert.Equal(t, noted, codes(r)["winding-assumed"] == limit.Tight, coil)
	}
}

// By hand: with a saturation current of 30 A no current gives more than 1.5·p·λ·30 A.
func TestSaturationAsEnteredByHand(t *testing.T) {
	r := plan(t, "isat", "30")
	m := r.Model.Motor
	most := 1.5 * m.PolePairs * m.FluxWb * 30
	require.Greater(t, r.Ride.MaxNm, most, "told too high")
	require.Less(t, (most-r.Ride.LoadNm)/(80*9.80665), 0.025, "less than the 25 mm wanted")
	assert.Equal(t, limit.Over, codes(r)["saturation"])
	assert.Equal(t, limit.Tight, codes(plan(t, "isat", "125"))["saturation"], "a few percent")
}

// By hand: a full cell, and the current of braking through its share of the pack's resistance.
func TestCellVoltageInBrakingByHand(t *testing.T) {
	r := plan(t, "grade", "-19")
	links := 17 * 0.25e-3 // as entered
	require.NotNil(t, r.Regen.CellV)
	cells := r.Model.Pack.ResistanceOhm.Full - links
	high := 4.2 + *r.Regen.RideA*cells/18
	assert.Less(t, *r.Regen.CellV, high, "leads and fuse take some of that")
	assert.Greater(t, *r.Regen.CellV, 4.2+0.8*(high-4.2))
	assert.InDelta(t, 4.2, *plan(t).Regen.CellV, 1e-9, "nothing brakes on the level")
}

// A reserve that only a cooler winding has is none: the plan of the very same build with the winding as warm as the ride makes it says so.
func TestReserveOfAColderWindingIsNone(t *testing.T) {
	cold := plan(t, "grade", "8", "p", "4")
	assert.Greater(t, cold.Ride.ShiftMm, 25.0)
	assert.Equal(t, limit.Over, cold.Bar("ride.shift_mm").Status)
	warm := plan(t, "grade", "8", "p", "4", "coil", decimal(*cold.Heat.WindingC))
	assert.Less(t, warm.Ride.ShiftMm, 5.0)
	assert.Equal(t, limit.Over, codes(warm)["no-reserve"])
	assert.NotContains(t, codes(warm), "winding-assumed", "now it is known")
}

// What the settings check wants of regeneration for streets is where the note on them ends.
func TestRegenerationForStreetsEndsTheNote(t *testing.T) {
	need := *setting(t, plan(t, "regen", "2"), "regen").Low
	for amps, noted := range map[float64]bool{need * 0.999: true, need * 1.001: false} {
		r := plan(t, "regen", decimal(amps))
		assert.Equal(t, noted, codes(r)["descent"] == limit.Tight, amps)
		assert.Equal(t, noted, setting(t, r, "regen").Status == limit.Tight, amps)
	}
}
