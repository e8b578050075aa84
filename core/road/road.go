// Package road is the force that the ground and the air ask of the wheel.
//
//	F = F_rr·cosθ + m·g·sinθ + ½·ρ·CdA·(v + wind)·|v + wind| + (m + J/r²)·a
//
// with tanθ = grade (any vehicle-dynamics textbook; worked figures in testdata). ρ is that of the ISO 2533
// atmosphere corrected to the air temperature. Torque at the wheel is F·r_e and speed ω·r_e, so F·v = T·ω exactly.
package road

import (
	"math"

	"headroom/core/build"
	"headroom/core/tire"
)

// Road is one board with its rider on one road.
type Road struct {
	Mass     float64 // rider and board, kg
	Rider    float64 // kg
	DragArea float64 // m²
	Density  float64 // kg/m³
	Headwind float64 // m/s
	Inertia  float64 // mass that the spinning wheel adds, J/r², kg
	Tire     tire.Tire
}

// New puts the build on its road.
func New(b *build.Build, p *build.Parts) Road {
	mass := b.Rider + p.BoardMass
	return Road{
		Mass:     mass,
		Rider:    b.Rider,
		DragArea: b.DragArea,
		Density:  AirDensity(b.Altitude, b.AmbientC),
		Headwind: b.Headwind,
		// A hub motor's shell and magnets turn with the tire; most of both masses is near the rim of its own radius, which for the
		// motor is about half of the tire's. Engineering estimate, no published source; 1–2 % of the whole mass.
		Inertia: 0.8*p.Tire.Mass + 0.15*p.Motor.Mass,
		Tire:    tire.New(p.Tire, b.Pressure, mass*Gravity, p.Surface.Factor),
	}
}

// Force returns the steady road load in N at a speed in m/s ≥ 0 on a grade (rise over run).
func (r *Road) Force(v, grade float64) float64 {
	cos := 1 / math.Sqrt(1+grade*grade)
	air := v + r.Headwind
	return r.Tire.Rolling(v)*cos + r.Mass*Gravity*grade*cos + r.Density/2*r.DragArea*air*math.Abs(air)
}

// Accelerating returns the force in N that a change of speed asks for besides: (m + J/r²)·a, a in m/s².
func (r *Road) Accelerating(a float64) float64 { return (r.Mass + r.Inertia) * a }

// Torque returns the road load at the axle in N·m.
func (r *Road) Torque(v, grade float64) float64 { return r.Force(v, grade) * r.Tire.Radius(v) }

// Omega returns the wheel's speed in rad/s at a road speed in m/s.
func (r *Road) Omega(v float64) float64 { return v / r.Tire.Radius(v) }

// Shift returns by how many m the rider's center of pressure may move further forward before the deck drops, given a torque to
// spare in N·m: the deck is held level by motor torque against foot pressure, τ = m_rider·g·x, whether or not the board
// accelerates.
func (r *Road) Shift(torque float64) float64 { return torque / (r.Rider * Gravity) }

// EqualGrade returns the grade whose weight component asks for a torque in N·m: reserve/(r·m·g) as the sine of the slope,
// given as rise over run. Beyond a right angle it is capped at 10.
func (r *Road) EqualGrade(torque, v float64) float64 {
	s := torque / (r.Tire.Radius(v) * r.Mass * Gravity)
	if s >= 0.995 {
		return 10
	}
	if s <= -0.995 {
		return -10
	}
	return s / math.Sqrt(1-s*s)
}
