package ridelog

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every bound of the package just below, at and above it. Times are binary fractions, so that they are met exactly.

func TestReadingsBearEachOtherOutWithinHalfASecond(t *testing.T) {
	for apart, want := range map[float64]float64{0.5: 5, 0.5 + 1./64: 9} {
		var w watch
		w.see(5, &Row{Time: 1}, 2)
		w.see(9, &Row{Time: 1 + apart}, 3)
		w.see(1, &Row{Time: 9}, 4)
		assert.Equal(t, want, w.result(1).Value, apart)
	}
	var w watch
	assert.Nil(t, w.result(1))
	w.see(math.NaN(), &Row{}, 1)
	assert.Nil(t, w.result(1))
	for i, v := range []float64{7, 7, 3, 7, 7} { // the first of equals counts
		w.see(v, &Row{Time: float64(i) / 4}, i+2)
	}
	assert.Equal(t, Extreme{Value: 7, At: 0.25, Line: 3}, *w.result(1))
}

func TestEventsOneSecondApartAreOne(t *testing.T) {
	for apart, want := range map[float64]int{1: 1, 1 + 1./64: 2} {
		r := newReserver(nil, 0.025)
		r.see(&moment{shift: 0.01, at: 3})
		r.see(&moment{shift: 0.0125, at: 3.25})
		r.see(&moment{shift: 0.025, at: 3.5}) // no less than wanted
		r.see(&moment{shift: 0.02, at: 3.25 + apart})
		r.close()
		assert.Equal(t, want, r.met, apart)
		assert.Equal(t, 0.01, r.list[0].Shift)
		assert.Equal(t, 3.0, r.list[0].At)
	}
}

// Of more events than are kept the mildest go, and what comes with the same as the mildest does not.
func TestTheWorstEventsAreKept(t *testing.T) {
	r := newReserver(nil, 2)
	for i := range mostEvents {
		r.see(&moment{shift: 0.5 + float64(i)/100, at: float64(10 * i)})
	}
	r.see(&moment{shift: 0.1, at: 9000})
	r.see(&moment{shift: 0.5 + float64(mostEvents-2)/100, at: 9900}) // as the mildest that is left
	r.close()
	require.Len(t, r.list, mostEvents)
	assert.Equal(t, mostEvents+2, r.met)
	assert.Equal(t, 0.1, r.list[mostEvents-1].Shift)
	assert.Equal(t, 0.5+float64(mostEvents-2)/100, r.list[mostEvents-2].Shift)
	assert.Equal(t, float64(10*(mostEvents-2)), r.list[mostEvents-2].At)
}

// The torque is told by what most moments told it by.
func TestHowTheTorqueIsKnown(t *testing.T) {
	m := NewModel(boards["standard"])
	nan := math.NaN()
	for phases, want := range map[int]string{1: ByPower, 3: ByPhase} {
		r := newReserver(m, 0.02)
		for i := range 4 {
			row := Row{Time: float64(i), Speed: 5, PackV: 70, BatteryA: 5, PhaseA: nan}
			if i < phases {
				row[PhaseA] = 15
			}
			r.add(&row, i)
		}
		assert.Equal(t, want, r.result().By)
	}
}

// trouble reads rows of times and speeds in m/s and tells what was wrong and what was summed.
func trouble(t *testing.T, times ...float64) (found string, r Ride) {
	t.Helper()
	text := "time (s),speed (m/s)\n"
	for i, at := range times {
		text += fmt.Sprintf("%g,%d\n", at, 2+i%2)
	}
	r, failure := Read([]byte(text), Settings{})
	require.Empty(t, failure)
	return problems(&r), r
}

func TestBoundsOfTime(t *testing.T) {
	for _, c := range []struct {
		what   string
		times  []float64
		found  string
		used   int
		second float64
	}{
		{"five seconds are no gap", []float64{0, 1, 6, 7}, "", 4, 7},
		{"more are", []float64{0, 1, 6.125, 7}, "8/time×1@4", 4, 7},
		{"a minute is a gap that needs no witness", []float64{0, 1, 61, 1.5}, "6/time×1@5 8/time×1@4", 3, 61},
		{"more needs one", []float64{0, 1, 61.125, 1.5}, "6/time×1@4", 3, 1.5},
		{"and has it within a minute", []float64{0, 1, 61.125, 121.125, 122}, "8/time×2@4", 5, 122},
		{"not beyond", []float64{0, 1, 61.125, 121.25, 122}, "6/time×1@4 8/time×1@5", 4, 122},
		{"a witness of the same time will do", []float64{0, 1, 99, 99, 100}, "4/time×1@5 8/time×1@4", 4, 100},
		{"a little back is out of order", []float64{0, 4, 2, 5}, "5/time×1@4", 3, 5},
		{"more is a new beginning, or garbage", []float64{0, 4, 8, 5.875, 9}, "6/time×1@5", 4, 9},
		{"a row at the time before the doubt is near", []float64{0, 1, 99, 1, 2}, "4/time×1@5 6/time×1@4", 3, 2},
		{"a doubt a minute before the next but one", []float64{0, 1, 99, 61, 62}, "6/time×1@4 8/time×1@5", 4, 62},
		{"a new beginning after ten seconds", []float64{50, 51, 0, 1, 2}, "7/time×1@4", 5, 13},
	} {
		found, r := trouble(t, c.times...)
		assert.Equal(t, c.found, found, c.what)
		assert.Equal(t, c.used, r.Used, c.what)
		assert.Equal(t, c.second, r.Seconds, c.what)
	}
	_, r := trouble(t, 0, 1, 6, 7)
	assert.Equal(t, 2.5*7, r.Meters, "five seconds are summed across")
	_, r = trouble(t, 0, 1, 6.125, 7)
	assert.Equal(t, 2.5*(1+0.875), r.Meters, "more are not")
}

func TestMidnightOnlyForAClock(t *testing.T) {
	read := func(rows string) Ride {
		r, failure := Read([]byte("time,speed (m/s)\n"+rows), Settings{})
		require.Empty(t, failure)
		return r
	}
	r := read("12:00:00,2\n12:00:01,2\n00:00:01,2\n00:00:02,2\n")
	assert.Equal(t, "7/time×1@4", problems(&r), "half a day back is a restart")
	r = read("12:00:01,2\n12:00:02,2\n00:00:01,2\n00:00:02,2\n")
	assert.Equal(t, "8/time×1@4", problems(&r), "more is midnight, after a long pause")
	r = read("2026-01-02T23:59:58,2\n2026-01-02T23:59:59,2\n2026-01-02T00:00:00,2\n2026-01-02T00:00:01,2\n")
	assert.Equal(t, "7/time×1@4", problems(&r), "a clock with its date does not pass midnight twice")
}

func TestBoundsOfMovingAndCounting(t *testing.T) {
	read := func(text string) Ride {
		r, failure := Read([]byte(text), Settings{})
		require.Empty(t, failure)
		return r
	}
	assert.Equal(t, 0.0, read("time (s),speed (m/s)\n0,1\n1,1\n2,1\n").Moving, "a walk is no riding")
	assert.Equal(t, 2.0, read("time (s),speed (m/s)\n0,1.25\n1,1.25\n2,1.25\n").Moving)

	r := read("time (s),speed (m/s),distance (m)\n0,5,100\n1,5,359.875\n2,5,359.875\n3,5,10\n4,5,15\n")
	assert.Equal(t, 259.875+5, r.Meters, "as far as the fastest board and the coarsest counter go; a new beginning adds nothing")
	r = read("time (s),speed (m/s),distance (m)\n0,5,100\n1,5,360\n2,5,365\n")
	assert.Equal(t, 5.0, r.Meters, "further is a leap")
	assert.True(t, r.ByCounter)
	r = read("time (s),speed (m/s),distance (m)\n0,5,100\n1,5,100\n2,5,100\n")
	assert.Equal(t, 10.0, r.Meters, "a counter that stands still counts nothing")
	assert.False(t, r.ByCounter)

	r = read("time (s),speed (m/s),voltage,battery current\n0,5,70,1\n1,5,70,2\n2,5,70,0\n")
	assert.Nil(t, r.MostBackA, "nothing came back")
	per, ok := r.PerMeter()
	assert.False(t, ok, "%v: ten meters tell no consumption", per)
	for back, want := range map[float64]bool{6: false, 6.0625: true} { // of 5 J out
		g := gather{sums: rideSums{powered: 1, out: 5, back: back}}
		g.begin(Settings{})
		g.finish(&r)
		assert.Equal(t, want, r.SignDoubt, back)
	}
}

// A sag is held against readings without current too, but not against those in which some came back, nor against those ten seconds old.
func TestWhatASagIsHeldAgainst(t *testing.T) {
	for _, c := range []struct {
		what  string
		first string // volts and amps
		wait  int
		want  float64
	}{
		{"no current", "75,0", 1, 5},
		{"a load", "75,2", 1, 5},
		{"current back", "75,-0.5", 1, 0},
		{"nine seconds ago", "75,0", 9, 5},
		{"ten seconds ago", "75,0", 10, 0},
	} {
		text := "time (s),speed (m/s),voltage,battery current\n0,5," + c.first + "\n"
		for i := range c.wait - 1 {
			text += fmt.Sprintf("%d,5,,\n", i+1)
		}
		text += fmt.Sprintf("%d,5,70,8\n", c.wait)
		r, failure := Read([]byte(text), Settings{})
		require.Empty(t, failure)
		require.NotNil(t, r.WorstSag, c.what)
		assert.Equal(t, c.want, r.WorstSag.Value, c.what)
	}
}

// steps feeds one-second blocks of speed and duty.
func steps(list ...[2]float64) (found []Stretch) {
	var s steadier
	for i, x := range list {
		s.add(&block{line: i + 2, at: Row{Time: float64(i) + 0.5, Speed: x[0], Duty: x[1], PackV: 70, BatteryA: math.NaN(), Altitude: math.NaN()}})
	}
	found, _ = s.result()
	return found
}

func TestBoundsOfSteadiness(t *testing.T) {
	same := func(n int, v, d float64) (list [][2]float64) {
		for range n {
			list = append(list, [2]float64{v, d})
		}
		return list
	}
	assert.Empty(t, steps(same(3, 5, 0.5)...))
	require.Len(t, steps(same(4, 5, 0.5)...), 1)
	assert.Equal(t, 4.0, steps(same(4, 5, 0.5)...)[0].Seconds)
	assert.Len(t, steps(same(20, 5, 0.5)...), 1)
	assert.Len(t, steps(same(24, 5, 0.5)...), 2, "twenty seconds and four")
	assert.Len(t, steps(same(23, 5, 0.5)...), 1, "three are too few")
	assert.Len(t, steps(same(4, 2, 0.5)...), 1)
	assert.Empty(t, steps(same(4, 1.9375, 0.5)...), "slower is balanced more than ridden")
	// The fifth block stands off the mean of the four before by as much as it may, and by more.
	within := func(v, d float64) float64 { return steps(append(same(4, 8, 0.5), [2]float64{v, d})...)[0].Seconds }
	assert.Equal(t, 5.0, within(8+speedWithin-1e-9, 0.5))
	assert.Equal(t, 4.0, within(8+speedWithin+1e-9, 0.5))
	assert.Equal(t, 5.0, within(8, 0.5+dutyWithin-1e-9))
	assert.Equal(t, 4.0, within(8, 0.5+dutyWithin+1e-9))
	assert.Equal(t, 4.0, within(8, 0.5-dutyWithin-1e-9))
	// A change of speed of 0.12 m/s² over three seconds, and a little more.
	ramp := func(by float64) [][2]float64 {
		return [][2]float64{{8, 0.5}, {8 + by, 0.5}, {8 + 2*by, 0.5}, {8 + 3*by, 0.5}}
	}
	assert.Len(t, steps(ramp(changeMost-1e-9)...), 1)
	assert.Empty(t, steps(ramp(changeMost+1e-9)...))

	// Half of the blocks must hold a quantity for the stretch to have it.
	var s steadier
	for i := range 8 {
		amps := 5.0
		if i >= 4 {
			amps = math.NaN()
		}
		s.add(&block{at: Row{Time: float64(i), Speed: 5, Duty: math.NaN(), PackV: 70, BatteryA: amps, PhaseA: map[bool]float64{true: 9, false: math.NaN()}[i < 3], Altitude: 100}})
	}
	found, _ := s.result()
	require.Len(t, found, 1, "a duty that is not logged stands in no way")
	assert.Equal(t, 5.0, found[0].BatteryA)
	assert.True(t, math.IsNaN(found[0].PhaseA) && math.IsNaN(found[0].Duty))

	// What comes after a gap begins anew.
	s = steadier{}
	for i := range 8 {
		s.add(&block{at: Row{Time: float64(i), Speed: 5, Duty: 0.5}, broken: i == 4})
	}
	found, _ = s.result()
	assert.Len(t, found, 2)
}

func TestBlocksAreBrokenByGaps(t *testing.T) {
	for gap, want := range map[float64]bool{5: false, 6: true} {
		var b blocks
		b.add(&Row{Time: 0.5}, 2)
		_, ok := b.add(&Row{Time: 0.5 + gap}, 3)
		require.True(t, ok)
		last, ok := b.end()
		require.True(t, ok)
		assert.Equal(t, want, last.broken, gap)
	}
	var b blocks
	_, ok := b.end()
	assert.False(t, ok)
}
