package ridecheck_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/ride"
	rc "headroom/core/ridecheck"
)

// with is the default build with some fields set, in their own units.
func with(t *testing.T, pairs ...string) build.Build {
	t.Helper()
	b := build.Default()
	for i := 0; i < len(pairs); i += 2 {
		require.Nil(t, build.FieldFor(pairs[i]).Set(&b, pairs[i+1]))
	}
	return b
}

func one(t *testing.T, b build.Build, m rc.Measurement) rc.Check {
	t.Helper()
	list := rc.CheckAll(b, []rc.Measurement{m})
	require.Len(t, list, 1)
	return list[0]
}

// TestPredictions: by hand, from what each kind is.
func TestPredictions(t *testing.T) {
	b := with(t, "motorr", "40", "hyst", "0", "eddy", "0", "kv", "14", "duty", "95", "standby", "0", "rider", "80", "board", "16",
		"cellah", "4.5", "soh", "90", "p", "2", "s", "18", "cellr", "16", "linkr", "0.25", "packr", "3", "temp", "25", "nose", "430", "tail", "400")
	p := b.Parts()
	bd := ride.NewBoard(&b, &p)
	for _, c := range []struct {
		name string
		m    rc.Measurement
		want float64
		tol  float64
	}{
		{"copper at 45 °C is 1 + 0.00393·25 of that at 20 °C (IEC 60028)", rc.Measurement{Kind: rc.PhaseOhm, At: rc.At{Celsius: 45}}, 0.040 * 1.09825, 1e-12},
		{"two phases in series between two leads", rc.Measurement{Kind: rc.LeadsOhm, At: rc.At{Celsius: 20}}, 0.080, 1e-12},
		{"one turn is 2π·(r₀ − δ/3)", rc.Measurement{Kind: rc.Rollout}, 2 * math.Pi * (p.Tire.Radius - bd.Road.Tire.Deflection/3), 1e-12},
		{"without drag the wheel turns at Kv times the volts that the duty leaves: 14·70·0.95 rpm", rc.Measurement{Kind: rc.FreeSpinTurns, At: rc.At{BusV: 70}}, 14 * 70 * 0.95 * 2 * math.Pi / 60, 1e-4},
		{"without drag and standby nothing is drawn but what switching takes of no current", rc.Measurement{Kind: rc.FreeSpinAmps, At: rc.At{BusV: 70}}, 0, 1e-6},
		{"Ohm's law from the rest voltage", rc.Measurement{Kind: rc.LoadedVolts, At: rc.At{Charge: 0.5, Amps: 20}}, bd.Pack.At(0.5).OpenCircuit - 20*bd.Pack.At(0.5).Resistance, 1e-9},
		{"the same by its voltage", rc.Measurement{Kind: rc.LoadedVolts, At: rc.At{RestV: bd.Pack.At(0.5).OpenCircuit, Amps: 20}}, bd.Pack.At(0.5).OpenCircuit - 20*bd.Pack.At(0.5).Resistance, 1e-7},
		{"18·16 mΩ/2 of cells at 25 °C and half charge, 17 links, the rest as package pack has it", rc.Measurement{Kind: rc.PackResistance, At: rc.At{Charge: 0.5}}, 0.144 + bd.Pack.PathOhm, 1e-6},
		{"2·4.5 Ah·0.9, seven tenths of it, in coulombs", rc.Measurement{Kind: rc.Capacity, At: rc.At{Charge: 0.9, EndCharge: 0.2}}, 2 * 4.5 * 0.9 * 0.7 * 3600, 1e-6},
		{"a rest voltage stands for its charge", rc.Measurement{Kind: rc.Capacity, At: rc.At{RestV: bd.Pack.At(0.9).OpenCircuit, EndV: bd.Pack.At(0.2).OpenCircuit}}, 2 * 4.5 * 0.9 * 0.7 * 3600, 1e-2},
		{"the whole board", rc.Measurement{Kind: rc.BoardMass}, 16, 1e-12},
	} {
		got := one(t, b, c.m)
		require.Empty(t, got.Skipped, c.name)
		assert.InDelta(t, c.want, got.Predicted, c.tol, c.name)
	}
	spin := one(t, b, rc.Measurement{Kind: rc.FreeSpin, At: rc.At{BusV: 70}}).Predicted
	assert.InDelta(t, bd.Road.Tire.Speed(14*70*0.95*2*math.Pi/60), spin, 1e-4)

	nose, tail := one(t, b, rc.Measurement{Kind: rc.NoseMass}).Predicted, one(t, b, rc.Measurement{Kind: rc.TailMass}).Predicted
	assert.InDelta(t, 16, nose+tail, 1e-9, "two scales carry the board")
	center := balanceX(&b, &p, bd.Road.Tire.LoadedRadius)
	assert.InDelta(t, 16*center, nose*0.430-tail*0.400, 1e-9, "moments about the axle")
}

// TestWeakeningIsTheBuilds: with the field weakened a wheel spins faster; by how much, package drive holds against a second solver.
func TestWeakeningIsTheBuilds(t *testing.T) {
	b := with(t, "fw", "20")
	p := b.Parts()
	bd := ride.NewBoard(&b, &p)
	at := func(weak bool, k rc.Kind) float64 {
		return one(t, b, rc.Measurement{Kind: k, At: rc.At{Charge: 0.8, Weakened: weak}}).Predicted
	}
	src := bd.Pack.At(0.8)
	assert.InDelta(t, bd.Drive.FreeSpinWeakened(src), at(true, rc.FreeSpinTurns), 1e-9)
	assert.Greater(t, at(true, rc.FreeSpinTurns), 1.02*at(false, rc.FreeSpinTurns))
	assert.InDelta(t, bd.FreeSpin(src), at(false, rc.FreeSpin), 1e-9)
	assert.Greater(t, at(true, rc.FreeSpinAmps), 1.2*at(false, rc.FreeSpinAmps), "weakening costs current")
}

// TestSteadyIsTheRide holds the kinds of a ride against package ride.
func TestSteadyIsTheRide(t *testing.T) {
	b := build.Default()
	p := b.Parts()
	bd := ride.NewBoard(&b, &p)
	src := bd.Pack.At(0.6)
	s := bd.Sample(src, 6, 0.02)
	a := rc.At{Charge: 0.6, Speed: 6, Grade: 0.02}
	assert.InDelta(t, s.At.Duty, one(t, b, rc.Measurement{Kind: rc.Duty, At: a}).Predicted, 1e-9)
	assert.InDelta(t, s.At.BusA, one(t, b, rc.Measurement{Kind: rc.BatteryAmps, At: a}).Predicted, 1e-9)
	a.BusV = s.At.BusV // the same moment, told by its loaded voltage
	assert.InDelta(t, s.At.Duty, one(t, b, rc.Measurement{Kind: rc.Duty, At: a}).Predicted, 1e-6)
	assert.InDelta(t, s.At.BusA, one(t, b, rc.Measurement{Kind: rc.BatteryAmps, At: a}).Predicted, 1e-4)

	round := ride.Steady(&bd, 6, 0)
	coulombs, joules, _ := bd.Used(&round, 0.8, 3000)
	a = rc.At{Charge: 0.8, Speed: 6, Meters: 3000}
	assert.InDelta(t, joules, one(t, b, rc.Measurement{Kind: rc.EnergyUsed, At: a}).Predicted, 1e-6)
	assert.InDelta(t, coulombs, one(t, b, rc.Measurement{Kind: rc.ChargeUsed, At: a}).Predicted, 1e-6)
	b = with(t, "profile", "hills")
	own := ride.NewProfile(&b, &bd)
	_, joules, _ = bd.Used(&own, 0.8, 3000)
	a.Speed = 0
	assert.InDelta(t, joules, one(t, b, rc.Measurement{Kind: rc.EnergyUsed, At: a}).Predicted, 1e-6, "without a speed it is the build's ride")
}

// TestBandHolds draws boards from the stated uncertainties and looks how many lie inside the band: about 95 of 100 should, by the Monte
// Carlo method of JCGM 101:2008. Counting noise of 400 is 1 %.
func TestBandHolds(t *testing.T) {
	b := build.Default()
	keys := map[string]float64{"kv": 0.08, "tirer": 0.02, "ld": 0.2, "motorr": 0.15, "hyst": 0.3, "eddy": 0.3, "cellr": 0.2, "cellah": 0.07, "crr": 0.15, "cda": 0.1, "rider": 0.03, "board": 0.03}
	kinds := []rc.Measurement{
		{Kind: rc.Rollout}, {Kind: rc.BoardMass}, {Kind: rc.FreeSpin, At: rc.At{Charge: 0.8}}, {Kind: rc.FreeSpinAmps, At: rc.At{Charge: 0.8}},
		{Kind: rc.PackResistance, At: rc.At{Charge: 0.8}}, {Kind: rc.Capacity, At: rc.At{Charge: 0.8, EndCharge: 0.2}},
		{Kind: rc.Duty, At: rc.At{Charge: 0.8, Speed: 6}}, {Kind: rc.BatteryAmps, At: rc.At{Charge: 0.8, Speed: 6}},
		{Kind: rc.EnergyUsed, At: rc.At{Charge: 0.8, Speed: 6, Meters: 3000}}, {Kind: rc.LeadsOhm, At: rc.At{Celsius: 20}},
	}
	plan := rc.CheckAll(b, kinds)
	r := rand.New(rand.NewPCG(3, 4))
	const draws = 400
	inside := make([]int, len(kinds))
	for range draws {
		c := b
		for _, f := range sorted(keys) {
			build.FieldFor(f).SetValue(&c, build.FieldFor(f).Value(&b)*math.Exp(keys[f]*r.NormFloat64()))
		}
		measured := append([]rc.Measurement(nil), kinds...)
		for i, k := range rc.CheckAll(c, kinds) {
			measured[i].Value = k.Predicted + plan[i].Reading*r.NormFloat64()
			measured[i].Sigma = plan[i].Reading
		}
		for i, k := range rc.CheckAll(b, measured) {
			if k.Inside() {
				inside[i]++
			}
			assert.Equal(t, math.Abs(k.Value-k.Predicted) <= k.Band(), k.Inside())
			assert.Equal(t, k.Inside(), k.Status == limit.Clear)
		}
	}
	for i, n := range inside {
		assert.InDelta(t, 0.955, float64(n)/draws, 0.035, "%s", kinds[i].Kind)
	}
}
