package ui

import (
	"math"
	"strconv"
	"strings"

	"headroom/core/boxes"
)

const boxesID = "out-boxes"

// BoxesView draws where every cell lies. Hundreds of cells take time to draw, so it draws only while it is open.
type BoxesView struct {
	P        *Planner
	drawings []boxes.Drawing
}

// Compute is called by vugu before each build.
func (c *BoxesView) Compute() {
	c.drawings = c.drawings[:0]
	if c.P.IsOpen(boxesID) {
		c.lay()
	}
}

// lay finds every cell's place.
func (c *BoxesView) lay() {
	parts := c.P.Build.Parts()
	for i := range 2 {
		if d := boxes.Layout(&c.P.Build, &parts, i); len(d.Cells) > 0 {
			c.drawings = append(c.drawings, d)
		}
	}
}

// CellLayer draws one layer of a box.
type CellLayer struct {
	V        *BoxesView
	I, Layer int
}

func (c *BoxesView) report(name string) *boxes.Box {
	if name == c.P.Report.Boxes.Main.Name {
		return &c.P.Report.Boxes.Main
	}
	return &c.P.Report.Boxes.Second
}

func (c *BoxesView) brief() string {
	main, second := &c.P.Report.Boxes.Main, &c.P.Report.Boxes.Second
	text := strconv.Itoa(main.Cells) + " cells in one box"
	if second.Cells != 0 {
		text = strconv.Itoa(main.Cells) + " + " + strconv.Itoa(second.Cells) + " cells"
	}
	if out := max(0, -main.Left) + max(0, -second.Left); out != 0 {
		return strconv.Itoa(out) + " do not fit · " + text
	}
	return text
}

func (c *BoxesView) title(i int) string { return upperFirst(c.drawings[i].Name) + " box" }

func (c *BoxesView) fit(i int) string { return c.report(c.drawings[i].Name).Text }

func (c *BoxesView) layers(i int) []struct{} { return make([]struct{}, c.drawnLayers(i)) }

func (c *BoxesView) layerName(i, layer int) string {
	d := &c.drawings[i]
	seen := map[string]string{"side": "seen from the side, wheel on the left", "above": "seen from above, wheel on the left", "end": "seen from the end"}[d.View]
	if d.Layers == 1 {
		return upperFirst(seen)
	}
	return "Layer " + strconv.Itoa(layer+1) + " of " + strconv.Itoa(d.Layers) + ", " + seen
}

// mm writes meters as millimeters, the drawing's unit.
func mm(meters float64) string { return coord(1000 * meters) }

// mostBeyond is how many columns of cells that do not fit are drawn, or layers where a box is seen from the end. Any number of them would
// make the box itself a strip too thin to read.
const mostBeyond = 2

// drawn tells which cells are.
func (c *BoxesView) drawn(i int) func(p *boxes.Place) bool {
	d := &c.drawings[i]
	if d.View == "end" {
		layers := c.drawnLayers(i)
		return func(p *boxes.Place) bool { return p.Layer <= layers }
	}
	first := math.Inf(1)
	for k := range d.Cells {
		if p := &d.Cells[k]; p.X < first && c.beyond(i, p) {
			first = p.X
		}
	}
	return func(p *boxes.Place) bool { return p.X < first+mostBeyond*d.Pitch-1e-9 }
}

func (c *BoxesView) drawnLayers(i int) int {
	d, b := &c.drawings[i], c.report(c.drawings[i].Name)
	if d.View == "end" && b.LengthGiven {
		return min(d.Layers, b.Layers+mostBeyond)
	}
	return d.Layers
}

// more says how many cells are not drawn; "" where all are.
func (c *BoxesView) more(i int) string {
	n, drawn := 0, c.drawn(i)
	for k := range c.drawings[i].Cells {
		if !drawn(&c.drawings[i].Cells[k]) {
			n++
		}
	}
	switch n {
	case 0:
		return ""
	case 1:
		return "1 more does not fit and is not drawn."
	}
	return strconv.Itoa(n) + " more do not fit and are not drawn."
}

// box is as wide as the inside and as whatever is drawn beyond it.
func (c *BoxesView) box(i int) string {
	d, drawn := &c.drawings[i], c.drawn(i)
	w, h := d.InnerX, d.InnerY
	for _, p := range d.Cells {
		if !drawn(&p) {
			continue
		}
		w, h = math.Max(w, p.X+d.Pitch/2), math.Max(h, p.Y+d.Pitch/2)
	}
	return "-2 -2 " + coord(1000*w+4) + " " + coord(1000*h+4)
}

// wall is the inner side of the far wall in m, before it the room kept for BMS and leads; ok is false where that lies behind the cells.
func (c *BoxesView) wall(i int) (from, to float64, ok bool) {
	d := &c.drawings[i]
	return math.Max(0, d.InnerX-c.P.Build.BoxRoom), d.InnerX, d.View != "end" && d.InnerX > 0 && c.P.Build.BoxRoom > 0
}

// hatchStep is how far apart the strokes of a hatch are, in mm.
const hatchStep = 6.0

// room hatches what is kept for BMS and leads.
func (c *BoxesView) room(i int) string {
	from, to, ok := c.wall(i)
	if !ok {
		return ""
	}
	from, to, high := 1000*from, 1000*to, 1000*c.drawings[i].InnerY
	var s strings.Builder
	s.WriteString("M" + coord(from) + " 0V" + coord(high))
	for x := from - high + hatchStep; x < to; x += hatchStep { // each rises from the floor at x, as far to the right as up
		a, b := math.Max(x, from), math.Min(x+high, to)
		s.WriteString("M" + coord(a) + " " + coord(high-a+x) + "L" + coord(b) + " " + coord(high-b+x))
	}
	return s.String()
}

// beyond says whether a cell does not fit: it would lie in the room kept, in the lining before it or past the wall.
func (c *BoxesView) beyond(i int, p *boxes.Place) bool {
	d, b := &c.drawings[i], c.report(c.drawings[i].Name)
	if !b.LengthGiven {
		return false
	}
	if d.View == "end" {
		return p.Layer > b.Layers
	}
	return p.X+d.Pitch/2 > d.InnerX-c.P.Build.BoxRoom-c.P.Build.Lining+1e-9
}

type drawnCell struct{ Class, X, Y, R, PoleY, GroupY, Pole, Group string }

func (c *BoxesView) cells(i, layer int) []drawnCell {
	d, drawn := &c.drawings[i], c.drawn(i)
	var list []drawnCell
	for _, p := range d.Cells {
		if p.Layer != layer+1 || !drawn(&p) {
			continue
		}
		x, y := 1000*p.X, 1000*(d.InnerY-p.Y) // y grows upward in the box
		cell := drawnCell{Class: "cell", X: coord(x), Y: coord(y), R: coord(500*d.Diameter - 0.4), PoleY: coord(y - 1), GroupY: coord(y + 6.5), Pole: "−", Group: strconv.Itoa(p.Group)}
		if p.Plus {
			cell.Class, cell.Pole = "cell plus", "+"
		}
		if p.Group%2 == 0 {
			cell.Class += " even"
		}
		if c.beyond(i, &p) {
			cell.Class += " beyond"
		}
		list = append(list, cell)
	}
	return list
}

// due are bars between the cells of one layer that need more insulation.
func (c *BoxesView) due(i, layer int) string {
	d, drawn := &c.drawings[i], c.drawn(i)
	var s strings.Builder
	for _, t := range d.Due {
		a, b := &d.Cells[t.A], &d.Cells[t.B]
		if a.Layer != layer+1 || b.Layer != layer+1 || !drawn(a) || !drawn(b) {
			continue
		}
		// Across the line between the centers, at its middle.
		mx, my := 500*(a.X+b.X), 1000*d.InnerY-500*(a.Y+b.Y)
		dx, dy := 1000*(b.X-a.X), -1000*(b.Y-a.Y)
		size := math.Hypot(dx, dy)
		px, py := -dy/size*5, dx/size*5
		s.WriteString("M" + coord(mx-px) + " " + coord(my-py) + "L" + coord(mx+px) + " " + coord(my+py))
	}
	return s.String()
}

func (c *BoxesView) words(i, layer int) string {
	d, drawn := &c.drawings[i], c.drawn(i)
	text := c.title(i) + ", " + c.layerName(i, layer) + ": groups"
	last, out := 0, 0
	for k := range d.Cells {
		p := &d.Cells[k]
		if p.Layer != layer+1 || !drawn(p) {
			continue
		}
		if p.Group != last {
			last = p.Group
			text += " " + strconv.Itoa(p.Group)
		}
		if c.beyond(i, p) {
			out++
		}
	}
	if out != 0 {
		text += "; " + strconv.Itoa(out) + " of these cells do not fit"
	}
	if _, _, ok := c.wall(i); ok {
		text += "; the hatched end is kept for BMS and leads"
	}
	return text + "."
}
