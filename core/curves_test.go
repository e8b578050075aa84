package core_test

import (
	"encoding/json"
	"math"
	"strconv"
	"testing"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/internal/randombuild"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A ride that turns home at one of these charges goes as far as Along says and has the reserve that Along says; one that begins there
// goes the rest of the way.
func TestAlongAgainstShorterRides(t *testing.T) {
	turned, begun := 0, 0
	for _, profile := range []string{"steady", "hills", "stopgo"} {
		b := build.Default()
		require.Nil(t, build.FieldFor("profile").Set(&b, profile))
		r, err := core.Plan(b)
		require.NoError(t, err)
		along := r.Along()
		require.Len(t, along, 25)
		assert.Zero(t, along[0].Km)
		assert.Equal(t, 100*b.StartCharge, along[0].ChargePct)
		for _, at := range along[1:] {
			text := profile + " at " + strconv.FormatFloat(at.ChargePct, 'f', 1, 64)
			if at.ChargePct > 20 {
				rest := b
				rest.StartCharge = at.ChargePct / 100
				s, err := core.Plan(rest)
				require.NoError(t, err)
				begun++
				assert.InDelta(t, *r.Range.Km-*s.Range.Km, at.Km, 1e-3**r.Range.Km, text)
			}
			if at.ChargePct < 60 {
				part := b
				part.FloorCharge = at.ChargePct / 100
				s, err := core.Plan(part)
				require.NoError(t, err)
				turned++
				assert.InDelta(t, *s.Range.Km, at.Km, 1e-3**r.Range.Km, text)
				assert.InDelta(t, s.Ride.ShiftMm, at.ShiftMm, 1e-9, text)
				require.NotNil(t, at.BusV)
				assert.InDelta(t, *s.Ride.BusV, *at.BusV, 1e-9, text)
				assert.InDelta(t, *s.Ride.DutyPct, *at.DutyPct, 1e-9, text)
				assert.InDelta(t, s.Model.Pack.OpenCircuitV.Low, at.RestV, 1e-9, text)
			}
		}
	}
	assert.Greater(t, turned, 20)
	assert.Greater(t, begun, 40)
}

func TestAlongHoldsForEveryBuild(t *testing.T) {
	followed, still := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		text := randombuild.Text(&b)
		r, err := core.Plan(b)
		require.NoError(t, err)
		along := r.Along()
		_, err = json.Marshal(along) // refuses NaN and infinity
		require.NoError(t, err, text)
		if r.Range.Km == nil {
			require.Empty(t, along, text)
			return
		}
		last := along[len(along)-1]
		require.InDelta(t, *r.Range.Km, last.Km, 1e-9*(1+*r.Range.Km), text)
		require.InDelta(t, r.Range.EndPct, last.ChargePct, 1e-9, text)
		if len(along) == 1 {
			still++
			require.Zero(t, *r.Range.Km, text)
			return
		}
		followed++
		require.Len(t, along, 25)
		for i := 1; i < len(along); i++ {
			require.Greater(t, along[i].Km, along[i-1].Km, text)
			require.Less(t, along[i].ChargePct, along[i-1].ChargePct, text)
			require.LessOrEqual(t, along[i].RestV, along[i-1].RestV+1e-9, text)
		}
	})
	require.Positive(t, followed)
	require.Positive(t, still)
}

func TestRangeBandSurroundsTheRange(t *testing.T) {
	wide := 0
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		text := randombuild.Text(&b)
		r, err := core.Plan(b)
		require.NoError(t, err)
		band := r.RangeBand()
		_, err = json.Marshal(band)
		require.NoError(t, err, text)
		require.Len(t, band, len(r.Range.BySpeed))
		for i, at := range band {
			mid := r.Range.BySpeed[i]
			require.Equal(t, mid.SpeedKmh, at.SpeedKmh)
			if mid.Km == nil {
				require.Nil(t, at.LowKm, text)
				continue
			}
			require.NotNil(t, at.LowKm, text)
			require.LessOrEqual(t, *at.LowKm, *mid.Km, text)
			if at.HighKm != nil {
				require.GreaterOrEqual(t, *at.HighKm, *mid.Km, text)
				if *at.HighKm > 1.05**at.LowKm && *at.LowKm > 0 {
					wide++
				}
			}
		}
	})
	require.Positive(t, wide)
}

// At one speed the band is what the plan of a steady ride at that speed says of itself.
func TestRangeBandIsThatOfASteadyRide(t *testing.T) {
	b := build.Default()
	r, err := core.Plan(b)
	require.NoError(t, err)
	for _, at := range r.RangeBand()[:5] {
		b.Cruise = at.SpeedKmh / 3.6
		s, err := core.Plan(b)
		require.NoError(t, err)
		require.NotNil(t, at.HighKm)
		assert.InEpsilon(t, *s.Range.LowKm, *at.LowKm, 1e-9)
		assert.InEpsilon(t, *s.Range.HighKm, *at.HighKm, 1e-9)
	}
}

// At the speed where the reserve just is the wanted one, the torque left is the wanted torque.
func TestWantedTorque(t *testing.T) {
	r := plan(t, "shift", "40", "rider", "80")
	assert.InEpsilon(t, 0.040*80*9.80665, r.WantedNm(), 1e-12)
	for _, at := range r.Envelope.Low {
		assert.InDelta(t, at.ReserveNm, r.WantedNm()*at.ShiftMm/40, 1e-9)
	}
}

func TestCurvesAreInTheJSON(t *testing.T) {
	r := plan(t)
	body, err := json.Marshal(r)
	require.NoError(t, err)
	var read struct {
		RangeBand []core.RangeBandPoint `json:"range_band"`
		Along     []core.AlongPoint     `json:"along"`
		Charging  []struct {
			Minutes float64 `json:"minutes"`
		} `json:"charging"`
	}
	require.NoError(t, json.Unmarshal(body, &read))
	assert.Equal(t, r.RangeBand(), read.RangeBand)
	assert.Equal(t, r.Along(), read.Along)
	require.NotEmpty(t, read.Charging)
	assert.False(t, math.Abs(r.Charge.Minutes-read.Charging[len(read.Charging)-1].Minutes) > 1e-6)
}

func BenchmarkCurves(b *testing.B) {
	r, err := core.Plan(build.Default())
	require.NoError(b, err)
	b.Run("band", func(b *testing.B) {
		for b.Loop() {
			r.RangeBand()
		}
	})
	b.Run("along", func(b *testing.B) {
		for b.Loop() {
			r.Along()
		}
	})
	b.Run("charging", func(b *testing.B) {
		for b.Loop() {
			r.Charging()
		}
	})
}
