package ui

import (
	"math"

	"headroom/core"
)

// mostPoints is how many points of a way are drawn.
const mostPoints = 600

// routePlots are made once for each ride.
func (p *Planner) routePlots() []*Plot {
	r := &p.routing
	if r.ridden == nil {
		return nil
	}
	if r.plotsOf != r.ridden || r.units != p.Units {
		r.plots, r.plotsOf, r.units = p.newRoutePlots(), r.ridden, p.Units
	}
	return r.plots
}

func (p *Planner) newRoutePlots() []*Plot {
	r, path := p.routing.ridden, p.routing.path
	const pastEnd = "past the end of the way"
	beyond := pastEnd
	if r.StoppedBy != "" {
		beyond = "not ridden"
	}
	over := func(id, title, label, unit string, digits int) *Plot {
		plot := &Plot{
			ID: "route-" + id, Title: title, Cross: "route", Say: "After", Start: r.Lowest.Km, Beyond: beyond, End: r.RiddenKm,
			X: Axis{Label: "distance", Unit: "km", Digits: 1, In: p.Units.of("km")}, Y: Axis{Label: label, Unit: unit, Digits: digits, In: p.Units.of(unit)},
		}
		plot.X.fit(0, r.Km)
		return plot
	}
	curve := func(plot *Plot, name, after string, at func(*core.RoutePlaceAt) float64) {
		points := make([]XY, len(r.Points))
		for i := range r.Points {
			points[i] = XY{r.Points[i].Km, at(&r.Points[i])}
		}
		plot.Lines = append(plot.Lines, Line{Name: name, Style: "low", Points: points})
		plot.Data = append(plot.Data, Series{name, after, points})
	}
	fit := func(plot *Plot, lo, hi float64) {
		for _, l := range plot.Lines {
			inFrame(&lo, &hi, l.Points)
		}
		plot.Y.fit(lo, hi)
		plot.Words = plot.sentence(plot.Start)
	}
	mark := func(name, style string, km float64, raise int) Mark {
		return Mark{Name: name, Style: style, X: km, Raise: raise}
	}
	across := func(name string, y float64) Mark {
		return Mark{Name: name, Style: "want", Y: y, Across: true, Left: true}
	}

	ground := over("ground", "The way", "elevation", "m", 0)
	stride := (len(path.Ele) + mostPoints - 1) / mostPoints
	var whole []XY
	for i := range path.Ele {
		if i%stride == 0 || i == len(path.Ele)-1 {
			whole = append(whole, XY{float64(i) * path.Step / 1e3, path.Ele[i]})
		}
	}
	ground.Beyond, ground.End = pastEnd, whole[len(whole)-1].X
	ground.Lines = []Line{{Name: "elevation", Style: "low", Points: whole}}
	ground.Data = []Series{{"elevation", " above the sea", whole}}
	lo, hi := math.Inf(1), math.Inf(-1)
	inFrame(&lo, &hi, whole)
	fit(ground, lo, hi+0.3*(hi-lo)) // the names of the places stand above the hills
	under := make([]XY, len(whole))
	for i := range whole {
		under[i] = XY{whole[i].X, ground.Y.Lo}
	}
	ground.Bands = []Band{{Style: "load", Lower: under, Upper: whole}}
	ground.Marks = []Mark{mark("least reserve", "ceiling", r.Lowest.Km, 0), mark("warmest", "riding", r.Hottest.Km, 1)}
	if r.Descent != nil {
		ground.Marks = append(ground.Marks, mark("hardest way down", "peak", r.Descent.Km, 2))
	}
	ends := mark("ends here", "limit", r.RiddenKm, 3)
	if r.StoppedBy != "" {
		ground.Marks = append(ground.Marks, ends)
	}

	reserve := over("reserve", "Balance reserve along the way", "reserve", "mm", 0)
	curve(reserve, "left", " left", func(q *core.RoutePlaceAt) float64 { return q.ShiftMm })
	want := p.routing.by.Shift * 1e3
	text, name := p.Units.Figure(want, "mm", 0)
	reserve.Marks = []Mark{across("wanted "+text+" "+name, want), mark("least", "ceiling", r.Lowest.Km, 0)}
	fit(reserve, 0, want)

	charge := over("charge", "Charge along the way", "charge", "%", 0)
	curve(charge, "charge", " left", func(q *core.RoutePlaceAt) float64 { return q.ChargePct })
	floor := p.routing.by.FloorCharge * 100
	charge.Marks = []Mark{across("turn home at "+decimal(floor, 0)+" %", floor)}
	fit(charge, 0, 100)

	speed := over("speed", "Speed along the way", "speed", "km/h", 0)
	curve(speed, "speed", "", func(q *core.RoutePlaceAt) float64 { return q.SpeedKmh })
	speed.Data[0].After = " at most"
	wanted := p.routing.by.Cruise * 3.6
	fit(speed, 0, wanted)

	warm := over("winding", "Winding along the way", "winding", "°C", 0)
	curve(warm, "winding", " in the winding", func(q *core.RoutePlaceAt) float64 { return q.WindingC })
	warm.Marks = []Mark{mark("warmest", "riding", r.Hottest.Km, 0)}
	fit(warm, math.Inf(1), math.Inf(-1))

	plots := []*Plot{ground, reserve, charge, speed, warm}
	if r.StoppedBy != "" {
		for _, plot := range plots[1:] {
			ends.Raise = 1
			plot.Marks = append(plot.Marks, ends)
		}
	}
	return plots
}
