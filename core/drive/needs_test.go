package drive_test

import (
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/internal/randombuild"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The least that a limit must give is where the largest torque within every limit, found another way, reaches the torque that is asked for: a
// little more of it does, a little less does not.
func TestLeastLimitsAgainstTheLargestTorque(t *testing.T) {
	var duties, phases, brakes int
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Plausible().Draw(t, "build")
		b.WeakenA = rapid.SampledFrom([]float64{0, 0, 20, 60}).Draw(t, "weakening current")
		b.WindingC, b.DerateC, b.LimitC = 60, 150, 180
		b.BatteryLimit, b.PhaseLimit = 1e4, 1e4
		z := rapid.Float64Range(0.1, 1).Draw(t, "charge")
		open := func(b build.Build) *drive.Drive {
			d, _ := made(b, z)
			d.CutoffV = 0
			return d
		}
		d := open(b)
		_, src := made(b, z)
		omega := rapid.Float64Range(0.05, 1.2).Draw(t, "share of free spin") * d.FreeSpin(src)
		torque := rapid.Float64Range(1, 60).Draw(t, "torque")
		text := randombuild.Text(&b)
		reaches := func(d *drive.Drive) bool {
			p, _ := d.MaxTorque(src, omega)
			return p.Torque >= torque
		}
		if need, ok := d.LeastDuty(src, omega, torque); ok && need > 0.05 && need < 1.5 {
			more, less := *d, *d
			more.MaxDuty, less.MaxDuty = need*1.002, need*0.998
			if reaches(&more) {
				duties++
				require.False(t, reaches(&less), "%s: duty %g for %g N·m at %g rad/s", text, need, torque, omega)
			}
		}
		if p, ok := d.LeastCurrent(src, omega, torque); ok && p.Duty <= d.MaxDuty && p.Phase() > max(5, 1.1*b.WeakenA) {
			more, less := b, b
			more.PhaseLimit, less.PhaseLimit = p.Phase()*1.002, p.Phase()*0.998
			if reaches(open(more)) {
				phases++
				require.False(t, reaches(open(less)), "%s: %g A for %g N·m at %g rad/s", text, p.Phase(), torque, omega)
			}
		}
		if need, ok := d.PushedBack(src, omega, -torque); ok && need > 0.5 && omega < d.FreeSpin(src) { // faster, duty may bind on the way
			free, more, less := *d, *d, *d
			free.RegenLimit, more.RegenLimit, less.RegenLimit = math.Inf(1), need*1.002, need*0.998
			holds := func(d *drive.Drive) bool {
				p, _ := d.MaxBraking(src, omega)
				return p.Torque <= -torque
			}
			if at, _ := d.LeastCurrent(src, omega, -torque); holds(&free) && at.Duty <= d.MaxDuty {
				brakes++
				require.True(t, holds(&more), "%s: %g A for %g N·m at %g rad/s", text, need, torque, omega)
				require.False(t, holds(&less), "%s: %g A for %g N·m at %g rad/s", text, need, torque, omega)
			}
		}
	})
	require.Greater(t, min(duties, phases, brakes), 10)
}
