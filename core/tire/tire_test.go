package tire_test

import (
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/tire"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMembraneStiffness(t *testing.T) {
	c := build.TireClass{Radius: 0.20, Width: 0.080, ReferenceP: 1e5, ReferenceLoad: 900, RollingC0: 0.02}
	tr := tire.New(c, 150e3, 900, 1)
	const source = "k = π·p·√(D·w), D 0.40 m, w 80 mm, 150 kPa (derived from patch area = load/p, not published)"
	assert.InDelta(t, 84.3, tr.Stiffness/1e3, 0.05, source)
	assert.InDelta(t, 10.7, tr.Deflection*1e3, 0.05, source)
	assert.InEpsilon(t, 0.20-tr.Deflection, tr.LoadedRadius, 1e-12)
	c.Carcass = 20e3
	assert.InDelta(t, 104.3, tire.New(c, 150e3, 900, 1).Stiffness/1e3, 0.05, "the carcass adds to the membrane")
}

func TestEffectiveRollingRadius(t *testing.T) {
	for _, c := range []struct{ deflection, exact, approximate float64 }{
		{0.005, 0.248331, 0.248333}, {0.010, 0.246658, 0.246667}, {0.020, 0.243297, 0.243333},
	} {
		// Carcass alone carries the load, so the deflection is load/carcass.
		class := build.TireClass{Radius: 0.25, Width: 0, Carcass: 1e5, ReferenceP: 1e5, ReferenceLoad: 1e3}
		tr := tire.New(class, 1e5, 1e5*c.deflection, 1)
		assert.InDelta(t, c.approximate, tr.RollingRadius, 5.1e-7, "Jazar, R_g − δ/3")
		assert.InEpsilon(t, c.exact, tr.RollingRadius, 2e-4, "Jazar, R_g·sinθ/θ")
		assert.Equal(t, tr.RollingRadius, tr.Radius(0))
	}
}

func TestRollingResistanceForm(t *testing.T) {
	// The worked figure of the SAE J2452 form in SI: P 250 kPa, N 3000 N, 10 m/s give 69.556 N. The reference pressure and load
	// of that form are 1 Pa and 1 N. Coefficients from memory, so the figure only proves the form.
	c := build.TireClass{
		Radius: 0.3, Width: 0.2, ReferenceP: 1, ReferenceLoad: 1, RollingC0: 84e-4,
		PressureExponent: -0.003, LoadExponent: 0.97 - 1, SpeedA: 6.2e-4 / 84e-4, SpeedB: 1.6e-4 / 84e-4,
	}
	tr := tire.New(c, 250e3, 3000, 1)
	assert.InDelta(t, 69.556, tr.Rolling(10), 1e-3, "SAE J2452 form, coefficients from memory")
	double := tire.New(c, 250e3, 3000, 2)
	assert.InEpsilon(t, 2*tr.Rolling(7), double.Rolling(7), 1e-12, "the surface multiplies")
}

// Published only as directions: rolling force is linear in load and falls with pressure (Tire Sci. Technol. 6(3):163), exponent
// −0.3…−0.5 (passenger tires, from memory).
func TestCatalogRollsAsPublished(t *testing.T) {
	for _, c := range build.Tires {
		soft, hard := tire.New(c, c.MinP, 900, 1), tire.New(c, c.MaxP, 900, 1)
		assert.Greater(t, soft.Rolling(5), hard.Rolling(5), c.ID)
		assert.GreaterOrEqual(t, c.PressureExponent, -0.5, c.ID)
		assert.LessOrEqual(t, c.PressureExponent, -0.3, c.ID)
		reference := tire.New(c, c.ReferenceP, c.ReferenceLoad, 1)
		assert.InEpsilon(t, c.RollingC0, reference.Rolling(0)/c.ReferenceLoad, 1e-12, c.ID)
		// Kick-scooter tires 3.5–6 × a bicycle tire's 0.004–0.006 (Stilwell et al. 2023; bicycle figure from memory), kart
		// tires 0.02–0.04 (from memory).
		assert.GreaterOrEqual(t, c.RollingC0, 0.014, c.ID)
		assert.LessOrEqual(t, c.RollingC0, 0.040, c.ID)
		twice := tire.New(c, c.ReferenceP, 2*c.ReferenceLoad, 1)
		assert.InEpsilon(t, 2*reference.Rolling(5), twice.Rolling(5), 1e-12, "%s: linear in load", c.ID)
		assert.Greater(t, reference.Rolling(12), reference.Rolling(3), c.ID)
	}
}

func TestFlatTireKeepsItsShape(t *testing.T) {
	tr := tire.New(build.TireClass{Radius: 0.1, Width: 0.05, ReferenceP: 1e5, ReferenceLoad: 900}, 1, 1e6, 1)
	assert.Equal(t, 0.05, tr.Deflection, "at most half of the radius")
	assert.Positive(t, tr.LoadedRadius)
}

func TestGrowthAndSpeed(t *testing.T) {
	c := build.TireClass{Radius: 0.15, Carcass: 1e5, GrowthK: 4e-5, ReferenceP: 1e5, ReferenceLoad: 900}
	tr := tire.New(c, 1e5, 900, 1)
	assert.InEpsilon(t, 0.15*(1+4e-5*400)-0.003, tr.Radius(20), 1e-12, "r₀·(1 + g·v²) − δ/3")
	// Speed undoes v ↦ v/r_e(v) below the speed at which the wheel's growth runs away, √(r_e/(r₀·g)).
	vertex := math.Sqrt(tr.RollingRadius / (0.15 * 4e-5))
	for v := 0.0; v < vertex; v += vertex / 37 {
		assert.InDelta(t, v, tr.Speed(v/tr.Radius(v)), 1e-6*vertex, "v = ω·r_e(v)")
	}
	// Beyond it no speed answers; the wheel must not seem to slow down when it turns faster.
	last := 0.0
	for omega := 0.0; omega < 3000; omega += 25 {
		v := tr.Speed(omega)
		require.GreaterOrEqual(t, v, last*(1-1e-12), "at %g rad/s", omega)
		require.LessOrEqual(t, v, vertex*(1+1e-9), "at %g rad/s", omega)
		last = v
	}
	still := tire.New(build.TireClass{Radius: 0.15, Carcass: 1e5, ReferenceP: 1e5, ReferenceLoad: 900}, 1e5, 900, 1)
	assert.InEpsilon(t, 100*still.RollingRadius, still.Speed(100), 1e-12, "no growth")
}
