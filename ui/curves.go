package ui

import (
	"math"

	"github.com/vugu/vugu"

	"headroom/core"
)

// curveCards are the folded cards of charts, in the page's order. A chart is made only while its card is open.
var curveCards = []struct {
	id, title string
	plots     func(*Curves) []*Plot
}{
	{"torque", "Torque left", func(c *Curves) []*Plot { return []*Plot{c.torquePlot(c.reports()...)} }},
	{"duty", "Duty", func(c *Curves) []*Plot { return []*Plot{c.dutyPlot(c.reports()...)} }},
	{"range", "Range at other speeds", func(c *Curves) []*Plot { return []*Plot{c.rangePlot(c.reports()...)} }},
	{"ride", "Along the ride", func(c *Curves) []*Plot { return c.ridePlots(c.reports()...) }},
	{"charge", "While it charges", func(c *Curves) []*Plot { return c.chargePlots(c.reports()...) }},
}

// curveIDs are their names.
var curveIDs = func() (list []string) {
	for i := range curveCards {
		list = append(list, "out-"+curveCards[i].id)
	}
	return list
}()

// reports are that of the build and that of the pinned one, if any.
func (c *Curves) reports() []*core.Report {
	list := []*core.Report{&c.P.Report}
	if pinned := c.P.PinnedReport(); pinned != nil {
		list = append(list, pinned)
	}
	return list
}

// Curves is one of those cards.
type Curves struct {
	P     *Planner
	Index int
	kept  kept[curvesOf]
}

// curvesOf is all that a card is made of.
type curvesOf struct {
	plans         int
	pinned        *core.Report
	units         Units
	index         int
	open, tabular bool
	at            float64
	moved         bool
}

// Build is called by vugu.
func (c *Curves) Build(in *vugu.BuildIn) *vugu.BuildOut {
	of := curvesOf{plans: c.P.plans, pinned: c.P.PinnedReport(), units: c.P.Units, index: c.Index, open: c.open(), tabular: c.tabular()}
	var plots []*Plot
	if of.open {
		plots = c.plots()
		for _, p := range plots {
			of.at, of.moved = c.P.charts.at[p.Cross] // the plots of a card are read at one place
		}
	}
	return c.kept.build(of, func() *vugu.BuildOut { return (&CurvesBody{c.P, c, plots}).Build(in) })
}

// CurvesBody is what it shows.
type CurvesBody struct {
	P     *Planner
	C     *Curves
	plots []*Plot
}

func (c *CurvesBody) title() string { return curveCards[c.C.Index].title }

func (c *Curves) id() string      { return curveIDs[c.Index] }
func (c *Curves) tableID() string { return c.id() + "-table" }
func (c *Curves) open() bool      { return c.P.IsOpen(c.id()) }
func (c *Curves) tabular() bool   { return c.P.IsOpen(c.tableID()) }

// plots are made once for each plan, and not at all while nobody looks.
func (c *Curves) plots() []*Plot {
	k := &c.P.charts
	if pinned := c.P.PinnedReport(); k.plots == nil || k.plan != c.P.plans || k.pinned != pinned || k.units != c.P.Units {
		k.plots, k.plan, k.pinned, k.units = map[string][]*Plot{}, c.P.plans, pinned, c.P.Units
	}
	if k.plots[c.id()] == nil {
		k.plots[c.id()] = curveCards[c.Index].plots(c)
	}
	return k.plots[c.id()]
}

func (c *Curves) axis(label, unit string, digits int) Axis {
	return Axis{Label: label, Unit: unit, Digits: digits, In: c.P.Units.of(unit)}
}

// xys takes a curve out of a list; where there is no figure the curve has a gap.
func xys[T any](list []T, at func(*T) (x float64, y *float64)) []XY {
	out := make([]XY, len(list))
	for i := range list {
		x, y := at(&list[i])
		out[i] = XY{x, math.NaN()}
		if y != nil {
			out[i].Y = *y
		}
	}
	return out
}

// level is one of the three charges of the envelope.
type level struct {
	name, style string
	points      func(*core.Report) []core.Point
}

var levels = [3]level{
	{"full", "full", func(r *core.Report) []core.Point { return r.Envelope.Full }},
	{"half", "half", func(r *core.Report) []core.Point { return r.Envelope.Half }},
	{"low charge", "low", func(r *core.Report) []core.Point { return r.Envelope.Low }},
}

// bySpeed begins a plot over speed, with the speeds to look at in it. The reports after the first are drawn quietly beside it.
func (c *Curves) bySpeed(id, title string, reports []*core.Report) *Plot {
	r := reports[0]
	p := &Plot{ID: id, Title: title, X: c.axis("speed", "km/h", 0), Cross: "speed", Say: "At", Start: r.Ride.SpeedKmh}
	top := r.Ride.SpeedKmh
	for _, r := range reports {
		top = math.Max(top, r.Speed.FreeSpinWeakenedKmh)
	}
	p.X.fit(0, top)
	ceiling := r.Speed.CruiseCeilingKmh.Low
	p.Marks = []Mark{
		{Name: "riding " + p.place(r.Ride.SpeedKmh), Style: "riding", X: r.Ride.SpeedKmh},
		{Name: "ceiling " + p.place(ceiling), Style: "ceiling", X: ceiling},
	}
	return p
}

// torquePlot echoes the bars: what riding takes is filled, what is left under the limit is open.
func (c *Curves) torquePlot(reports ...*core.Report) *Plot {
	p := c.bySpeed("torque", "Torque left against speed", reports)
	p.Y = c.axis("torque", "N·m", 0)
	r := reports[0]
	load := func(q *core.Point) (float64, *float64) { return q.SpeedKmh, &q.LoadTorque }
	taken := xys(r.Envelope.Full, load)
	ground, wanted := make([]XY, len(taken)), make([]XY, len(taken))
	want := r.WantedNm()
	for i, q := range taken {
		ground[i], wanted[i] = XY{q.X, 0}, XY{q.X, q.Y + want}
	}
	p.Bands = []Band{{Name: "taken by level riding", Style: "load", Lower: ground, Upper: taken}}
	for _, l := range levels {
		most := xys(l.points(r), func(q *core.Point) (float64, *float64) { return q.SpeedKmh, &q.TorqueMax })
		left := xys(l.points(r), func(q *core.Point) (float64, *float64) { return q.SpeedKmh, &q.ReserveNm })
		p.Lines = append(p.Lines, Line{Name: "most torque, " + l.name, End: l.style, Style: l.style, Points: most})
		after := " at " + l.name
		if l.style == "full" {
			after = " left at full"
		}
		p.Data = append(p.Data, Series{Name: "left, " + l.style, After: after, Points: left})
	}
	for _, l := range p.Lines {
		p.Data = append(p.Data, Series{Name: l.Name, Points: l.Points})
	}
	p.Data = append(p.Data, Series{Name: "taken by level riding", Points: taken}, Series{Name: "with the wanted reserve", Points: wanted})
	p.Lines = append(p.Lines, Line{Name: "with the wanted reserve of " + p.Y.figure(want, 0) + " " + p.Y.shown().name, Style: "want", Points: wanted})
	for _, other := range reports[1:] {
		p.Lines = append(p.Lines, Line{Name: "pinned build, low charge", Style: "pinned", Points: xys(other.Envelope.Low, func(q *core.Point) (float64, *float64) { return q.SpeedKmh, &q.TorqueMax })})
	}
	var lo, hi float64
	inFrame(&lo, &hi, taken)
	for _, l := range p.Lines {
		if l.Style != "want" { // it runs on where there is no torque to ask for
			inFrame(&lo, &hi, l.Points)
		}
	}
	if lo > -0.02*hi {
		lo = 0 // at free spin the iron's drag is left over; that is no reason for an axis below nothing
	}
	p.Y.fit(lo, hi)
	p.Lines[len(levels)].Points = below(wanted, p.Y.Hi)
	p.Words = "What level riding takes is filled, what is left is open. " + p.sentence(r.Ride.SpeedKmh)
	return p
}

// below leaves a gap where a curve would leave the plot.
func below(points []XY, top float64) []XY {
	out := append([]XY(nil), points...)
	for i := range out {
		if out[i].Y > top {
			out[i].Y = math.NaN()
		}
	}
	return out
}

func (c *Curves) dutyPlot(reports ...*core.Report) *Plot {
	p := c.bySpeed("duty", "Duty against speed", reports)
	p.Y = c.axis("duty", "%", 0)
	percent := func(q *core.Point) (float64, *float64) {
		if q.Duty == nil {
			return q.SpeedKmh, nil
		}
		v := *q.Duty * 100
		return q.SpeedKmh, &v
	}
	for _, l := range levels {
		points := xys(l.points(reports[0]), percent)
		p.Lines = append(p.Lines, Line{Name: l.name, End: l.style, Style: l.style, Points: points})
		p.Data = append(p.Data, Series{Name: l.name, After: " at " + l.name, Points: points})
	}
	p.Bands = []Band{{Name: "taken at low charge", Style: "load", Lower: floor(held(p.Lines[2].Points)), Upper: held(p.Lines[2].Points)}}
	for _, other := range reports[1:] {
		p.Lines = append(p.Lines, Line{Name: "pinned build, low charge", Style: "pinned", Points: xys(other.Envelope.Low, percent)})
	}
	b := &c.P.Build
	p.Marks = append(p.Marks,
		Mark{Name: "highest duty " + decimal(b.MaxDuty*100, 0) + " %", Style: "limit", Y: b.MaxDuty * 100, Across: true, Left: true},
		Mark{Name: "duty to stay under " + decimal(b.CruiseDuty*100, 0) + " %", Style: "want", Y: b.CruiseDuty * 100, Across: true, Left: true},
	)
	p.Marks[0].Raise, p.Marks[1].Raise = 11, 12 // above the foot, clear of the lines across
	p.Y.Lo, p.Y.Hi = 0, 100
	p.Words = p.sentence(reports[0].Ride.SpeedKmh)
	return p
}

// held drops a curve's gaps, floor is the line under it.
func held(points []XY) []XY {
	var out []XY
	for _, q := range points {
		if !math.IsNaN(q.Y) {
			out = append(out, q)
		}
	}
	return out
}

func floor(points []XY) []XY {
	out := make([]XY, len(points))
	for i, q := range points {
		out[i] = XY{q.X, 0}
	}
	return out
}

func (c *Curves) rangePlot(reports ...*core.Report) *Plot {
	p := c.bySpeed("range", "Range against steady speed", reports)
	p.Say = "At a steady"
	p.Y = c.axis("range", "km", 1)
	r := reports[0]
	far := func(s *core.RangeAtSpeed) (float64, *float64) { return s.SpeedKmh, s.Km }
	middle := xys(r.Range.BySpeed, far)
	band := r.RangeBand()
	low := xys(band, func(q *core.RangeBandPoint) (float64, *float64) { return q.SpeedKmh, q.LowKm })
	high := xys(band, func(q *core.RangeBandPoint) (float64, *float64) { return q.SpeedKmh, q.HighKm })
	p.Data = []Series{{"expected", " expected", middle}, {"at the least", " at the least", low}, {"at the most", " at the most", high}}
	p.Lines = []Line{{Name: "expected", Style: "low", Points: middle}}
	shade := Band{Name: "within what tire, air and weight leave uncertain", Style: "spread"}
	for i := range low {
		if !math.IsNaN(low[i].Y) && !math.IsNaN(high[i].Y) {
			shade.Lower, shade.Upper = append(shade.Lower, low[i]), append(shade.Upper, high[i])
		}
	}
	p.Bands = []Band{shade}
	for _, other := range reports[1:] {
		p.Lines = append(p.Lines, Line{Name: "pinned build", Style: "pinned", Points: xys(other.Range.BySpeed, far)})
	}
	var lo, hi float64
	inFrame(&lo, &hi, low, middle, high)
	for _, l := range p.Lines {
		inFrame(&lo, &hi, l.Points)
	}
	p.Y.fit(lo, hi)
	p.Words = p.sentence(r.Ride.SpeedKmh)
	return p
}

func (c *CurvesBody) none() string {
	if curveCards[c.C.Index].id == "charge" {
		return "There is nothing to charge: the pack already stands where the charge would end."
	}
	return "There is no ride to follow: it ends as it begins, or it takes no charge. The range says why."
}
