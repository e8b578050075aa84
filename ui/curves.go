package ui

import "headroom/core"

// Curves is what the report knows speed by speed, as tables.
type Curves struct{ P *Planner }

// curveRow is one speed.
type curveRow struct {
	Speed  string
	Cells  []string
	Words  string
	Status string // of the reserve at low charge: tight below the wanted one, over where nothing is left
}

func (c *Curves) id() string        { return "out-curves" }
func (c *Curves) speedUnit() string { return c.P.Units.of("km/h").name }
func (c *Curves) rangeUnit() string { return c.P.Units.of("km").name }
func (c *Curves) useUnit() string   { return c.P.Units.of("Wh/km").name }

func (c *Curves) reserveHelp() string {
	return "In " + c.P.Units.of("mm").name + ", up to the free-spin speed at low charge. Below zero the motor cannot even hold the speed."
}

// reserves lists the low-charge speeds of the envelope, every third one, with the reserve at the nearest speed of the other charges:
// each charge has its own speeds, so the reserve between two of them is interpolated.
func (c *Curves) reserves() []curveRow {
	e := &c.P.Report.Envelope
	want := c.P.Build.Shift * 1e3
	var rows []curveRow
	for i := 0; i < len(e.Low); i += 3 {
		low := e.Low[i]
		r := curveRow{Speed: c.figure(low.SpeedKmh, "km/h", 0), Words: low.BoundBy}
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
		rows = append(rows, r)
	}
	return rows
}

func (c *Curves) ranges() []curveRow {
	var rows []curveRow
	for _, s := range c.P.Report.Range.BySpeed {
		r := curveRow{Speed: c.figure(s.SpeedKmh, "km/h", 0), Words: s.StoppedBy, Cells: []string{"–", "–"}}
		if s.Km != nil {
			r.Cells[0] = c.figure(*s.Km, "km", 0)
		}
		if s.WhPerKm != nil {
			r.Cells[1] = c.figure(*s.WhPerKm, "Wh/km", 1)
		}
		rows = append(rows, r)
	}
	return rows
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
