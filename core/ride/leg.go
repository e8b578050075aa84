package ride

import (
	"math"

	"headroom/core/drive"
	"headroom/core/pack"
)

// Leg is a short stretch of road, ridden at an even change of speed.
type Leg struct {
	From, To float64 // m/s
	Grade    float64 // rise over run
	Seconds  float64 // > 0
}

// Passing is what a leg takes and leaves.
type Passing struct {
	Means
	Shift          float64     // the least reserve on it, m
	Bound          drive.Bound // what binds the torque there
	Reserve        float64     // the same in N·m
	Most           float64     // the torque that the limits leave there, N·m
	LeftToTheRider bool        // braking beyond what the limits take back
}

// Pass rides a leg with the pack as src; ok is false where it cannot be carried at all.
func (b *Board) Pass(src pack.Source, l Leg) (s Passing, ok bool) {
	var p Profile
	p.add(b, l.From, l.To, l.Grade, l.Seconds)
	s.Reserve = math.Inf(1)
	for i := range p.moments {
		m := &p.moments[i]
		point, ok := b.hold(src, m)
		if !ok {
			return s, false
		}
		s.add(m.seconds/p.Seconds, &point)
		s.LeftToTheRider = s.LeftToTheRider || point.Torque > m.torque+1e-6*(1+math.Abs(m.torque))
		most, bound := b.Drive.MaxTorque(src, m.omega)
		if left := most.Torque - m.torque; left < s.Reserve {
			s.Reserve, s.Most, s.Shift, s.Bound = left, most.Torque, b.Road.Shift(left), bound
		}
	}
	return s, true
}

// Spare is how much of what the rider wants is left at a charge, at a steady speed in m/s on a grade: the lesser of the reserve beyond
// the wanted one and the duty below the wanted one, as shares of what is wanted. Below 0 it cannot be ridden so, and why says what ends it.
func (b *Board) Spare(z, v, grade float64) (left float64, why Stop) {
	p := Steady(b, v, grade)
	return b.left(z, &p)
}

// Braking is the torque in N·m that is left before a limit of braking at a steady speed in m/s on a grade: below 0 the way down cannot be
// held.
func (b *Board) Braking(src pack.Source, v, grade float64) (left float64, bound drive.Bound) {
	most, bound := b.Drive.MaxBraking(src, b.Road.Omega(v))
	return b.Road.Torque(v, grade) - most.Torque, bound
}
