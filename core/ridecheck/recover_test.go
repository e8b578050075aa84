package ridecheck_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/build"
	"headroom/core/internal/randombuild"
	"headroom/core/ride"
	rc "headroom/core/ridecheck"
)

// unsure is how far the truth is drawn from the plan: up to one and a half of the standard uncertainties that package ridecheck states for
// values of a class.
var unsure = map[string]float64{"kv": 0.08, "tirer": 0.02, "motorr": 0.15, "hyst": 0.3, "eddy": 0.3, "cellr": 0.2, "soh": 0.07, "crr": 0.15, "cda": 0.1, "board": 0.03}

// noise is the standard deviation of a reading, as a share of its value.
var noise = map[rc.Kind]float64{
	rc.Rollout: 0.002, rc.FreeSpinTurns: 0.003, rc.FreeSpinAmps: 0.02, rc.LoadedVolts: 0.0008, rc.PackResistance: 0.02, rc.Capacity: 0.01,
	rc.LeadsOhm: 0.01, rc.Duty: 0.003, rc.BatteryAmps: 0.01, rc.EnergyUsed: 0.01, rc.BoardMass: 0.003,
}

// plan returns the measurements of a thorough test ride of a board that spins free at top m/s, without values.
func ridden(top float64) (list []rc.Measurement) {
	add := func(k rc.Kind, a rc.At) { list = append(list, rc.Measurement{Kind: k, At: a}) }
	add(rc.Rollout, rc.At{})
	add(rc.BoardMass, rc.At{})
	add(rc.LeadsOhm, rc.At{Celsius: 22})
	for _, z := range []float64{0.95, 0.7, 0.4} {
		add(rc.FreeSpinTurns, rc.At{Charge: z})
		add(rc.FreeSpinAmps, rc.At{Charge: z})
		add(rc.PackResistance, rc.At{Charge: z})
	}
	for _, amps := range []float64{10, 20, 30, 40} {
		add(rc.LoadedVolts, rc.At{Charge: 0.6, Amps: amps})
	}
	add(rc.Capacity, rc.At{Charge: 0.95, EndCharge: 0.25})
	add(rc.Capacity, rc.At{Charge: 0.9, EndCharge: 0.4})
	for i := range 8 {
		a := rc.At{Charge: 0.9 - 0.05*float64(i), Speed: top * (0.15 + 0.07*float64(i))}
		add(rc.Duty, a)
		add(rc.BatteryAmps, a)
	}
	add(rc.EnergyUsed, rc.At{Charge: 0.9, Meters: 4000, Speed: top * 0.3})
	add(rc.EnergyUsed, rc.At{Charge: 0.9, Meters: 3000, Speed: top * 0.55})
	return list
}

// board is a plan, the board that was really built, and what was measured on it.
type board struct {
	plan, truth build.Build
	measured    []rc.Measurement
}

// draw makes the n-th board that can be ridden like that. level is how noisy the readings are.
func draw(t *testing.T, n int, level float64) board {
	t.Helper()
	for try := range 100 {
		r := rand.New(rand.NewPCG(uint64(n), uint64(try)))
		var o board
		o.plan = randombuild.Plausible().Example(1000*n + try)
		for _, quiet := range []string{"wind", "grade", "fw"} {
			build.FieldFor(quiet).Set(&o.plan, "0")
		}
		o.truth = o.plan
		for _, key := range []string{"kv", "tirer", "motorr", "hyst", "eddy", "cellr", "soh", "crr", "cda", "board"} {
			f := build.FieldFor(key)
			f.SetValue(&o.truth, f.Value(&o.plan)*math.Exp(unsure[key]*3*(r.Float64()-0.5)))
		}
		parts := o.plan.Parts()
		bd := ride.NewBoard(&o.plan, &parts)
		top := bd.FreeSpin(bd.Pack.At(0.6))
		if o.measured = ridden(top); top < 5 || parts.BoardMass > 60 || !o.measure(r, level) {
			continue
		}
		return o
	}
	t.Fatalf("no board %d", n)
	return board{}
}

// measure reads every value off the true board; false where plan or truth cannot do it.
func (o *board) measure(r *rand.Rand, level float64) bool {
	for _, k := range rc.CheckAll(o.plan, o.measured) {
		if k.Skipped != "" {
			return false
		}
	}
	for i, k := range rc.CheckAll(o.truth, o.measured) {
		if k.Skipped != "" {
			return false
		}
		m := &o.measured[i]
		m.Sigma = level * noise[m.Kind] * math.Abs(k.Predicted)
		m.Value = k.Predicted + m.Sigma*r.NormFloat64()
		if m.Sigma == 0 {
			return false
		}
	}
	return true
}

// resistance of the pack at half charge, and force on the level at half of the free-spin speed.
func packOhm(b build.Build) float64 {
	p := b.Parts()
	bd := ride.NewBoard(&b, &p)
	return bd.Pack.At(0.5).Resistance
}

func force(b build.Build, v float64) float64 {
	p := b.Parts()
	bd := ride.NewBoard(&b, &p)
	return bd.Road.Force(v, 0)
}

// tally is the errors of one figure over many boards.
type tally struct{ n, sum, square, worst float64 }

func (a *tally) add(e float64) {
	a.n, a.sum, a.square, a.worst = a.n+1, a.sum+e, a.square+e*e, max(a.worst, math.Abs(e))
}

func (a *tally) log(t *testing.T, name string) {
	mean := a.sum / a.n
	t.Logf("%-22s %4.0f boards  bias %+.4f  spread %.4f  worst %.4f", name, a.n, mean, math.Sqrt(max(0, a.square/a.n-mean*mean)), a.worst)
}

// TestFitRecoversTheBoard builds boards that differ from their plan in ten ways, measures them with noise, and fits the plan. The truth is
// what the measurements were made from, so it is known exactly.
func TestFitRecoversTheBoard(t *testing.T) {
	boards := 200
	if testing.Short() {
		boards = 30
	}
	var kv, ohm, drag, area, sure, alarms tally
	for n := range boards {
		level := []float64{0.3, 1, 1.5}[n%3]
		o := draw(t, n, level)
		fit := rc.FitAll(o.plan, o.measured)
		require.Empty(t, fit.Failed)
		assert.False(t, fit.Contradictory(), "board %d", n)
		for i := range fit.Rows {
			if r := &fit.Rows[i]; r.Kind == rc.Duty {
				alarm := 0.0
				if r.Demanding() {
					alarm = 1
				}
				alarms.add(alarm)
			}
		}
		got := fit.Build()
		value := func(key string, b build.Build) float64 { return build.FieldFor(key).Value(&b) }

		e := value("kv", got)/value("kv", o.truth) - 1
		kv.add(e)
		assert.Less(t, math.Abs(e), 0.01, "board %d: Kv", n)
		e = packOhm(got)/packOhm(o.truth) - 1
		ohm.add(e)
		assert.Less(t, math.Abs(e), 0.05, "board %d: pack resistance", n)
		top := o.measured[len(o.measured)-1].At.Speed
		for _, m := range o.measured {
			if m.Kind == rc.BatteryAmps {
				e = force(got, m.At.Speed)/force(o.truth, m.At.Speed) - 1
				drag.add(e)
				// Where the board crawls, most of the current goes into iron and controller, and little is measured of the road.
				allowed := 0.05
				if m.At.Speed < 0.6*top {
					allowed = 0.1
				}
				assert.Less(t, math.Abs(e), allowed, "board %d: drag at %.1f m/s", n, m.At.Speed)
			}
		}
		for _, c := range fit.Changes {
			if c.Key == "" || c.Learned < 0.5 {
				continue
			}
			off := (c.To - value(c.Key, o.truth)) / c.Sigma
			if c.Key != "cellah" { // what is lost stands in soh
				sure.add(off)
				assert.Less(t, math.Abs(off), 5.0, "board %d: %s", n, c.Label)
			}
			if c.Key == "cda" && c.Sigma < 0.02*c.To {
				e = c.To/value("cda", o.truth) - 1
				area.add(e)
				assert.Less(t, math.Abs(e), 0.05, "board %d: drag area", n)
			}
		}
	}
	kv.log(t, "Kv")
	ohm.log(t, "pack resistance")
	drag.log(t, "drag")
	area.log(t, "drag area, measured")
	sure.log(t, "error ÷ its σ")
	assert.Less(t, math.Abs(kv.sum/kv.n), 0.001, "Kv is biased")
	assert.Less(t, math.Abs(ohm.sum/ohm.n), 0.01, "pack resistance is biased")
	assert.Less(t, math.Abs(drag.sum/drag.n), 0.01, "drag is biased")
	assert.Greater(t, area.n, float64(boards)/10, "hardly a board had its drag area measured")
	alarms.log(t, "false alarms")
	assert.Less(t, alarms.sum/alarms.n, 0.02, "honest readings are called a danger")
	rms := math.Sqrt(sure.square / sure.n)
	assert.True(t, rms > 0.4 && rms < 1.2, "stated uncertainties are off by %.2f", rms)
}

// spoiled is a board measured three times over, and the same with gross errors: a tenth of all readings, never more than one of three of a
// kind at one place.
type spoiled struct {
	board
	replaced []rc.Measurement // a tenth of the readings turned into nonsense
	left     []rc.Measurement // all but those
	added    []rc.Measurement // all good readings, and the nonsense besides
	bad      map[int]bool     // which of replaced are nonsense
}

func spoil(t *testing.T, n int) spoiled {
	t.Helper()
	o := spoiled{board: draw(t, 500+n, 1), bad: map[int]bool{}}
	r := rand.New(rand.NewPCG(77, uint64(n)))
	once := o.measured
	for range 2 {
		again := append([]rc.Measurement(nil), once...)
		for i := range again {
			again[i].Value += again[i].Sigma * r.NormFloat64()
		}
		o.measured = append(o.measured, again...)
	}
	for _, i := range r.Perm(len(once)) {
		if len(o.bad)*10 < len(o.measured) {
			o.bad[i+len(once)*r.IntN(3)] = true
		}
	}
	o.added = append(o.added, o.measured...)
	for i, m := range o.measured {
		if !o.bad[i] {
			o.left = append(o.left, m)
		} else {
			by := 0.2 + 0.4*r.Float64()
			if r.IntN(2) == 0 {
				by = -by
			}
			m.Value *= 1 + by
			o.added = append(o.added, m)
		}
		o.replaced = append(o.replaced, m)
	}
	return o
}

// TestGrossErrorsMoveNothing: two things can come of readings that are nonsense, and only the second is the fit's fault. Readings that are lost
// leave less to know from, which no fit can help; that is why nonsense in the place of good readings is held against the fit with just those
// taken out, and nonsense that comes on top against the fit of the good ones. Nothing that was measured may move by more than 2 % either way.
func TestGrossErrorsMoveNothing(t *testing.T) {
	boards := 50
	if testing.Short() {
		boards = 10
	}
	var added, replaced, lost tally
	for n := range boards {
		o := spoil(t, n)
		good, oracle := rc.FitAll(o.plan, o.measured), rc.FitAll(o.plan, o.left)
		hold := func(a *tally, name string, got, want rc.Fit, within float64) {
			require.Empty(t, got.Failed)
			for _, c := range want.Changes {
				if c.Learned < 0.5 || c.Key == "" {
					continue
				}
				have := changeOf(got, c.Key)
				require.NotNil(t, have, c.Key)
				e := have.To/c.To - 1
				a.add(e)
				assert.Less(t, math.Abs(e), within, "board %d, %s: %s", n, name, c.Label)
			}
		}
		got := rc.FitAll(o.plan, o.replaced)
		hold(&added, "added", rc.FitAll(o.plan, o.added), good, 0.02)
		hold(&replaced, "replaced", got, oracle, 0.02)
		hold(&lost, "taken out", oracle, good, 1)
		for i, row := range got.Rows {
			if o.bad[i] {
				assert.Zero(t, row.Weight, "board %d: a gross error in %s was believed", n, row.Kind)
			}
		}
	}
	added.log(t, "gross errors added")
	replaced.log(t, "put for good ones")
	lost.log(t, "good ones taken out")
}

// TestOneLieCountsForNothing: a reading that is far out is as good as not there, to the last digit; so is how often its kind was read.
func TestOneLieCountsForNothing(t *testing.T) {
	b := build.Default()
	list := read(t, with(t, "kv", "14", "motorr", "44"), ridden(11)...)
	for i := range list {
		list[i].Value *= 1 + 0.002*math.Sin(float64(7*i))
	}
	want := rc.FitAll(b, list)
	for _, kind := range []rc.Kind{rc.Rollout, rc.Duty, rc.LoadedVolts, rc.FreeSpinTurns} {
		for _, by := range []float64{0.5, 2} {
			for _, m := range list {
				if m.Kind != kind {
					continue
				}
				m.Value *= by
				got := rc.FitAll(b, append(list[:len(list):len(list)], m))
				require.Zero(t, got.Rows[len(list)].Weight, "%s", kind)
				for _, c := range want.Changes {
					assert.InDelta(t, c.To, changeOf(got, c.Key).To, 0.02*c.Sigma, "%s after a lie in %s", c.Label, kind)
				}
				break
			}
		}
	}
}

// TestTwoOfThreeAreBelieved: two scales agree on a board that is heavier than stated, a third shows nonsense, and the stated mass is sure to 1 %.
func TestTwoOfThreeAreBelieved(t *testing.T) {
	b := with(t, "board", "46.8")
	var list []rc.Measurement
	for _, v := range []float64{49.02, 49.15, 25.6} {
		list = append(list, rc.Measurement{Kind: rc.BoardMass, Value: v, Sigma: 0.218})
	}
	fit := rc.FitAll(b, list)
	assert.InDelta(t, changeOf(rc.FitAll(b, list[:2]), "board").To, changeOf(fit, "board").To, 1e-9, "as if the third were not there")
	assert.Greater(t, changeOf(fit, "board").To, 48.0)
	assert.Zero(t, fit.Rows[2].Weight)
	assert.Greater(t, fit.Rows[0].Weight, 0.7)
}
