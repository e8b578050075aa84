package core_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/review"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// heavy is a long-range board on hills: 24s3p, 95 kg, 12 % up and down at up to 32 km/h.
var heavy = []string{"s", "24", "p", "3", "motor", "hub65-wide", "kpa", "150", "ctrl", "c130", "tire", "slick-65", "rider", "95", "cruise", "32",
	"profile", "hills", "fusetype", "battery-450", "split", "12", "boxl", "230", "box2l", "230", "phase", "140", "batt", "55"}

func heavyWith(t testing.TB, pairs ...string) core.Report {
	t.Helper()
	return plan(t, append(append([]string{}, heavy...), pairs...)...)
}

func setting(t testing.TB, r core.Report, key string) review.Row {
	t.Helper()
	for _, row := range r.Settings {
		if row.Key == key {
			return row
		}
	}
	t.Fatalf("no setting %q", key)
	return review.Row{}
}

func text(v float64) string { return strconv.FormatFloat(v, 'f', 9, 64) }

// A limit of braking that is cut by itself must not be taken for what the ride asks for: the row is over until the hill is held, and what it
// recommends holds it.
func TestRegenerationThatCannotHoldTheHill(t *testing.T) {
	for _, amps := range []string{"0", "1", "2", "4", "5"} {
		r := heavyWith(t, "regen", amps)
		require.Equal(t, limit.Over, codes(r)["descent"], amps)
		row := setting(t, r, "regen")
		assert.Equal(t, limit.Over, row.Status, "%s A", amps)
		assert.Equal(t, limit.Over, codes(r)["settings"], "%s A", amps)
		taken := heavyWith(t, "regen", text(row.Should))
		assert.NotContains(t, codes(taken), "descent", "%s A", amps)
		assert.Equal(t, limit.Clear, setting(t, taken, "regen").Status, "%s A", amps)
	}
	// The bound is the same whatever is set, and what the ride pushes back is told with the limit lifted.
	free, cut := setting(t, heavyWith(t, "regen", "30"), "regen"), setting(t, heavyWith(t, "regen", "2"), "regen")
	assert.InEpsilon(t, *free.LimitLow, *cut.LimitLow, 1e-3)
	assert.InEpsilon(t, *free.Low, *cut.Low, 1e-3)
	assert.Contains(t, cut.Why, "braking on this ride pushes back up to 6.3 A.")
	assert.Contains(t, free.Why, "braking on this ride pushes back up to 6.3 A.")
}

// A steady way down, against the plan itself: just above the bound what the board holds is steeper than the ride, just below it is not.
func TestRegenerationBoundAgainstThePlan(t *testing.T) {
	for _, c := range [][]string{
		{"grade", "-12", "cruise", "20"}, {"grade", "-20", "cruise", "30"}, {"grade", "-8", "cruise", "12", "p", "6"}, {"grade", "-25", "cruise", "8", "start", "60"},
		{"grade", "-15", "cruise", "35", "fw", "20", "p", "6"}, {"grade", "-6", "cruise", "25", "rider", "120"},
	} {
		// A ride downhill uses no charge, so it ends where it starts: one charge counts.
		row := setting(t, plan(t, c...), "regen")
		require.NotNil(t, row.LimitLow, c)
		// Half a millimeter of reserve is what is told as none: 0.5e-3·rider·g of torque, so the plan's own edge lies a little lower.
		edge := solveEdge(0, 60, func(amps float64) bool {
			r := plan(t, append(append([]string{}, c...), "regen", text(amps))...)
			return r.Regen.MaxDescentPct == nil || *r.Regen.MaxDescentPct >= r.Regen.RidePct
		})
		assert.Greater(t, *row.LimitLow, edge*(1-1e-6), c)
		assert.InDelta(t, edge, *row.LimitLow, 0.02*edge+0.5, c)
		assert.Equal(t, limit.Over, setting(t, plan(t, append(append([]string{}, c...), "regen", text(edge*0.99))...), "regen").Status, c)
	}
}

// Where voltage and not the limit keeps the way down from being held, no setting of the limit is right.
func TestRegenerationThatNoLimitHolds(t *testing.T) {
	r := plan(t, "grade", "-25", "cruise", "25", "p", "1", "regen", "300", "ovv", "76")
	require.Equal(t, limit.Over, codes(r)["descent"])
	row := setting(t, r, "regen")
	assert.Equal(t, limit.Over, row.Status)
	r = plan(t, "grade", "-25", "cruise", "25", "p", "6", "regen", "20", "ovv", "76")
	require.Equal(t, limit.Over, codes(r)["descent"])
	row = setting(t, r, "regen")
	assert.Equal(t, limit.Over, row.Status)
	assert.Contains(t, row.Why, "no setting here changes that: it is set by controller voltage.")
}

// solveEdge returns where between low and high a test turns from false to true.
func solveEdge(low, high float64, holds func(float64) bool) float64 {
	for range 40 {
		if mid := (low + high) / 2; holds(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return (low + high) / 2
}

func dropped(r core.Report) bool {
	notes := codes(r)
	return notes["no-reserve"] == limit.Over || notes["no-ride"] == limit.Over
}

// Each bound from the ride against the plan itself, by trying settings one after the other: where the rider begins to be dropped, or no range
// is left, the row turns over.
func TestBoundsFromTheRideAgainstThePlan(t *testing.T) {
	boards := [][]string{heavy, {}, {"fw", "25", "cruise", "28"}, {"profile", "stopgo", "cruise", "26"}, {"cruise", "18", "coil", "105", "p", "4"},
		{"cruise", "20", "grade", "8", "p", "6", "shift", "30", "start", "70", "heat", "on"}}
	bounds := 0
	for _, board := range boards {
		for _, c := range []struct {
			key       string
			low, high float64
		}{{"duty", 60, 100}, {"phase", 10, 200}, {"batt", 5, 100}, {"derate", 40, 130}, {"coilmax", 50, 180}, {"vcut", 10, 160}} {
			of := func(v float64) core.Report { return plan(t, append(append([]string{}, board...), c.key, text(v))...) }
			row := setting(t, plan(t, board...), c.key)
			name := strings.Join(board, " ") + ": " + c.key
			bound := row.LimitLow
			if c.key == "vcut" {
				bound = row.LimitHigh
			}
			if bound == nil || *bound <= c.low || *bound >= c.high {
				continue // beyond what can be entered
			}
			up := c.key != "vcut"
			kindest := c.high
			if !up {
				kindest = c.low
			}
			if dropped(of(kindest)) {
				continue // another setting drops the rider whatever this one is
			}
			bounds++
			edge := solveEdge(c.low, c.high, func(v float64) bool { return dropped(of(v)) != up })
			if c.key == "coilmax" && edge > 130 {
				// No usual end makes up for so early a fall: that is what is over.
				assert.Equal(t, limit.Over, setting(t, of(125), "derate").Status, name)
				continue
			}
			assert.InEpsilon(t, edge, *bound, 2e-3, name)
			for _, share := range []float64{0.995, 1.005} {
				r := of(edge * share)
				over := share < 1 == up
				require.Equal(t, over, dropped(r), name)
				got := setting(t, r, c.key)
				assert.Equal(t, over, got.Status == limit.Over, "%s: %s", name, got.Why)
				if over {
					assert.Equal(t, limit.Over, codes(r)["settings"], name)
					assert.False(t, dropped(of(got.Should)), "%s: what it should be holds the rider", name)
				}
			}
		}
	}
	assert.Greater(t, bounds, 15)
}

// The settings of the walk that read clear and dropped the rider.
func TestSettingsThatAreTooLow(t *testing.T) {
	for _, c := range []struct {
		key   string
		pairs []string
	}{
		{"duty", []string{"duty", "60"}}, {"coilmax", []string{"derate", "40", "coilmax", "50"}}, {"vcut", []string{"vcut", "95"}},
		{"coilmax", []string{"coilmax", "80"}}, {"phase", []string{"phase", "30"}}, {"batt", []string{"batt", "10"}},
	} {
		b := build.Default()
		for i := 0; i < len(heavy); i += 2 {
			require.Nil(t, build.FieldFor(heavy[i]).Set(&b, heavy[i+1]))
		}
		for i := 0; i < len(c.pairs); i += 2 {
			require.Nil(t, build.FieldFor(c.pairs[i]).Set(&b, c.pairs[i+1]))
		}
		r, err := core.Plan(b)
		require.NoError(t, err)
		row := setting(t, r, c.key)
		assert.Equal(t, limit.Over, row.Status, "%v", c.pairs)
		assert.Equal(t, limit.Over, codes(r)["settings"], "%v", c.pairs)
		assert.Contains(t, noteOf(r, "no-reserve"), "A setting is enough to do this: ", "%v", c.pairs)
		assert.Contains(t, noteOf(r, "no-reserve"), strings.ToLower(row.Label[:1])+row.Label[1:]+", too ", "%v", c.pairs)
		// Pressing what the check offers, the worst first, ends with a board that holds its rider.
		for range 8 {
			worst := r.Settings[0]
			if worst.Status != limit.Over && worst.Status != limit.Tight {
				break
			}
			build.FieldFor(worst.Key).SetValue(&b, worst.Should)
			r, err = core.Plan(b)
			require.NoError(t, err)
		}
		assert.Equal(t, limit.Clear, r.Settings[0].Status, "%v: %s", c.pairs, r.Settings[0].Why)
		assert.False(t, dropped(r), "%v", c.pairs)
	}
	// A board too weak for its speed is no setting's fault.
	assert.NotContains(t, noteOf(plan(t, "cruise", "100"), "no-reserve"), "A setting")
}

func noteOf(r core.Report, code string) string {
	for _, n := range r.Notes {
		if n.Code == code {
			return n.Text
		}
	}
	return ""
}

// The controller's temperature against a balance by hand, of a steady ride on the level.
func TestControllerTemperatureFromItsLosses(t *testing.T) {
	r := plan(t, "profile", "steady", "temp", "25", "warm", "12", "ctrlt", "40", "p", "4")
	var phase float64
	for _, row := range r.Protection.Rows {
		if row.Part == "controller phases" {
			phase = row.LoadA
		}
	}
	require.Positive(t, phase)
	c := r.Model.Controller
	volts := r.Model.Pack.OpenCircuitV.Low
	loss := func(amps float64) float64 {
		return 1.5*c.OnResistanceOhm*amps*amps + c.SwitchingK*volts*amps + c.StandbyW
	}
	rated := 80 * 2 / math.Sqrt(3) // of the battery side, class of 100 V; P = √3·V_ll,rms·I_rms at full duty
	want := 37 + (110-25)*loss(phase)/loss(rated)
	row := setting(t, r, "ctrlt")
	assert.InEpsilon(t, want, *row.Low, 1e-6)
	assert.InDelta(t, 37, *row.LimitLow, 1e-9)
	assert.Equal(t, limit.Tight, row.Status)
	assert.Equal(t, limit.Tight, codes(r)["settings"])
	assert.Equal(t, limit.Over, setting(t, plan(t, "temp", "30", "warm", "10", "ctrlt", "40"), "ctrlt").Status, "no cooler than the air around it")
	assert.Equal(t, limit.Clear, setting(t, plan(t, "ctrlt", "60"), "ctrlt").Status)
}

// The winding's temperature is the one of the figures, or the one that the ride settles at if that is more; with the ride heating the winding it
// is not the one that the setting cuts off.
func TestWindingTemperatureThatTheLimitsMeet(t *testing.T) {
	settled := *heavyWith(t).Heat.WindingC
	require.Greater(t, settled, 60.0)
	for coil, want := range map[string]float64{"20": *heavyWith(t, "coil", "20").Heat.WindingC, "100": 100} {
		assert.InDelta(t, want, *setting(t, heavyWith(t, "coil", coil), "derate").Low, 1e-5, coil)
	}
	r := heavyWith(t, "heat", "on", "derate", "40", "coilmax", "50")
	assert.Greater(t, *setting(t, r, "derate").Low, 55.0)
	assert.Equal(t, limit.Over, setting(t, r, "coilmax").Status)
}
