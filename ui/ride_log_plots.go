package ui

import (
	"math"

	"headroom/core"
	"headroom/core/ridelog"
)

// logCross is the name under which the plots over a log's time share where they are read.
const logCross = "log"

// logPlots are a log's plots with what they were made of.
type logPlots struct {
	rev   int
	units Units
	plans int
	time  []*Plot
	duty  *Plot
	drawn int // how many pieces the next frame shows: the table of events, then the plots
}

// mostDrawn is how many pieces of time a plot is drawn with: as many as a phone has room for.
const mostDrawn = 256

// logPlots are made once for each log, the one that holds the plan beside it once for each plan.
func (p *Planner) logPlots() []*Plot {
	k, r := &p.log.plots, p.log.ride
	if r == nil {
		return nil
	}
	if k.rev != p.log.rev || k.units != p.Units || k.time == nil {
		drawn := k.drawn
		if k.rev != p.log.rev {
			drawn = 0
		}
		*k = logPlots{rev: p.log.rev, units: p.Units, time: []*Plot{}, drawn: drawn}
		for _, of := range []struct {
			q                 ridelog.Quantity
			id, title, label  string
			unit              string
			scale             float64
			digits            int
			fromZero, hundred bool
		}{
			{ridelog.Speed, "log-speed", "Speed over the ride", "speed", "km/h", 3.6, 1, true, false},
			{ridelog.Duty, "log-duty", "Duty over the ride", "duty", "%", 100, 0, true, true},
			{ridelog.PackV, "log-volts", "Pack voltage over the ride", "voltage", "V", 1, 1, false, false},
			{ridelog.BatteryA, "log-amps", "Battery current over the ride", "current", "A", 1, 1, true, false},
			{ridelog.PhaseA, "log-phase", "Phase current over the ride", "current", "A", 1, 0, true, false},
		} {
			plot := p.overTime(r, of.q, of.scale)
			if plot == nil {
				continue
			}
			plot.ID, plot.Title = of.id, of.title
			plot.Y = Axis{Label: of.label, Unit: of.unit, Digits: of.digits, In: p.Units.of(of.unit)}
			var lo, hi float64
			if !of.fromZero {
				lo, hi = math.Inf(1), math.Inf(-1)
			}
			inFrame(&lo, &hi, plot.Data[0].Points, plot.Data[1].Points)
			if plot.Y.fit(lo, hi); of.hundred {
				plot.Y.Lo, plot.Y.Hi = 0, math.Max(100, plot.Y.Hi)
			}
			plot.Words = plot.sentence(plot.Start)
			k.time = append(k.time, plot)
		}
	}
	if k.duty == nil || k.plans != p.plans {
		k.duty, k.plans = p.dutyRidden(r), p.plans
	}
	if k.duty == nil {
		return k.time
	}
	return append(k.time[:len(k.time):len(k.time)], k.duty)
}

// nextLogPlots are the plots that this frame shows. A read log brings up to sixty events and six plots, and to draw all of them in the frame
// that shows its figures would hold up a slow phone for a third of a second; so each frame brings one piece more.
func (p *Planner) nextLogPlots() []*Plot {
	list, k := p.logPlots(), &p.log.plots
	now := min(k.drawn, 1+len(list))
	if k.drawn = now; now < 1+len(list) {
		k.drawn++
		p.coming = true
	}
	return list[:max(0, now-1)]
}

// overTime begins a plot of the lowest and highest of a quantity in each piece of time; nil where it was not logged.
func (p *Planner) overTime(r *ridelog.Ride, q ridelog.Quantity, scale float64) *Plot {
	low, high := r.Plot.Band(q)
	width := r.Plot.Width / 60
	for len(low) > mostDrawn {
		low, high, width = halved(low, math.Min), halved(high, math.Max), 2*width
	}
	plot := &Plot{X: Axis{Label: "time", Unit: "min", Digits: 1}, Cross: logCross, Say: "After", Start: r.Seconds / 120}
	least, most := make([]XY, len(low)), make([]XY, len(low))
	some := false
	for i := range low {
		at := (float64(i) + 0.5) * width
		least[i], most[i] = XY{at, low[i] * scale}, XY{at, high[i] * scale}
		some = some || !math.IsNaN(low[i])
	}
	if !some {
		return nil
	}
	plot.X.fit(0, r.Seconds/60)
	plot.Bands = shade("from lowest to highest", least, most)
	plot.Data = []Series{{"lowest", " at the least", least}, {"highest", " at the most", most}}
	return plot
}

// halved joins pieces by twos; one that has no figure leaves the other's.
func halved(list []float64, of func(x, y float64) float64) []float64 {
	out := make([]float64, 0, len(list)/2+1)
	for i := 0; i < len(list); i += 2 {
		v := list[i]
		if i+1 < len(list) {
			switch w := list[i+1]; {
			case math.IsNaN(v):
				v = w
			case !math.IsNaN(w):
				v = of(v, w)
			}
		}
		out = append(out, v)
	}
	return out
}

// shade makes the area between two curves, in as many parts as their gaps leave.
func shade(name string, low, high []XY) (list []Band) {
	from := -1
	for i := 0; i <= len(low); i++ {
		if gap := i == len(low) || math.IsNaN(low[i].Y); gap && from >= 0 {
			list = append(list, Band{Name: name, Style: "log", Lower: low[from:i], Upper: high[from:i]})
			name, from = "", -1
		} else if !gap && from < 0 {
			from = i
		}
	}
	return list
}

// dutyRidden holds the duty that was read at each speed against the plan's; nil where none was.
func (p *Planner) dutyRidden(r *ridelog.Ride) *Plot {
	if len(r.Speed) < 2 {
		return nil
	}
	plot := &Plot{ID: "log-model", Title: "Duty against speed, ridden and planned", X: Axis{Label: "speed", Unit: "km/h", In: p.Units.of("km/h")},
		Y: Axis{Label: "duty", Unit: "%", In: p.Units.of("%")}, Cross: "speed", Say: "At", Start: p.Report.Ride.SpeedKmh}
	low, middle, high := make([]XY, len(r.Speed)), make([]XY, len(r.Speed)), make([]XY, len(r.Speed))
	for i, d := range r.Speed {
		v := d.Speed * 3.6
		low[i], middle[i], high[i] = XY{v, d.Low * 100}, XY{v, d.Middle * 100}, XY{v, d.High * 100}
	}
	plot.X.fit(0, math.Max(p.Report.Speed.FreeSpinWeakenedKmh, middle[len(middle)-1].X))
	plot.Y.Lo, plot.Y.Hi = 0, 100
	plot.Bands = shade("ridden, eight of ten readings", low, high)
	plot.Lines = []Line{{Name: "ridden, middle", End: "ridden", Style: "log", Points: middle}}
	plot.Data = []Series{{"ridden", " ridden", middle}, {"ridden, a tenth below", "", low}, {"ridden, a tenth above", "", high}}
	for _, l := range []level{levels[0], levels[2]} {
		points := xys(l.points(&p.Report), func(q *core.Point) (float64, *float64) {
			if q.Duty == nil {
				return q.SpeedKmh, nil
			}
			v := *q.Duty * 100
			return q.SpeedKmh, &v
		})
		plot.Lines = append(plot.Lines, Line{Name: "planned on level ground, " + l.name, End: l.style, Style: l.style, Points: points})
		plot.Data = append(plot.Data, Series{Name: "planned, " + l.name, After: " planned at " + l.name, Points: points})
	}
	plot.Words = plot.sentence(plot.Start)
	return plot
}
