package route_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core/internal/randombuild"
	"headroom/core/ride"
	"headroom/core/route"
)

// Anything that can be built, on anything that can be ridden.
func TestRidesOfAnything(t *testing.T) {
	ended := map[ride.Stop]int{}
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		r := riderOf(&b)
		n := rapid.IntRange(4, 60).Draw(t, "nodes")
		p := &route.Path{Step: rapid.Float64Range(5, 80).Draw(t, "step"), Ele: make([]float64, n+1), Curve: make([]float64, n+1), Grade: make([]float64, n)}
		p.Level = rapid.Bool().Draw(t, "level")
		for i := range p.Grade {
			p.Grade[i] = rapid.Float64Range(-0.4, 0.4).Draw(t, "grade")
			p.Curve[i] = rapid.SampledFrom([]float64{0, 0, 0.01, 0.1, 0.7}).Draw(t, "curve")
			p.Ele[i+1] = p.Ele[i] + p.Grade[i]*p.Step
		}
		got := ridden(r, p)
		ended[got.Stop]++
		text := randombuild.Text(&b)
		for _, v := range []float64{got.Meters, got.Road, got.Seconds, got.EnergyWh, got.HeatWh, got.Hub, got.Unheld, got.Overfull} {
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0), text)
		}
		require.LessOrEqual(t, got.Meters, p.Meters()*(1+1e-12))
		require.Equal(t, got.Stop == "", got.Meters > p.Meters()*(1-1e-12), text)
		require.NotEmpty(t, got.Places)
		for i, q := range got.Places {
			for _, v := range []float64{q.Meters, q.Ele, q.Grade, q.Speed, q.Charge, q.Shift, q.Winding} {
				require.False(t, math.IsNaN(v) || math.IsInf(v, 0), text)
			}
			require.True(t, q.Charge <= 1 && q.Charge >= math.Min(b.StartCharge, b.FloorCharge)-1e-12, "%g %s", q.Charge, text)
			require.LessOrEqual(t, q.Speed, b.Cruise+1e-9)
			require.GreaterOrEqual(t, q.Shift, got.Places[got.Lowest].Shift)
			require.LessOrEqual(t, q.Winding, got.Places[got.Hottest].Winding)
			if i > 0 {
				require.Greater(t, q.Meters+1e-9, got.Places[i-1].Meters)
			}
		}
	})
	assert.Greater(t, len(ended), 3, "%v", ended)
}

// On real hills the speeds of the last round belong to its own charges: wherever the speed is steady, the wanted reserve is kept.
func TestRoundsSettle(t *testing.T) {
	b := with(t, "cruise", "34", "shift", "25")
	r := riderOf(&b)
	p := opened(t, straight(12000, 8, func(s float64) float64 { return 200 + 25*math.Sin(s/350) + 5*math.Sin(s/130) }))
	got := ridden(r, p)
	require.Empty(t, got.Stop)
	limited := 0
	for _, q := range got.Places {
		if q.By == route.ByReserve {
			limited++
		}
		require.Greater(t, q.Shift, b.Shift-0.5e-3, "half a millimeter at %g m", q.Meters)
	}
	assert.Greater(t, limited, 100)
}

func BenchmarkRide(b *testing.B) {
	bd := with(b)
	r := riderOf(&bd)
	p := opened(b, straight(20000, 6, func(s float64) float64 { return 40 * math.Sin(s/700) }))
	b.ResetTimer()
	for b.Loop() {
		ridden(r, p)
	}
	b.ReportMetric(float64(len(p.Ele)), "nodes")
}

func BenchmarkOpen(b *testing.B) {
	text := straight(20000, 4, func(s float64) float64 { return 40 * math.Sin(s/700) })
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		opened(b, text)
	}
}
