package core_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/drive"
	"headroom/core/heat"
	"headroom/core/pack"
	"headroom/core/ride"
)

// solverTolerance is how far core may be from the outside solver; the worst found is logged by every test. The largest driving torque is
// allowed more: in one build of early saturation the planner's own search stops 0.18 % below the top of a flat curve.
const (
	solverTolerance       = 0.001
	solverTorqueTolerance = 0.005
)

// solverTimes are the moments in s that solve.py gives temperatures at.
var solverTimes = []float64{10, 60, 300, 1200, 3600, 14400}

// solverAnswer is what testdata/solver/solve.py found for one build.
type solverAnswer struct {
	Source [3][2]float64     `json:"source"` // open-circuit V, Ω
	Drive  [3][]*solverLimit `json:"drive"`  // nil where nothing is allowed
	Brake  [3][]*solverLimit `json:"brake"`
	Points []struct {
		Rule bool              `json:"rule"` // the two-number rule alone holds duty under its highest
		At   []solverOperating `json:"at"`   // every point of the rule; none where the load cannot be carried
	} `json:"points"`
	Spin [3][3]*float64 `json:"spin"` // rad/s without weakening, at −I_fw, at the best d current; nil where there is none
	Heat struct {
		T       [][2]float64 `json:"t"`
		Settled *[2]float64  `json:"settled"`
	} `json:"heat"`
	Ride struct {
		End  float64         `json:"end"`
		By   json.RawMessage `json:"by"`
		Km   float64         `json:"km"`
		Wh   float64         `json:"wh"`
		Load float64         `json:"load"`
	} `json:"ride"`
}

// solverLimit is a largest torque and the limits that are met there.
type solverLimit struct {
	T      float64  `json:"t"`
	D      float64  `json:"d"`
	Q      float64  `json:"q"`
	By     []string `json:"by"`
	Joined bool     `json:"joined"` // braking: what is allowed is one region that begins at no current
	// Braking against regeneration limit or bus voltage with the least current for the torque, where nothing else binds first.
	Thrifty *float64 `json:"thrifty"`
}

type solverOperating struct {
	D      float64 `json:"d"`
	Q      float64 `json:"q"`
	V      float64 `json:"v"`
	A      float64 `json:"a"`
	Duty   float64 `json:"duty"`
	Copper float64 `json:"copper"`
}

// solverBounds are solve.py's names of what the planner calls a bound. Along the voltage limit torque may be flat enough for the deepest
// d current to be as good as one a little before it; that the voltage binds is what must be the same.
var solverBounds = map[drive.Bound]string{
	drive.ByPhase: "phase", drive.ByWinding: "phase", drive.ByBattery: "battery", drive.ByCells: "battery", drive.ByCutoff: "cutoff",
	drive.ByPower: "power", drive.ByDuty: "duty", drive.ByWeakening: "duty", drive.ByRegen: "regen", drive.ByBusV: "bus",
}

func solverAnswers(t *testing.T) ([]solverCase, []solverAnswer) {
	t.Helper()
	cases := solverCases(t)
	text, err := os.ReadFile("../testdata/solver/answers.json")
	require.NoError(t, err)
	var answers []solverAnswer
	require.NoError(t, json.Unmarshal(text, &answers))
	require.Len(t, answers, len(cases), "run solve.py again")
	return cases, answers
}

// regen tells whether what flows back is what stops braking.
func (l *solverLimit) regen() bool {
	return slices.Contains(l.By, "regen") || slices.Contains(l.By, "bus")
}

// solverScale collects how close two ways of computing are, as a share of what may be: relative, or absolute where a number is small.
type solverScale struct {
	t              *testing.T
	name           string
	relative, near float64
	worst          float64
	at             string
	count          int
}

func (s *solverScale) same(want, got float64, where string) {
	s.count++
	share := math.Abs(got-want) / max(s.relative*math.Abs(want), s.near)
	if math.IsNaN(share) || share > s.worst {
		s.worst, s.at = share, where
	}
	if !(share <= 1) {
		s.t.Errorf("%s of %s: solver %.9g, core %.9g", s.name, where, want, got)
	}
}

func (s *solverScale) report(least int) {
	s.t.Logf("%-22s %4d compared, worst at %.5f of the tolerance (%g relative or %g): %s", s.name, s.count, s.worst, s.relative, s.near, s.at)
	assert.GreaterOrEqual(s.t, s.count, least, "%s: too few cases to mean anything", s.name)
}

func solverWhere(build, charge int, at float64) string {
	return fmt.Sprintf("build %d, %s, %.5g", build, [3]string{"full", "half", "low"}[charge], at)
}

// TestSolverSources holds the pack's open-circuit voltage and resistance against scipy's own interpolation of the published tables.
func TestSolverSources(t *testing.T) {
	cases, answers := solverAnswers(t)
	volts := solverScale{t: t, name: "open-circuit voltage", relative: 1e-8}
	ohms := solverScale{t: t, name: "pack resistance", relative: solverTolerance}
	for i := range cases {
		_, _, sources := solverBoard(t, &cases[i])
		for z, s := range sources {
			volts.same(answers[i].Source[z][0], s.OpenCircuit, solverWhere(i, z, 0))
			ohms.same(answers[i].Source[z][1], s.Resistance, solverWhere(i, z, 0))
		}
	}
	volts.report(144)
	ohms.report(144)
}

// TestSolverTorque holds the largest driving and braking torque against a search over all currents. Braking is held to it where what is
// allowed is one region that begins at no current, and where the regeneration limit stops a weakened motor, to the least current for the
// torque, because the planner does not burn braking power in the winding on purpose (see drive.MaxBraking). Elsewhere the search is an
// upper bound.
func TestSolverTorque(t *testing.T) {
	cases, answers := solverAnswers(t)
	driving := solverScale{t: t, name: "driving torque", relative: solverTorqueTolerance, near: 0.02}
	braking := solverScale{t: t, name: "braking torque", relative: solverTolerance, near: 0.02}
	thrifty := solverScale{t: t, name: "braking, regeneration", relative: solverTolerance, near: 0.02}
	nothing, oneSided := 0, 0
	for i := range cases {
		_, bd, sources := solverBoard(t, &cases[i])
		d := &bd.Drive
		for z, src := range sources {
			for k, omega := range cases[i].Omega[z] {
				at := solverWhere(i, z, omega)
				p, by := d.MaxTorque(src, omega)
				want := answers[i].Drive[z][k]
				if want == nil {
					nothing++
					driving.same(-d.Motor.Drag(omega), p.Torque, at+" with nothing allowed")
					assert.Zero(t, p.Phase(), at)
				} else {
					driving.same(want.T, p.Torque, at)
					assert.Contains(t, want.By, solverBounds[by], "driving, %s: what the planner names must be met at the optimum", at)
				}
				solverWithin(t, d, src, &p, at)

				p, by = d.MaxBraking(src, omega)
				switch want := answers[i].Brake[z][k]; {
				case want == nil:
					braking.same(-d.Motor.Drag(omega), p.Torque, at+" with nothing allowed")
				case want.Thrifty != nil:
					thrifty.same(*want.Thrifty, p.Torque, at)
					assert.Contains(t, []drive.Bound{drive.ByRegen, drive.ByBusV}, by, at)
				case want.Joined && !(d.WeakenA > 0 && want.regen()):
					braking.same(want.T, p.Torque, at)
					assert.Contains(t, want.By, solverBounds[by], "braking, %s: what the planner names must be met at the optimum", at)
				default:
					oneSided++
					assert.GreaterOrEqual(t, p.Torque, want.T-max(0.02, -solverTolerance*want.T), "braking, %s: more than is allowed", at)
				}
				solverWithin(t, d, src, &p, at)
			}
		}
	}
	driving.report(1000)
	braking.report(400)
	thrifty.report(100)
	t.Logf("%d points with nothing allowed while driving, %d braking held to an upper bound only", nothing, oneSided)
}

// solverWithin holds a point that the planner calls allowed to the limits themselves.
func solverWithin(t *testing.T, d *drive.Drive, src pack.Source, p *drive.Point, at string) {
	t.Helper()
	const slack = 1e-6
	if p.Phase() == 0 && p.Duty == 0 {
		return // nothing is done there
	}
	assert.LessOrEqual(t, p.Duty, d.MaxDuty*(1+slack), at)
	assert.LessOrEqual(t, p.Phase(), d.PhaseLimit*(1+slack), at)
	assert.LessOrEqual(t, p.BusA, d.BatteryLimit*(1+slack), at)
	assert.GreaterOrEqual(t, p.BusA, -d.RegenLimit-slack*src.OpenCircuit/src.Resistance, at)
	assert.LessOrEqual(t, p.BusV, max(d.AbsoluteV, src.OpenCircuit)*(1+slack), at)
	assert.GreaterOrEqual(t, p.BusV, min(d.CutoffV, src.OpenCircuit)*(1-slack), at)
	assert.True(t, p.Id <= 0 && p.Id >= -d.WeakenA*(1+slack), "%s: d current %g", at, p.Id)
}

// TestSolverOperating holds loads carried with the two-number rule, sag and all, against scipy's root finders.
func TestSolverOperating(t *testing.T) {
	cases, answers := solverAnswers(t)
	volts := solverScale{t: t, name: "bus voltage", relative: solverTolerance}
	amps := solverScale{t: t, name: "battery current", relative: solverTolerance, near: 0.02}
	duty := solverScale{t: t, name: "duty", relative: solverTolerance, near: 1e-4}
	id := solverScale{t: t, name: "d current", relative: solverTolerance, near: 0.05}
	iq := solverScale{t: t, name: "q current", relative: solverTolerance, near: 0.05}
	heat := solverScale{t: t, name: "copper loss", relative: solverTolerance, near: 0.1}
	refused, several, beyond := 0, 0, 0
	for i := range cases {
		_, bd, sources := solverBoard(t, &cases[i])
		for k, q := range cases[i].Points {
			at := solverWhere(i, q.Charge, q.Omega)
			p, ok := bd.Drive.At(sources[q.Charge], q.Omega, q.Torque)
			found := answers[i].Points[k]
			if len(found.At) == 0 {
				refused++
				assert.False(t, ok, "%s: %g N·m cannot be carried", at, q.Torque)
				continue
			}
			if !assert.True(t, ok, "%s: %g N·m can be carried", at, q.Torque) {
				continue
			}
			if len(found.At) > 1 {
				several++
			}
			if !found.Rule {
				beyond++
			}
			want := found.At[len(found.At)-1] // where there are several, the one a controller meets first: nearest to no weakening
			volts.same(want.V, p.BusV, at)
			amps.same(want.A, p.BusA, at)
			duty.same(want.Duty, p.Duty, at)
			id.same(want.D, p.Id, at)
			iq.same(want.Q, p.Iq, at)
			heat.same(want.Copper, p.Copper, at)
		}
	}
	for _, s := range []*solverScale{&volts, &amps, &duty, &id, &iq, &heat} {
		s.report(400)
	}
	t.Logf("%d loads refused by both, %d with several points of the rule, %d beyond the rule", refused, several, beyond)
}

// TestSolverFreeSpin holds the speeds of the lifted wheel. Where I_fw does not reach past the magnets' flux the best d current is −I_fw
// itself, as the rule has it.
func TestSolverFreeSpin(t *testing.T) {
	cases, answers := solverAnswers(t)
	plain := solverScale{t: t, name: "free spin", relative: solverTolerance}
	weakened := solverScale{t: t, name: "free spin, weakened", relative: solverTolerance}
	past := 0
	for i := range cases {
		_, bd, sources := solverBoard(t, &cases[i])
		for z, src := range sources {
			want := answers[i].Spin[z]
			require.NotNil(t, want[0])
			plain.same(*want[0], bd.Drive.FreeSpin(src), solverWhere(i, z, 0))
			m := &bd.Drive.Motor
			if bd.Drive.WeakenA*m.Ld > m.Flux {
				past++
			} else if want[1] != nil {
				weakened.same(*want[1], bd.Drive.FreeSpinWeakened(src), solverWhere(i, z, 0)+" at -I_fw")
			}
			if want[2] != nil {
				weakened.same(*want[2], bd.Drive.FreeSpinWeakened(src), solverWhere(i, z, 0))
			}
		}
	}
	plain.report(144)
	weakened.report(200)
	t.Logf("%d with a weakening current past λ/L_d", past)
}

// TestSolverHeat holds the two-node motor against an integrator.
func TestSolverHeat(t *testing.T) {
	cases, answers := solverAnswers(t)
	kelvin := solverScale{t: t, name: "temperature", near: 0.1}
	runaway := 0
	for i := range cases {
		b, _, _ := solverBoard(t, &cases[i])
		parts := b.Parts()
		h := cases[i].Heat
		m := heat.New(parts.Motor, h["speed"], b.AmbientC)
		losses := heat.LossesAt(h["copper_w"], h["iron_w"], b.WindingC)
		from := heat.State{Winding: h["from_winding"], Hub: h["from_hub"]}
		for k, seconds := range solverTimes {
			got := m.After(from, losses, seconds)
			// A motor that runs away passes any number of degrees; there a share of them must do.
			kelvin.relative = 0
			if answers[i].Heat.Settled == nil {
				kelvin.relative = 1e-6
			}
			kelvin.same(answers[i].Heat.T[k][0], got.Winding, solverWhere(i, 0, seconds))
			kelvin.same(answers[i].Heat.T[k][1], got.Hub, solverWhere(i, 0, seconds))
		}
		kelvin.relative = 0
		got, ok := m.Settled(losses)
		want := answers[i].Heat.Settled
		require.Equal(t, want != nil, ok, "build %d: does it settle", i)
		if want == nil {
			runaway++
			continue
		}
		kelvin.same(want[0], got.Winding, solverWhere(i, 0, 0)+" settled")
		kelvin.same(want[1], got.Hub, solverWhere(i, 0, 0)+" settled")
	}
	kelvin.report(600)
	t.Logf("%d run away", runaway)
}

// TestSolverRange holds the range that the report states, where it ends and why, against a whole discharge integrated over charge.
func TestSolverRange(t *testing.T) {
	cases, answers := solverAnswers(t)
	km := solverScale{t: t, name: "range, km", relative: solverTolerance, near: 0.005}
	whPerKm := solverScale{t: t, name: "Wh/km", relative: solverTolerance}
	end := solverScale{t: t, name: "charge at the end, %", near: 0.1}
	load := solverScale{t: t, name: "load torque", relative: solverTolerance}
	names := map[string]string{
		"floor": string(ride.StopFloor), "torque": string(ride.StopNoTorque), "reserve": string(ride.StopReserve), "duty": string(ride.StopDuty),
	}
	stops := map[string]int{}
	for i := range cases {
		b, bd, _ := solverBoard(t, &cases[i])
		r, err := core.Plan(b)
		require.NoError(t, err)
		want, at := answers[i].Ride, solverWhere(i, 0, b.Cruise)
		var by []string
		if json.Unmarshal(want.By, &by) != nil {
			var one string
			require.NoError(t, json.Unmarshal(want.By, &one))
			by = []string{one}
		}
		for k := range by {
			by[k] = names[by[k]]
		}
		if slices.Contains(by, string(ride.StopNoTorque)) {
			by = append(by, string(ride.StopCutoff))
		}
		stops[r.Range.StoppedBy]++
		assert.Contains(t, by, r.Range.StoppedBy, at)
		require.NotNil(t, r.Range.Km, at)
		load.same(want.Load, bd.Road.Torque(b.Cruise, b.Grade), at)
		end.same(want.End*100, r.Range.EndPct, at)
		km.same(want.Km, *r.Range.Km, at)
		if want.Km > 0 && assert.NotNil(t, r.Range.WhPerKm, at) {
			whPerKm.same(want.Wh/want.Km, *r.Range.WhPerKm, at)
		}
	}
	for _, s := range []*solverScale{&km, &end, &load} {
		s.report(48)
	}
	whPerKm.report(24)
	t.Logf("rides end by: %v", stops)
}
