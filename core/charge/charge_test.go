package charge_test

import (
	"encoding/json"
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/cell"
	"headroom/core/charge"
	"headroom/core/internal/randombuild"
	"headroom/core/limit"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The default board by hand: 18s2p of 4.5 Ah, 5 A, 15 → 60 % at constant current: 0.45·9 Ah/5 A = 0.81 h.
func TestConstantCurrentByHand(t *testing.T) {
	r := plan(t, "z1", "60")
	assert.InEpsilon(t, 48.6, r.Minutes, 1e-9)
	assert.InEpsilon(t, 48.6, r.MinutesCC, 1e-9)
	assert.Zero(t, r.MinutesCV)
	assert.Equal(t, 60.0, r.EndPct)
	assert.Equal(t, 5.0, r.CurrentA)
	assert.Equal(t, 5.0, r.StartA)
	assert.InEpsilon(t, 5.0/9, r.CRate, 1e-12)
	assert.Equal(t, 2.5, r.CellA)
	assert.Equal(t, 6.75, r.CellLimitA)
	assert.Equal(t, 13.5, r.ChargerLimitA)
	assert.InEpsilon(t, 0.8*48.6, plan(t, "z1", "60", "soh", "80").Minutes, 1e-9, "health takes from the charge to be put in")
	assert.InEpsilon(t, 5.0/9, plan(t, "soh", "80").CRate, 1e-12, "and not from the rated charge")

	// Low current in a warm pack: nearly all energy is stored. Mean voltage between 3.6 and 3.7 V over 0.45·9 Ah and 18 cells.
	assert.Greater(t, r.PackWh-r.HeatWh, 0.45*9*18*3.6)
	assert.Less(t, r.PackWh-r.HeatWh, 0.45*9*18*3.8)
	assert.InEpsilon(t, r.PackWh/0.9, r.WallWh, 1e-12)
	assert.InEpsilon(t, r.PackWh/0.9/1000*0.3, r.Cost, 1e-12)
	assert.Zero(t, plan(t, "tariff", "0").Cost)
}

// The taper by hand: 5 % of 9 Ah is 0.45 A, so at the end V − E = 0.45·R.
func TestTaperByHand(t *testing.T) {
	for _, health := range []string{"100", "60"} {
		b := made(t, "chgtemp", "10", "rgrow", "40", "soh", health)
		p := b.Parts()
		one := cell.New(p.Cell, 10, 0.4)
		r := planned(b)
		z := r.EndPct / 100
		ohm := 18*one.Resistance(z)/2 + 17*b.JointResistance
		assert.InDelta(t, 75.6-0.45*ohm, 18*one.OpenCircuit(z), 1e-9, "rated and not remaining charge sets the taper")
	}
}

func TestEightyPercent(t *testing.T) {
	r := plan(t)
	require.NotNil(t, r.MinutesTo80)
	assert.InEpsilon(t, 0.65*9/5*60, *r.MinutesTo80, 1e-9, "constant current up to there")
	assert.Less(t, *r.MinutesTo80, r.Minutes)

	r = plan(t, "z1", "80")
	require.NotNil(t, r.MinutesTo80)
	assert.Equal(t, r.Minutes, *r.MinutesTo80, "up to exactly 80 %")
	assert.Nil(t, plan(t, "z1", "79.9").MinutesTo80)
	assert.Nil(t, plan(t, "z0", "80").MinutesTo80, "there already")
	r = plan(t, "z0", "79.9", "chga", "1")
	require.NotNil(t, r.MinutesTo80)
	assert.InEpsilon(t, 0.001*9*60, *r.MinutesTo80, 1e-6)
	assert.Nil(t, plan(t, "chgv", "72").MinutesTo80, "a charger too low to reach it")
}

func TestNothingToDo(t *testing.T) {
	for _, pairs := range [][]string{{"z0", "60", "z1", "60"}, {"z0", "80", "z1", "50"}, {"chgv", "40"}} {
		r := plan(t, pairs...)
		assert.Zero(t, r.Minutes)
		assert.Zero(t, r.MinutesCC)
		assert.Zero(t, r.MinutesCV)
		assert.Zero(t, r.WallWh)
		assert.Zero(t, r.Cost)
		assert.Nil(t, r.MinutesTo80)
	}
	assert.InDelta(t, 80, plan(t, "z0", "80", "z1", "50").EndPct, 1e-12, "no charge is taken out")
	assert.Zero(t, plan(t, "chgv", "40").StartA, "the pack stands above the charger")
}

func TestRestingVoltages(t *testing.T) {
	// Nickel-rich table at 30 and 50 % (Chen 2020): 3.5814 and 3.7509 V, on 18 cells from 2.5 to 4.2 V, so unstretched.
	r := plan(t, "s", "18", "cell", "21700-balanced")
	assert.InDelta(t, 18*3.7509, r.StorageV, 1e-9)
	assert.InDelta(t, 18*3.5814, r.TravelV, 1e-9)
	assert.Equal(t, 75.6, r.FullV)
	assert.Equal(t, 75.6, r.ChargerV)
	assert.Zero(t, r.ChargerErrorV)
	assert.Equal(t, 100.0, r.FillPct)
	// A charger of 18 · 4.0421 V: the table's 80 % (table point 16).
	assert.InDelta(t, 80, plan(t, "chgv", "72.76").FillPct, 0.02)
	assert.Zero(t, plan(t, "chgv", "15").FillPct)
	assert.Equal(t, -0.6, plan(t, "chgv", "75").ChargerErrorV)
}

// stored is the second method for the energy put in: rectangles over the open-circuit voltage.
func stored(b *build.Build, from, to float64) float64 {
	p := b.Parts()
	one := cell.New(p.Cell, b.ChargeC, 0)
	const n = 20000
	sum := 0.0
	for i := range n {
		sum += one.OpenCircuit(from + (to-from)*(float64(i)+0.5)/n)
	}
	return sum / n * (to - from) * float64(b.Series*b.Parallel) * p.Cell.CapacityAh * b.HealthFraction
}

func TestEnergyBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Plausible().Draw(t, "build")
		r := planned(b)
		want := stored(&b, b.ChargeFrom, r.EndPct/100)
		require.InDelta(t, want+r.HeatWh, r.PackWh, 1e-6*(want+r.HeatWh)+1e-9, randombuild.Text(&b))
		require.InDelta(t, r.PackWh, r.WallWh*b.ChargerEfficiency, 1e-9*r.WallWh)
		require.InDelta(t, r.Minutes, r.MinutesCC+r.MinutesCV, 1e-9*r.Minutes)
	})
}

// value reads a charge's result as a script would, with every number in it checked: JSON has no word for NaN or infinity.
func value(t require.TestingT, b *build.Build) charge.Report {
	r := planned(*b)
	_, err := json.Marshal(r)
	require.NoError(t, err, randombuild.Text(b))
	return r
}

func TestEveryBuildHasAPlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		r := value(t, &b)
		for _, v := range []float64{r.Minutes, r.MinutesCC, r.MinutesCV, r.StartA, r.WallWh, r.PackWh, r.HeatWh, r.Cost} {
			require.GreaterOrEqual(t, v, 0.0, randombuild.Text(&b))
		}
		require.LessOrEqual(t, r.EndPct, 100.0)
		require.GreaterOrEqual(t, r.EndPct, 100*b.ChargeFrom-1e-9)
		require.LessOrEqual(t, r.EndPct, 100*math.Max(b.ChargeFrom, b.ChargeTo)+1e-9)
		require.GreaterOrEqual(t, r.Minutes+1e-9, 60*(r.EndPct/100-b.ChargeFrom)*float64(b.Parallel)*b.HealthFraction/b.ChargerA*0.5,
			"no charge without its time, cells of 0.5 Ah at least")
		for _, s := range []limit.Status{r.Voltage.Status, r.Temperature.Status, r.Current.Status} {
			require.False(t, s.Worse(r.Status))
		}
		p := b.Parts()
		_, err := json.Marshal(charge.Curve(&b, &p))
		require.NoError(t, err, randombuild.Text(&b))
	})
}

func TestMoreCurrentIsNeverSlower(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		slow := planned(b)
		b.ChargerA *= rapid.Float64Range(1, 10).Draw(t, "times")
		require.LessOrEqual(t, planned(b).Minutes, slow.Minutes*(1+1e-7), randombuild.Text(&b))
	})
}

// Between the same two charges; where the taper ends it, a cold charge may be over earlier, because it ends with less in the pack.
func TestColderIsNeverFaster(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		b.ChargeFrom, b.ChargeTo = 0.1, 0.8
		warm := planned(b)
		b.ChargeC -= rapid.Float64Range(0, 20).Draw(t, "colder")
		cold := planned(b)
		require.LessOrEqual(t, cold.EndPct, warm.EndPct+1e-9, randombuild.Text(&b))
		if cold.MinutesTo80 != nil {
			require.GreaterOrEqual(t, *cold.MinutesTo80*(1+1e-7), *warm.MinutesTo80, randombuild.Text(&b))
			require.GreaterOrEqual(t, cold.HeatWh*(1+1e-7), warm.HeatWh, randombuild.Text(&b))
		}
	})
}

func TestMoreChargeTakesLonger(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		last := planned(b)
		for _, to := range []float64{0.05, 0.2, 0.1, 0.3} {
			b.ChargeTo = math.Min(1, b.ChargeTo+to)
			r := planned(b)
			require.GreaterOrEqual(t, r.Minutes*(1+1e-7), last.Minutes, randombuild.Text(&b))
			require.GreaterOrEqual(t, r.WallWh*(1+1e-7), last.WallWh, randombuild.Text(&b))
			require.GreaterOrEqual(t, r.EndPct*(1+1e-12), last.EndPct, randombuild.Text(&b))
			last = r
		}
	})
}

func TestCurve(t *testing.T) {
	b := made(t, "chga", "10")
	p := b.Parts()
	points := charge.Curve(&b, &p)
	r := charge.Plan(&b, &p)
	require.Len(t, points, 41)
	assert.Equal(t, charge.Point{Minutes: 0, A: 10, V: points[0].V, Pct: 15}, points[0])
	end := points[40]
	assert.InEpsilon(t, r.Minutes, end.Minutes, 1e-6)
	assert.Equal(t, r.EndPct, end.Pct)
	assert.InEpsilon(t, 0.45, end.A, 1e-6, "ends at the taper, 5 % of 9 Ah")
	assert.InEpsilon(t, 75.6, end.V, 1e-9)
	for i, q := range points[1:] {
		assert.Greater(t, q.Minutes, points[i].Minutes)
		assert.InDelta(t, (r.EndPct-15)/40, q.Pct-points[i].Pct, 1e-9, "equal steps of charge")
		assert.LessOrEqual(t, q.A, points[i].A)
		assert.GreaterOrEqual(t, q.V*(1+1e-12), points[i].V)
	}
	b = made(t, "z0", "90", "z1", "50")
	p = b.Parts()
	assert.Len(t, charge.Curve(&b, &p), 1, "nothing to charge")
}

func BenchmarkPlan(b *testing.B) {
	d := build.Default()
	p := d.Parts()
	for b.Loop() {
		charge.Plan(&d, &p)
	}
}
