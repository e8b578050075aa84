package ui

import (
	"headroom/core"
)

// FigureTables shows plots in figures.
type FigureTables struct{ List []curveTable }

// curveTable is a plot in figures.
type curveTable struct {
	Title string
	Head  []string
	Rows  []curveRow
}

// curveRow is one speed, distance or time.
type curveRow struct {
	At     string
	Cells  []string
	Words  string
	Status string // of the reserve at low charge: tight below the wanted one, over where nothing is left
}

// most is how many rows a table has at most; the file has all.
const most = 13

func (c *CurvesBody) tables() []curveTable {
	if !c.C.tabular() {
		return nil
	}
	var list []curveTable
	for _, p := range c.plots {
		list = append(list, p.table())
	}
	switch curveCards[c.C.Index].id {
	case "torque":
		list = append(list, c.C.reserves())
	case "range":
		list = append(list, c.C.ranges())
	}
	return list
}

// table is what can be read off the plot, at the points of its first series.
func (p *Plot) table() curveTable {
	t := curveTable{Title: p.Title + ", " + p.Y.shown().name, Head: []string{p.X.shown().name}}
	first := p.Data[0].Points
	step := (len(first) + most - 1) / most
	for i := 0; i < len(first); i += step {
		r := curveRow{At: p.place(first[i].X)}
		for k := range p.Data {
			s := &p.Data[k]
			if s.After == "" {
				continue
			}
			if i == 0 {
				t.Head = append(t.Head, s.Name)
			}
			cell := "–"
			if y, ok := valueAt(s.Points, first[i].X); ok {
				cell = p.Y.figure(y, p.Y.Digits)
			}
			r.Cells = append(r.Cells, cell)
		}
		t.Rows = append(t.Rows, r)
	}
	return t
}

// reserves lists the low-charge speeds of the envelope, every third one, with the reserve at the same speed at the other charges: each
// charge has its own speeds, so the reserve between two of them is interpolated.
func (c *Curves) reserves() curveTable {
	t := curveTable{Title: "Balance reserve left, " + c.P.Units.of("mm").name, Head: []string{c.P.Units.of("km/h").name, "full", "half", "low", "set by, low"}}
	e := &c.P.Report.Envelope
	want := c.P.Build.Shift * 1e3
	for i := 0; i < len(e.Low); i += 3 {
		low := e.Low[i]
		r := curveRow{At: c.figure(low.SpeedKmh, "km/h", 0), Words: low.BoundBy}
		for _, mm := range [3]float64{shiftAt(e.Full, low.SpeedKmh), shiftAt(e.Half, low.SpeedKmh), low.ShiftMm} {
			r.Cells = append(r.Cells, c.figure(mm, "mm", 0))
		}
		switch {
		case low.ReserveNm <= 0:
			r.Status = "over"
		case low.ShiftMm < want:
			r.Status = "tight"
		}
		if r.Status != "" {
			r.Words = r.Status + ": " + r.Words
		}
		t.Rows = append(t.Rows, r)
	}
	return t
}

func (c *Curves) ranges() curveTable {
	of := &c.P.Units
	t := curveTable{Title: "What it uses, and what ends the ride", Head: []string{of.of("km/h").name, of.of("km").name, of.of("Wh/km").name, "ends by"}}
	for _, s := range c.P.Report.Range.BySpeed {
		r := curveRow{At: c.figure(s.SpeedKmh, "km/h", 0), Words: s.StoppedBy, Cells: []string{"–", "–"}}
		if s.Km != nil {
			r.Cells[0] = c.figure(*s.Km, "km", 0)
		}
		if s.WhPerKm != nil {
			r.Cells[1] = c.figure(*s.WhPerKm, "Wh/km", 1)
		}
		t.Rows = append(t.Rows, r)
	}
	return t
}

func (c *Curves) figure(v float64, unit string, digits int) string {
	s, _ := c.P.Units.Figure(v, unit, digits)
	return s
}

// shiftAt is the reserve at a speed between the points of an envelope.
func shiftAt(points []core.Point, kmh float64) float64 {
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		if kmh <= b.SpeedKmh && b.SpeedKmh > a.SpeedKmh {
			return a.ShiftMm + (b.ShiftMm-a.ShiftMm)*(kmh-a.SpeedKmh)/(b.SpeedKmh-a.SpeedKmh)
		}
	}
	if len(points) == 0 {
		return 0
	}
	return points[len(points)-1].ShiftMm
}
