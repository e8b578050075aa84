package ride

// Moment is one instant of a profile, for tests: torque in N·m is what the ride asks for at the axle.
type Moment struct{ Seconds, Speed, Grade, Omega, Torque float64 }

// Moments lists the instants that one round of the profile is summed over.
func (p *Profile) Moments() []Moment {
	out := make([]Moment, len(p.moments))
	for i, m := range p.moments {
		out[i] = Moment{m.seconds, m.speed, m.grade, m.omega, m.torque}
	}
	return out
}
