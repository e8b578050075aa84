package ui

import (
	"math"

	"headroom/core/balance"
)

const sideID = "out-side"

// SideView draws the board from its right side, nose to the right, and lists where its mass is.
type SideView struct {
	P    *Planner
	side balance.Side
}

// Compute is called by vugu before each build.
func (c *SideView) Compute() {
	parts := c.P.Build.Parts()
	c.side = balance.Outline(&c.P.Build, &parts, c.P.Report.Model.Tire.LoadedRadiusM)
}

// SideDrawing is the drawing alone.
type SideDrawing struct{ SideView }

func (c *SideView) unit(metric string) string { return c.P.Units.of(metric).name }

func (c *SideView) figure(v float64, unit string, digits int) string {
	s, _ := c.P.Units.Figure(v, unit, digits)
	return s
}

func (c *SideView) brief() string {
	kg, unit := c.P.Units.Figure(c.P.Report.Weight.BoardKg, "kg", 1)
	return "drops " + c.P.Report.Weight.Drops + " · " + kg + nbsp + unit
}

// reach is the half width of the drawing in mm.
func (c *SideView) reach() float64 {
	w := math.Max(c.side.Nose.X, -c.side.Tail.X)
	for _, b := range c.side.Boxes {
		w = math.Max(w, math.Max(b.X1, -b.X0))
	}
	return w + 20
}

func (c *SideView) box() string {
	top := c.side.WheelMm + 10
	return coord(-c.reach()) + " " + coord(-top) + " " + coord(2*c.reach()) + " " + coord(top-c.side.GroundMm+12)
}

func (c *SideView) ground() string {
	return "M" + coord(-c.reach()) + " " + coord(-c.side.GroundMm) + "H" + coord(c.reach())
}

func (c *SideView) rails() string {
	a, b := c.side.Rails[0], c.side.Rails[1]
	return "M" + coord(a.X) + " " + coord(-a.Z) + "L" + coord(b.X) + " " + coord(-b.Z)
}

// boxes are the insides that have any length.
func (c *SideView) boxes() []balance.Rect {
	var list []balance.Rect
	for _, b := range c.side.Boxes {
		if b.X1 > b.X0 {
			list = append(list, b)
		}
	}
	return list
}

func (c *SideView) pads() string {
	d := ""
	for _, p := range c.side.Pads {
		d += "M" + coord(p.X-60) + " " + coord(-p.Z) + "h120"
	}
	return d
}

// tips are the places of nose and tail that touch the ground first: triangles that point down.
func (c *SideView) tips() string {
	d := ""
	for _, p := range [2]balance.Point{c.side.Nose, c.side.Tail} {
		d += "M" + coord(p.X) + " " + coord(-p.Z+14) + "l-12-22h24z"
	}
	return d
}

func (c *SideView) center() string {
	x, y := coord(c.side.Center.X), coord(-c.side.Center.Z)
	return "M" + x + " " + y + "m0-11a11 11 0 0 1 0 22zm0 0a11 11 0 1 0 0 22m-11-11h22"
}

// stand points down to the height of the soles.
func (c *SideView) stand() string {
	return "M" + coord(c.side.Stand.X) + " " + coord(-c.side.Pads[0].Z-4) + "l-11-20h22z"
}

type label struct{ Class, X, Y, Text string }

// boardLetter is how wide a letter of the drawing's text is at most, in mm of the board.
const boardLetter = 19.0

// emptyWords says that nothing is in a box, in as much as its length in mm holds.
func emptyWords(length float64) string {
	for _, words := range []string{"no cells", "0s"} {
		if boardLetter*float64(len(words)) <= length {
			return words
		}
	}
	return ""
}

func (c *SideView) labels() []label {
	list := []label{{"end", coord(c.side.Nose.X - 20), coord(-c.side.Nose.Z + 50), "nose"}, {"end", coord(c.side.Tail.X + 16), coord(-c.side.Tail.Z + 50), "tail"}}
	for i, b := range c.side.Boxes {
		held := [2]int{c.P.Report.Boxes.Main.Groups, c.P.Report.Boxes.Second.Groups}[i]
		if b.X1 <= b.X0 {
			continue
		}
		text := shortest(float64(held), 0) + "s"
		if held == 0 {
			text = emptyWords(b.X1 - b.X0)
		}
		list = append(list, label{"held", coord((b.X0 + b.X1) / 2), coord(-(b.Z0+b.Z1)/2 + 10), text})
	}
	return list
}

func (c *SideView) words() string {
	w := &c.P.Report.Weight
	return "Side view of the board. The center of mass is " + c.figure(w.ForwardMm, "mm", 0) + " " + c.unit("mm") + " before and " + c.figure(w.UpMm, "mm", 0) + " " + c.unit("mm") + " above the axle. " + w.Text
}

func (c *SideView) parts() [][4]string {
	var list [][4]string
	for _, p := range c.P.Report.Weight.Parts {
		if p.Kg > 0 {
			list = append(list, [4]string{p.Part, c.figure(p.Kg, "kg", 2), c.figure(p.XMm, "mm", 0), c.figure(p.ZMm, "mm", 0)})
		}
	}
	return list
}

func (c *SideView) compare() [][3]string {
	var list [][3]string
	for i, v := range [2]balance.Variant{c.P.Report.Weight.Compare.OneBox, c.P.Report.Weight.Compare.TwoBoxes} {
		name := [2]string{"one box", "two boxes"}[i]
		if !v.Fits {
			name += " (do not fit)"
		}
		list = append(list, [3]string{name, c.figure(v.ForwardMm, "mm", 0), c.figure(v.TrimMm, "mm", 0)})
	}
	return list
}
