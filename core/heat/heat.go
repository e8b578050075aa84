// Package heat is the motor warming up: two nodes, winding and hub (iron, hub and shell), each with a heat capacity, and the way from
// winding to hub to air.
//
//	C_w·dT_w/dt = P_cu·(1 + α·(T_w − 20)) − (T_w − T_h)/R_wh
//	C_h·dT_h/dt = P_fe + (T_w − T_h)/R_wh − (T_h − T_a)/R_ha(v)         R_ha(v) = R_ha(0)/(1 + k·v)
//
// With constant losses this is linear, copper's own warming included, so the solution is two exponentials, exactly. Source of the form:
// any text on thermal networks; one node with copper feedback and its runaway at P·R·α = 1 are the worked figures in the tests. The
// growth of convection with speed is common practice with no published source for hub motors.
//
// What this leaves out: radiation, the sun, hot spots inside the winding, and magnets that weaken when hot.
package heat

import (
	"math"

	"headroom/core/build"
	"headroom/core/solve"
	"headroom/core/wire"
)

// ConvectionPerSpeed is k, s/m: at 10 m/s the hub sheds twice what it does standing.
const ConvectionPerSpeed = 0.1

// Motor is the two-node model at one speed.
type Motor struct {
	WindingJ, HubJ         float64 // J/K
	WindingToHub, HubToAir float64 // K/W
	AmbientC               float64
}

// New makes the model of a motor class at a speed in m/s and an air temperature in °C.
func New(c build.MotorClass, v, ambient float64) Motor {
	return Motor{
		WindingJ: c.WindingJ, HubJ: c.HubJ, WindingToHub: c.WindingToHub,
		HubToAir: c.HubToAir / (1 + ConvectionPerSpeed*math.Max(0, v)), AmbientC: ambient,
	}
}

// State is the two temperatures in °C.
type State struct{ Winding, Hub float64 }

// Losses are constant heat sources in W.
type Losses struct {
	Copper20 float64 // in the winding, as it would be at 20 °C; it grows with the winding's temperature
	Iron     float64 // in the hub
}

// LossesAt returns losses known at a winding temperature in °C.
func LossesAt(copper, iron, celsius float64) Losses {
	return Losses{copper / wire.Heated(celsius), iron}
}

// system is x' = A·x + b for x = (T_w, T_h).
type system struct{ a11, a12, a21, a22, b1, b2 float64 }

func (m *Motor) system(l Losses) system {
	g := 1 / m.WindingToHub
	h := 1 / m.HubToAir
	const alpha = wire.TemperatureCoefficient
	return system{
		a11: (l.Copper20*alpha - g) / m.WindingJ,
		a12: g / m.WindingJ,
		a21: g / m.HubJ,
		a22: -(g + h) / m.HubJ,
		b1:  l.Copper20 * (1 - 20*alpha) / m.WindingJ,
		b2:  (l.Iron + h*m.AmbientC) / m.HubJ,
	}
}

// Settled returns the temperatures after a long time; ok is false where the winding heats without end because copper's growing
// resistance outruns its cooling.
func (m *Motor) Settled(l Losses) (s State, ok bool) {
	y := m.system(l)
	det := y.a11*y.a22 - y.a12*y.a21
	if det <= 0 || y.a11+y.a22 >= 0 {
		return State{}, false
	}
	return State{
		Winding: (-y.b1*y.a22 + y.b2*y.a12) / det,
		Hub:     (-y.b2*y.a11 + y.b1*y.a21) / det,
	}, true
}

// After returns the temperatures t s after a state.
func (m *Motor) After(from State, l Losses, t float64) State {
	y := m.system(l)
	// Eigenvalues of a 2×2 matrix whose off-diagonal product is positive are real and different.
	half := (y.a11 + y.a22) / 2
	d := math.Sqrt((y.a11-y.a22)*(y.a11-y.a22)/4 + y.a12*y.a21)
	l1, l2 := half+d, half-d
	// x(t) = from + ∫exp(A·s) ds · (A·from + b): exact also where the system has no settled state.
	r1 := y.a11*from.Winding + y.a12*from.Hub + y.b1
	r2 := y.a21*from.Winding + y.a22*from.Hub + y.b2
	e1, e2 := integral(l1, t), integral(l2, t)
	// Projectors onto the two modes: (A − l2)/(l1 − l2) and (l1 − A)/(l1 − l2).
	k := 1 / (l1 - l2)
	c1, c2 := (e1-e2)*k, (l1*e2-l2*e1)*k
	return State{
		Winding: from.Winding + c1*(y.a11*r1+y.a12*r2) + c2*r1,
		Hub:     from.Hub + c1*(y.a21*r1+y.a22*r2) + c2*r2,
	}
}

// integral is ∫₀ᵗ exp(l·s) ds.
func integral(l, t float64) float64 {
	if l == 0 {
		return t
	}
	return math.Expm1(l*t) / l
}

// TimeTo returns how many s it takes the winding to reach a temperature in °C from a state, looking no further than horizon s; ok is
// false where it does not get there.
func (m *Motor) TimeTo(from State, l Losses, celsius, horizon float64) (t float64, ok bool) {
	if from.Winding >= celsius {
		return 0, true
	}
	left := func(t float64) float64 { return m.After(from, l, t).Winding - celsius }
	if left(horizon) < 0 {
		return 0, false
	}
	// Heating from rest rises all the way, so the crossing is the only one.
	return solve.Root(left, 0, horizon, 1e-6*horizon), true
}
