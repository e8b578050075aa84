package find_test

import (
	"testing"

	"headroom/core/find"

	"github.com/stretchr/testify/require"
)

// wanted are wishes as a shop has them, over the whole space: every cell, count, controller, motor and tire.
const wanted = "range=30&ceiling=35&shift=30&mass=18&cells=24%2B24"

// BenchmarkSearch prints how fast a whole search goes. Builds that a branch rules out are counted apart.
func BenchmarkSearch(b *testing.B) {
	for name, text := range map[string]string{
		"shop": wanted, "nothing wished": "", "pressures and weakening": wanted + "&kpa=100-160/20&fw=0,20,40",
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				task, problems := find.Parse(text)
				require.Empty(b, problems)
				s, err := find.NewSearch(task, 0, 1)
				require.NoError(b, err)
				for s.Step(1e6) {
				}
				r := s.Result()
				seconds := b.Elapsed().Seconds() / float64(b.N)
				b.ReportMetric(float64(r.Tally.Examined())/seconds, "examined/s")
				b.ReportMetric(float64(r.Tally.Looked+r.Tally.Planned)/seconds, "looked-at/s")
				b.ReportMetric(float64(r.Tally.Planned), "planned")
				b.ReportMetric(float64(len(r.Found)), "found")
				b.Log(r.Tally)
			}
		})
	}
}
