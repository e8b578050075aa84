package protect_test

import (
	"testing"

	"headroom/core/build"
	"headroom/core/pack"
	"headroom/core/protect"
)

// Every movement of a slider checks all of it once: at most 60 µs here.
func BenchmarkAll(b *testing.B) {
	benchmark(b, build.Default(), protect.Loads{SteadyA: 12, PeakA: 50, StallA: 20, SteadyPhase: 25, PeakPhase: 120})
}

// Nearly every part is too small, so that a larger one is looked for.
func BenchmarkAllOverloaded(b *testing.B) {
	in := build.Default()
	in.Split, in.BMS = 5, build.BMSPath
	benchmark(b, in, protect.Loads{SteadyA: 90, PeakA: 130, StallA: 40, SteadyPhase: 150, PeakPhase: 240})
}

func benchmark(b *testing.B, in build.Build, l protect.Loads) {
	p := in.Parts()
	k := pack.New(&in, &p)
	b.ReportAllocs()
	for b.Loop() {
		protect.Rows(&in, &p, &k, l)
		protect.CheckFuse(&in, &p, &k, l)
		protect.Suggest(&in, &p, &k, l)
		protect.CheckLeads(&in, &p, &k, l)
		protect.CheckPrecharge(&in, &p, &k)
		protect.CheckTouch(&k)
		protect.CheckChargeFuse(&in, &p, &k)
	}
}
