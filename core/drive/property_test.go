package drive_test

import (
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/internal/randombuild"
	"headroom/core/pack"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// made is a drive with its source at a charge.
func made(b build.Build, z float64) (*drive.Drive, pack.Source) {
	p := b.Parts()
	d, k := drive.New(&b, &p), pack.New(&b, &p)
	return &d, k.At(z)
}

// naive is the operating point of a q current by bisection on the bus voltage: the second method that MaxTorque is held against.
type naive struct{ torque, duty, volts, amps float64 }

func naivePoint(d *drive.Drive, src pack.Source, omega, iq float64) (n naive, ok bool) {
	m := &d.Motor
	s := 1 / math.Sqrt(1+iq/m.SaturationA*iq/m.SaturationA)
	omegaE := m.PolePairs * omega
	vd := -omegaE * s * m.Lq * iq
	vq := m.Resistance*iq + omegaE*s*m.Flux
	power := func(v float64) float64 {
		return 1.5*vq*iq + 1.5*d.OnResistance*iq*iq + d.SwitchingK*v*iq + d.StandbyW
	}
	// Current from power falls short of the current from the sag at E and must pass it on the way down to half of E.
	spare := func(v float64) float64 { return (src.OpenCircuit-v)/src.Resistance*v - power(v) }
	low, high := 0.0, src.OpenCircuit
	best, at := math.Inf(-1), 0.0
	for i := range 400 { // the voltage of the most spare power lies somewhere below E
		v := low + (high-low)*float64(i)/400
		if x := spare(v); x > best {
			best, at = x, v
		}
	}
	if best < 0 {
		return n, false
	}
	low = at
	for range 80 {
		if mid := (low + high) / 2; spare(mid) >= 0 {
			low = mid
		} else {
			high = mid
		}
	}
	n.volts = low
	n.amps = power(low) / low
	n.duty = math.Hypot(vd, vq) / (low / math.Sqrt(3))
	n.torque = 1.5*m.PolePairs*s*m.Flux*iq - m.PolePairs*(m.HysteresisK+m.EddyK*omegaE)
	return n, true
}

func (n naive) allowed(d *drive.Drive, slack float64) bool {
	return n.duty <= d.MaxDuty*(1+slack) && n.amps <= d.BatteryLimit*(1+slack) && n.volts >= d.CutoffV*(1-slack)
}

// naiveMax walks the q current up from zero until the first limit and returns the torque before it.
func naiveMax(d *drive.Drive, src pack.Source, omega float64) (best float64, found bool) {
	const n = 2000
	for i := 0; i <= n; i++ {
		p, ok := naivePoint(d, src, omega, d.PhaseLimit*float64(i)/n)
		if !ok || !p.allowed(d, 1e-12) {
			return best, found
		}
		best, found = p.torque, true
	}
	return best, found
}

func draw(t *rapid.T, builds *rapid.Generator[build.Build]) (*drive.Drive, pack.Source, float64, string) {
	b := builds.Draw(t, "build")
	z := rapid.Float64Range(0, 1).Draw(t, "charge")
	d, src := made(b, z)
	omega := rapid.Float64Range(0, 1.1).Draw(t, "share of free spin") * d.FreeSpin(src)
	return d, src, omega, randombuild.Text(&b)
}

func TestMaxTorqueAgreesWithAWalk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, src, omega, text := draw(t, randombuild.Plausible())
		d.WeakenA = 0 // the walk has one current; the outside solver walks both
		got, bound := d.MaxTorque(src, omega)
		want, found := naiveMax(d, src, omega)
		if !found {
			require.InDelta(t, -d.Motor.Drag(omega), got.Torque, 1e-12, text)
			return
		}
		// The walk stops up to one of its steps short.
		step := d.PhaseLimit / 2000 * 1.5 * d.Motor.PolePairs * d.Motor.Flux
		full := d.Motor.Torque(0, d.PhaseLimit)
		require.GreaterOrEqual(t, got.Torque, want-1e-3*full-1e-9, "%s at %g rad/s, bound by %s", text, omega, bound)
		require.LessOrEqual(t, got.Torque, want+1.01*step+1e-3*full+1e-9, "%s at %g rad/s, bound by %s", text, omega, bound)
	})
}

func TestMaxTorquePassesNoLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, src, omega, text := draw(t, randombuild.Any())
		p, bound := d.MaxTorque(src, omega)
		require.LessOrEqual(t, p.Phase(), d.PhaseLimit*(1+1e-9), "%s at %g rad/s, bound by %s", text, omega, bound)
		require.GreaterOrEqual(t, p.Id, -d.WeakenA*(1+1e-9), text)
		require.LessOrEqual(t, p.Id, 0.0, text)
		if p.BusA == 0 && p.Iq == 0 && p.BusW == 0 {
			require.InDelta(t, -d.Motor.Drag(omega), p.Torque, 1e-12, text)
			return
		}
		require.LessOrEqual(t, p.BusA, d.BatteryLimit*(1+1e-9), "%s at %g rad/s, bound by %s", text, omega, bound)
		require.LessOrEqual(t, p.Duty, d.MaxDuty*(1+1e-9), "%s at %g rad/s, bound by %s", text, omega, bound)
		require.GreaterOrEqual(t, p.BusV, d.CutoffV*(1-1e-9), "%s at %g rad/s, bound by %s", text, omega, bound)
	})
}

func TestEnergyBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, src, omega, text := draw(t, randombuild.Any())
		torque := rapid.Float64Range(-1, 1).Draw(t, "share of torque") * d.Motor.Torque(0, d.PhaseLimit)
		p, ok := d.At(src, omega, torque)
		if !ok {
			return // beyond the pack or the iron
		}
		scale := math.Abs(p.Copper) + math.Abs(p.Iron) + math.Abs(p.Inverter) + math.Abs(p.Torque*omega)
		require.InDelta(t, torque, p.Torque, 1e-9*(1+math.Abs(torque)+d.Motor.Drag(omega)), text)
		require.InDelta(t, p.BusW, p.Copper+p.Iron+p.Inverter+p.Torque*omega, 1e-9*scale, text)
		require.InDelta(t, p.BusW, p.BusV*p.BusA, 1e-9*(scale+src.OpenCircuit*src.OpenCircuit), text)
		require.InDelta(t, p.BusV, src.Under(p.BusA), 1e-9*src.OpenCircuit, text)
		require.GreaterOrEqual(t, p.Copper, 0.0)
		require.GreaterOrEqual(t, p.Inverter, 0.0)

		n, ok := naivePoint(d, src, omega, p.Iq)
		if p.Iq < 0 || p.Id != 0 || !ok {
			return
		}
		require.InDelta(t, n.torque, p.Torque, 1e-9*(1+math.Abs(n.torque)+d.Motor.Drag(omega)), text)
		if p.BusV > 0.51*src.OpenCircuit { // nearer to half of E the voltage is ill-conditioned in the power
			require.InEpsilon(t, n.volts, p.BusV, 1e-6, text)
			require.InDelta(t, n.duty, p.Duty, 1e-6*(1+n.duty), text)
		}
	})
}

func TestMaxTorqueNeverGrowsWithSpeed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		d, src := made(b, rapid.Float64Range(0, 1).Draw(t, "charge"))
		top := d.FreeSpinWeakened(src)
		last := math.Inf(1)
		for i := range 60 {
			p, bound := d.MaxTorque(src, top*float64(i)/59)
			require.LessOrEqual(t, p.Torque, last+1e-6*(1+math.Abs(last)), "%s at %d/59 of free spin, bound by %s",
				randombuild.Text(&b), i, bound)
			last = p.Torque
		}
	})
}

// Not for any build: more cells also bring more resistance, and a motor whose drag takes all that the pack can give may reach
// several speeds at its highest duty.
func TestMoreSeriesNeverLowersFreeSpin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Plausible().Draw(t, "build")
		z := rapid.Float64Range(0, 1).Draw(t, "charge")
		last := 0.0
		for s := 8.0; s <= 40; s++ {
			build.FieldFor("s").SetValue(&b, s)
			d, src := made(b, z)
			omega := d.FreeSpin(src)
			require.GreaterOrEqual(t, omega, last*(1-1e-9), "%s with %g in series", randombuild.Text(&b), s)
			last = omega
		}
	})
}

func TestFreeSpinIsWhereDutyEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		d, src := made(b, rapid.Float64Range(0, 1).Draw(t, "charge"))
		d.WeakenA = 0
		omega := d.FreeSpin(src)
		p, ok := d.At(src, omega*(1-1e-6), 0)
		if omega > 0 {
			require.True(t, ok, "just below its free-spin speed %g rad/s the wheel turns: %s", omega, randombuild.Text(&b))
			require.LessOrEqual(t, p.Duty, d.MaxDuty, randombuild.Text(&b))
		}
		if p, ok = d.At(src, omega*(1+1e-6)+1e-6, 0); ok {
			require.GreaterOrEqual(t, p.Duty, d.MaxDuty, randombuild.Text(&b))
		}
	})
}

// A motor that cannot overcome its own drag from standstill has no free-spin speed.
func TestFreeSpinOfAStuckWheel(t *testing.T) {
	d, src := made(build.Default(), 1)
	d.Motor.HysteresisK, d.Motor.SaturationA = 0.5, 1
	require.Greater(t, d.Motor.Drag(0), d.Motor.Torque(0, 1e9))
	require.Zero(t, d.FreeSpin(src))
}

// At the voltage limit no torque is left. Saturation must not give it back: a current that lies beyond a voltage the controller does
// not have cannot be reached from zero.
func TestNothingIsLeftAtFreeSpin(t *testing.T) {
	for _, pairs := range [][]string{
		nil,
		{"motor", "hub5-narrow", "kv", "3", "phase", "600", "batt", "62", "s", "40", "p", "12", "duty", "60"},
		{"motor", "hub5-wide", "kv", "5", "phase", "300", "batt", "200", "s", "20", "p", "8"},
		{"isat", "30", "phase", "200"},
	} {
		b := build.Default()
		for i := 0; i < len(pairs); i += 2 {
			require.Nil(t, build.FieldFor(pairs[i]).Set(&b, pairs[i+1]))
		}
		d, src := made(b, 1)
		for _, share := range []float64{1 - 1e-9, 1 + 1e-9, 1.02, 1.2} {
			p, bound := d.MaxTorque(src, share*d.FreeSpin(src))
			require.LessOrEqual(t, p.Torque, 1e-3*d.Motor.Torque(0, d.PhaseLimit), "%v at %g of free spin, bound by %s", pairs, share, bound)
		}
	}
}
