package core_test

import (
	"encoding/json"
	"math"
	"testing"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/internal/randombuild"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestPlanAnswersEveryBuild(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		text := randombuild.Text(&b)
		r, err := core.Plan(b)
		require.NoError(t, err, text)
		// encoding/json refuses NaN and infinity.
		first, err := json.Marshal(r)
		require.NoError(t, err, text)

		r, err = core.Plan(b)
		require.NoError(t, err, text)
		again, err := json.Marshal(r)
		require.NoError(t, err, text)
		require.Equal(t, string(first), string(again), "the same build, the same report: %s", text)
	})
}

func TestEnvelopePassesNoLimit(t *testing.T) {
	carried := 0
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		p := b.Parts()
		text := randombuild.Text(&b)
		r, err := core.Plan(b)
		require.NoError(t, err)
		for charge, points := range map[string][]core.Point{"full": r.Envelope.Full, "half": r.Envelope.Half, "low": r.Envelope.Low} {
			require.Len(t, points, 25)
			last := math.Inf(-1)
			for i, e := range points {
				require.GreaterOrEqual(t, e.SpeedKmh, last, "%s %d: %s", charge, i, text)
				last = e.SpeedKmh
				require.InDelta(t, e.TorqueMax-e.LoadTorque, e.ReserveNm, 1e-9*(1+math.Abs(e.TorqueMax)+math.Abs(e.LoadTorque)))
				if e.Duty == nil {
					continue
				}
				require.LessOrEqual(t, math.Hypot(*e.PhaseDA, *e.PhaseQA), b.PhaseLimit*(1+1e-6), "%s %d: %s", charge, i, text)
				require.LessOrEqual(t, *e.PhaseDA, 0.0)
				require.GreaterOrEqual(t, *e.PhaseDA, -b.WeakenA*(1+1e-9))
				if *e.PhaseQA < 0 {
					continue // braking feeds the battery: MaxBraking has its own checks
				}
				carried++
				require.GreaterOrEqual(t, e.ReserveNm, 0.0)
				require.LessOrEqual(t, *e.BatteryA, b.BatteryLimit*(1+1e-6), "%s %d: %s", charge, i, text)
				require.LessOrEqual(t, *e.Duty, b.MaxDuty*(1+1e-6), "%s %d: %s", charge, i, text)
				require.GreaterOrEqual(t, *e.BusV, p.CutoffV*(1-1e-6), "%s %d: %s", charge, i, text)
			}
		}
	})
	require.Positive(t, carried, "no point carried its load: the check is idle")
}

func TestRangeBand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		r, err := core.Plan(b)
		require.NoError(t, err)
		if r.Range.Km == nil {
			return
		}
		text := randombuild.Text(&b)
		require.NotNil(t, r.Range.LowKm, text)
		require.LessOrEqual(t, *r.Range.LowKm, *r.Range.Km, text)
		if r.Range.HighKm != nil { // absent where the ride may use no charge at all
			require.GreaterOrEqual(t, *r.Range.HighKm, *r.Range.Km, text)
		}
		if r.Range.WhPerKm != nil {
			require.LessOrEqual(t, *r.Range.WhPerKm**r.Range.Km, 1.2*r.Pack.EnergyWh*b.HealthFraction, "no more than the pack holds: %s", text)
		}
	})
}

// The band by hand: every uncertain input moved through the Fields table, against the rider and for.
func TestRangeBandByHand(t *testing.T) {
	standard := build.Default()
	moved := func(sign float64) float64 {
		b := build.Default()
		for key, factor := range map[string]float64{
			"crr": 1 + sign*0.15, "cda": 1 + sign*0.10, "rider": 1 + sign*0.03, "board": 1 + sign*0.03, "kpa": 1 - sign*0.10,
		} {
			f := build.FieldFor(key)
			f.SetValue(&b, f.Value(&standard)*factor)
		}
		r, err := core.Plan(b)
		require.NoError(t, err)
		return *r.Range.Km
	}
	r := plan(t)
	// The fields keep 11 digits, and the end of a ride is found to a millionth of the charge.
	require.InEpsilon(t, moved(1), *r.Range.LowKm, 1e-5)
	require.InEpsilon(t, moved(-1), *r.Range.HighKm, 1e-5)
	require.Less(t, *r.Range.LowKm, 0.95**r.Range.Km)
	require.Greater(t, *r.Range.HighKm, 1.05**r.Range.Km)
	require.Equal(t, core.UncertaintyNote{Rolling: 0.15, DragArea: 0.10, Mass: 0.03, Pressure: 0.10}, r.Model.Road.Uncertainty)
}

func TestCeilingsFallWithCharge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Plausible().Draw(t, "build")
		if b.FloorCharge > 0.5 || b.Headwind < 0 {
			return // low is not below half, or the load may fall with speed
		}
		r, err := core.Plan(b)
		require.NoError(t, err)
		c := r.Speed.CruiseCeilingKmh
		require.GreaterOrEqual(t, c.Full, c.Half-1e-6, randombuild.Text(&b))
		require.GreaterOrEqual(t, c.Half, c.Low-1e-6, randombuild.Text(&b))
	})
}

// Sag at a given battery current: the report's peak current may change with the pack, so the sag is taken per ampere.
func TestMoreParallelNeverSagsMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		last := math.Inf(1)
		for p := 1.0; p <= 12; p += 2 {
			build.FieldFor("p").SetValue(&b, p)
			r, err := core.Plan(b)
			require.NoError(t, err)
			ohm := r.Model.Pack.ResistanceOhm.Full
			require.LessOrEqual(t, ohm, last, "%g parallel: %s", p, randombuild.Text(&b))
			require.InDelta(t, r.Pack.SagV, r.Pack.FullV-r.Pack.LoadedV, 1e-9)
			last = ohm
		}
	})
}
