package route_test

import (
	"math"
	"testing"
)

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
