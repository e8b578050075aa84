package ridelog_test

import (
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"headroom/core/build"
	"headroom/core/ridecheck"
	"headroom/core/ridelog"
	"headroom/core/ridelog/internal/ridesim"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A stated uncertainty is held against what the simulator knows: the errors over it have a root mean square of 1 if it is right. First the
// resistance alone, by loggers whose sensors have no error but noise; then what goes to the ride check, by loggers whose volts and amps are a
// little too large or small all along, on a day that is warmer or colder than planned.
func TestResistanceIsAsSureAsItSays(t *testing.T) {
	boards := 40
	if testing.Short() || runtime.GOARCH == "wasm" { // where it would take minutes
		boards = 12
	}
	var all, allBiased ratios
	for n, way := range []struct {
		name            string
		noise, outliers float64
		hill, seconds   float64
	}{{"quiet", 0.5, 0, 0, 600}, {"usual", 1, 0, 0, 600}, {"noisy", 2, 0, 0, 600}, {"spoilt", 1, 0.1, 0, 600}, {"hilly", 1, 0, 1, 600},
		{"short", 1, 0, 0, 240}, {"long", 1, 0, 0, 2400}} {
		t.Run(way.name, func(t *testing.T) {
			lots := rand.New(rand.NewPCG(7, uint64(n)))
			var alone, biased ratios
			for i := range boards {
				_, truth := someBoard(lots)
				l := ridesim.Usual()
				l.SpeedNoise, l.DutyNoise, l.VoltNoise, l.AmpNoise = l.SpeedNoise*way.noise, l.DutyNoise*way.noise, l.VoltNoise*way.noise, l.AmpNoise*way.noise
				l.Outliers, l.Hill = way.outliers, way.hill
				plan := truth
				plan.AmbientC += 3 * lots.NormFloat64()
				rows := ridesim.Ride(truth, l, way.seconds, uint64(i))
				off := func(plan build.Build) (off, own, all float64, told bool) {
					r, failure := ridelog.Read(ridesim.CSV(rows), ridelog.Settings{})
					require.Empty(t, failure)
					if r.Resistance == nil {
						return 0, 0, 0, false
					}
					m := ridelog.Measurements(&r, boardOf(&plan))[0]
					require.Equal(t, ridecheck.PackResistance, m.Kind)
					k := ridecheck.CheckAll(plan, []ridecheck.Measurement{m})[0]
					require.Empty(t, k.Skipped)
					return m.Value - k.Predicted, r.Resistance.Sigma, k.Reading, true
				}
				if e, own, _, told := off(truth); told {
					alone.add(e / own)
				}
				volts, amps := 1+0.005*lots.NormFloat64(), 1+0.03*lots.NormFloat64()
				for j := range rows {
					rows[j].Volts *= volts
					rows[j].Amps *= amps
				}
				if e, _, all, told := off(plan); told {
					biased.add(e / all)
				}
			}
			t.Logf("errors over their uncertainty, r.m.s. and worst: noise alone %.2f %.1f; sensors and weather %.2f %.1f", alone.rms(), alone.worst, biased.rms(), biased.worst)
			require.Greater(t, alone.n, 0.8*float64(boards), "most rides tell it")
			assert.Less(t, alone.rms(), 1.5)
			assert.Less(t, biased.rms(), 1.5)
			assert.Less(t, max(alone.worst, biased.worst), 4.5)
			all.join(alone)
			allBiased.join(biased)
		})
	}
	t.Logf("all: %.2f; %.2f", all.rms(), allBiased.rms())
	for _, x := range []ratios{all, allBiased} {
		assert.InDelta(t, 1, x.rms(), 0.25, "neither too sure nor too shy")
	}
}

// ratios are errors over their uncertainty.
type ratios struct{ n, square, worst float64 }

func (r *ratios) add(u float64) {
	r.n, r.square, r.worst = r.n+1, r.square+u*u, max(r.worst, math.Abs(u))
}

func (r *ratios) join(other ratios) {
	r.n, r.square, r.worst = r.n+other.n, r.square+other.square, max(r.worst, other.worst)
}

func (r *ratios) rms() float64 { return math.Sqrt(r.square / r.n) }
