// Package tire is the wheel's rubber: how far it squats, how far it rolls in a turn, and what rolling costs.
//
//	k_z = carcass + π·p·√(D·w)                         membrane: patch area = load/p
//	δ   = Z/k_z      loaded radius r₀ − δ      effective rolling radius r_e = r₀·(1 + g·v²) − δ/3
//	F_rr = Z·C₀·(p/p₀)^α·(Z/Z₀)^β·(1 + a·v + b·v²)     α < 0
//
// Sources: r_e ≈ R_g − δ/3, R. N. Jazar, Vehicle Dynamics, chapter on tires; rolling force in the form of SAE J2452; the
// membrane stiffness is derived, not published: a plane cuts the circles of diameter D (side view) and w (cross-section) at
// depth δ in chords 2·√(D·δ) and 2·√(w·δ); the ellipse on them has area π·δ·√(D·w), and area × p is the load.
//
// p is gauge pressure in Pa. What this leaves out: slip, camber, temperature of the rubber.
package tire

import (
	"math"

	"headroom/core/build"
)

// Tire is one inflated tire under one load.
type Tire struct {
	Stiffness     float64 // k_z, N/m
	Deflection    float64 // δ, m
	LoadedRadius  float64 // m, axle to ground at rest
	RollingRadius float64 // r_e at rest, m
	Growth        float64 // r₀·g, m per (m/s)²
	PatchArea     float64 // load/p, m²; the carcass carries a little, so the real patch is some 10 % smaller
	class         build.TireClass
	base          float64 // Z·C₀·(p/p₀)^α·(Z/Z₀)^β·surface, N
}

// New inflates a tire of a class to a gauge pressure in Pa under a load in N on a surface.
func New(c build.TireClass, pressure, load, surface float64) Tire {
	k := c.Carcass + math.Pi*pressure*math.Sqrt(2*c.Radius*c.Width)
	// A flat tire cannot squat below its rim; half of the radius is already absurd and keeps every length positive.
	d := min(load/k, c.Radius/2)
	return Tire{
		Stiffness:     k,
		Deflection:    d,
		LoadedRadius:  c.Radius - d,
		RollingRadius: c.Radius - d/3,
		Growth:        c.Radius * c.GrowthK,
		PatchArea:     load / pressure,
		class:         c,
		base: load * c.RollingC0 * surface *
			math.Pow(pressure/c.ReferenceP, c.PressureExponent) * math.Pow(load/c.ReferenceLoad, c.LoadExponent),
	}
}

// Rolling returns the rolling resistance in N at a speed in m/s ≥ 0.
func (t *Tire) Rolling(v float64) float64 {
	return t.base * (1 + v*(t.class.SpeedA+v*t.class.SpeedB))
}

// Radius returns the effective rolling radius in m at a speed in m/s.
func (t *Tire) Radius(v float64) float64 { return t.RollingRadius + t.Growth*v*v }

// Grown returns by how many m the tread stands further out at a speed in m/s: r₀·g·v².
func (t *Tire) Grown(v float64) float64 { return t.Growth * v * v }

// Speed returns the road speed in m/s of a wheel turning at omega rad/s: v = ω·r_e(v), the smaller root of the quadratic.
func (t *Tire) Speed(omega float64) float64 {
	a := t.Growth * omega
	d := 1 - 4*a*omega*t.RollingRadius
	if d <= 0 { // growth without bound, far beyond any board: the fastest speed that has a solution
		return math.Sqrt(t.RollingRadius / t.Growth)
	}
	return 2 * omega * t.RollingRadius / (1 + math.Sqrt(d))
}
