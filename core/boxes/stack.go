package boxes

import (
	"math"

	"headroom/core/build"
)

// Ids of the ways that cells may lie; lying across is the third.
const (
	upright = "upright"
	along   = "along"
	nested  = "nested"
)

// exact lets cells into a box that is as long as they are, whatever the last digit of a division says; in cells.
const exact = 1e-9

// nestedRise is the distance of nested rows in pitches, √3/2.
const nestedRise = 0.8660254037844386

// stack is how many cells stand in each direction: rows × columns seen along their axis, and layers behind each other. A row's length is
// counted in half pitches, because nested rows are moved by one.
type stack struct {
	rows, halves, layers int
	nested               bool
}

// columns of the first row.
func (s stack) columns() int { return s.halves / 2 }

// inRow returns the columns of a row: a moved row needs half a pitch more for the same number.
func (s stack) inRow(row int) int {
	if s.nested && row%2 == 1 {
		return (s.halves - 1) / 2
	}
	return s.halves / 2
}

// layer returns the cells of one layer.
func (s stack) layer() int {
	moved := s.rows / 2
	return (s.rows-moved)*s.inRow(0) + moved*s.inRow(1)
}

// cells returns all that stand in it.
func (s stack) cells() int { return s.layers * s.layer() }

// pitch returns the distance of cells in m: one smaller than the cell itself cannot be.
func pitch(p *build.Parts) float64 { return max(p.Pitch, p.Cell.Diameter) }

// rise returns the distance of rows in m.
func rise(b *build.Build, p *build.Parts) float64 {
	if b.Nest == nested {
		return pitch(p) * nestedRise
	}
	return pitch(p)
}

// filled returns the stack that fills a box of the length given.
func filled(b *build.Build, p *build.Parts, box *build.Box) stack {
	d := pitch(p)
	// Across: seen from the side.
	x, y, deep := box.Length-b.BoxRoom, box.Height, box.Width
	switch b.Lay {
	case upright: // seen from above
		y, deep = box.Width, box.Height
	case along: // seen from the end
		x, deep = box.Width, x
	}
	return stack{
		nested: b.Nest == nested,
		halves: whole(2 * (x - 2*b.Lining) / d),
		rows:   whole((y-2*b.Lining-d)/rise(b, p) + 1),
		layers: whole((deep - b.Lining) / (p.Cell.Length + b.Lining)),
	}
}

// needed returns the shortest stack that holds a number of cells in a box of this width and height, and the inner length in m that it
// takes; ok is false where the width and height let no cell in. An empty box needs no length.
func needed(b *build.Build, p *build.Parts, box *build.Box, cells int) (s stack, length float64, ok bool) {
	if cells == 0 {
		return stack{}, 0, true
	}
	s = filled(b, p, box)
	if b.Lay == along {
		if s.layer() == 0 {
			return stack{}, 0, false
		}
		s.layers = upTo(cells, s.layer())
		return s, float64(s.layers)*(p.Cell.Length+b.Lining) + b.Lining + b.BoxRoom, true
	}
	if s.rows*s.layers == 0 {
		return stack{}, 0, false
	}
	each := upTo(cells, s.layers)
	s.halves = 2 * upTo(each, s.rows)
	if s.layer() < each { // the moved rows lack their last column
		s.halves++
	}
	return s, float64(s.halves)/2*pitch(p) + 2*b.Lining + b.BoxRoom, true
}

// whole rounds down to a number of cells; less than none is none.
func whole(v float64) int { return max(0, int(math.Floor(v+exact))) }

// upTo divides and rounds up.
func upTo(a, b int) int { return (a + b - 1) / b }
