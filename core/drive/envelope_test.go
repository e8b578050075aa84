package drive_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core/drive"
	"headroom/core/internal/randombuild"
	"headroom/core/internal/reference"
	"headroom/core/motor"
	"headroom/core/pack"
)

// published is the three machines of the worked examples behind an ideal inverter on a stiff supply, free to weaken with all of their
// current.
func published() map[string]struct {
	drive.Drive
	supply float64
} {
	made := func(m motor.Motor, amps, volts float64) struct {
		drive.Drive
		supply float64
	} {
		m.SaturationA = math.Inf(1)
		return struct {
			drive.Drive
			supply float64
		}{drive.Drive{
			Motor: m, PhaseLimit: amps, PhaseBound: drive.ByPhase, BatteryLimit: 1e9, BatteryBound: drive.ByBattery,
			RegenLimit: 1e9, AbsoluteV: 1e9, MaxDuty: 1, WeakenA: amps,
		}, volts}
	}
	return map[string]struct {
		drive.Drive
		supply float64
	}{
		"A_servo_SPM_24V":  made(motor.Motor{PolePairs: 4, Resistance: 0.75, Ld: 1.05e-3, Lq: 1.05e-3, Flux: 3.8 / (math.Sqrt(3) * 2 * math.Pi * 1000 * 4 / 60)}, 1.8, 24),
		"B_IPMSM_2.2kW":    made(motor.Motor{PolePairs: 3, Resistance: 3.6, Ld: 36e-3, Lq: 51e-3, Flux: 0.545}, 1.5*4.3*math.Sqrt2, 540),
		"C_IPMSM_traction": made(motor.Motor{PolePairs: 3, Resistance: 18e-3, Ld: 0.37e-3, Lq: 1.2e-3, Flux: 66e-3}, 240, 300),
	}
}

func stiff(volts float64) pack.Source { return pack.Source{OpenCircuit: volts, Resistance: 1e-9} }

func TestEnvelopeOfThePublishedMachines(t *testing.T) {
	machines := published()
	rows := reference.Table(t, "../../testdata/pmsm_envelope.csv")
	require.NotEmpty(t, rows)
	for _, row := range rows {
		m := machines[row.Text("example")]
		p, bound := m.MaxTorque(stiff(m.supply), row.Number("omega_e_rad_s")/m.Motor.PolePairs)
		want := row.Number("Tmax_Nm")
		where := row.Text("example") + " at " + row.Text("times_base_speed") + " × base, optimum computed for the published parameters"
		if want == 0 {
			assert.InDelta(t, 0, p.Torque, 1e-9, where)
			assert.Equal(t, drive.ByWeakening, bound, where)
			continue
		}
		assert.InEpsilon(t, want, p.Torque, 1e-3, where)
		assert.InDelta(t, row.Number("id_A"), p.Id, 1e-3*m.PhaseLimit, where)
		assert.InDelta(t, row.Number("iq_A"), p.Iq, 1e-3*m.PhaseLimit, where)
	}
}

// Published answers, to their printed digits: maximum torque per ampere and base speed of the interior-magnet machines (motulator
// examples, Aalto University; gym-electric-motor defaults after Brosch et al., 10.1109/TPEL.2020.3006779), with resistance.
func TestMaximumTorquePerAmpere(t *testing.T) {
	machines := published()
	b := machines["B_IPMSM_2.2kW"]
	b.PhaseLimit = 4.3 * math.Sqrt2
	b.WeakenA = b.PhaseLimit
	p, _ := b.MaxTorque(stiff(540), 1)
	assert.InDelta(t, 15.116, p.Torque, 5e-4)
	assert.InDelta(t, -0.9664, p.Id, 5e-4)
	assert.InDelta(t, 6.0038, p.Iq, 5e-4)
	vd, vq := b.Motor.Voltage(2*math.Pi*75, p.Id, p.Iq)
	assert.InDelta(t, 368.4, math.Hypot(vd, vq)*math.Sqrt(1.5), 0.05, "line-to-line r.m.s. at 75 Hz; the nameplate says 370 V")

	c := machines["C_IPMSM_traction"]
	p, _ = c.MaxTorque(stiff(300), 1)
	assert.InDelta(t, 160.61, p.Torque, 5e-3)
	assert.InDelta(t, -150.99, p.Id, 5e-3)
	assert.InDelta(t, 186.56, p.Iq, 5e-3)

	for name, rpm := range map[string]float64{"B_IPMSM_2.2kW": 1378.8, "C_IPMSM_traction": 2419.1, "A_servo_SPM_24V": 5393.1} {
		m := machines[name]
		below, bound := m.MaxTorque(stiff(m.supply), (rpm-0.1)*perRpm)
		assert.Equal(t, drive.ByPhase, bound, name)
		above, _ := m.MaxTorque(stiff(m.supply), (rpm+0.1)*perRpm)
		assert.Greater(t, above.Id*-1, below.Id*-1, "%s weakens beyond its base speed", name)
		assert.InDelta(t, 1, below.Duty, 2e-4, name)
	}
	// λ/L_d = 178.38 A < 240 A: power stays at about 52.8 kW to three times the base speed.
	assert.InDelta(t, 178.38, c.Motor.Flux/c.Motor.Ld, 5e-3)
	p, _ = c.MaxTorque(stiff(300), 3*2419.1*perRpm)
	assert.InDelta(t, 52.8e3, p.Torque*p.Omega, 100)
}

func TestBrakingMirrorsDriving(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, _, _, text := draw(t, randombuild.Plausible())
		// No loss, no drag, no battery in the way: what is left is the same circle and the same ellipse.
		d.BatteryLimit, d.RegenLimit, d.AbsoluteV, d.CutoffV = 1e9, 1e9, 1e9, 0
		d.OnResistance, d.SwitchingK, d.StandbyW = 0, 0, 0
		d.Motor.Resistance, d.Motor.HysteresisK, d.Motor.EddyK = 0, 0, 0
		src := stiff(80)
		omega := rapid.Float64Range(0, 0.95).Draw(t, "share") * d.FreeSpin(src)
		if d.PhaseLimit < 1 {
			return // a winding too hot to be given any
		}
		forth, _ := d.MaxTorque(src, omega)
		back, _ := d.MaxBraking(src, omega)
		require.InEpsilon(t, forth.Torque, -back.Torque, 1e-4, text)
	})
}

func TestBrakingPassesNoLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, src, omega, text := draw(t, randombuild.Any())
		p, bound := d.MaxBraking(src, omega)
		if p.BusW == 0 {
			return // nothing can be done
		}
		require.LessOrEqual(t, p.Phase(), d.PhaseLimit*(1+1e-9), "%s, bound by %s", text, bound)
		require.LessOrEqual(t, p.Duty, d.MaxDuty*(1+1e-9), "%s, bound by %s", text, bound)
		require.LessOrEqual(t, -p.BusA, max(d.RegenLimit, 0)*(1+1e-6)+1e-6, "%s, bound by %s", text, bound)
		if p.BusA < 0 {
			require.LessOrEqual(t, p.BusV, d.AbsoluteV*(1+1e-9), "%s, bound by %s", text, bound)
		}
		require.LessOrEqual(t, p.Torque, 0.0, "%s, bound by %s", text, bound)
	})
}

func TestWeakeningOnlyAdds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, src, omega, text := draw(t, randombuild.Any())
		plain := *d
		plain.WeakenA = 0
		without, _ := plain.MaxTorque(src, omega)
		with, bound := d.MaxTorque(src, omega)
		require.GreaterOrEqual(t, with.Torque, without.Torque-1e-6*(1+math.Abs(without.Torque)), "%s at %g rad/s, bound by %s", text, omega, bound)
		require.GreaterOrEqual(t, d.FreeSpinWeakened(src), d.FreeSpin(src)*(1-1e-6), text)
	})
}

func TestBackEMFAndDerating(t *testing.T) {
	d, _ := servo()
	// 3.8 V line-to-line peak per 1000 rpm, as the servo's sheet has it.
	assert.InEpsilon(t, 3.8*5.393, d.BackEMF(5393*perRpm), 1e-9, "√3·ω_e·λ: uncontrolled generation, Jahns and Caliskan 1999")
	assert.InDelta(t, 1, drive.Derating(90, 100, 130), 0)
	assert.InDelta(t, 0.5, drive.Derating(115, 100, 130), 1e-12)
	assert.InDelta(t, 0, drive.Derating(131, 100, 130), 0)
	assert.InDelta(t, 0, drive.Derating(120, 130, 120), 0, "a line that falls at once")
}
