package core_test

import (
	"testing"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/link"
	"headroom/core/pack"
	"headroom/core/ride"
	"headroom/core/road"

	"github.com/stretchr/testify/require"
)

// The benchmarks take the default build. `make bench` prints them.

func board() (*ride.Board, pack.Source) {
	b := build.Default()
	p := b.Parts()
	bd := ride.Board{Drive: drive.New(&b, &p), Road: road.New(&b, &p), Pack: pack.New(&b, &p), Shift: b.Shift, DutyGoal: b.CruiseDuty}
	return &bd, bd.Pack.At(0.5)
}

func BenchmarkPlan(b *testing.B) {
	choice := build.Default()
	b.ReportAllocs()
	for b.Loop() {
		_, err := core.Plan(choice)
		require.NoError(b, err)
	}
}

// A weakened board on hills: every limit, and every part of the ride.
func BenchmarkPlanWeakenedHills(b *testing.B) {
	choice := link.Decode("fw=40&profile=hills").Build
	b.ReportAllocs()
	for b.Loop() {
		_, err := core.Plan(choice)
		require.NoError(b, err)
	}
}

func BenchmarkSensitivities(b *testing.B) {
	choice := build.Default()
	for b.Loop() {
		_, err := core.Sensitivities(choice)
		require.NoError(b, err)
	}
}

func BenchmarkEnvelope(b *testing.B) {
	bd, src := board()
	b.ReportAllocs()
	for b.Loop() {
		bd.Envelope(src, 25)
	}
}

// One step of any search for a speed.
func BenchmarkMaxTorque(b *testing.B) {
	bd, src := board()
	omega := bd.Road.Omega(7)
	b.ReportAllocs()
	for b.Loop() {
		bd.Drive.MaxTorque(src, omega)
	}
}

func BenchmarkAt(b *testing.B) {
	bd, src := board()
	omega, load := bd.Road.Omega(7), bd.Road.Torque(7, 0)
	b.ReportAllocs()
	for b.Loop() {
		bd.Drive.At(src, omega, load)
	}
}

func BenchmarkRange(b *testing.B) {
	bd, _ := board()
	profile := ride.Steady(bd, 7, 0)
	b.ReportAllocs()
	for b.Loop() {
		bd.Range(&profile, 1, 0.15)
	}
}

// The same along current circle and voltage limit, beyond the free spin without weakening.
func BenchmarkMaxTorqueWeakened(b *testing.B) {
	bd, src := board()
	bd.Drive.WeakenA = 40
	omega := 1.05 * bd.Drive.FreeSpin(src)
	b.ReportAllocs()
	for b.Loop() {
		bd.Drive.MaxTorque(src, omega)
	}
}

func BenchmarkMaxBraking(b *testing.B) {
	bd, src := board()
	omega := bd.Road.Omega(7)
	b.ReportAllocs()
	for b.Loop() {
		bd.Drive.MaxBraking(src, omega)
	}
}
