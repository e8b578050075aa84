package ridelog_test

import (
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"headroom/core/build"
	"headroom/core/ride"
	"headroom/core/ridecheck"
	"headroom/core/ridelog"
	"headroom/core/ridelog/internal/ridesim"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func boardOf(b *build.Build) *ride.Board {
	p := b.Parts()
	board := ride.NewBoard(b, &p)
	return &board
}

// turn multiplies an input, overridden where it comes with a class.
func turn(b *build.Build, key string, by float64) {
	p, f := b.Parts(), build.FieldFor(key)
	f.SetValue(b, f.ValueIn(b, &p)*by)
}

// someBoard draws a board that a workshop might see, and one whose truth differs from it by what a fit is to find.
func someBoard(lots *rand.Rand) (plan, truth build.Build) {
	plan = build.Default()
	build.FieldFor("motor").SetValue(&plan, float64(lots.IntN(len(build.Motors))))
	build.FieldFor("tire").SetValue(&plan, float64(lots.IntN(len(build.Tires))))
	build.FieldFor("cell").SetValue(&plan, float64(lots.IntN(5)))
	plan.Series, plan.Parallel = 16+lots.IntN(9), 2+lots.IntN(2)
	plan.Rider = 60 + 40*lots.Float64()
	plan.StartCharge = 0.6 + 0.4*lots.Float64()
	truth = plan
	turn(&truth, "kv", 0.93+0.14*lots.Float64())
	turn(&truth, "cellr", 0.8+0.5*lots.Float64())
	turn(&truth, "cda", 0.9+0.2*lots.Float64())
	turn(&truth, "crr", 0.9+0.2*lots.Float64())
	if b := boardOf(&truth); b.Ceiling(b.Pack.At(truth.FloorCharge)).Speed < 5 { // nobody would ride it
		return someBoard(lots)
	}
	return plan, truth
}

// off is how far a fit through a log leaves the three that it is asked for from the truth, and how far the log's own resistance is from it.
type off struct{ kv, ohm, drag, told float64 }

func recovered(t *testing.T, plan, truth build.Build, log []byte) (o off, told bool) {
	t.Helper()
	r, failure := ridelog.Read(log, ridelog.Settings{})
	require.Empty(t, failure)
	fit := ridecheck.FitAll(plan, ridelog.Measurements(&r, boardOf(&plan)))
	require.Empty(t, fit.Failed)
	got := fit.Build()
	g, w := boardOf(&got), boardOf(&truth)
	z := truth.StartCharge - 0.05
	// Drag is what air and ground hold the board back with, where it was mostly ridden.
	v := 0.8 * w.Ceiling(w.Pack.At(truth.FloorCharge)).Speed
	told = r.Resistance != nil
	if told {
		at := ridecheck.Measurement{Kind: ridecheck.PackResistance, Value: 1, At: ridecheck.At{RestV: r.Resistance.RestV}}
		o.told = r.Resistance.Ohm/ridecheck.CheckAll(truth, []ridecheck.Measurement{at})[0].Predicted - 1
	}
	return off{
		kv:   w.Drive.Motor.Flux/g.Drive.Motor.Flux - 1,
		ohm:  g.Pack.At(z).Resistance/w.Pack.At(z).Resistance - 1,
		drag: g.Road.Force(v, 0)/w.Road.Force(v, 0) - 1,
		told: o.told,
	}, told
}

// The whole way: a board whose truth differs from its plan is ridden ten minutes by the simulator, its log is read, and the fit finds the
// truth. Bounds: Kv within 1 %, the log's resistance within 3 %, the fit's drag within 5 %, whatever the logger's noise and with a tenth of the rows
// spoilt. The fit's resistance is within 6 %: of a log too it believes no more than cells allow that are known to three kelvins, an eighth of
// their resistance, and leaves the truth, up to 30 % off here, that much nearer to the plan.
func TestLogsTellTheTruthOfTheBoard(t *testing.T) {
	boards := 24
	if testing.Short() || runtime.GOARCH == "wasm" { // where it would take minutes
		boards = 8
	}
	for _, way := range []struct {
		name            string
		noise, outliers float64
		hill            float64
	}{{"quiet", 0.5, 0, 0}, {"usual", 1, 0, 0}, {"noisy", 2, 0, 0}, {"spoilt", 1, 0.1, 0}, {"hilly", 1, 0, 1}} {
		t.Run(way.name, func(t *testing.T) {
			lots := rand.New(rand.NewPCG(7, 11))
			var sum, square, worst off
			silent := 0
			for i := range boards {
				plan, truth := someBoard(lots)
				l := ridesim.Usual()
				l.SpeedNoise, l.DutyNoise, l.VoltNoise, l.AmpNoise = l.SpeedNoise*way.noise, l.DutyNoise*way.noise, l.VoltNoise*way.noise, l.AmpNoise*way.noise
				l.Outliers, l.Hill = way.outliers, way.hill
				o, told := recovered(t, plan, truth, ridesim.CSV(ridesim.Ride(truth, l, 600, uint64(i))))
				if !told { // a ride without load says nothing of the resistance, and is told so
					o.ohm = 0
					silent++
				}
				for _, x := range []struct{ v, sum, square, worst *float64 }{
					{&o.kv, &sum.kv, &square.kv, &worst.kv}, {&o.ohm, &sum.ohm, &square.ohm, &worst.ohm}, {&o.drag, &sum.drag, &square.drag, &worst.drag},
					{&o.told, &sum.told, &square.told, &worst.told},
				} {
					*x.sum += *x.v
					*x.square += *x.v * *x.v
					*x.worst = math.Max(*x.worst, math.Abs(*x.v))
				}
			}
			n := float64(boards)
			t.Logf("bias and spread in %%: Kv %+.2f %.2f, resistance told %+.2f %.2f, fitted %+.2f %.2f, drag %+.2f %.2f; worst %.2f %.2f %.2f %.2f",
				100*sum.kv/n, 100*math.Sqrt(square.kv/n), 100*sum.told/n, 100*math.Sqrt(square.told/n), 100*sum.ohm/n, 100*math.Sqrt(square.ohm/n),
				100*sum.drag/n, 100*math.Sqrt(square.drag/n), 100*worst.kv, 100*worst.told, 100*worst.ohm, 100*worst.drag)
			assert.LessOrEqual(t, silent, boards/20+1, "most rides tell the resistance")
			assert.Less(t, worst.kv, 0.01)
			assert.Less(t, worst.told, 0.03)
			assert.Less(t, worst.ohm, 0.06)
			assert.Less(t, worst.drag, 0.05)
		})
	}
}
