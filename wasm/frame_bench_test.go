//go:build !js

package main

import (
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/vugu/vugu"

	"headroom/ui"
	"headroom/wasm/render"
)

func BenchmarkPage(b *testing.B) {
	p := ui.NewPlanner()
	env, err := vugu.NewBuildEnv()
	require.NoError(b, err)
	root := &ui.Root{P: p}
	r := render.New()
	r.Patch(env.RunBuild(root))
	p.Slide("s", "19")
	r.Patch(env.RunBuild(root))
	b.Run("plan", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			p.Slide("s", "19")
		}
	})
	b.Run("build", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			env.RunBuild(root)
		}
	})
	b.Run("all", func(b *testing.B) {
		b.ReportAllocs()
		i := 0
		for b.Loop() {
			i++
			p.Slide("s", []string{"18", "19"}[i%2])
			r.Patch(env.RunBuild(root))
		}
	})
	// Every card of results unfolded: what a frame costs at worst.
	for _, id := range []string{"fuse", "boxes", "torque", "duty", "range", "ride", "charge"} {
		p.SetOpen("out-"+id, true)
	}
	b.Run("unfolded", func(b *testing.B) {
		b.ReportAllocs()
		i := 0
		for b.Loop() {
			i++
			p.Slide("s", []string{"18", "19"}[i%2])
			r.Patch(env.RunBuild(root))
		}
	})
}
