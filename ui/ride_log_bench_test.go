package ui

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/vugu/vugu"
)

// BenchmarkLogNews is what the page does when a thread has read a log: taking what it tells, and building the open card with its plots.
func BenchmarkLogNews(b *testing.B) {
	text, err := os.ReadFile("../testdata/ride_log.csv")
	require.NoError(b, err)
	p := NewPlanner()
	p.Open("v=1")
	var order LogOrder
	file := &Source{Name: "ride_log.csv", Bytes: len(text), Apart: func(o LogOrder) func() { order = o; return func() {} }}
	p.OpenLog(file, "")
	r, err := order.Reader()
	require.NoError(b, err)
	r.Feed(text)
	ride, failure := r.Finish()
	news := (&LogNews{Ride: &ride, Failure: failure}).Bytes()
	env, err := vugu.NewBuildEnv()
	require.NoError(b, err)
	c := &RideLog{P: p}
	b.ReportAllocs()
	for b.Loop() {
		p.OpenLog(file, "")
		require.True(b, p.TakeLogNews(news))
		env.RunBuild(c)
	}
	b.ReportMetric(float64(len(news)), "bytes")
}
