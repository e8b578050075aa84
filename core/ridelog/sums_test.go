package ridelog

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// edited reads the example log with its cells changed; c[0] is the time.
func edited(t *testing.T, change func(i int, c []string)) Ride {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/ride_log.csv")
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSpace(string(raw)), "\n")
	for i := range lines {
		if c := strings.Split(lines[i], ","); i > 0 && change != nil {
			change(i, c)
			lines[i] = strings.Join(c, ",")
		}
	}
	r, failure := Read([]byte(strings.Join(lines, "\n")), Settings{Model: NewModel(boards["standard"]), Wanted: 0.025})
	require.Empty(t, failure)
	return r
}

// Blanks that come and go change energy by little: by less than a two-hundredth of what the example has without them.
func TestShortBlanksChangeNoSum(t *testing.T) {
	whole := edited(t, nil)
	want, ok := whole.PerMeter()
	require.True(t, ok)
	for name, change := range map[string]func(i int, c []string){
		"a seventh of the cells": func() func(i int, c []string) {
			lots := rand.New(rand.NewPCG(1, 2))
			return func(_ int, c []string) {
				for j := 1; j < len(c); j++ {
					if lots.Float64() < 0.15 {
						c[j] = ""
					}
				}
			}
		}(),
		"fields by turns":     func(i int, c []string) { c[3+i%2] = "" },
		"every fourth row":    func(i int, c []string) { c[4] = map[bool]string{true: c[4]}[i%4 == 0] },
		"no counter, and two": func(i int, c []string) { c[6], c[3+i%2] = "", "" },
	} {
		r := edited(t, change)
		got, ok := r.PerMeter()
		assert.True(t, ok, name)
		assert.InEpsilon(t, whole.Out, r.Out, 0.005, name)
		assert.InDelta(t, whole.Back, r.Back, 0.005*whole.Out, name)
		assert.InEpsilon(t, whole.Charge, r.Charge, 0.005, name)
		assert.InEpsilon(t, want, got, 0.005, name)
		assert.InEpsilon(t, whole.Moving, r.Moving, 0.005, name)
	}
}

// 700 W at 5 m/s are 140 J/m, whatever is missing: what was not summed is in neither the energy nor the way.
func TestEnergyAndItsWayAreOfTheSameTime(t *testing.T) {
	read := func(head string, row func(i int) string) Ride {
		var text strings.Builder
		text.WriteString("time (s),speed (m/s)," + head + "\n")
		for i := range 401 {
			if i > 300 && i < 320 {
				continue // a gap
			}
			text.WriteString(fmt.Sprintf("%d,", i) + row(i) + "\n")
		}
		r, failure := Read([]byte(text.String()), Settings{})
		require.Empty(t, failure)
		return r
	}
	blank := func(i int, cell string) string { // a hundred seconds without
		if i > 100 && i <= 200 {
			return ""
		}
		return cell
	}
	const known = 400 - 20 - 100 // s: less the gap and the blank of 101 s, over whose first second the current is carried
	for name, r := range map[string]Ride{
		"by speed": read("voltage,battery current (A)", func(i int) string { return "5,70," + blank(i, "10") }),
		"by a counter of meters": read("voltage,battery current (A),distance (m)", func(i int) string {
			return "5,70," + blank(i, "10") + fmt.Sprintf(",%d", 5*i)
		}),
		"by a coarse counter": read("voltage,battery current (A),distance (km)", func(i int) string {
			return "5,70," + blank(i, "10") + fmt.Sprintf(",%.1f", float64(5*i/100)/10)
		}),
		"by a counter, no speed": read("voltage,battery current (A),distance (m)", func(i int) string {
			return ",70," + blank(i, "10") + fmt.Sprintf(",%d", 5*i)
		}),
		"power with no volts": read("power (W)", func(i int) string { return "5," + blank(i, "700") }),
		"power and volts":     read("power (W),voltage (V)", func(i int) string { return "5," + blank(i, "700") + ",70" }),
	} {
		per, ok := r.PerMeter()
		assert.True(t, ok, name)
		assert.InEpsilon(t, 140, per, 1e-9, name)
		assert.Equal(t, known*1.0, r.PoweredS, name)
		assert.InDelta(t, 700*known, r.Out, 1e-6, name)
		way := 380.0 // s of 5 m/s
		if r.ByCounter {
			way = 400 // a counter counts on while nothing is logged
		}
		assert.InDelta(t, known/way, r.Summed(), 0.005, name)
	}
	r := read("voltage,battery current (A)", func(i int) string { return "," + "70,10" })
	_, ok := r.PerMeter()
	assert.False(t, ok, "no way")
	assert.Equal(t, 380./400, r.Summed(), "of the time then")
	assert.Equal(t, 10*380.0, r.Charge)
	assert.Equal(t, 380.0, r.ChargedS)
	r = read("altitude", func(int) string { return "5,1" })
	assert.Zero(t, r.Summed())
}

func TestBoundOfTheCarrying(t *testing.T) {
	for apart, want := range map[float64]float64{1.25: 1.25, 1.25 + 1./64: 0} {
		var s rideSums
		var c carrier
		a := c.fill(&Row{Time: 1, Speed: 5, PackV: 70, BatteryA: 10}, false)
		row := noRow()
		row[Time] = 1 + apart
		b := c.fill(&row, false)
		s.between(&a, &b, apart)
		assert.Equal(t, want, s.powered, apart)
		assert.Equal(t, 700*want, s.out, apart)
	}
}

// A counter that leaps takes the energy of the time before with it.
func TestACounterThatLeapsPairsNothing(t *testing.T) {
	text := "time (s),speed (m/s),voltage,battery current (A),distance (m)\n"
	for i := range 200 {
		at := 5 * i
		if i >= 100 {
			at += 100000
		}
		text += fmt.Sprintf("%d,5,70,10,%d\n", i, at)
	}
	r, failure := Read([]byte(text), Settings{})
	require.Empty(t, failure)
	assert.Equal(t, 5*198.0, r.PairedM)
	assert.Equal(t, 700*198.0, r.PairedJ)
}
