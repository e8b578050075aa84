package ui

import (
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/vugu/vugu"
)

// BenchmarkFindNews is what the page does when a thread tells of 55 builds found: reading it, merging it with the other thread's, and
// building the open card anew. It happens at most twice a second for each thread.
func BenchmarkFindNews(b *testing.B) {
	p := NewPlanner()
	p.Open("fusetype=battery-450&fuse=60&awg=6&crossawg=6&conn=bolted-m5&plug=bolted-m5&chgtype=pv-1000&regen=20&batt=40&phase=90&chga=4")
	p.recallFind("range=25&ceiling=28&shift=30&mass=20&cells=24%2B24")
	p.SetOpen(findID, true)
	var order FindOrder
	p.OnFind = func(o FindOrder) int { order = o; return 2 }
	p.StartFind()
	order.Shards = 1
	search, err := order.Search()
	require.NoError(b, err)
	for search.Step(1e6) {
	}
	r := search.Result()
	news := (&FindNews{Tally: search.Tally(), Result: &r}).Bytes()
	env, err := vugu.NewBuildEnv()
	require.NoError(b, err)
	c := &FindBuilds{P: p}
	b.ReportAllocs()
	for b.Loop() {
		require.True(b, p.TakeFindNews(news))
		env.RunBuild(c)
	}
	b.ReportMetric(float64(len(news)), "bytes")
}
