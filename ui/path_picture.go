package ui

import (
	"math"
	"strings"

	"headroom/core/protect"
)

// PathPicture draws the parts that the current passes, from the cells to the motor, two in a row and turning at each end.
type PathPicture struct{ P *Planner }

const (
	nodeWidth, nodeHeight = 158.0, 42.0
	nodeRight             = 194.0 // left edge of the second one
	nodeStep              = 58.0  // from row to row
)

func (c *PathPicture) row(i int) *protect.Row { return &c.P.Report.Protection.Rows[i] }

func (c *PathPicture) count() int { return len(c.P.Report.Protection.Rows) }

func (c *PathPicture) box() string {
	rows := (c.count() + 1) / 2
	return "0 0 360 " + coord(float64(rows)*nodeStep-nodeStep+nodeHeight+8)
}

// at is the upper left corner of a node.
func (c *PathPicture) at(i int) (x, y float64) {
	x, y = 4, 4+float64(i/2)*nodeStep
	if (i%2 == 1) != (i/2%2 == 1) { // every second row runs back
		x = nodeRight + 4
	}
	return x, y
}

func (c *PathPicture) x(i int) string     { x, _ := c.at(i); return coord(x) }
func (c *PathPicture) y(i int) string     { _, y := c.at(i); return coord(y) }
func (c *PathPicture) inX(i int) string   { x, _ := c.at(i); return coord(x + 8) }
func (c *PathPicture) endX(i int) string  { x, _ := c.at(i); return coord(x + nodeWidth - 8) }
func (c *PathPicture) barY(i int) string  { _, y := c.at(i); return coord(y + 28) }
func (c *PathPicture) nameY(i int) string { _, y := c.at(i); return coord(y + 17) }

func (c *PathPicture) used(i int) string {
	return coord(142 * math.Min(1, math.Max(0, 1-c.row(i).MarginPct/100)))
}

func (c *PathPicture) name(i int) string { return upperFirst(c.row(i).Part) }

func (c *PathPicture) margin(i int) string { return decimal(c.row(i).MarginPct, 0) + " %" }

// shape stands on the node's corner.
func (c *PathPicture) shape(i int) string {
	x, y := c.at(i)
	return shapeAt(c.row(i).Status, x+nodeWidth-5, y-5)
}

// links are the wires between neighbours.
func (c *PathPicture) links() []struct{} { return make([]struct{}, c.count()-1) }

// wire tells battery leads, drawn double, from the three phase leads.
func (c *PathPicture) wire(i int) string {
	if c.row(i).Unit == protect.UnitDC && c.row(i+1).Unit == protect.UnitDC {
		return "wire two"
	}
	return "wire three"
}

func (c *PathPicture) link(i int) string {
	x0, y0 := c.at(i)
	x1, y1 := c.at(i + 1)
	offsets := []float64{-3, 3}
	if c.wire(i) == "wire three" {
		offsets = []float64{-5, 0, 5}
	}
	var d strings.Builder
	for _, o := range offsets {
		if y0 == y1 {
			d.WriteString("M" + coord(math.Min(x0, x1)+nodeWidth) + " " + coord(y0+nodeHeight/2+o) + "H" + coord(math.Max(x0, x1)))
			continue
		}
		d.WriteString("M" + coord(x0+nodeWidth/2+o) + " " + coord(y0+nodeHeight) + "V" + coord(y1))
	}
	return d.String()
}

func (c *PathPicture) words() string {
	var s strings.Builder
	s.WriteString("From the cells to the motor:")
	for i := range c.P.Report.Protection.Rows {
		s.WriteString(" " + c.row(i).Part + " " + c.margin(i) + " spare, " + string(c.row(i).Status) + ";")
	}
	return strings.TrimSuffix(s.String(), ";") + "."
}
