package core

import (
	"headroom/core/build"
	"headroom/core/ride"
)

// ranges computes the range, its band by the corner method (all four uncertain inputs against the rider, then all for; which way is
// against depends on hill and wind, so the band is whatever the corners span), and range against steady speed on the ride's grade.
func ranges(b *build.Build, p *build.Parts, bd *ride.Board, d ride.Distance, topKmh float64, curves bool) Range {
	r := Range{StoppedBy: string(d.By), EndPct: d.End * 100, Km: km(d)}
	r.WhPerKm = whPerKm(d)
	if !curves {
		return r
	}
	one, two := newCorner(b, p, 1), newCorner(b, p, -1)
	r.LowKm, r.HighKm = band(d, one.ride(), two.ride())
	r.BySpeed = make([]RangeAtSpeed, rangePoints)
	for i := range r.BySpeed {
		v := topKmh / perKmh * (0.15 + 0.80*float64(i)/(rangePoints-1))
		steady := ride.Steady(bd, v, b.Grade)
		at := bd.Range(&steady, b.StartCharge, b.FloorCharge)
		r.BySpeed[i] = RangeAtSpeed{v * perKmh, km(at), whPerKm(at), string(at.By)}
	}
	return r
}

func whPerKm(d ride.Distance) *float64 {
	if d.Meters <= 0 {
		return nil
	}
	w := d.EnergyWh / (d.Meters / 1e3)
	return &w
}

func km(d ride.Distance) *float64 {
	if d.Endless {
		return nil
	}
	v := d.Meters / 1e3
	return &v
}

// corner is a build with every uncertain input moved by its uncertainty, and its board.
type corner struct {
	in    build.Build
	board ride.Board
}

// newCorner moves the inputs in the direction that costs on level ground for sign 1, in the other for -1.
func newCorner(b *build.Build, p *build.Parts, sign float64) corner {
	c, q := *b, *p
	c.DragArea *= 1 + sign*uncertainty.DragArea
	c.Rider *= 1 + sign*uncertainty.Mass
	q.BoardMass *= 1 + sign*uncertainty.Mass
	c.Pressure *= 1 - sign*uncertainty.Pressure
	q.Tire.RollingC0 *= 1 + sign*uncertainty.Rolling
	return corner{c, board(&c, &q)}
}

func (c *corner) ride() ride.Distance {
	profile := ride.NewProfile(&c.in, &c.board)
	return c.board.Range(&profile, c.in.StartCharge, c.in.FloorCharge)
}

// steady is the range at one speed in m/s on the ride's grade.
func (c *corner) steady(v float64) ride.Distance {
	profile := ride.Steady(&c.board, v, c.in.Grade)
	return c.board.Range(&profile, c.in.StartCharge, c.in.FloorCharge)
}

// band is what a range and its two corners span, in km. Both ends are nil where the ride uses no charge, the high one also where a
// corner uses none.
func band(d, one, two ride.Distance) (low, high *float64) {
	if d.Endless {
		return nil, nil
	}
	least := min(d.Meters, one.Meters, two.Meters) / 1e3
	if one.Endless || two.Endless {
		least = min(d.Meters, max(one.Meters, two.Meters)) / 1e3
	} else {
		most := max(d.Meters, one.Meters, two.Meters) / 1e3
		high = &most
	}
	return &least, high
}
