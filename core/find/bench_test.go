package find_test

import (
	"testing"
	"time"

	"headroom/core/find"

	"github.com/stretchr/testify/require"
)

// wanted are wishes as a shop has them, over the whole space of cells, counts, controllers, motors and tires around a board whose fuse and
// plugs stand any pack.
const wanted = "range=25&ceiling=28&shift=30&mass=20&cells=24%2B24&fusetype=battery-450&fuse=60&awg=6&crossawg=6&conn=bolted-m5&plug=bolted-m5&chgtype=pv-1000&regen=20&batt=40&phase=90&chga=4"

// BenchmarkSearch prints how fast whole searches go. Every build is examined; looked-at/s leaves those out that a branch rules out together,
// planned tells how many were planned whole.
func BenchmarkSearch(b *testing.B) {
	for _, c := range []struct{ name, text string }{
		{"Wished", wanted},
		{"WishedWeakened", wanted + "&kpa=100-200/20&fw=0,20,40"},
		{"WishedClear", wanted + "&clear=on"},
		{"NothingWished", ""},
		{"ClearAlone", "clear=on"},
	} {
		b.Run(c.name, func(b *testing.B) {
			task, problems := find.Parse(c.text)
			require.Empty(b, problems)
			var r find.Result
			start, rounds := time.Now(), 0.0
			for b.Loop() {
				s, err := find.NewSearch(task, 0, 1)
				require.NoError(b, err)
				for s.Step(1e6) {
				}
				r = s.Result()
				rounds++
			}
			seconds := time.Since(start).Seconds() / rounds
			b.ReportMetric(float64(r.Tally.Examined())/seconds, "examined/s")
			b.ReportMetric(float64(r.Tally.Looked+r.Tally.Planned)/seconds, "looked-at/s")
			b.ReportMetric(float64(r.Tally.Planned), "planned")
			b.ReportMetric(float64(len(r.Found)), "found")
			b.Log(r.Tally)
		})
	}
}
