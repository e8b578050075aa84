// Package boxes puts the cells into the two boxes: how many fit, how long a box must be, how they lie, and which cells touch.
//
//	square   n columns take n·d, m rows take m·d
//	nested   rows are d·√3/2 apart, every second one moved by d/2: n columns take n·d in the first row and n·d + d/2 in the second
//	layers   k of them, end to end, take k·l + (k − 1)·c                 d pitch, l length of a cell, c lining
//
// All of it between the linings of two walls. A row counts with its full pitch, holders and all: on the safe side by the half gap that a
// holder could lack at each wall. Source: plane geometry; the centers of three nested cells are an equilateral triangle.
//
// The can of a cell is its negative end, so from can to can there are |i − j| full cells between groups i and j. Cells of groups that are
// linked to each other are one apart and every pack has them side by side; more than one apart asks for extra insulation (common
// practice, no published source).
//
// What this leaves out: holders that need more room at the walls, swelling of cells, the room of links across the ends of cells (enter it
// as lining), rounded corners, and the way of the leads.
package boxes

import (
	"strconv"

	"headroom/core/build"
	"headroom/core/limit"
)

// Names of the boxes, by index: the main box is behind the wheel, the second one before it.
var names = [2]string{"main", "second"}

// Box is one box and what it holds.
type Box struct {
	Name        string       `json:"name"`                     // "main" or "second"
	Groups      int          `json:"groups"`                   // series cells that belong in it
	Cells       int          `json:"cells"`                    // groups × parallel cells
	Capacity    int          `json:"capacity"`                 // cells that it takes at the length given, or at the needed length
	Left        int          `json:"left"`                     // capacity − cells; negative is missing
	Fits        bool         `json:"fits"`                     // left ≥ 0
	LengthGiven bool         `json:"length_given"`             // false: as long as the cells need
	NeedLength  *float64     `json:"need_length_mm,omitempty"` // shortest inner length at this width and height; nil where not one cell fits
	Rows        int          `json:"rows"`
	Columns     int          `json:"columns"` // in the first row; nested rows above it may have one less
	Layers      int          `json:"layers"`
	PitchMm     float64      `json:"pitch_mm"`         // as used: never less than the cell's diameter
	Status      limit.Status `json:"status,omitempty"` // over where the cells do not fit; none where the length is free
	Text        string       `json:"text"`             // one sentence
}

// Summary returns the main box and the second box.
func Summary(b *build.Build, p *build.Parts) [2]Box {
	return [2]Box{one(b, p, 0), one(b, p, 1)}
}

// Inner returns the inner length in m of box i (0 main, 1 second) were it to hold a number of series groups, and whether they fit: the
// length given, else the needed one, 0 where no length is enough or no cells are in it.
func Inner(b *build.Build, p *build.Parts, i, groups int) (length float64, fits bool) {
	box, cells := &b.Box[i], groups*b.Parallel
	_, need, fits := needed(b, p, box, cells)
	if box.Length != 0 {
		return box.Length, filled(b, p, box).cells() >= cells
	}
	return need, fits
}

// Groups returns how many series groups box i holds.
func Groups(b *build.Build, p *build.Parts, i int) int {
	return [2]int{b.Series - p.Split, p.Split}[i]
}

func one(b *build.Build, p *build.Parts, i int) Box {
	box := &b.Box[i]
	out := Box{Name: names[i], Groups: Groups(b, p, i), LengthGiven: box.Length != 0, PitchMm: 1e3 * pitch(p)}
	out.Cells = out.Groups * b.Parallel
	s, length, ok := needed(b, p, box, out.Cells)
	if ok {
		mm := 1e3 * length
		out.NeedLength = &mm
	}
	if out.LengthGiven {
		s = filled(b, p, box)
		out.Status = limit.Clear
	}
	out.Rows, out.Columns, out.Layers = s.rows, s.columns(), s.layers
	out.Capacity = s.cells()
	out.Left = out.Capacity - out.Cells
	out.Fits = out.Left >= 0
	if !out.Fits {
		out.Status = limit.Over
	}
	out.Text = out.text()
	return out
}

func (o *Box) text() string {
	box := "the " + o.Name + " box"
	switch {
	case o.Cells == 0:
		return "No cells are in " + box + "."
	case o.NeedLength == nil:
		return "Not one cell fits the width and height of " + box + "."
	case !o.Fits:
		return "The " + o.Name + " box takes " + strconv.Itoa(o.Capacity) + " of its " + strconv.Itoa(o.Cells) + " cells."
	case o.LengthGiven:
		return "The " + o.Name + " box takes " + strconv.Itoa(o.Capacity) + " cells; it has " + strconv.Itoa(o.Cells) + "."
	}
	return "The " + o.Name + " box is as long as its " + strconv.Itoa(o.Cells) + " cells need."
}
