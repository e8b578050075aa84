package ride

import (
	"headroom/core/drive"
	"headroom/core/pack"
	"headroom/core/road"
	"headroom/core/solve"
)

// stopSteps is how many slices of speed a stop is summed over; Simpson's rule on a smooth integrand.
const stopSteps = 48

// StoppingDistance returns how many m a stop from a speed in m/s takes on level ground with the hardest braking that every limit
// allows: ∫ v/a dv with a = (braking + road load)/(m + J/r²). It is what the motor can do; a rider who leans back that far may not
// stay on. ok is false where the board cannot brake at some speed on the way.
func (b *Board) StoppingDistance(src pack.Source, v float64) (m float64, ok bool) {
	if v <= 0 {
		return 0, true
	}
	h := v / stopSteps
	for i := 0; i <= stopSteps; i++ {
		at := float64(i) * h
		p, _ := b.Drive.MaxBraking(src, b.Road.Omega(at))
		force := -p.Torque/b.Road.Tire.Radius(at) + b.Road.Force(at, 0)
		if force <= 0 {
			return 0, false
		}
		weight := 2.0
		switch {
		case i == 0 || i == stopSteps:
			weight = 1
		case i%2 == 1:
			weight = 4
		}
		m += weight * at * b.Road.Accelerating(1) / force
	}
	return m * h / 3, true
}

// FallHeight returns from how many m a fall hits the ground at a speed in m/s: v²/2g.
func FallHeight(v float64) float64 { return v * v / (2 * road.Gravity) }

// Descent is the regeneration ceiling: the steepest way down that can be held at a steady speed.
type Descent struct {
	Grade float64 // rise over run, negative; 0 where not even level ground can be held, steepest where no limit was met
	Bound drive.Bound
	Point drive.Point // the braking at the limit
}

// steepest is as far down as Descent looks.
const steepest = -1.0

// Descent returns the steepest descent at a speed in m/s before bus voltage, regeneration limit, phase current or duty stop the board
// from holding it.
func (b *Board) Descent(src pack.Source, v float64) Descent {
	p, bound := b.Drive.MaxBraking(src, b.Road.Omega(v))
	left := func(grade float64) float64 { return b.Road.Torque(v, grade) - p.Torque }
	d := Descent{Bound: bound, Point: p}
	switch {
	case left(0) <= 0:
		d.Grade = 0
	case left(steepest) >= 0:
		d.Grade = steepest
	default:
		d.Grade = solve.Root(left, steepest, 0, 1e-9)
	}
	return d
}
