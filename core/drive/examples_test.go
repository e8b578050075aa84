package drive_test

import (
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/motor"
	"headroom/core/pack"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ideal is a published machine behind an inverter without losses or settings on a stiff supply: nothing binds but current and voltage.
func ideal(m motor.Motor, amps, volts float64) (drive.Drive, pack.Source) {
	m.SaturationA = 1e12
	return drive.Drive{
		Motor: m, PhaseLimit: amps, PhaseBound: drive.ByPhase, BatteryLimit: 1e9, BatteryBound: drive.ByBattery, RegenLimit: 1e9, AbsoluteV: 1e9,
		MaxDuty: 1, WeakenA: amps,
	}, pack.Source{OpenCircuit: volts, Resistance: 1e-9}
}

// Examples A to C of pmsm_envelope.csv; testdata/README.md names their sources.
func servoWeakened() (drive.Drive, pack.Source) {
	d, _ := servo()
	return ideal(d.Motor, 1.8, 24)
}

func interior() (drive.Drive, pack.Source) {
	return ideal(motor.Motor{PolePairs: 3, Resistance: 3.6, Ld: 36e-3, Lq: 51e-3, Flux: 0.545}, 1.5*4.3*math.Sqrt2, 540)
}

func traction() (drive.Drive, pack.Source) {
	return ideal(motor.Motor{PolePairs: 3, Resistance: 18e-3, Ld: 0.37e-3, Lq: 1.2e-3, Flux: 66e-3}, 240, 300)
}

// corner is the speed in electrical rad/s at which the voltage begins to bind.
func corner(d *drive.Drive, src pack.Source, top float64) float64 {
	return bisect(func(omegaE float64) float64 {
		p, _ := d.MaxTorque(src, omegaE/d.Motor.PolePairs)
		return d.MaxDuty*(1-1e-7) - p.Duty
	}, 0, top)
}

// bisect returns where a falling function passes zero.
func bisect(f func(float64) float64, low, high float64) float64 {
	for range 60 {
		if mid := (low + high) / 2; f(mid) > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

func TestServoWeakenedExample(t *testing.T) {
	d, src := servoWeakened()
	const source = "published answers of the 24 V servo example"
	assert.InEpsilon(t, 2259.1, corner(&d, src, 4000), 5e-4, "corner: "+source)
	assert.InEpsilon(t, 5393, corner(&d, src, 4000)/4/perRpm, 5e-4, "corner in rpm: "+source)

	// Beyond the corner the example keeps power by shrinking both flux linkages as 1/ω, which is not the most torque (that is the table's):
	// i_d = λ/L·(ω_c/ω − 1) and i_q = I·ω_c/ω until the current circle is met, then i_q from the circle.
	m := d.Motor
	omegaC := corner(&d, src, 4000)
	id := func(omegaE float64) float64 { return m.Flux / m.Ld * (omegaC/omegaE - 1) }
	meets := bisect(func(omegaE float64) float64 { return 1.8 - math.Hypot(id(omegaE), 1.8*omegaC/omegaE) }, 1.01*omegaC, 1.5*omegaC)
	assert.InEpsilon(t, 2935.5, meets, 5e-4, "constant power meets the current circle: "+source)
	assert.InEpsilon(t, 7008, meets/4/perRpm, 5e-4, "the same in rpm: "+source)
	m.Resistance = 0
	vd, vq := m.Voltage(omegaC, 0, 1.8)
	wd, wq := m.Voltage(meets, id(meets), 1.8*omegaC/meets)
	assert.InEpsilon(t, math.Hypot(vd, vq), math.Hypot(wd, wq), 1e-9, "the method keeps the flux's voltage")

	onCircle := func(omegaE float64) float64 { return math.Sqrt(max(0, 1.8*1.8-id(omegaE)*id(omegaE))) }
	last := bisect(func(omegaE float64) float64 { return m.Torque(id(omegaE), onCircle(omegaE)) - 1.1604e-5*omegaE/4 }, meets, 1.56*omegaC)
	assert.InEpsilon(t, 3502.3, last, 5e-4, "friction-limited: "+source)
	assert.InEpsilon(t, 8361, last/4/perRpm, 5e-4, "friction-limited in rpm: "+source)
}

func TestInteriorMachineHasAnEnd(t *testing.T) {
	const source = "2.2 kW machine of the public drive-simulation examples, figures computed from its data"
	d, src := interior()
	p, bound := d.MaxTorque(src, 100)
	assert.Equal(t, drive.ByPhase, bound)
	assert.InEpsilon(t, 23.029, p.Torque, 1e-4, "most torque at 1.5 × rated current: "+source)
	assert.InEpsilon(t, 433.18, corner(&d, src, 800), 1e-4, "base speed: "+source)
	assert.InEpsilon(t, 1378.8, corner(&d, src, 800)/3/perRpm, 1e-4, "base speed in rpm: "+source)
	assert.InEpsilon(t, 1820.9*perRpm, d.FreeSpin(src), 1e-4, "no-load speed without weakening: "+source)
	require.Less(t, d.WeakenA, d.Motor.Flux/d.Motor.Ld, "below the characteristic current the speed is finite")
	assert.InEpsilon(t, 15.14, d.Motor.Flux/d.Motor.Ld, 1e-3, "characteristic current λ/L_d: "+source)

	lossless := d
	lossless.Motor.Resistance = 1e-9
	assert.InEpsilon(t, 1518.3, corner(&lossless, src, 800)/3/perRpm, 1e-4, "base speed without resistance: "+source)
	assert.InEpsilon(t, 4581.3*perRpm, lossless.FreeSpinWeakened(src), 1e-4, "highest speed V/(λ − L_d·I) without resistance: "+source)
	top, _ := lossless.MaxTorque(src, 4581.3*perRpm)
	assert.InDelta(t, 0, top.Torque, 0.01, "nothing is left at the highest speed")
}

func TestTractionMachineNeverEnds(t *testing.T) {
	const source = "traction machine of Brosch et al., 10.1109/TPEL.2020.3006779, at 300 V"
	d, src := traction()
	base := corner(&d, src, 1500)
	assert.InEpsilon(t, 759.98, base, 1e-4, "base speed: "+source)
	// The current reaches past λ/L_d, so power never ends: with ψ_d → 0 and |v| = ω_e·L_q·i_q it tends to 1.5·|v|·λ/L_d without losses.
	d.Motor.Resistance = 1e-9
	for _, times := range []float64{30, 60} {
		far, _ := d.MaxTorque(src, times*base/3)
		assert.InEpsilon(t, 1.5*300/math.Sqrt(3)*178.38, far.Torque*far.Omega, 5e-3, "at %g × base speed: "+source, times)
	}
}

func TestLibraryMachineExample(t *testing.T) {
	const source = "Modelica Standard Library permanent-magnet machine: 100 V and 100 A r.m.s. per phase at 1500 rpm"
	omega := 2 * math.Pi * 50
	d, src := ideal(motor.Motor{PolePairs: 2, Resistance: 0.03, Ld: 0.4 / omega, Lq: 0.4 / omega, Flux: math.Sqrt2 * 112.3 / omega},
		100*math.Sqrt2, 100*math.Sqrt2*math.Sqrt(3))
	p, bound := d.MaxTorque(src, 1500*perRpm)
	assert.InEpsilon(t, 181.45, p.Torque, 5e-4, source)
	assert.InEpsilon(t, 181.4, p.Torque, 1e-3, "published nominal torque: "+source)
	assert.InDelta(t, -75.4, p.Id, 0.2, source)
	assert.InDelta(t, 119.6, p.Iq, 0.2, source)
	assert.InEpsilon(t, 100*math.Sqrt2, p.Phase(), 1e-6, source)
	assert.InEpsilon(t, 1, p.Duty, 1e-6, source)
	assert.Contains(t, []drive.Bound{drive.ByPhase, drive.ByDuty}, bound, "both bind there")
}

// The magnets alone at a speed: √3·ω_e·λ between lines (Jahns & Caliskan, IEEE Trans. Ind. Appl. 35 (1999) 347), which by Kv's
// definition is speed over Kv.
func TestUncontrolledGeneration(t *testing.T) {
	b := build.Default()
	require.Nil(t, build.FieldFor("fw").Set(&b, "60"))
	p := b.Parts()
	d := drive.New(&b, &p)
	k := pack.New(&b, &p)
	for _, rpm := range []float64{0, 300, 1500} {
		omega := rpm * perRpm
		assert.InDelta(t, math.Sqrt(3)*15*omega*d.Motor.Flux, d.BackEMF(omega), 1e-9)
		assert.InDelta(t, rpm/p.Motor.Kv, d.BackEMF(omega), 1e-9, "Kv is rpm per volt")
	}
	src := k.At(1)
	assert.Less(t, d.BackEMF(d.FreeSpin(src)), src.OpenCircuit, "without weakening the bus is above the magnets' voltage")
	assert.Greater(t, d.BackEMF(d.FreeSpinWeakened(src)), src.OpenCircuit, "weakened it is below")
}

// The cells' rating stands in for the battery limit only where it is lower and asked for.
func TestCellsLimitTheCurrent(t *testing.T) {
	for _, c := range []struct {
		on, batt string
		amps     float64
		bound    drive.Bound
	}{{build.Off, "90", 90, drive.ByBattery}, {build.On, "90", 70, drive.ByCells}, {build.On, "60", 60, drive.ByBattery}} {
		b := build.Default() // 2 parallel of 35 A peak
		require.Nil(t, build.FieldFor("celllimit").Set(&b, c.on))
		require.Nil(t, build.FieldFor("batt").Set(&b, c.batt))
		p := b.Parts()
		d := drive.New(&b, &p)
		assert.InEpsilon(t, c.amps, d.BatteryLimit, 1e-12)
		k := pack.New(&b, &p)
		d.PhaseLimit = 300
		_, bound := d.MaxTorque(k.At(1), 0.5*d.FreeSpin(k.At(1)))
		assert.Equal(t, c.bound, bound)
	}
}
