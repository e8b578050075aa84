package ui

import (
	"math"

	"headroom/core"
	"headroom/core/charge"
)

// ridePlots are volts and balance reserve over the ride's distance: two plots, since two scales in one mislead. There are none where
// the ride takes no charge, or ends as it begins.
func (c *Curves) ridePlots(reports ...*core.Report) []*Plot {
	along := reports[0].Along()
	if len(along) < 2 {
		return nil
	}
	others := make([][]core.AlongPoint, 0, len(reports))
	far := along[len(along)-1].Km
	for _, r := range reports[1:] {
		if a := r.Along(); len(a) > 1 {
			others = append(others, a)
			far = math.Max(far, a[len(a)-1].Km)
		}
	}
	overRide := func(id, title string) *Plot {
		p := &Plot{ID: id, Title: title, X: c.axis("distance", "km", 1), Cross: "ride", Say: "After", Start: along[len(along)-1].Km / 2}
		p.X.fit(0, far)
		return p
	}
	rest := func(a *core.AlongPoint) (float64, *float64) { return a.Km, &a.RestV }
	bus := func(a *core.AlongPoint) (float64, *float64) { return a.Km, a.BusV }
	shift := func(a *core.AlongPoint) (float64, *float64) { return a.Km, &a.ShiftMm }

	volts := overRide("volts", "Battery voltage along the ride")
	volts.Y = c.axis("voltage", "V", 1)
	volts.Lines = []Line{
		{Name: "at rest", End: "rest", Style: "rest", Points: xys(along, rest)},
		{Name: "under the ride's hardest moment", End: "loaded", Style: "low", Points: xys(along, bus)},
	}
	volts.Data = []Series{
		{"at rest", " at rest", volts.Lines[0].Points}, {"loaded", " loaded", volts.Lines[1].Points},
	}
	cutoff := c.P.parts.CutoffV
	volts.Marks = []Mark{{Name: "low-voltage cut-off " + decimal(cutoff, 1) + " V", Style: "limit", Y: cutoff, Across: true, Left: true}}
	lo, hi := cutoff, cutoff
	for _, a := range others {
		volts.Lines = append(volts.Lines, Line{Name: "pinned build, loaded", Style: "pinned", Points: xys(a, bus)})
	}
	for _, l := range volts.Lines {
		inFrame(&lo, &hi, l.Points)
	}
	volts.Y.fit(lo, hi)
	volts.Words = volts.sentence(far)

	left := overRide("reserve", "Balance reserve along the ride")
	left.Y = c.axis("reserve", "mm", 0)
	left.Lines = []Line{{Name: "left at the ride's hardest moment", Style: "low", Points: xys(along, shift)}}
	left.Data = []Series{{"reserve", " left at the hardest moment", left.Lines[0].Points}}
	want := c.P.Build.Shift * 1e3
	left.Marks = []Mark{{Name: "wanted " + c.figure(want, "mm", 0) + " " + c.P.Units.of("mm").name, Style: "want", Y: want, Across: true, Left: true}}
	left.Bands = []Band{{Name: "to keep in reserve", Style: "load", Lower: []XY{{0, 0}, {far, 0}}, Upper: []XY{{0, want}, {far, want}}}}
	for _, a := range others {
		left.Lines = append(left.Lines, Line{Name: "pinned build", Style: "pinned", Points: xys(a, shift)})
	}
	lo, hi = 0, want
	for _, l := range left.Lines {
		inFrame(&lo, &hi, l.Points)
	}
	left.Y.fit(lo, hi)
	left.Words = left.sentence(far)
	return []*Plot{volts, left}
}

// chargePlots are current and volts over one charge.
func (c *Curves) chargePlots(reports ...*core.Report) []*Plot {
	course := reports[0].Charging()
	if len(course) < 2 {
		return nil
	}
	end := course[len(course)-1].Minutes
	amps := func(q *charge.Point) (float64, *float64) { return q.Minutes, &q.A }
	volts := func(q *charge.Point) (float64, *float64) { return q.Minutes, &q.V }
	over := func(id, title, label, unit, style string, at func(*charge.Point) (float64, *float64)) *Plot {
		p := &Plot{ID: id, Title: title, X: c.axis("time", "min", 0), Y: c.axis(label, unit, 1), Cross: "charge", Say: "After", Start: end / 2}
		p.X.fit(0, end)
		points := xys(course, at)
		p.Lines = []Line{{Name: label, Style: style, Points: points}}
		p.Data = []Series{{label, "", points}}
		lo, hi := points[0].Y, points[0].Y
		if id == "charge-amps" {
			lo = 0
		}
		for _, r := range reports[1:] {
			p.Lines = append(p.Lines, Line{Name: "pinned build", Style: "pinned", Points: xys(r.Charging(), at)})
		}
		for _, l := range p.Lines {
			inFrame(&lo, &hi, l.Points)
		}
		p.Y.fit(lo, hi)
		p.Data[0].After = " into the pack"
		p.Words = p.sentence(p.Start)
		return p
	}
	voltage := over("charge-volts", "Charging voltage", "voltage", "V", "low", volts)
	voltage.Data[0].After = " at the pack"
	voltage.Words = voltage.sentence(voltage.Start)
	return []*Plot{over("charge-amps", "Charging current", "current", "A", "low", amps), voltage}
}
