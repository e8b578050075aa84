package core_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/link"
	"headroom/core/pack"
	"headroom/core/ride"
	"headroom/core/road"
)

const solverBuilds = "../testdata/solver/builds.json"

var updateSolver = flag.Bool("update-solver", false, "write testdata/solver/builds.json anew; solve.py must then be run again")

// solverCase is one build as the outside solver gets it: constants only, nothing that the planner computed from them, except what
// stands under model.* in every report.
type solverCase struct {
	Link     string             `json:"link"`
	Model    core.Model         `json:"model"`
	Settings map[string]float64 `json:"settings"`
	Pack     solverPack         `json:"pack"`
	Ride     map[string]float64 `json:"ride"`
	Heat     map[string]float64 `json:"heat"`
	Omega    [3][]float64       `json:"omega"`  // rad/s at full, half and low charge
	Points   []solverPoint      `json:"points"` // loads to be carried
}

type solverPack struct {
	Ocv      string  `json:"ocv"`
	Shape    string  `json:"shape"`
	Series   int     `json:"series"`
	Parallel int     `json:"parallel"`
	FullV    float64 `json:"cell_full_v"`
	EmptyV   float64 `json:"cell_empty_v"`
	CellOhm  float64 `json:"cell_ohm"` // 25 °C, half charge, aged
	PathOhm  float64 `json:"path_ohm"`
	Ah       float64 `json:"ah"`
	Celsius  float64 `json:"celsius"`
	Floor    float64 `json:"floor"`
	Start    float64 `json:"start"`
}

type solverPoint struct {
	Charge int     `json:"charge"` // 0 full, 1 half, 2 low
	Omega  float64 `json:"omega"`
	Torque float64 `json:"torque"`
}

// solverRange bounds what is drawn for a field; share is how often it is drawn at all.
type solverRange struct {
	key              string
	low, high, share float64
}

// solverRanges are what a builder might enter, wider than usual but not absurd. Choices are drawn over all of their options.
var solverRanges = []solverRange{
	{"s", 10, 32, 1}, {"p", 1, 6, 1}, {"motor", 0, 5, 1}, {"kpa", 80, 200, 1}, {"cell", 0, 10, 1}, {"soh", 70, 100, 0.4},
	{"rgrow", 0, 80, 0.4}, {"start", 80, 100, 0.4}, {"floor", 8, 30, 0.7}, {"ctrl", 0, 4, 1}, {"phase", 60, 220, 1}, {"batt", 20, 120, 1},
	{"regen", 0, 60, 1}, {"fwduty", 50, 95, 1}, {"duty", 70, 100, 0.8}, {"celllimit", 0, 1, 1}, {"kv", 9, 25, 0.6},
	{"coil", -10, 125, 1}, {"derate", 90, 120, 1}, {"coilmax", 130, 160, 1}, {"motorr", 20, 90, 0.4}, {"ld", 80, 350, 0.4},
	{"lq", 80, 500, 0.4}, {"poles", 8, 20, 0.3}, {"isat", 60, 300, 0.5}, {"hyst", 0, 80, 0.4}, {"eddy", 0, 60, 0.4},
	{"cw", 100, 600, 0.4}, {"ch", 1000, 5000, 0.4}, {"rwh", 0.1, 0.6, 0.4}, {"rha", 0.5, 2.5, 0.4}, {"ksw", 0.5, 6, 0.3},
	{"standby", 0, 15, 0.3}, {"tire", 0, 5, 1}, {"rider", 45, 120, 1}, {"cruise", 12, 45, 1}, {"shift", 5, 50, 1}, {"rideduty", 60, 95, 1},
	{"surface", 0, 3, 1}, {"grade", 0, 6, 0.5}, {"wind", -10, 30, 0.5}, {"temp", -5, 40, 1}, {"alt", 0, 3000, 0.4}, {"cda", 0.4, 0.9, 0.6},
}

// drawSolverBuild makes the i-th build. In turn they have no field weakening, an ordinary one, one with a current that passes λ/L_d, and
// one with a motor of strong saliency whose iron saturates early.
func drawSolverBuild(t *testing.T, r *rand.Rand, i int) build.Build {
	b := build.Default()
	set := func(key string, v float64) {
		f := build.FieldFor(key)
		require.NotNil(t, f, key)
		// Whole steps keep the links short; what is drawn may not lie outside of what a person can enter.
		if f.Kind == build.Number && f.Step > 0 {
			v = math.Round(v/f.Step) * f.Step
		}
		f.SetValue(&b, v)
	}
	for _, d := range solverRanges {
		v, lot := d.low+(d.high-d.low)*r.Float64(), r.Float64()
		if lot < d.share {
			set(d.key, v)
		}
	}
	if b.WeakenDuty > b.MaxDuty-0.03 { // the rule divides by the difference
		set("fwduty", 100*b.MaxDuty-3)
	}
	p := b.Parts()
	full := float64(b.Series) * p.Cell.FullV
	set("vmax", full*(1+0.3*r.Float64()))
	if r.Float64() < 0.5 {
		set("vcut", float64(b.Series)*p.Cell.CutoffV*(0.95+0.2*r.Float64()))
	}
	weaken := 5 + 75*r.Float64()
	flux := 60 / (2 * math.Pi * math.Sqrt(3) * p.Motor.PolePairs * p.Motor.Kv)
	switch i % 4 {
	case 1:
		set("fw", weaken)
	case 2:
		set("fw", 40+weaken/2)
		set("ld", 1e6*flux/b.WeakenA*(1.05+0.6*r.Float64()))
		set("lq", 1e6*flux/b.WeakenA*(1.05+0.6*r.Float64()))
	case 3:
		set("fw", weaken)
		set("isat", 60+60*r.Float64())
		ratio := 1.4 + 1.4*r.Float64()
		if r.Float64() < 0.3 {
			ratio = 1 / ratio
		}
		set("lq", 1e6*p.Motor.Ld*ratio)
	}
	return b
}

// newSolverCase states a build for the solver. What is only asked for, speeds and loads, comes from r.
func newSolverCase(t *testing.T, b *build.Build, r *rand.Rand) solverCase {
	report, err := core.Plan(*b)
	require.NoError(t, err)
	parts := b.Parts()
	k := pack.New(b, &parts)
	c := solverCase{Link: link.Encode(b, nil), Model: report.Model}
	c.Settings = map[string]float64{
		"phase": b.PhaseLimit, "derate_c": b.DerateC, "limit_c": b.LimitC, "batt": b.BatteryLimit, "regen": b.RegenLimit, "duty": b.MaxDuty,
		"fw": b.WeakenA, "fwduty": b.WeakenDuty, "vmax": parts.Controller.AbsoluteV, "vcut": parts.CutoffV,
	}
	if b.CellsLimit == build.On {
		c.Settings["cells_a"] = float64(b.Parallel) * parts.Cell.PeakA
	}
	files := map[build.Chemistry][2]string{
		build.NickelRich:    {"ocv_nmc811_graphite_siox_chen2020.csv", "NMC"},
		build.NickelCobalt:  {"ocv_nca_graphite_kim2011.csv", "NMC"},
		build.IronPhosphate: {"ocv_lfp_graphite_bpx2022_18650.csv", "LFP"},
	}[parts.Cell.Chemistry]
	c.Pack = solverPack{
		files[0], files[1], b.Series, b.Parallel, parts.Cell.FullV, parts.Cell.EmptyV, parts.Cell.Resistance * (1 + b.ResistanceGrowth),
		k.PathOhm, k.CapacityAh, b.AmbientC, b.FloorCharge, b.StartCharge,
	}
	c.Ride = map[string]float64{
		"cruise": b.Cruise, "grade": b.Grade, "headwind": b.Headwind, "rider_kg": b.Rider, "shift": b.Shift, "duty": b.CruiseDuty,
	}
	c.Heat = map[string]float64{
		"winding_j": parts.Motor.WindingJ, "hub_j": parts.Motor.HubJ, "winding_to_hub": parts.Motor.WindingToHub,
		"hub_to_air": parts.Motor.HubToAir, "ambient_c": b.AmbientC,
		"speed": 15 * r.Float64(), "copper_w": 20 + 400*r.Float64(), "iron_w": 80 * r.Float64(), "winding_c": b.WindingC,
		"from_winding": b.AmbientC + 60*r.Float64(), "from_hub": b.AmbientC + 20*r.Float64(),
	}
	m, d := &c.Model, c.Settings
	top := 1.0 // how many times faster the wheel turns with its field weakened, roughly
	if d["fw"] > 0 {
		top = 2.5
		if left := 1 - d["fw"]*m.Motor.LdH/m.Motor.FluxWb; left > 1/top {
			top = 1 / left
		}
	}
	for i, volts := range []float64{m.Pack.OpenCircuitV.Full, m.Pack.OpenCircuitV.Half, m.Pack.OpenCircuitV.Low} {
		ideal := volts * d["duty"] / (math.Sqrt(3) * m.Motor.PolePairs * m.Motor.FluxWb)
		for _, share := range []float64{0, 0.3, 0.6, 0.85} {
			c.Omega[i] = append(c.Omega[i], share*ideal)
		}
		for _, share := range []float64{0, 0.35, 0.7, 1} {
			c.Omega[i] = append(c.Omega[i], ideal*(0.9+share*(1.02*top-0.9)))
		}
		for range 4 {
			torque := 1.5 * m.Motor.PolePairs * m.Motor.FluxWb * d["phase"] * (0.9*r.Float64() - 0.25)
			c.Points = append(c.Points, solverPoint{i, ideal * 1.05 * top * r.Float64(), torque})
		}
	}
	return c
}

// solverCases reads the builds that solve.py was given, and holds them to be what the planner still makes of their links: else the
// answers would be to another question.
func solverCases(t *testing.T) []solverCase {
	t.Helper()
	if *updateSolver {
		r := rand.New(rand.NewPCG(20, 26))
		cases := make([]solverCase, 56)
		for i := range cases {
			b := drawSolverBuild(t, r, i)
			cases[i] = newSolverCase(t, &b, r)
		}
		writeSolverJSON(t, cases)
	}
	text, err := os.ReadFile(solverBuilds)
	require.NoError(t, err)
	var cases []solverCase
	require.NoError(t, json.Unmarshal(text, &cases))
	require.GreaterOrEqual(t, len(cases), 48)
	for i := range cases {
		l := link.Decode(cases[i].Link)
		require.Empty(t, l.Problems)
		now := newSolverCase(t, &l.Build, rand.New(rand.NewPCG(0, 0)))
		alike(t, cases[i].Pack, now.Pack, i)
		alike(t, cases[i].Model, now.Model, i)
		alike(t, cases[i].Settings, now.Settings, i)
		alike(t, cases[i].Ride, now.Ride, i)
	}
	return cases
}

// writeSolverJSON writes one build per line.
func writeSolverJSON(t *testing.T, cases []solverCase) {
	var out bytes.Buffer
	encode := json.NewEncoder(&out) // ends every value with a line feed
	encode.SetEscapeHTML(false)
	for i := range cases {
		out.WriteByte("[,"[min(i, 1)])
		require.NoError(t, encode.Encode(cases[i]))
	}
	out.WriteString("]\n")
	require.NoError(t, os.WriteFile(solverBuilds, out.Bytes(), 0o644))
}

// solverBoard is the planner's own view of a case.
func solverBoard(t *testing.T, c *solverCase) (build.Build, ride.Board, [3]pack.Source) {
	b := link.Decode(c.Link).Build
	parts := b.Parts()
	bd := ride.Board{
		Drive: drive.New(&b, &parts), Road: road.New(&b, &parts), Pack: pack.New(&b, &parts), Shift: b.Shift, DutyGoal: b.CruiseDuty,
	}
	return b, bd, [3]pack.Source{bd.Pack.At(1), bd.Pack.At(0.5), bd.Pack.At(b.FloorCharge)}
}

// alike compares what stands in builds.json with what the planner makes of the same link, to 1e-12: exp and pow differ in their last
// digits between machines.
func alike(t *testing.T, want, got any, build int) {
	t.Helper()
	var a, b any
	for _, x := range []struct{ from, to any }{{want, &a}, {got, &b}} {
		text, err := json.Marshal(x.from)
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(text, x.to))
	}
	var walk func(path string, a, b any)
	walk = func(path string, a, b any) {
		switch a := a.(type) {
		case map[string]any:
			other, _ := b.(map[string]any)
			require.Len(t, other, len(a), "build %d %s", build, path)
			for k := range a {
				walk(path+"."+k, a[k], other[k])
			}
		case []any:
			other, _ := b.([]any)
			require.Len(t, other, len(a), "build %d %s", build, path)
			for i := range a {
				walk(path, a[i], other[i])
			}
		case float64:
			require.InDelta(t, a, b, 1e-12*(1+math.Abs(a)), "build %d %s", build, path)
		default:
			require.Equal(t, a, b, "build %d %s", build, path)
		}
	}
	walk("", a, b)
}
