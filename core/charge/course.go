package charge

import (
	"math"
	"slices"

	"headroom/core/solve"
)

// course is a charger on a voltage behind a resistance, both of which follow the state of charge z, 0…1.
type course struct {
	at       func(z float64) (volts, ohms float64) // volts rising with z, ohms > 0
	volts    float64                               // the charger holds at most this
	amperes  float64                               // and gives at most this, > 0
	taper    float64                               // at the held voltage it stops here, A, > 0
	capacity float64                               // Ah, > 0
}

// tick is a state of charge on the way and what came before it.
type tick struct {
	charge float64 // z
	hours  float64
	held   float64 // hours at constant voltage
	packWh float64
	heatWh float64
}

const (
	parts = 100 // the tables of the cell have their points on every fifth of these
	// gradings halve the last part this often: time grows like a logarithm towards the charge where no current is left, and at a small
	// taper the end lies far nearer to it than a hundredth.
	gradings = 20
	fine     = 1e-14
)

// spare returns the voltage left over at a current: negative where the charger cannot give it.
func (c *course) spare(z, amperes float64) float64 {
	e, r := c.at(z)
	return c.volts - e - amperes*r
}

// current returns I(z) in A, 0 where the pack stands above the charger.
func (c *course) current(z float64) float64 {
	return c.flow(c.at(z))
}

// flow returns the current into a voltage behind a resistance.
func (c *course) flow(volts, ohms float64) float64 {
	return math.Min(c.amperes, math.Max(0, (c.volts-volts)/ohms))
}

// grid lists from, every hundredth beyond it, and to; from alone where to is no further.
func grid(from, to float64) []float64 {
	out := make([]float64, 0, parts+3)
	out = append(out, from)
	to = math.Max(from, to)
	for k := range parts + 1 {
		out = append(out, math.Min(math.Max(float64(k)/parts, from), to))
	}
	return slices.Compact(append(out, to))
}

// end returns the charge at which the charger stops or, before that, to. A charger whose constant current is below the taper stops
// where that current ends.
func (c *course) end(from, to float64) float64 {
	stop := math.Min(c.taper, c.amperes)
	short := func(z float64) float64 { return c.spare(z, stop) }
	points := grid(from, to)
	// The first one short counts: over cold and empty cells, current can fall before it rises.
	i := slices.IndexFunc(points, func(z float64) bool { return math.Signbit(short(z)) })
	if i < 0 {
		return points[len(points)-1]
	}
	return solve.Root(short, points[max(0, i-1)], points[i], fine)
}

// run integrates from one charge to another that the charger reaches, with a tick at every hundredth, at both ends, at every change
// between constant current and constant voltage, and at the extra charges asked for. Between two of these the integrand is smooth, and
// no part is longer than its distance to the charge where current ends, so five-point Gauss–Legendre is exact to eight digits or more
// (nodes: Abramowitz & Stegun 1964, table 25.4).
func (c *course) run(from, to float64, extra ...float64) []tick {
	full := func(z float64) float64 { return c.spare(z, c.amperes) }
	points := grid(from, to)
	marks := append(slices.Clone(points), extra...)
	for i, z := range points[1:] {
		marks = append(marks, solve.Root(full, points[i], z, fine)) // where there is no change it is one of the two
	}
	for k := range gradings {
		marks = append(marks, math.Max(from, to-math.Ldexp(1.0/parts, -k)))
	}
	slices.Sort(marks)
	marks = slices.Compact(marks)

	ticks := make([]tick, 1, len(marks))
	ticks[0].charge = from
	for i, z := range marks[1:] {
		t := ticks[i]
		hours := c.part(marks[i], z, &t)
		t.charge = z
		t.hours += hours
		if math.Signbit(full((marks[i] + z) / 2)) {
			t.held += hours
		}
		ticks = append(ticks, t)
	}
	return ticks
}

var (
	nodes   = [5]float64{-0.9061798459386640, -0.5384693101056831, 0, 0.5384693101056831, 0.9061798459386640}
	weights = [5]float64{0.2369268850561891, 0.4786286704993665, 0.5688888888888889, 0.4786286704993665, 0.2369268850561891}
)

// part adds the energies between two charges to t and returns the hours between them.
func (c *course) part(a, b float64, t *tick) (hours float64) {
	half := (b - a) / 2
	for k, x := range nodes {
		z := a + half*(1+x)
		e, r := c.at(z)
		i := c.flow(e, r)
		charge := weights[k] * half * c.capacity // Ah
		hours += charge / i
		t.packWh += charge * (e + i*r)
		t.heatWh += charge * i * r
	}
	return hours
}
