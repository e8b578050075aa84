package charge

import (
	"math"
	"slices"

	"headroom/core/build"
)

// steps of the chart: equal steps of charge are also near-equal steps of current once the voltage is held.
const steps = 40

// Point is one instant of a charge.
type Point struct {
	Minutes float64 `json:"minutes"`
	A       float64 `json:"a"`
	V       float64 `json:"v"` // at the terminals
	Pct     float64 `json:"pct"`
}

// Curve returns the charge as a chart draws it: 41 points from first to last, one alone where nothing is charged.
func Curve(b *build.Build, p *build.Parts) []Point {
	c := newCourse(b, p)
	from := b.ChargeFrom
	end := c.end(from, b.ChargeTo)
	at := make([]float64, steps+1)
	for k := range at {
		at[k] = math.Min(end, from+(end-from)*float64(k)/steps)
	}
	at[steps] = end
	at = slices.Compact(at)
	points := make([]Point, 0, len(at))
	for _, t := range c.run(from, end, at...) {
		if !slices.Contains(at, t.charge) {
			continue
		}
		e, r := c.at(t.charge)
		i := c.flow(e, r)
		points = append(points, Point{60 * t.hours, i, e + i*r, 100 * t.charge})
	}
	return points
}
