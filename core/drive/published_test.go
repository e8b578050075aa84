package drive_test

import (
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/internal/reference"
	"headroom/core/motor"
	"headroom/core/pack"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const perRpm = 2 * math.Pi / 60

// servo is the 24 V surface-magnet servo of the published worked example behind an ideal inverter on a stiff supply.
func servo() (drive.Drive, pack.Source) {
	return drive.Drive{
		Motor: motor.New(build.MotorClass{
			Kv: 1000 / 3.8, PolePairs: 4, Resistance: 0.75, Ld: 1.05e-3, Lq: 1.05e-3, SaturationA: 1e9,
		}, 20),
		PhaseLimit: 1.8, PhaseBound: drive.ByPhase, BatteryLimit: 1e6, BatteryBound: drive.ByBattery, MaxDuty: 1,
	}, pack.Source{OpenCircuit: 24, Resistance: 1e-7}
}

func TestServoCorner(t *testing.T) {
	d, src := servo()
	const source = "published answers of the 24 V servo example"
	below, bound := d.MaxTorque(src, 5390*perRpm)
	assert.Equal(t, drive.ByPhase, bound, source)
	assert.InEpsilon(t, 0.0566, below.Torque, 1e-3, "rated torque: "+source)
	assert.InDelta(t, 1, below.Duty, 1e-3, "at the corner |v| = V/√3: "+source)
	above, bound := d.MaxTorque(src, 5396*perRpm)
	assert.Equal(t, drive.ByDuty, bound, source)
	assert.Less(t, above.Torque, below.Torque)
	// No iron drag and no losses without current: free spin is Kv·V (space-vector modulation).
	assert.InEpsilon(t, 24000/3.8*perRpm, d.FreeSpin(src), 1e-6, "no-load speed = Kv·V")
	d.MaxDuty = math.Sqrt(3) / 2
	assert.InEpsilon(t, 0.8660*24000/3.8*perRpm, d.FreeSpin(src), 1e-4, "sine-triangle modulation reaches 0.8660 of it")
}

// Up to base speed the numerically optimised envelope of the surface-magnet servo needs no d current, so it is this package's.
func TestServoEnvelope(t *testing.T) {
	d, src := servo()
	checked := 0
	for _, row := range reference.Table(t, "../../testdata/pmsm_envelope.csv") {
		if row.Text("example") != "A_servo_SPM_24V" || row.Text("id_A") == "" {
			continue
		}
		p, _ := d.MaxTorque(src, row.Number("rpm")*perRpm)
		if row.Number("id_A") == 0 {
			checked++
			assert.InEpsilon(t, row.Number("Tmax_Nm"), p.Torque, 1e-3)
			assert.InEpsilon(t, row.Number("v_phase_pk_V"), p.Duty*p.BusV/math.Sqrt(3), 1e-3)
			assert.InEpsilon(t, row.Number("Pmech_W"), p.Torque*p.Omega, 1e-3)
		} else {
			assert.Less(t, p.Torque, row.Number("Tmax_Nm"), "without a d current the envelope lies below the optimum")
		}
	}
	assert.Equal(t, 2, checked)
}

// lossOf returns what the inverter loses at a bus voltage and a peak phase current.
func lossOf(t *testing.T, d drive.Drive, volts, amps float64) float64 {
	p, ok := d.At(pack.Source{OpenCircuit: volts, Resistance: 1e-9}, 1, d.Motor.Torque(0, amps)-d.Motor.Drag(1))
	require.True(t, ok)
	require.InEpsilon(t, amps, p.Iq, 1e-9)
	require.InEpsilon(t, volts, p.BusV, 1e-6)
	return p.Inverter
}

func TestInverterLoss(t *testing.T) {
	d := drive.Drive{Motor: motor.Motor{PolePairs: 15, Flux: 0.03, Resistance: 0.04, SaturationA: 1e9, HysteresisK: 0.01}}
	d.OnResistance = 2e-3
	assert.InEpsilon(t, 15.0, lossOf(t, d, 84, 50*math.Sqrt2), 1e-6, "3·I_rms²·R_ds: 50 A r.m.s., 2 mΩ")
	d.OnResistance = 0
	// Three legs, ½·V·I·(t_r+t_f)·f averaged over a half sine (mean 2/π of the peak): 100 ns, 20 kHz.
	d.SwitchingK = 3 * 0.5 * (2 / math.Pi) * 100e-9 * 20e3
	assert.InEpsilon(t, 11.34, lossOf(t, d, 84, 70.7), 1e-3, "three legs at 84 V and 70.7 A peak")
	for _, c := range build.Controllers {
		if c.ID == "c100" {
			assert.InEpsilon(t, d.SwitchingK, c.SwitchingK, 0.01, "the 100 V class is this example")
		}
	}
	d.SwitchingK = 0
	d.StandbyW = 5
	assert.InDelta(t, 5, lossOf(t, d, 84, 70.7), 1e-9)
}

func TestNewTakesTheBuild(t *testing.T) {
	b := build.Default()
	p := b.Parts()
	d := drive.New(&b, &p)
	assert.InEpsilon(t, 120, d.PhaseLimit, 1e-12)
	assert.InEpsilon(t, 50, d.BatteryLimit, 1e-12)
	assert.InEpsilon(t, 0.95, d.MaxDuty, 1e-12)
	assert.InEpsilon(t, 18*p.Cell.CutoffV, d.CutoffV, 1e-12)
	assert.InEpsilon(t, p.Motor.Resistance*(1+0.00393*60), d.Motor.Resistance, 1e-12, "80 °C (IEC 60028)")
	assert.Equal(t, p.Controller.OnResistance, d.OnResistance)
	assert.Equal(t, p.Controller.SwitchingK, d.SwitchingK)
	assert.Equal(t, p.Controller.StandbyW, d.StandbyW)
}

func TestEachBoundIsNamed(t *testing.T) {
	b := build.Default()
	p := b.Parts()
	k := pack.New(&b, &p)
	src := k.At(0.5)
	for _, c := range []struct {
		change func(*drive.Drive, *pack.Source)
		omega  float64
		bound  drive.Bound
	}{
		{func(*drive.Drive, *pack.Source) {}, 1, drive.ByPhase},
		{func(d *drive.Drive, _ *pack.Source) { d.BatteryLimit = 8 }, 40, drive.ByBattery},
		{func(d *drive.Drive, s *pack.Source) { d.CutoffV = s.OpenCircuit - 2 }, 40, drive.ByCutoff},
		{func(d *drive.Drive, s *pack.Source) { d.CutoffV = s.OpenCircuit + 1 }, 40, drive.ByCutoff},
		{func(d *drive.Drive, s *pack.Source) { s.Resistance, d.CutoffV = 2, 0 }, 40, drive.ByPower},
		{func(d *drive.Drive, s *pack.Source) { d.BatteryLimit = 1e4 }, d95(&b, &p, src), drive.ByDuty},
		{func(d *drive.Drive, s *pack.Source) { d.BatteryLimit = 1e4 }, 1.2 * d95(&b, &p, src), drive.ByDuty},
	} {
		d, s := drive.New(&b, &p), src
		c.change(&d, &s)
		point, bound := d.MaxTorque(s, c.omega)
		assert.Equal(t, c.bound, bound)
		if point.Torque < 0 {
			assert.InEpsilon(t, -d.Motor.Drag(c.omega), point.Torque, 1e-12, "nothing but drag is left")
			assert.Zero(t, point.Iq)
		}
	}
}

// d95 is 95 % of the free-spin speed.
func d95(b *build.Build, p *build.Parts, src pack.Source) float64 {
	d := drive.New(b, p)
	return 0.95 * d.FreeSpin(src)
}

// Switching loss alone may pass what the pack can give; there is no operating point then, least of all one at a negative voltage.
func TestSwitchingLossBeyondThePack(t *testing.T) {
	d := drive.Drive{Motor: motor.Motor{PolePairs: 15, Flux: 0.03, Resistance: 1e-5, SaturationA: 1e9}, SwitchingK: 0.05}
	src := pack.Source{OpenCircuit: 30, Resistance: 2}
	for amps, possible := range map[float64]bool{1: true, 2: true, 400: false, 1e4: false} {
		p, ok := d.At(src, 0, d.Motor.Torque(0, amps))
		assert.Equal(t, possible, ok, "%g A", amps)
		assert.Equal(t, possible, ok && p.BusV > 0, "%g A at %g V", amps, p.BusV)
	}
}
