package drive_test

import (
	"math"
	"testing"

	"headroom/core/drive"
	"headroom/core/internal/randombuild"
	"headroom/core/pack"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// built is a drive with the torque that its phase limit makes, a measure for what is little.
type built struct {
	*drive.Drive
	full float64
}

// drawWeakened is draw with some field weakening and speeds up to beyond the weakened free spin.
func drawWeakened(t *rapid.T) (built, pack.Source, float64, string) {
	b := randombuild.Any().Draw(t, "build")
	b.WeakenA = rapid.Float64Range(1, 300).Draw(t, "weakening current")
	b.WeakenDuty = rapid.Float64Range(0.3, 0.9).Draw(t, "weakening from")
	d, src := made(b, rapid.Float64Range(0, 1).Draw(t, "charge"))
	omega := rapid.Float64Range(0.4, 1.1).Draw(t, "share of weakened free spin") * d.FreeSpinWeakened(src)
	return built{d, d.Motor.Torque(0, d.PhaseLimit)}, src, omega, randombuild.Text(&b)
}

// i_d = −I_fw·clamp((duty − d_fw)/(d_max − d_fw), 0, 1), with duty as it is at that very point, sag included.
func TestTheRuleHoldsForAnyBuild(t *testing.T) {
	between := 0
	rapid.Check(t, func(t *rapid.T) {
		d, src, omega, text := drawWeakened(t)
		torque := rapid.Float64Range(-0.3, 0.3).Draw(t, "share of torque") * d.full
		p, ok := d.At(src, omega, torque)
		if !ok || p.Duty > d.MaxDuty*(1-1e-6) {
			return // at the highest duty the rule gives way to what is needed there
		}
		require.InDelta(t, torque, p.Torque, 1e-9*(1+math.Abs(torque)+d.Motor.Drag(omega)), text)
		share := min(1, max(0, (p.Duty-d.WeakenDuty)/(d.MaxDuty-d.WeakenDuty)))
		if math.Abs(p.Id+d.WeakenA*share) > 1e-4*(1+d.WeakenA) {
			// So does it where a weak pack leaves the rule no point of its own, or only one beyond the highest duty.
			id, found := scanRule(d.Drive, src, omega, torque)
			require.False(t, found, "%s: %g N·m at %g rad/s has i_d %g, duty %g; the rule's is near %g", text, torque, omega, p.Id, p.Duty, id)
			return
		}
		if share > 0.01 {
			between++
		}
	})
	require.Greater(t, between, 5, "the rule was hardly ever at work: the check is idle")
}

// The rule alone: where it has a point within the highest duty it is At's and the first that a walk finds, and its duty never falls as a driven
// wheel turns faster.
func TestTheRuleAloneOnlyRises(t *testing.T) {
	met, past := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		d, src, omega, text := drawWeakened(t)
		torque := rapid.Float64Range(0, 0.3).Draw(t, "share of torque") * d.full
		p, ok := d.Ruled(src, omega, torque)
		if !ok {
			return
		}
		if p.Duty <= d.MaxDuty*(1-1e-6) {
			at, _ := d.At(src, omega, torque)
			require.Equal(t, at, p, text)
			if p.Duty > d.WeakenDuty {
				met++
				id, found := scanRule(d.Drive, src, omega, torque)
				require.True(t, found, text)
				require.InDelta(t, id, p.Id, 1e-3*d.WeakenA, text)
			}
		} else if at, ok := d.At(src, omega, torque); ok && at.Duty < p.Duty*(1-1e-6) {
			past++ // what At does, and the rule does not
		}
		slower := omega
		for range 10 {
			slower *= 0.93
			q, ok := d.Ruled(src, slower, torque)
			require.True(t, ok, "%s: held at %g rad/s and not at %g", text, omega, slower)
			require.LessOrEqual(t, q.Duty, p.Duty*(1+1e-6), "%s: at %g rad/s more duty than at %g", text, slower, omega)
			p = q
		}
	})
	require.Greater(t, met, 5, "the rule was hardly ever at work: the check is idle")
	require.Positive(t, past, "the rule never passed the highest duty: the check is idle")
}

// scanRule walks i_d from 0 to −I_fw in small steps and returns where the rule is met first by a point that the pack carries and whose duty
// is allowed.
func scanRule(d *drive.Drive, src pack.Source, omega, torque float64) (id float64, found bool) {
	const n = 20000
	above := false // the last point was carried, and the rule asked for more weakening than it had
	for i := range n + 1 {
		id = -d.WeakenA * float64(i) / n
		iq, ok := d.Motor.CurrentFor(torque+d.Motor.Drag(omega), id)
		if !ok {
			above = false
			continue
		}
		vd, vq := d.Motor.Voltage(d.Motor.PolePairs*omega, id, iq)
		k := d.SwitchingK * math.Hypot(id, iq)
		sagged := pack.Source{OpenCircuit: src.OpenCircuit - src.Resistance*k, Resistance: src.Resistance}
		v, _, ok := sagged.UnderPower(1.5*(vd*id+vq*iq) + 1.5*d.OnResistance*(id*id+iq*iq) + d.StandbyW)
		duty := math.Hypot(vd, vq) * math.Sqrt(3) / v
		if !ok || v <= 0 || duty > d.MaxDuty*(1-1e-6) {
			above = false
			continue
		}
		now := id+d.WeakenA*min(1, max(0, (duty-d.WeakenDuty)/(d.MaxDuty-d.WeakenDuty))) > 0
		if above && !now || i == 0 && !now {
			return id, true
		}
		above = now
	}
	return 0, false
}

// At the weakened free-spin speed the voltage is used up, so that no torque is left; a little below it some is.
func TestNothingIsLeftAtWeakenedFreeSpin(t *testing.T) {
	checked := 0
	rapid.Check(t, func(t *rapid.T) {
		d, src, _, text := drawWeakened(t)
		top := d.FreeSpinWeakened(src)
		if d.WeakenA > 0.98*d.Motor.Flux/d.Motor.Ld || top == 0 {
			return // the magnets' flux can be weakened to nothing: no speed uses up the voltage
		}
		checked++
		p, bound := d.MaxTorque(src, top*(1+1e-6))
		require.LessOrEqual(t, p.Torque, 2e-3*d.full, "%s: %g N·m left at free spin, bound by %s", text, p.Torque, bound)
	})
	require.Greater(t, checked, 10, "no build had an end: the check is idle")
}

// The current that reaches a speed, held against the speed that the current reaches.
func TestWeakeningToIsFreeSpinTheOtherWayRound(t *testing.T) {
	reached, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		b.WeakenA = 0
		d, src := made(b, rapid.Float64Range(0, 1).Draw(t, "charge"))
		plain := d.FreeSpin(src)
		if plain == 0 {
			return
		}
		omega := plain * rapid.Float64Range(0.8, 1.8).Draw(t, "share of free spin")
		const most = 300.0
		amps, ok := d.WeakeningTo(src, omega, most)
		with := *d
		with.WeakenA = most
		if !ok {
			refused++
			require.Less(t, with.FreeSpinWeakened(src), omega*(1+1e-6), randombuild.Text(&b))
			return
		}
		require.GreaterOrEqual(t, amps, 0.0)
		require.LessOrEqual(t, amps, most)
		if amps == 0 {
			require.LessOrEqual(t, omega, plain*(1+1e-6), randombuild.Text(&b))
			return
		}
		reached++
		with.WeakenA = amps
		require.InEpsilon(t, omega, with.FreeSpinWeakened(src), 1e-3, randombuild.Text(&b))
	})
	require.Positive(t, reached)
	require.Positive(t, refused)
}
