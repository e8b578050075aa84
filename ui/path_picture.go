package ui

import (
	"math"
	"strings"

	"github.com/vugu/vugu"

	"headroom/core/limit"
	"headroom/core/protect"
)

// PathPicture draws the parts that the current passes, from the cells to the motor, two in a row and turning at each end.
type PathPicture struct {
	P    *Planner
	kept kept[[14]node]
}

// short are names that would run into their figure in a box of the picture, by the part's.
var short = map[string]string{"leads between boxes": "box leads"}

// node is all that one part's box is made of.
type node struct {
	name, margin, used string
	status             limit.Status
	unit               string
}

// Build is called by vugu.
func (c *PathPicture) Build(in *vugu.BuildIn) *vugu.BuildOut {
	var of [14]node
	for i := range c.P.Report.Protection.Rows {
		r := &c.P.Report.Protection.Rows[i]
		of[i] = node{r.Part, decimal(r.MarginPct, 0) + " %", coord(142 * math.Min(1, math.Max(0, 1-r.MarginPct/100))), r.Status, r.Unit}
	}
	return c.kept.build(of, func() *vugu.BuildOut { return (&PathPictureBody{of[:len(c.P.Report.Protection.Rows)]}).Build(in) })
}

// PathPictureBody is what it shows.
type PathPictureBody struct{ rows []node }

const (
	nodeWidth, nodeHeight = 158.0, 42.0
	nodeRight             = 194.0 // left edge of the second one
	nodeStep              = 58.0  // from row to row
)

func (c *PathPictureBody) count() int { return len(c.rows) }

func (c *PathPictureBody) box() string {
	rows := (c.count() + 1) / 2
	return "0 -4 364 " + coord(float64(rows)*nodeStep-nodeStep+nodeHeight+12)
}

// at is the upper left corner of a node.
func (c *PathPictureBody) at(i int) (x, y float64) {
	x, y = 4, 4+float64(i/2)*nodeStep
	if (i%2 == 1) != (i/2%2 == 1) { // every second row runs back
		x = nodeRight + 4
	}
	return x, y
}

func (c *PathPictureBody) x(i int) string     { x, _ := c.at(i); return coord(x) }
func (c *PathPictureBody) y(i int) string     { _, y := c.at(i); return coord(y) }
func (c *PathPictureBody) inX(i int) string   { x, _ := c.at(i); return coord(x + 8) }
func (c *PathPictureBody) endX(i int) string  { x, _ := c.at(i); return coord(x + nodeWidth - 8) }
func (c *PathPictureBody) barY(i int) string  { _, y := c.at(i); return coord(y + 28) }
func (c *PathPictureBody) nameY(i int) string { _, y := c.at(i); return coord(y + 17) }

func (c *PathPictureBody) used(i int) string { return c.rows[i].used }

func (c *PathPictureBody) name(i int) string {
	if s, ok := short[c.rows[i].name]; ok {
		return upperFirst(s)
	}
	return upperFirst(c.rows[i].name)
}

func (c *PathPictureBody) margin(i int) string { return c.rows[i].margin }

// shape stands on the node's corner.
func (c *PathPictureBody) shape(i int) string {
	x, y := c.at(i)
	return shapeAt(c.rows[i].status, x+nodeWidth-5, y-5)
}

// links are the wires between neighbours.
func (c *PathPictureBody) links() []struct{} { return make([]struct{}, c.count()-1) }

// wire tells battery leads, drawn double, from the three phase leads.
func (c *PathPictureBody) wire(i int) string {
	if c.rows[i].unit == protect.UnitDC && c.rows[i+1].unit == protect.UnitDC {
		return "wire two"
	}
	return "wire three"
}

func (c *PathPictureBody) link(i int) string {
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

func (c *PathPictureBody) words() string {
	var s strings.Builder
	s.WriteString("From the cells to the motor:")
	for i := range c.rows {
		s.WriteString(" " + c.rows[i].name + " " + c.margin(i) + " spare, " + string(c.rows[i].status) + ";")
	}
	return strings.TrimSuffix(s.String(), ";") + "."
}
