package ridelog

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// problems are counts and first lines in short.
func problems(r *Ride) string {
	var list []string
	for _, p := range r.Problems {
		list = append(list, fmt.Sprintf("%d/%v×%d@%d", p.Trouble, p.Of, p.Count, p.Line))
	}
	return strings.Join(list, " ")
}

func TestTroublesAreCountedWithTheirFirstLine(t *testing.T) {
	for _, c := range []struct {
		name, rows  string
		rowsN, used int
		want        string
	}{
		{"nothing", "0,1,70\n1,1,70\n2,1,70\n", 3, 3, ""},
		{"empty cells", "0,,70\n1,1,\n2,,70\n", 3, 3, "11/speed×2@2 11/pack voltage×1@3"},
		{"no numbers", "0,1,70\n1,fast,70\n2,2,n/a\n3,2,70\n", 4, 4, "9/speed×1@3 9/pack voltage×1@4"},
		{"implausible", "0,1,70\n1,999,70\n2,2,-3\n3,2,70\n", 4, 4, "10/speed×1@3 10/pack voltage×1@4"},
		{"the same time", "0,1,70\n1,2,70\n1,3,70\n2,3,70\n", 4, 3, "4/time×1@4"},
		{"rows out of order", "0,1,70\n2,2,70\n1,3,70\n3,3,70\n", 4, 3, "5/time×1@4"},
		{"a time far ahead", "0,1,70\n1,2,70\n9999,3,70\n2,3,70\n3,3,70\n", 5, 4, "6/time×1@4"},
		{"a time far back", "100,1,70\n101,2,70\n1,3,70\n102,3,70\n103,3,70\n", 5, 4, "6/time×1@4"},
		{"the clock begins anew", "100,1,70\n101,2,70\n0,3,70\n1,3,70\n2,3,70\n", 5, 5, "7/time×1@4"},
		{"a pause", "0,1,70\n1,2,70\n500,3,70\n501,3,70\n", 4, 4, "8/time×1@4"},
		{"a short pause", "0,1,70\n1,2,70\n7,3,70\n8,3,70\n", 4, 4, "8/time×1@4"},
		{"no time", "0,1,70\n,2,70\nx,3,70\n3,3,70\n4,3,70\n5,3,70\n", 6, 4, "3/time×2@3"},
		{"cells too few and too many", "0,2,70\n1,1\n2,2,70,9\n3,2,70,9\n4,2,70\n5,2,70\n6,2,70\n7,2,70\n", 8, 8, "1/not used×1@3 2/not used×2@4"},
		{"empty lines", "0,1,70\n\n\n1,1,70\n2,1,70\n", 3, 3, ""},
		{"the last time of all is far", "0,1,70\n1,1,70\n2,1,70\n9999,1,70\n", 4, 3, "6/time×1@5"},
	} {
		for _, end := range []string{"\n", "\r\n"} {
			r, failure := Read([]byte(strings.ReplaceAll("time (s),speed (km/h),voltage\n"+c.rows, "\n", end)), Settings{})
			require.Empty(t, failure, c.name)
			assert.Equal(t, c.want, problems(&r), c.name)
			assert.Equal(t, c.rowsN, r.Rows, c.name)
			assert.Equal(t, c.used, r.Used, c.name)
		}
	}
}

func TestTimesOfTheClock(t *testing.T) {
	read := func(text string) Ride {
		r, failure := Read([]byte(text), Settings{})
		require.Empty(t, failure)
		return r
	}
	r := read("time,speed\n23:59:58,36\n23:59:59,36\n00:00:00,36\n00:00:01,36\n")
	assert.Equal(t, 3.0, r.Seconds, "midnight is no trouble")
	assert.Empty(t, problems(&r))
	assert.InDelta(t, 30, r.Meters, 1e-9)

	r = read("time,speed\n2026-12-31T23:59:59Z,36\n2027-01-01T00:00:01Z,36\n2027-01-01T00:00:02Z,36\n")
	assert.Equal(t, 3.0, r.Seconds)

	// Three rows in each second are a third of a second apart.
	var text strings.Builder
	text.WriteString("time,speed\n")
	for i := range 300 {
		fmt.Fprintf(&text, "10:%02d:%02d,%d\n", i/180, i/3%60, 36)
	}
	r = read(text.String())
	assert.True(t, r.Layout.Spread)
	assert.Equal(t, 300, r.Used)
	assert.Empty(t, problems(&r))
	assert.InDelta(t, 99+2./3, r.Seconds, 0.5)
	assert.InDelta(t, 10*r.Seconds, r.Meters, 1e-6)

	r = read("time (ms),speed (m/s)\n1700000000000,10\n1700000000500,10\n1700000001000,10\n")
	assert.InDelta(t, 1, r.Seconds, 1e-6)
	assert.InDelta(t, 10, r.Meters, 1e-5)
}

// Signs, powers and backward riding, worked by hand: 10 s at 70 V and 10 A are 7 kJ.
func TestCurrentsAreTurnedTheRightWay(t *testing.T) {
	rows := func(head, row string) string {
		text := head + "\n"
		for i := range 11 {
			text += fmt.Sprintf("%d,%s\n", i, row)
		}
		return text
	}
	for name, text := range map[string]string{
		"plain":    rows("time,speed,voltage,battery current", "36,70,10"),
		"negative": rows("time,speed,voltage,battery current", "36,70,-10"),
		"power":    rows("time,speed,voltage,power (kW)", "36,70,0.7"),
		"backward": rows("time,speed,voltage,battery current", "-36,70,10"),
		"milli":    rows("time,speed,voltage (mV),battery current (mA)", "36,70000,10000"),
	} {
		r, failure := Read([]byte(text), Settings{})
		require.Empty(t, failure, name)
		assert.InDelta(t, 7000, r.Out, 1e-9, name)
		assert.InDelta(t, 0, r.Back, 1e-9, name)
		assert.InDelta(t, 100, r.Meters, 1e-9, name)
		assert.InDelta(t, 100, r.Charge, 1e-9, name)
		per, ok := r.PerMeter()
		assert.True(t, ok)
		assert.InDelta(t, 70, per, 1e-9, name)
		assert.False(t, r.SignDoubt, name)
	}
	// A log that begins downhill is guessed wrong, and says so.
	var text strings.Builder
	text.WriteString("time,speed,voltage,battery current\n")
	for i := range 4000 {
		amps := 12
		if i < 1000 {
			amps = -3
		}
		fmt.Fprintf(&text, "%d,20,70,%d\n", i, amps)
	}
	r, failure := Read([]byte(text.String()), Settings{})
	require.Empty(t, failure)
	assert.True(t, r.SignDoubt)
	r.Layout.Columns[3].Flip = !r.Layout.Columns[3].Flip
	r, _ = Read([]byte(text.String()), Settings{Layout: &r.Layout})
	assert.False(t, r.SignDoubt)
	assert.InDelta(t, 70*3000*12, r.Out, 70*15)
}

// someLog is a log of random walks with holes, spoilt cells and pauses.
func someLog(seed uint64, rows int) string {
	lots := rand.New(rand.NewPCG(seed, 5))
	var text strings.Builder
	text.WriteString("time_ms;speed_kmh;duty;pack_v;battery_a;phase_a;trip_km;motor_temp;altitude\r\n")
	at, v, trip := 0.0, 10.0, 0.0
	for range rows {
		step := 0.05 + 0.1*lots.Float64()
		switch {
		case lots.IntN(200) == 0:
			step = 30 * lots.Float64()
		case lots.IntN(100) == 0:
			step = -step
		}
		at += step
		v = math.Abs(v + 2*lots.NormFloat64())
		trip += v / 3.6e3 * math.Abs(step)
		cells := []string{fmt.Sprintf("%.0f", 1000*at), fmt.Sprintf("%.1f", v), fmt.Sprintf("%.3f", min(1, v/50)), fmt.Sprintf("%.2f", 70+lots.NormFloat64()),
			fmt.Sprintf("%.2f", 6+10*lots.NormFloat64()), fmt.Sprintf("%.1f", 30*lots.NormFloat64()), fmt.Sprintf("%.3f", trip), fmt.Sprintf("%.0f", 40+lots.NormFloat64()), fmt.Sprintf("%.1f", 100+lots.NormFloat64())}
		for i := range cells {
			switch lots.IntN(60) {
			case 0:
				cells[i] = ""
			case 1:
				cells[i] = "\"" + cells[i] + "\""
			case 2:
				if lots.IntN(8) == 0 {
					cells[i] = "x"
				}
			}
		}
		text.WriteString(strings.ReplaceAll(strings.Join(cells, ";"), ".", ",") + "\r\n")
	}
	return text.String()
}

// The same log in two pieces cut at every byte, and letter by letter, is the same ride to the last bit. (A NaN is not itself, so rides are
// compared as they print.)
func TestPiecesMayEndAnywhere(t *testing.T) {
	text := []byte(someLog(1, 22))
	set := Settings{Wanted: 0.025}
	print := func(r Ride, failure string) string { return deep(&r) + failure }
	want := print(Read(text, set))
	require.Contains(t, want, "0.0")
	for at := 0; at <= len(text); at++ {
		r := NewReader(set)
		r.Feed(text[:at])
		r.Feed(text[at:])
		require.Equal(t, want, print(r.Finish()), "cut at %d", at)
	}
	// And one longer than the head, in pieces of odd lengths.
	text = []byte(someLog(2, 3000))
	require.Greater(t, len(text), HeadBytes)
	want = print(Read(text, set))
	for _, size := range []int{1, 7, 1021, HeadBytes - 1, HeadBytes, HeadBytes + 1} {
		r := NewReader(set)
		for from := 0; from < len(text); from += size {
			r.Feed(text[from:min(from+size, len(text))])
		}
		require.Equal(t, want, print(r.Finish()), "in pieces of %d", size)
	}
}

// deep prints what pointers of a ride hide.
func deep(r *Ride) string {
	var s strings.Builder
	list := []*Extreme{r.TopSpeed, r.HighestDuty, r.LowestV, r.HighestV, r.WorstSag, r.MostA, r.MostBackA, r.MostPhaseA, r.MotorC, r.ControllerC}
	if r.Reserve != nil {
		list = append(list, &r.Reserve.Least)
	}
	for _, e := range list {
		if e != nil {
			if e.Alone != nil {
				fmt.Fprintf(&s, "%v ", *e.Alone)
				e.Alone = nil
			}
			fmt.Fprintf(&s, "%v ", *e)
		}
	}
	if r.Resistance != nil {
		fmt.Fprintf(&s, "%v ", *r.Resistance)
	}
	if r.Reserve != nil {
		fmt.Fprintf(&s, "%v ", *r.Reserve)
	}
	// What is printed of pointers is where they point, which differs.
	r.TopSpeed, r.HighestDuty, r.LowestV, r.HighestV, r.WorstSag, r.MostA, r.MostBackA, r.MostPhaseA, r.MotorC, r.ControllerC = nil, nil, nil, nil, nil, nil, nil, nil, nil, nil
	r.Resistance, r.Reserve = nil, nil
	return s.String() + fmt.Sprintf("%+v", *r)
}
