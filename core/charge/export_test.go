package charge

// Course is a charger on any voltage and resistance, for worked examples.
type Course struct {
	At                              func(z float64) (volts, ohms float64)
	Volts, Amperes, Taper, Capacity float64
}

// Done is the end of a course.
type Done struct{ Charge, Hours, Held, PackWh, HeatWh float64 }

// Run charges from one charge to another, or to where the charger stops.
func (c Course) Run(from, to float64) Done {
	k := course{c.At, c.Volts, c.Amperes, c.Taper, c.Capacity}
	ticks := k.run(from, k.end(from, to))
	t := ticks[len(ticks)-1]
	return Done{t.charge, t.hours, t.held, t.packWh, t.heatWh}
}
