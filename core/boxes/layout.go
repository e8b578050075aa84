package boxes

import (
	"strconv"

	"headroom/core/build"
)

// Drawing is where every cell of one box lies, seen along the cells' axis.
type Drawing struct {
	Name      string  `json:"name"`
	View      string  `json:"view"`    // "side", "above" or "end"
	InnerX    float64 `json:"inner_x"` // m, inside of the box in the plane of the drawing: the length given or needed; from the end, the width
	InnerY    float64 `json:"inner_y"` // m
	Pitch     float64 `json:"pitch"`   // m
	Diameter  float64 `json:"diameter"`
	Layers    int     `json:"layers"`
	Cells     []Place `json:"cells"`             // in the order of the groups; none where not one cell fits
	WorstV    float64 `json:"worst_neighbour_v"` // most volts between the cans of two cells that touch, pack full
	WorstPair [2]int  `json:"worst_groups"`      // the groups of those two; 0, 0 where no groups touch
	Due       []Touch `json:"due"`               // touching cells more than one group apart
	Text      string  `json:"text"`              // one sentence
}

// Place is one cell. Its center is measured in m from the corner of the inside: x from the wall nearest to the wheel (seen from the end:
// from one side wall), y from the floor (seen from above: from one side wall).
type Place struct {
	Group    int     `json:"group"`    // 1 is the first of the pack
	Parallel int     `json:"parallel"` // 1…P
	Layer    int     `json:"layer"`    // 1 is nearest to the viewer
	X        float64 `json:"x"`
	Y        float64 `json:"y"`
	Plus     bool    `json:"plus"` // + toward the viewer; groups alternate, so that each link joins ends that lie side by side
}

// Touch is two cells that touch: their indices among Cells, and the volts between their cans, pack full.
type Touch struct {
	A int     `json:"a"`
	B int     `json:"b"`
	V float64 `json:"v"`
}

// spot is a place in the stack.
type spot struct{ column, row, layer int }

// Layout returns the drawing of box i (0 main, 1 second). The cells lie as short as they can from the wall nearest to the wheel, the same
// whatever length is given: where it is too short, the last of them lie beyond its wall. The room for BMS and leads is at the far end.
func Layout(b *build.Build, p *build.Parts, i int) Drawing {
	groups := Groups(b, p, i)
	first := 1 + i*(b.Series-groups) // the second box goes on where the main box ends
	s, _, _ := needed(b, p, &b.Box[i], groups*b.Parallel)
	length, _ := Inner(b, p, i, groups)
	out := Drawing{
		Name: names[i], View: "side", InnerX: length, InnerY: b.Box[i].Height,
		Pitch: pitch(p), Diameter: p.Cell.Diameter, Layers: s.layers,
	}
	switch b.Lay {
	case upright:
		out.View, out.InnerY = "above", b.Box[i].Width
	case along:
		out.View, out.InnerX = "end", b.Box[i].Width
	}
	spots := s.spots()
	// Where not one cell fits there are no spots.
	spots = spots[:min(len(spots), groups*b.Parallel)]
	out.Cells = make([]Place, len(spots))
	up := rise(b, p)
	for n, at := range spots {
		group := first + n/b.Parallel
		x := float64(at.column) + 0.5
		if s.nested {
			x += 0.5 * float64(at.row%2)
		}
		out.Cells[n] = Place{
			Group: group, Parallel: 1 + n%b.Parallel, Layer: 1 + at.layer, Plus: group%2 == 1,
			X: b.Lining + x*out.Pitch, Y: b.Lining + out.Pitch/2 + float64(at.row)*up,
		}
	}
	out.neighbours(spots, s.nested, p.Cell.FullV)
	return out
}

// spots lists the stack in the order that it is filled in: column after column, in each column layer after layer, in each layer row after
// row, turning back at every end like a snake, so that one cell and the next always touch. (Only in a last column that lacks its moved
// rows are they a row apart.)
func (s stack) spots() []spot {
	out := make([]spot, 0, s.cells())
	for column := range s.columns() {
		for k := range s.layers {
			layer := k
			if column%2 == 1 {
				layer = s.layers - 1 - k
			}
			for r := range s.rows {
				row := r
				if (column*s.layers+k)%2 == 1 {
					row = s.rows - 1 - r
				}
				if column < s.inRow(row) {
					out = append(out, spot{column, row, layer})
				}
			}
		}
	}
	return out
}

// neighbours fills in what touches what: within a layer the cells a pitch away, between layers the one behind.
func (o *Drawing) neighbours(spots []spot, nested bool, fullV float64) {
	index := make(map[spot]int, len(spots))
	for n, at := range spots {
		index[at] = n
	}
	o.Due = []Touch{}
	for a, at := range spots {
		next := []spot{{at.column + 1, at.row, at.layer}, {at.column, at.row + 1, at.layer}, {at.column, at.row, at.layer + 1}}
		if nested { // a moved row lies between this column and the next, the others between this column and the one before
			next = append(next, spot{at.column - 1 + 2*(at.row%2), at.row + 1, at.layer})
		}
		for _, to := range next {
			if c, ok := index[to]; ok {
				o.touch(min(a, c), max(a, c), fullV)
			}
		}
	}
	o.Text = "Only cells of the same group or of groups that are linked touch each other."
	switch {
	case len(spots) == 0:
		o.Text = "No cells are drawn."
	case len(o.Due) != 0:
		o.Text = "Cells of groups " + strconv.Itoa(o.WorstPair[0]) + " and " + strconv.Itoa(o.WorstPair[1]) + " touch, with " +
			strconv.FormatFloat(o.WorstV, 'f', 1, 64) + " V between their cans: put extra insulation between cells more than one group apart."
	}
}

// touch notes that two cells touch, the earlier one first.
func (o *Drawing) touch(a, b int, fullV float64) {
	apart := o.Cells[b].Group - o.Cells[a].Group
	v := float64(apart) * fullV
	if v > o.WorstV {
		o.WorstV, o.WorstPair = v, [2]int{o.Cells[a].Group, o.Cells[b].Group}
	}
	if apart > 1 {
		o.Due = append(o.Due, Touch{a, b, v})
	}
}
