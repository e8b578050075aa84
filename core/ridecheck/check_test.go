package ridecheck_test

import (
	"maps"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/balance"
	"headroom/core/build"
	"headroom/core/limit"
	rc "headroom/core/ridecheck"
)

func sorted(m map[string]float64) []string { return slices.Sorted(maps.Keys(m)) }

func balanceX(b *build.Build, p *build.Parts, radius float64) float64 {
	return balance.Of(b, p, radius).ForwardMm * 1e-3
}

// off is a check of a reading that is some factor of what is predicted.
func off(t *testing.T, b build.Build, k rc.Kind, a rc.At, factor float64) rc.Check {
	t.Helper()
	m := rc.Measurement{Kind: k, At: a}
	m.Value = one(t, b, m).Predicted * factor
	return one(t, b, m)
}

// TestWhatItMostLikelyMeans alters one thing and reads the cause. That the right one is named follows from the physics of each kind; the size
// from that kind's own equation: proportional, but for what of a pack is not cells (some 6 %) and of a duty is not the magnets' voltage.
func TestWhatItMostLikelyMeans(t *testing.T) {
	b := build.Default()
	for _, c := range []struct {
		kind   rc.Kind
		at     rc.At
		factor float64
		cause  string
		alone  float64
		word   string
	}{
		{rc.FreeSpinTurns, rc.At{BusV: 70}, 1.3, "Motor Kv", 0.3, "higher"},
		{rc.FreeSpinTurns, rc.At{BusV: 70}, 0.75, "Motor Kv", -0.25, "lower"},
		{rc.Rollout, rc.At{}, 1.09, "Tire radius", 0.09, "larger"},
		{rc.LeadsOhm, rc.At{Celsius: 20}, 1.6, "Motor resistance", 0.6, "higher"},
		{rc.PackResistance, rc.At{Charge: 0.5}, 2, "Cell resistance", 1.06, "higher"},
		{rc.Capacity, rc.At{RestV: 73, EndV: 58}, 0.7, "Usable capacity", -0.3, "smaller"},
		{rc.BoardMass, rc.At{}, 1.15, "Board mass", 0.15, "heavier"},
		{rc.Duty, rc.At{BusV: 70, Speed: 7}, 0.7, "Motor Kv", 1/0.7 - 1, "higher"},
		{rc.EnergyUsed, rc.At{Charge: 0.9, Speed: 5, Meters: 3000}, 1.7, "Rolling coefficient", 1, "higher"},
	} {
		got := off(t, b, c.kind, c.at, c.factor)
		require.Empty(t, got.Skipped)
		assert.NotEqual(t, limit.Clear, got.Status, c.kind)
		require.NotEmpty(t, got.Causes)
		assert.Equal(t, c.cause, got.Causes[0].Label, "%s: %v", c.kind, got.Causes)
		assert.InDelta(t, c.alone, got.Causes[0].Alone, 0.22*math.Abs(c.alone), c.kind)
		assert.Contains(t, got.Means, "Most likely the "+string(c.cause[0]|0x20)+c.cause[1:])
		assert.Contains(t, got.Means, c.word)
	}
	// The shares make up the whole, but for what is too small to tell.
	sum := 0.0
	for _, c := range off(t, b, rc.Duty, rc.At{BusV: 70, Speed: 7}, 0.5).Causes {
		sum += c.Share
	}
	assert.InDelta(t, 1, sum, 0.05)
}

// TestCausesFollowTheInputs: a Kv that was entered is surer than that of a class, so a free-spin speed that is off means something else.
func TestCausesFollowTheInputs(t *testing.T) {
	share := func(b build.Build, label string) float64 {
		for _, c := range off(t, b, rc.FreeSpin, rc.At{BusV: 70}, 1.2).Causes {
			if c.Label == label {
				return c.Share
			}
		}
		return 0
	}
	class, entered := build.Default(), with(t, "kv", "13.5")
	assert.Greater(t, share(class, "Motor Kv"), 0.8)
	assert.Less(t, share(entered, "Motor Kv"), 0.7)
	assert.Greater(t, share(entered, "Tire radius"), 2*share(class, "Tire radius"))
	// Variances add: with (8 %)², (2 %)² and readings of 1 % and 0.5 % the shares follow.
	assert.InDelta(t, 64/(64+4+1+0.25), share(class, "Motor Kv"), 0.02)
}

// TestWhereTheWeightSits: a scale under the nose that shows more means a center further forward, by Δx = Δm·(nose + tail)/m.
func TestWhereTheWeightSits(t *testing.T) {
	b := with(t, "board", "16")
	got := off(t, b, rc.NoseMass, rc.At{}, 1.25)
	require.Equal(t, "Center of mass", got.Causes[0].Label)
	assert.InDelta(t, (got.Value-got.Predicted)*0.86/16, got.Causes[0].Alone, 1e-6)
	assert.Contains(t, got.Means, "mm further forward")
	back := off(t, b, rc.NoseMass, rc.At{}, 0.75)
	assert.Contains(t, back.Means, "mm further back")
}

// TestStatusAtTheEdges: two standard uncertainties are clear, three are tight, and beyond is over.
func TestStatusAtTheEdges(t *testing.T) {
	b := build.Default()
	m := rc.Measurement{Kind: rc.BoardMass, Sigma: 0.1}
	at := one(t, b, m)
	both := math.Hypot(at.Inputs, 0.1)
	assert.InDelta(t, 0.03*at.Predicted, at.Inputs, 1e-6, "a summed mass is stated to 3 %")
	for _, c := range []struct {
		by   float64
		want limit.Status
	}{{1.99, limit.Clear}, {2.01, limit.Tight}, {2.99, limit.Tight}, {3.01, limit.Over}} {
		for _, sign := range []float64{1, -1} {
			m.Value = at.Predicted + sign*c.by*both
			got := one(t, b, m)
			assert.Equal(t, c.want, got.Status)
			assert.InDelta(t, sign*c.by, got.Off, 1e-9)
			assert.Equal(t, c.want == limit.Clear, got.Inside())
		}
	}
	m.Value, m.Sigma = at.Predicted, 3
	assert.Contains(t, one(t, b, m).Means, "reading")
	m.Sigma = 0.1
	assert.Contains(t, one(t, b, m).Means, "inputs")
}

// TestReadings: the usual uncertainty adds up from instrument and conditions, by the root of the sum of squares.
func TestReadings(t *testing.T) {
	b := build.Default()
	m := rc.Measurement{Kind: rc.BoardMass, Value: 20}
	assert.InDelta(t, math.Hypot(0.005*20, 0.1), one(t, b, m).Reading, 1e-12)
	m.Sigma = 0.7
	assert.Equal(t, 0.7, one(t, b, m).Reading)
	// Free spin is proportional to the volts, nearly: 0.5 % of them and 0.5 % of the tachometer.
	m = rc.Measurement{Kind: rc.FreeSpinTurns, Value: 100, At: rc.At{BusV: 70}}
	got := one(t, b, m)
	assert.InDelta(t, math.Hypot(0.5, 0.005*got.Predicted), got.Reading, 0.02)
	// Copper by 2 K: 0.786 % of the value at 20 °C.
	m = rc.Measurement{Kind: rc.LeadsOhm, Value: 0.08, At: rc.At{Celsius: 20}}
	assert.InDelta(t, 0.08*math.Hypot(0.03, 0.00786), one(t, b, m).Reading, 1e-6)
}

func TestMissing(t *testing.T) {
	for _, c := range []struct {
		m    rc.Measurement
		want string
	}{
		{rc.Measurement{Kind: "weather"}, "not known"},
		{rc.Measurement{Kind: rc.FreeSpin}, "How full was the pack?"},
		{rc.Measurement{Kind: rc.Duty, At: rc.At{BusV: 60}}, "Speed is needed"},
		{rc.Measurement{Kind: rc.Duty, At: rc.At{Speed: 5}}, "How full was the pack?"},
		{rc.Measurement{Kind: rc.LoadedVolts, At: rc.At{RestV: 60}}, "Battery current is needed"},
		{rc.Measurement{Kind: rc.LoadedVolts, At: rc.At{BusV: 60, Amps: 10}}, "How full was the pack?"},
		{rc.Measurement{Kind: rc.EnergyUsed, At: rc.At{Charge: 0.9}}, "Distance is needed"},
		{rc.Measurement{Kind: rc.Capacity, At: rc.At{Charge: 0.9}}, "How full was the pack after?"},
		{rc.Measurement{Kind: rc.Capacity, At: rc.At{EndV: 60}}, "How full was the pack? "},
		{rc.Measurement{Kind: rc.Capacity, At: rc.At{RestV: 70, EndCharge: 0.1}}, ""},
		{rc.Measurement{Kind: rc.EnergyUsed, At: rc.At{Charge: 0.9, Meters: 100}}, ""},
		{rc.Measurement{Kind: rc.LeadsOhm}, ""},
		{rc.Measurement{Kind: rc.Rollout}, ""},
		{rc.Measurement{Kind: rc.Duty, At: rc.At{Charge: 0.5, Speed: 5}}, ""},
	} {
		got := c.m.Missing()
		if c.want == "" {
			assert.Empty(t, got)
			continue
		}
		assert.Contains(t, got, c.want)
		assert.Equal(t, got, one(t, build.Default(), c.m).Skipped)
	}
	// What the board cannot do at all is said, not guessed.
	weak := with(t, "cellr", "300", "p", "1")
	assert.Contains(t, one(t, weak, rc.Measurement{Kind: rc.BatteryAmps, At: rc.At{Charge: 0.2, Speed: 15, Grade: 0.3}}).Skipped, "cannot do this")
}

// TestKinds: every kind has what a form needs, and its entries reach their places.
func TestKinds(t *testing.T) {
	seen := map[rc.Kind]bool{}
	for _, k := range rc.Kinds {
		assert.False(t, seen[k.ID])
		seen[k.ID] = true
		assert.NotEmpty(t, k.Label)
		assert.NotEmpty(t, k.Help)
		assert.Same(t, k.ID.Info(), k.ID.Info())
		var m rc.Measurement
		places := map[string]bool{}
		for _, e := range append([]rc.Entry{k.Value}, k.At...) {
			assert.Less(t, e.Min, e.Max)
			assert.Positive(t, e.Scale)
			assert.False(t, places[e.ID], "%s: two entries are called %s", k.ID, e.ID)
			places[e.ID] = true
			e.Set(&m, 7)
			assert.InDelta(t, 7*e.Scale, e.In(&m), 1e-12)
		}
	}
	assert.Len(t, seen, 16)
	assert.Nil(t, rc.Kind("weather").Info())
}

func TestMoreThanAFitTakes(t *testing.T) {
	list := make([]rc.Measurement, rc.MaxMeasurements+5)
	for i := range list {
		list[i] = rc.Measurement{Kind: rc.BoardMass, Value: 17}
	}
	assert.Len(t, rc.CheckAll(build.Default(), list), rc.MaxMeasurements)
}

// TestASecondCauseIsToldWhereItMayBe: with a Kv of a class the tire's share is 6 %, with one that was entered it is a quarter and more.
func TestASecondCauseIsToldWhereItMayBe(t *testing.T) {
	assert.NotContains(t, off(t, build.Default(), rc.FreeSpin, rc.At{BusV: 70}, 1.25).Means, " Or ")
	means := off(t, with(t, "kv", "13.5"), rc.FreeSpin, rc.At{BusV: 70}, 1.25).Means
	assert.Contains(t, means, "Most likely the motor Kv")
	assert.Contains(t, means, ". Or the tire radius")
	assert.Contains(t, means, "25 % higher", "two digits, no more")
	assert.Contains(t, off(t, build.Default(), rc.BoardMass, rc.At{}, 1.085).Means, "8.5 % heavier")
	assert.Equal(t, "Most likely a wrong reading: no input of the build can be so far off that it would explain this. Measure again.",
		off(t, build.Default(), rc.FreeSpinTurns, rc.At{BusV: 70}, 6).Means, "no Kv that can be believed is that far off")
}

// TestLessInReserve: which way is the dangerous one follows from what leaves less voltage, or takes more of it; it is told beyond the reading's
// own uncertainty, inside the band or not.
func TestLessInReserve(t *testing.T) {
	b := build.Default()
	charged := rc.At{Charge: 0.7, Speed: 7, Amps: 30, Meters: 3000, EndCharge: 0.2, Celsius: 20}
	less := map[rc.Kind]float64{rc.FreeSpin: -1, rc.FreeSpinTurns: -1, rc.LoadedVolts: -1, rc.PackResistance: 1, rc.Duty: 1, rc.BatteryAmps: 1}
	for _, kind := range rc.Kinds {
		m := rc.Measurement{Kind: kind.ID, At: charged}
		at := one(t, b, m).Predicted
		m.Sigma = 0.01 * at
		for _, by := range []float64{-1.1, -0.9, 0.9, 1.1} {
			m.Value = at + by*m.Sigma
			got := one(t, b, m)
			assert.Equal(t, limit.Clear, got.Status)
			assert.Equal(t, less[kind.ID]*by > 1, got.Less, "%s, %g", kind.ID, by)
		}
	}
	// Down a hill the battery takes back: more of that than planned is not more load.
	down := rc.Measurement{Kind: rc.BatteryAmps, At: rc.At{Charge: 0.5, Speed: 7, Grade: -0.15}}
	down.Value = one(t, b, down).Predicted * 0.5
	require.Negative(t, down.Value)
	assert.False(t, one(t, b, down).Less)
}

// TestFromWhereTheBoardCannot: with a road ever worse a weak pack can no longer hold the speed. A current before that is explained, by the
// rolling coefficient with which the board, predicted anew, draws it.
func TestFromWhereTheBoardCannot(t *testing.T) {
	b := with(t, "p", "1", "cellr", "60", "cda", "0.9")
	m := rc.Measurement{Kind: rc.BatteryAmps, At: rc.At{RestV: 60, Speed: 6}}
	m.Value = 1.6 * one(t, b, m).Predicted
	cause := one(t, b, m).Causes[0]
	require.Equal(t, "Rolling coefficient", cause.Label)
	require.True(t, cause.Explains)
	f := build.FieldFor("crr")
	worse := b
	f.SetValue(&worse, 3.3*f.Value(&b))
	require.Contains(t, one(t, worse, m).Skipped, "cannot do this")
	f.SetValue(&b, f.Value(&b)*(1+cause.Alone))
	assert.InEpsilon(t, m.Value, one(t, b, m).Predicted, 0.01)
	// Nearly full duty at a crawl is beyond any motor that can be believed.
	m = rc.Measurement{Kind: rc.Duty, At: rc.At{RestV: 72, Speed: 10 / 3.6}, Value: 0.98}
	assert.Contains(t, one(t, build.Default(), m).Means, "wrong reading")
}
