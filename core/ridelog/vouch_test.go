package ridelog

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func noRow() (row Row) {
	for i := range row {
		row[i] = math.NaN()
	}
	return row
}

// dutyTimes has the example's duty multiplied, at most 100 %.
func dutyTimes(by float64) func(i int, c []string) {
	return func(_ int, c []string) {
		v, _ := strconv.ParseFloat(c[2], 64)
		c[2] = strconv.FormatFloat(math.Min(100, by*v), 'f', 1, 64)
	}
}

// At the plan's highest duty nothing is left, whatever the plan says; and such a plan promises too much.
func TestAtFullDutyNothingIsLeft(t *testing.T) {
	r := edited(t, nil)
	assert.Zero(t, r.Reserve.Full)
	assert.Positive(t, r.Reserve.Least.Value)
	by, above := r.AbovePlan()
	assert.False(t, above, by)

	r = edited(t, dutyTimes(1.28))
	assert.Equal(t, 0.0, r.Reserve.Least.Value)
	assert.Positive(t, r.Reserve.Full)
	full := 0
	for _, e := range r.Reserve.Events {
		assert.Equal(t, e.Duty >= boards["standard"].Drive.MaxDuty-DutySlip, e.Full)
		if e.Full {
			full++
			assert.LessOrEqual(t, e.Shift, 0.0)
		}
	}
	assert.Positive(t, full)
	by, above = r.AbovePlan()
	assert.True(t, above)
	assert.InDelta(t, 0.73*0.28-0.033, by, 0.01, "a duty of 73 %, the last that stays under 95 %, 3.3 points under the plan's, times 1.28")

	m := NewModel(boards["standard"])
	most := boards["standard"].Drive.MaxDuty
	for duty, none := range map[float64]bool{most: true, most - 0.005: true, most - 0.0051: false, math.NaN(): false} {
		shift, _ := m.Shift(&Row{Speed: 3, PackV: 70, BatteryA: 2, PhaseA: 10, Duty: duty})
		assert.Equal(t, none, shift == 0, duty)
	}
	// A board that weakens its field has something left there, and how much the duty does not tell.
	shift, _ := NewModel(boards["weakened"]).Shift(&Row{Speed: 3, PackV: 70, BatteryA: 2, PhaseA: 10, Duty: 1})
	assert.Positive(t, shift)
	x := newReserver(NewModel(boards["weakened"]), 0.025)
	x.add(&Row{Speed: 3, PackV: 70, BatteryA: 2, PhaseA: 10, Duty: 1}, 2)
	got := x.result()
	assert.True(t, got.Weakens)
	assert.Equal(t, 1, got.Full)
}

// The duty of a moment, found back from the volts and the current of an operating point that the drive solved for.
func TestDutyIsThatOfTheOperatingPoint(t *testing.T) {
	for _, name := range []string{"standard", "large"} {
		b := boards[name]
		m := NewModel(b)
		lots := rand.New(rand.NewPCG(11, 4))
		for range 2000 {
			src := b.Pack.At(0.3 + 0.7*lots.Float64())
			v := 1 + 6*lots.Float64()
			at, ok := b.Drive.At(src, b.Road.Omega(v), -20+60*lots.Float64())
			require.True(t, ok)
			row := Row{Speed: v, PackV: at.BusV, BatteryA: at.BusA, PhaseA: math.Copysign(at.Phase(), at.Iq)}
			want := math.Min(at.Duty, b.Drive.MaxDuty)
			assert.InDelta(t, want, m.Duty(&row), 1e-9)
			at, _ = b.Drive.At(src, b.Road.Omega(v), b.Road.Torque(v, 0))
			row = Row{Speed: v, PackV: at.BusV, BatteryA: math.NaN(), PhaseA: math.NaN()}
			assert.InDelta(t, math.Min(at.Duty, b.Drive.MaxDuty), m.Duty(&row), 1e-9, "a level road's")
		}
		row := noRow()
		assert.True(t, math.IsNaN(m.Duty(&row)))
	}
}

// A hard ride of the very board that was planned, hills and noise and all, is not said to lie above its plan, nor one that takes less.
func TestARideOfThePlanIsNotAboveIt(t *testing.T) {
	for _, by := range []float64{1, 0.9} {
		r := edited(t, dutyTimes(by))
		_, above := r.AbovePlan()
		assert.False(t, above, by)
	}
	for name, c := range map[string]struct {
		list  []float64
		by    string
		above bool
	}{
		"nothing":            {[]float64{0, 0.01, 0.03}, ByPhase, false},
		"one amid":           {[]float64{0, 0.09, 0}, ByPhase, false},
		"the highest":        {[]float64{0, 0, 0.04}, ByPhase, true},
		"less":               {[]float64{0, 0, 0.0399}, ByPhase, false},
		"the highest, level": {[]float64{0, 0, 0.04}, ByRoad, false},
		"three, level":       {[]float64{0.04, 0.05, 0.04, 0}, ByRoad, true},
		"two of them":        {[]float64{0.04, 0.05, 0}, ByPhase, false},
	} {
		r := Ride{Reserve: &Reserve{By: c.by}}
		for i, x := range c.list {
			r.Speed = append(r.Speed, DutyAt{Speed: 3 + float64(i), Above: x})
		}
		_, above := r.AbovePlan()
		assert.Equal(t, c.above, above, name)
	}
	slow := Ride{Reserve: &Reserve{By: ByPhase}, Speed: []DutyAt{{Speed: 1.9, Above: 0.5}}}
	_, above := slow.AbovePlan()
	assert.False(t, above, "a board that is balanced more than ridden")
}

func TestARideNewestFirstIsToldToRunBackward(t *testing.T) {
	text := func(order func(i int) int) string {
		list := "time (s),speed (m/s)\n"
		for i := range 100 {
			list += fmt.Sprintf("%d,5\n", order(i))
		}
		return list
	}
	r, failure := Read([]byte(text(func(i int) int { return 100 - i })), Settings{})
	if failure == "" {
		assert.True(t, r.Backward)
	} else {
		assert.Contains(t, failure, "backward")
	}
	r, failure = Read([]byte(text(func(i int) int { return i/2*2 + 1 - i%2 })), Settings{})
	require.Empty(t, failure)
	assert.False(t, r.Backward, "pairs of rows the wrong way round")
	assert.False(t, edited(t, nil).Backward)
	_, failure = Read([]byte("time (s),speed (m/s)\n9,5\n8,5\n7,5\n"), Settings{})
	assert.Contains(t, failure, "time runs backward")
}

func TestWhichUnitsAreAssumed(t *testing.T) {
	row := "0,10,0.5,70,5,12,1,30,100,300\n1,11,0.6,70,6,13,2,30,101,300\n"
	of := func(head string) (list []string) {
		l, failure := Sniff([]byte(head + "\n" + row))
		require.Empty(t, failure)
		for _, c := range l.Assumed() {
			list = append(list, c.Quantity.String()+" "+c.Unit)
		}
		return list
	}
	assert.Equal(t, []string{"speed km/h", "battery current A", "phase current A peak", "distance km", "motor temperature °C", "altitude m"},
		of("time,speed,duty,voltage,battery current,phase current,trip,motor temp,altitude,x"), "size tells of time, duty and volts")
	assert.Empty(t, of("time_s,speed_kmh,duty_pct,pack_v,battery_a,phase_a,trip_m,motor_temp_c,altitude_m,power_w"))
	assert.Empty(t, of("time,speed,duty,voltage,battery current,phase current,trip,motor temp,altitude,x\ns,mph,%,V,A,A,m,F,ft,-"), "a row of units")

	l, _ := Sniff([]byte("time,speed\n0,10\n1,11\n"))
	assert.True(t, l.Assumes(Speed))
	assert.False(t, l.Assumes(PackV))
	l.TakeUnits()
	assert.False(t, l.Assumes(Speed))
	l.Use(1, Speed)
	assert.True(t, l.Assumes(Speed), "by hand nothing tells either")
	l.Columns[1].Header = "v (mph)"
	l.Use(1, Speed)
	assert.False(t, l.Assumes(Speed))
}

// Examples come from a row that moved, so that a person can tell km/h from mph; a spoilt figure is not taken for one.
func TestExamplesAreOfARowThatMoved(t *testing.T) {
	var text strings.Builder
	text.WriteString("time,speed,current,note\n0,999,0,\n")
	for i := range 40 {
		fmt.Fprintf(&text, "%d,%d,%d,\n", i+1, max(0, i-20), i)
	}
	l, failure := Sniff([]byte(text.String()))
	require.Empty(t, failure)
	assert.Equal(t, []string{"31", "10", "30", ""}, l.Example)
	l, _ = Sniff([]byte(strings.Replace(text.String(), "0,999,0,", "0,0,0,start", 1)))
	assert.Equal(t, []string{"31", "10", "30", "start"}, l.Example)
	l, _ = Sniff([]byte("time,speed\n0,0\n1,0\n"))
	assert.Equal(t, []string{"0", "0"}, l.Example, "none moved")
}
