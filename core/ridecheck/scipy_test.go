package ridecheck

import (
	"encoding/json"
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/balance"
	"headroom/core/build"
	"headroom/core/link"
	"headroom/core/road"
)

const (
	casesFile   = "../../testdata/ridecheck/cases.json"
	answersFile = "../../testdata/ridecheck/answers.json"
)

var updateCases = flag.Bool("update-cases", false, "write testdata/ridecheck/cases.json anew; fit.py must then be run again")

// outside is one problem as the outside solver gets it: constants and measurements, nothing that package ridecheck computed but the
// uncertainties that it weighs with.
type outside struct {
	Link     string             `json:"link"`
	Pack     map[string]float64 `json:"pack"`
	Ocv      string             `json:"ocv"`
	Shape    string             `json:"shape"`
	Motor    map[string]float64 `json:"motor"`
	Drive    map[string]float64 `json:"drive"`
	Tire     map[string]float64 `json:"tire"`
	Road     map[string]float64 `json:"road"`
	Measured []outsideReading   `json:"measured"`
	Counts   []float64          `json:"counts"`
	Knobs    []outsideKnob      `json:"knobs"`
}

type outsideReading struct {
	Kind  Kind    `json:"kind"`
	Value float64 `json:"value"`
	Sigma float64 `json:"sigma"`
	At    At      `json:"at"`
}

type outsideKnob struct {
	Label string  `json:"label"`
	Tau   float64 `json:"tau"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// answer is what the outside solver found: residuals of the plan as it is, θ of four fits, and which measurements the last leaves out.
type answer struct {
	Start      []float64 `json:"start"`
	Square     []float64 `json:"square"`
	Huber      []float64 `json:"huber"`
	Scale      float64   `json:"scale"`
	Tukey      []float64 `json:"tukey"`
	Final      []float64 `json:"final"`
	FinalScale float64   `json:"finalscale"`
	Left       []int     `json:"left"`
}

// drawCase makes the n-th problem: every other one weakens its field, every third has gross errors among its readings.
func drawCase(t *testing.T, n int) (build.Build, []Measurement) {
	t.Helper()
	r := rand.New(rand.NewPCG(2026, uint64(n)))
	b := build.Default()
	set := func(key string, v float64) {
		f := build.FieldFor(key)
		f.SetValue(&b, math.Round(v/f.Step)*f.Step)
	}
	set("s", 15+float64(r.IntN(12)))
	set("p", 1+float64(r.IntN(4)))
	for _, key := range []string{"motor", "cell", "tire", "ctrl"} {
		build.FieldFor(key).SetValue(&b, float64(r.IntN(len(build.FieldFor(key).Options()))))
	}
	set("kpa", 90+80*r.Float64())
	set("rider", 55+50*r.Float64())
	set("cda", 0.4+0.4*r.Float64())
	set("temp", 5+25*r.Float64())
	set("board", 14+8*r.Float64())
	if n%2 == 1 {
		set("fw", 10+15*r.Float64())
		set("fwduty", 55)
	}
	p := b.Parts()
	theta := make([]float64, len(knobs))
	for i := range knobs {
		theta[i] = 1.2 * knobs[i].sigma(&b) * (2*r.Float64() - 1)
	}
	truth := turned(&b, &p, theta)
	top := truth.board.FreeSpin(truth.board.Pack.At(0.5))
	var list []Measurement
	add := func(k Kind, share float64, a At) { list = append(list, Measurement{Kind: k, Sigma: share, At: a}) }
	add(Rollout, 0.003, At{})
	add(BoardMass, 0.005, At{})
	add(NoseMass, 0.005, At{})
	add(TailMass, 0.005, At{})
	add(LeadsOhm, 0.02, At{Celsius: 25})
	add(FreeSpinTurns, 0.004, At{Charge: 0.8})
	add(FreeSpin, 0.01, At{Charge: 0.8, Weakened: b.WeakenA > 0})
	add(FreeSpinAmps, 0.04, At{Charge: 0.8})
	add(PackResistance, 0.04, At{Charge: 0.7})
	add(LoadedVolts, 0.001, At{Charge: 0.5, Amps: 25})
	add(LoadedVolts, 0.001, At{Charge: 0.5, Amps: 12})
	add(Capacity, 0.02, At{Charge: 0.9, EndCharge: 0.3})
	for _, s := range []float64{0.2, 0.35, 0.5, 0.6} {
		add(Duty, 0.006, At{BusV: truth.board.Pack.At(0.6).OpenCircuit, Speed: s * top})
		add(BatteryAmps, 0.03, At{Charge: 0.6, Speed: s * top, Grade: 0.005})
	}
	add(EnergyUsed, 0.03, At{Charge: 0.9, Meters: 1500, Speed: 0.4 * top})
	add(ChargeUsed, 0.03, At{Charge: 0.7, Meters: 1500, Speed: 0.3 * top})
	for i := range list {
		v, ok := truth.predict(&list[i])
		require.True(t, ok)
		list[i].Sigma *= math.Abs(v)
		list[i].Value = v + list[i].Sigma*r.NormFloat64()
		if n%3 == 2 && (i == 7 || i == 14) {
			list[i].Value *= 1.4
		}
	}
	return b, list
}

// state turns a problem into constants.
func state(b build.Build, f *Fitting) outside {
	p := b.Parts()
	m := f.checking.base
	d := &m.board.Drive
	files := map[build.Chemistry][2]string{
		build.NickelRich:    {"ocv_nmc811_graphite_siox_chen2020.csv", "NMC"},
		build.NickelCobalt:  {"ocv_nca_graphite_kim2011.csv", "NMC"},
		build.IronPhosphate: {"ocv_lfp_graphite_bpx2022_18650.csv", "LFP"},
	}[p.Cell.Chemistry]
	o := outside{
		Link: link.Encode(&b, nil), Ocv: files[0], Shape: files[1],
		Pack: map[string]float64{
			"series": float64(b.Series), "parallel": float64(b.Parallel), "cell_full_v": p.Cell.FullV, "cell_empty_v": p.Cell.EmptyV,
			"cell_ohm": p.Cell.Resistance * (1 + b.ResistanceGrowth), "path_ohm": m.board.Pack.PathOhm, "celsius": b.AmbientC, "ah": m.board.Pack.CapacityAh,
		},
		Motor: map[string]float64{
			"p": p.Motor.PolePairs, "kv": p.Motor.Kv, "r20": p.Motor.Resistance, "ld": p.Motor.Ld, "lq": p.Motor.Lq, "isat": p.Motor.SaturationA,
			"kh": p.Motor.HysteresisK, "ke": p.Motor.EddyK, "celsius": b.WindingC,
		},
		Drive: map[string]float64{
			"ron": d.OnResistance, "ksw": d.SwitchingK, "p0": d.StandbyW, "duty": d.MaxDuty, "fw": d.WeakenA, "fwduty": d.WeakenDuty,
		},
		Tire: map[string]float64{
			"radius": p.Tire.Radius, "width": p.Tire.Width, "carcass": p.Tire.Carcass, "c0": p.Tire.RollingC0, "alpha": p.Tire.PressureExponent,
			"beta": p.Tire.LoadExponent, "a": p.Tire.SpeedA, "b": p.Tire.SpeedB, "p0": p.Tire.ReferenceP, "z0": p.Tire.ReferenceLoad,
			"growth": p.Tire.GrowthK, "p": b.Pressure, "surface": p.Surface.Factor,
		},
		Road: map[string]float64{
			"rider": b.Rider, "board": p.BoardMass, "cda": b.DragArea, "rho": road.AirDensity(b.Altitude, b.AmbientC), "wind": b.Headwind,
			"nose": b.Nose, "tail": b.Tail, "forward": balance.Of(&b, &p, m.board.Road.Tire.LoadedRadius).ForwardMm * 1e-3, "slide": slide(&b, &p),
		},
		Counts: counts(f.kinds, all(f)),
	}
	for _, i := range f.used {
		k := &f.checking.list[i]
		o.Measured = append(o.Measured, outsideReading{k.Kind, k.Value, k.Reading, k.At})
	}
	for n, j := range f.free {
		o.Knobs = append(o.Knobs, outsideKnob{knobs[j].label, f.solver.prior[n], f.solver.low[n], f.solver.high[n]})
	}
	return o
}

// slide is by how many m the center of mass moves forward for each m that the tire is larger: the boxes stand off it, cells and links in the
// rear one.
func slide(b *build.Build, p *build.Parts) float64 {
	cells := float64(b.Series*b.Parallel) * p.Cell.Mass
	share := float64(p.Split) / float64(b.Series)
	rear, front := (cells+p.LinksMass)*(1-share)+p.BoxesMass/2, (cells+p.LinksMass)*share+p.BoxesMass/2
	return (front - rear) / (rear + front + p.Controller.Mass + p.PadsMass + p.RailsMass + p.Motor.Mass + p.Tire.Mass)
}

const caseCount = 24

func writeCases(t *testing.T) {
	t.Helper()
	var cases []outside
	for n := range caseCount {
		b, list := drawCase(t, n)
		for i := range list { // nine digits are enough, and stay the same everywhere
			for _, v := range []*float64{&list[i].Value, &list[i].Sigma, &list[i].At.Speed, &list[i].At.BusV} {
				var err error
				*v, err = strconv.ParseFloat(strconv.FormatFloat(*v, 'g', 9, 64), 64)
				require.NoError(t, err)
			}
		}
		cases = append(cases, state(b, started(t, b, list)))
	}
	out, err := json.Marshal(cases)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(casesFile, append(out, '\n'), 0o644))
	t.Log("written; run fit.py")
}

// all keeps every measurement of a fit.
func all(f *Fitting) []bool {
	kept := make([]bool, len(f.used))
	for i := range kept {
		kept[i] = true
	}
	return kept
}

// started is a fit that has made its problem and solved nothing of it.
func started(t *testing.T, b build.Build, list []Measurement) *Fitting {
	t.Helper()
	f := NewFitting(b, list)
	for f.stage == checks {
		f.Step()
	}
	require.Equal(t, coarse, f.stage)
	return f
}

// reopen makes a problem again from its link and its measurements, and sees that it still is the one that was answered.
func reopen(t *testing.T, n int, c outside) *Fitting {
	t.Helper()
	var list []Measurement
	for _, m := range c.Measured {
		list = append(list, Measurement{Kind: m.Kind, Value: m.Value, At: m.At, Sigma: m.Sigma})
	}
	b := link.Decode(c.Link).Build
	f := started(t, b, list)
	now := state(b, f)
	for name, pair := range map[string][2]map[string]float64{
		"pack": {c.Pack, now.Pack}, "motor": {c.Motor, now.Motor}, "drive": {c.Drive, now.Drive}, "tire": {c.Tire, now.Tire}, "road": {c.Road, now.Road},
	} {
		for key, v := range pair[0] {
			require.InDelta(t, v, pair[1][key], 1e-9*(1+math.Abs(v)), "case %d: %s.%s has changed: run with -update-cases, then fit.py", n, name, key)
		}
	}
	require.Len(t, now.Knobs, len(c.Knobs))
	for i, k := range c.Knobs {
		require.Equal(t, k.Label, now.Knobs[i].Label)
		require.InDeltaSlice(t, []float64{k.Tau, k.Low, k.High}, []float64{now.Knobs[i].Tau, now.Knobs[i].Low, now.Knobs[i].High}, 1e-9)
	}
	require.InDeltaSlice(t, c.Counts, now.Counts, 1e-12)
	return f
}

// TestScipy holds whole fits against scipy.optimize.least_squares on a model of the board written anew in Python (testdata/ridecheck/fit.py),
// in four stages: least squares, Huber's loss, Tukey's from there, and the last without what it leaves out.
func TestScipy(t *testing.T) {
	if *updateCases {
		writeCases(t)
		return
	}
	var cases []outside
	text, err := os.ReadFile(casesFile)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &cases))
	text, err = os.ReadFile(answersFile)
	require.NoError(t, err)
	var answers []answer
	require.NoError(t, json.Unmarshal(text, &answers))
	require.Len(t, answers, len(cases))
	worst := map[string]float64{}
	sifted := 0
	for n, c := range cases {
		f := reopen(t, n, c)
		s, want := &f.solver, answers[n]
		f.kept, s.counts = all(f), c.Counts // every stage of the other solver begins with all
		for i, r := range s.r {
			worst["start"] = max(worst["start"], math.Abs(r-want.Start[i]))
			assert.InDelta(t, want.Start[i], r, 1e-3, "case %d: residual of %s", n, f.kinds[i])
		}
		stage := func(name string, want []float64) {
			for s.step() {
			}
			sigma, _ := s.sure(1)
			for i := range want {
				off := math.Abs(s.theta[i]-want[i]) / sigma[i]
				worst[name] = max(worst[name], off)
				assert.Less(t, off, 1e-3, "case %d, %s: %s is %g, by SciPy %g", n, name, knobs[f.free[i]].label, s.theta[i], want[i])
			}
		}
		s.use(square, 1)
		stage("square", want.Square)
		require.True(t, s.begin(huber))
		stage("huber", want.Huber)
		assert.InDelta(t, want.Scale, spread(s.r, f.kept), 1e-3)
		s.use(tukey, spread(s.r, f.kept))
		stage("tukey", want.Tukey)
		for s.step() || f.sift() {
		}
		stage("final", want.Final)
		assert.InDelta(t, want.FinalScale, s.scale, 1e-3)
		var left []int
		for i, in := range f.kept {
			if !in {
				left = append(left, i)
			}
		}
		assert.ElementsMatch(t, want.Left, left, "case %d", n)
		sifted += len(left)

		// The whole fit begins without what stands out among its own kind; it must end at the same, before
		// it leaves the inputs that are hardly measured.
		whole := reopen(t, n, c)
		for whole.stage != lean && whole.Step() {
		}
		sigma, _ := whole.solver.sure(1)
		for i := range want.Final {
			off := math.Abs(whole.solver.theta[i]-want.Final[i]) / sigma[i]
			worst["whole"] = max(worst["whole"], off)
			assert.Less(t, off, 1e-3, "case %d, whole: %s", n, knobs[whole.free[i]].label)
		}
		assert.Equal(t, f.kept, whole.kept, "case %d", n)
	}
	assert.Positive(t, sifted, "no case has anything to leave out")
	for _, name := range []string{"start", "square", "huber", "tukey", "final", "whole"} {
		t.Logf("%s: within %.1e standard uncertainties", name, worst[name])
	}
}

// TestPriorsAreTheBandsOwn: what the range's band takes as unsure is as unsure here.
func TestPriorsAreTheBandsOwn(t *testing.T) {
	b := build.Default()
	r, err := core.Plan(b)
	require.NoError(t, err)
	u := r.Model.Road.Uncertainty
	want := map[string]float64{"crr": u.Rolling, "cda": u.DragArea, "rider": u.Mass, "board": u.Mass}
	for i := range knobs {
		for _, key := range knobs[i].keys {
			if v, ok := want[key]; ok {
				assert.Equal(t, v, knobs[i].sigma(&b), key)
				delete(want, key)
			}
		}
	}
	assert.Empty(t, want)
}
