package motor_test

import (
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/internal/reference"
	"headroom/core/motor"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const perRpm = 2 * math.Pi / 60

// The published machines do not saturate.
var never = math.Inf(1)

func TestConstantsFromKv(t *testing.T) {
	for _, c := range []struct{ kv, polesFlux, perPeakAmp, perRmsAmp float64 }{
		{10, 0.551329, 0.826993, 1.169545}, {60, 0.091888, 0.137832, 0.194924}, {100, 0.055133, 0.082699, 0.116955},
	} {
		for _, poles := range []float64{1, 4, 15} {
			flux := motor.FluxFromKv(poles, c.kv)
			assert.InDelta(t, c.polesFlux, poles*flux, 5.1e-7, "p·λ = 5.513289/Kv: table of motor constants")
			m := motor.Motor{PolePairs: poles, Flux: flux, SaturationA: never}
			assert.InDelta(t, c.perPeakAmp, m.Torque(0, 1), 5.1e-7, "8.27/Kv per peak ampere (published note on Kv)")
			assert.InDelta(t, c.perRmsAmp, m.Torque(0, math.Sqrt2), 5.1e-7, "11.695/Kv per r.m.s. ampere")
			// Kv by definition: with no current the back-EMF fills the linear limit at Kv·V rpm.
			_, vq := m.Voltage(poles*c.kv*48*perRpm, 0, 0)
			assert.InEpsilon(t, 48/math.Sqrt(3), vq, 1e-12)
		}
	}
}

// servo is the 24 V surface-magnet servo of the published worked example: Kv follows from 3.8 V line-line peak per 1000 rpm.
func servo() motor.Motor {
	return motor.New(build.MotorClass{
		Kv: 1000 / 3.8, PolePairs: 4, Resistance: 0.75, Ld: 1.05e-3, Lq: 1.05e-3, SaturationA: never,
	}, 20)
}

func TestServoExample(t *testing.T) {
	m := servo()
	const source = "published answers of the 24 V servo example"
	assert.InEpsilon(t, 0.005238, m.Flux, 1e-4, source)
	assert.InEpsilon(t, 0.0566, m.Torque(0, 1.8), 1e-3, "rated torque: "+source)
	assert.InEpsilon(t, 0.05657, m.Torque(0, 1.8), 1e-4, "rated torque recomputed")
	assert.InEpsilon(t, 0.2718, m.Torque(0, 8.6478), 5e-4, "base torque: "+source)
	assert.InEpsilon(t, 179.7411, 1.5*24/math.Sqrt(3)*8.6478, 1e-5, "base power: "+source)

	// At the corner the voltage circle passes through the rated current.
	vd, vq := m.Voltage(4*5393.1*perRpm, 0, 1.8)
	assert.InEpsilon(t, 13.8564, math.Hypot(vd, vq), 5e-5, "corner speed 5393 rpm: "+source)
	vd, vq = m.Voltage(2259.1, 0, 1.8)
	assert.InEpsilon(t, 24/math.Sqrt(3), math.Hypot(vd, vq), 5e-5, "corner speed 2259.1 electrical rad/s: "+source)

	// The published base speed takes the resistive drop off the limit first, with the board's resistance in series.
	omega := (24/math.Sqrt(3) - (0.75+0.0833)*1.8) / math.Hypot(1.05e-3*1.8, m.Flux)
	assert.InEpsilon(t, 5298, omega/4/perRpm, 5e-4, "base speed: "+source)
	m.Resistance = 0
	vd, vq = m.Voltage(omega, 0, 1.8)
	assert.InEpsilon(t, 24/math.Sqrt(3)-(0.75+0.0833)*1.8, math.Hypot(vd, vq), 1e-9, "the same equation through Voltage")
}

func TestLibraryMachineExample(t *testing.T) {
	omega := 2 * math.Pi * 50
	m := motor.Motor{
		PolePairs: 2, Resistance: 0.03, Ld: 0.4 / omega, Lq: 0.4 / omega, Flux: math.Sqrt2 * 112.3 / omega, SaturationA: never,
	}
	const source = "Modelica Standard Library permanent-magnet machine at 1500 rpm"
	const id, iq = -75.4, 119.6
	require.InEpsilon(t, 100*math.Sqrt2, math.Hypot(id, iq), 1e-3, "the point lies on the current circle")
	vd, vq := m.Voltage(omega, id, iq)
	assert.InEpsilon(t, 141.42, math.Hypot(vd, vq), 5e-4, source)
	assert.InEpsilon(t, 181.45, m.Torque(id, iq), 5e-4, source)
	assert.InEpsilon(t, 181.4, m.Torque(id, iq), 1e-3, "published nominal load torque: "+source)
}

// The envelope of three published machines by a numerical optimiser: its currents must give its torque and voltage.
func TestPublishedMachinesEnvelope(t *testing.T) {
	machines := map[string]motor.Motor{
		"A_servo_SPM_24V":  servo(),
		"B_IPMSM_2.2kW":    {PolePairs: 3, Resistance: 3.6, Ld: 36e-3, Lq: 51e-3, Flux: 0.545, SaturationA: never},
		"C_IPMSM_traction": {PolePairs: 3, Resistance: 18e-3, Ld: 0.37e-3, Lq: 1.2e-3, Flux: 66e-3, SaturationA: never},
	}
	checked := 0
	for _, row := range reference.Table(t, "../../testdata/pmsm_envelope.csv") {
		if row.Text("id_A") == "" {
			continue // not reachable at that voltage and current
		}
		checked++
		m := machines[row.Text("example")]
		id, iq, omega := row.Number("id_A"), row.Number("iq_A"), row.Number("omega_e_rad_s")
		vd, vq := m.Voltage(omega, id, iq)
		torque := m.Torque(id, iq)
		at := row.Text("example") + " at " + row.Text("times_base_speed") + " × base speed"
		assert.InEpsilon(t, row.Number("Tmax_Nm"), torque, 1e-3, at)
		assert.InEpsilon(t, row.Number("v_phase_pk_V"), math.Hypot(vd, vq), 1e-3, at)
		assert.InEpsilon(t, row.Number("Pmech_W"), torque*omega/m.PolePairs, 1e-3, at)
	}
	assert.Equal(t, 16, checked)
}

func TestEnergyOfTheRotorFrame(t *testing.T) {
	m := motor.Motor{PolePairs: 15, Resistance: 0.05, Ld: 175e-6, Lq: 210e-6, Flux: 0.0272, SaturationA: 210}
	for _, omega := range []float64{0, 40, 90} {
		for _, id := range []float64{-60, 0} {
			for _, iq := range []float64{-200, -5, 0, 1, 80, 300} {
				vd, vq := m.Voltage(15*omega, id, iq)
				electrical := 1.5 * (vd*id + vq*iq)
				copper := 1.5 * m.Resistance * (id*id + iq*iq)
				assert.InDelta(t, electrical, copper+m.Torque(id, iq)*omega, 1e-9*(1+math.Abs(electrical)),
					"electrical power = copper + T·ω at id %g iq %g ω %g", id, iq, omega)
			}
		}
	}
}

func TestSaturation(t *testing.T) {
	m := motor.Motor{PolePairs: 15, Flux: 0.0272, Ld: 175e-6, Lq: 210e-6, SaturationA: 200}
	straight := m
	straight.SaturationA = never
	assert.InEpsilon(t, straight.Torque(0, 200)/math.Sqrt2, m.Torque(0, 200), 1e-12, "s(I_sat) = 1/√2")
	last := math.Inf(-1)
	for iq := -800.0; iq <= 800; iq += 10 {
		torque := m.Torque(-20, iq)
		assert.Greater(t, torque, last, "torque is monotone in i_q, at %g A", iq)
		last = torque
		if iq != 0 {
			back, ok := m.CurrentFor(torque, -20)
			require.True(t, ok)
			assert.InEpsilon(t, iq, back, 1e-9, "CurrentFor undoes Torque")
		}
	}
	_, ok := m.CurrentFor(1.5*15*0.0272*200, 0)
	assert.False(t, ok, "no current gives the torque that saturation tends to")
	_, ok = m.CurrentFor(1.5*15*0.0272*200*0.999, 0)
	assert.True(t, ok)
}

// Steinmetz's form as torque: doubling the frequency doubles the hysteresis power and makes the eddy power four times as large.
func TestIronDragScaling(t *testing.T) {
	hysteresis := motor.Motor{PolePairs: 15, HysteresisK: 0.036}
	eddy := motor.Motor{PolePairs: 15, EddyK: 23e-6}
	power := func(m motor.Motor, omega float64) float64 { return m.Drag(omega) * omega }
	assert.InEpsilon(t, 2, power(hysteresis, 80)/power(hysteresis, 40), 1e-12, "Steinmetz's form (from memory): hysteresis ∝ f")
	assert.InEpsilon(t, 4, power(eddy, 80)/power(eddy, 40), 1e-12, "Steinmetz's form (from memory): eddy ∝ f²")
	both := motor.Motor{PolePairs: 15, HysteresisK: 0.036, EddyK: 23e-6}
	assert.InEpsilon(t, 15*(0.036+23e-6*15*40), both.Drag(40), 1e-12)
}

func TestNewHeatsTheWinding(t *testing.T) {
	cold, hot := motor.New(build.Motors[3], 20), motor.New(build.Motors[3], 120)
	assert.Equal(t, build.Motors[3].Resistance, cold.Resistance)
	assert.InDelta(t, 1.3930, hot.Resistance/cold.Resistance, 5e-5, "IEC 60028: 20 to 120 °C")
	assert.Equal(t, cold.Flux, hot.Flux)
}
