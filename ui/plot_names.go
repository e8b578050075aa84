package ui

import (
	"math"
	"unicode/utf8"
)

// letter is about how wide one letter of a chart's text is, gap what stands free between two names, lineHeight from foot to foot.
const letter, gap, lineHeight = 6.4, 4.0, 13.0

// plate is a name on its place: x is its left end, y its foot. One that is flush has its right end where it is reckoned to be, whatever
// the letters.
type plate struct {
	x, y, wide float64
	flush      bool
}

func (l plate) write(d *drawing, style, words string) {
	if l.flush {
		d.text("name "+style, "end", l.x+l.wide, l.y, words)
		return
	}
	d.text("name "+style, "start", l.x, l.y, words)
}

func (l plate) meets(m plate) bool {
	return l.x < m.x+m.wide+gap && m.x < l.x+l.wide+gap && l.y-11 < m.y && m.y-11 < l.y
}

// crosses says whether an upright line runs through a name, or a line across at y.
func (l plate) crosses(x, y float64) bool {
	return l.x-1 < x && x < l.x+l.wide+1 || l.y-10 < y && y < l.y+2
}

// inside is the height of a name's foot that keeps the name within the frame.
func inside(y float64) float64 { return min(max(y, plotTop+11), plotHeight-plotBottom-3) }

func wide(words string) float64 { return letter * float64(utf8.RuneCountInString(words)) }

// end is where a named line ends, and where its name lies.
type end struct {
	line *Line
	x, y float64
	plate
}

// ends finds a place for the name of each line's end. Names that would lie on each other move apart in the order of their lines' ends,
// along the axis over which those spread more: none moves past another's, so that no name can be read as its neighbour's.
func (p *Plot) ends() []end {
	var list []end
	for i := range p.Lines {
		l := &p.Lines[i]
		points := held(l.Points)
		if l.End == "" || len(points) == 0 {
			continue
		}
		q := points[len(points)-1]
		e := end{line: l, x: p.px(q.X), y: p.py(q.Y)}
		e.plate = plate{e.x + 4, inside(e.y - 6), wide(l.End), false}
		if e.plate.x+e.wide > plotWidth-2 {
			e.plate.x, e.plate.flush = plotWidth-plotRight-e.wide, true
		}
		list = append(list, e)
	}
	if !crowded(list) {
		return list
	}
	loX, hiX, loY, hiY := list[0].x, list[0].x, list[0].y, list[0].y
	for _, e := range list {
		loX, hiX, loY, hiY = min(loX, e.x), max(hiX, e.x), min(loY, e.y), max(hiY, e.y)
	}
	row := hiX-loX >= hiY-loY
	for i := range list { // a handful: by insertion, which leaves equal ones as they are
		for k := i; k > 0 && (row && list[k].x < list[k-1].x || !row && list[k].y < list[k-1].y); k-- {
			list[k], list[k-1] = list[k-1], list[k]
		}
	}
	at, size := make([]float64, len(list)), make([]float64, len(list))
	for i, e := range list {
		at[i], size[i] = e.x+4, e.wide+gap+0.2 // figures in the drawing are rounded
		if !row {
			at[i], size[i] = e.plate.y, lineHeight
		}
	}
	if !row {
		for i, v := range apart(at, size, plotTop+11, plotHeight-plotBottom-3+lineHeight) {
			list[i].plate.y = v
		}
		return list
	}
	for i, v := range apart(at, size, plotLeft+2, plotWidth-2+gap+0.2) {
		list[i].plate.x, list[i].plate.flush = v, false
	}
	return list
}

// crowded says whether two of the names would lie on each other.
func crowded(list []end) bool {
	for i := range list {
		for k := range i {
			if list[i].meets(list[k].plate) {
				return true
			}
		}
	}
	return false
}

// apart moves places, given in order, as little as it can until each has its size after it and all lie from lo to hi; the order stays.
func apart(at, size []float64, lo, hi float64) []float64 {
	// Without the sizes before it each place may only be no less than the one before: neighbours that are pool at their mean.
	type pool struct {
		sum float64
		n   int
	}
	var pools []pool
	before := make([]float64, len(at))
	total := 0.0
	for i := range at {
		before[i] = total
		total += size[i]
		pools = append(pools, pool{at[i] - before[i], 1})
		for k := len(pools) - 1; k > 0 && pools[k-1].sum/float64(pools[k-1].n) > pools[k].sum/float64(pools[k].n); k-- {
			pools[k-1].sum += pools[k].sum
			pools[k-1].n += pools[k].n
			pools = pools[:k]
		}
	}
	out := make([]float64, 0, len(at))
	for _, q := range pools {
		for range q.n {
			out = append(out, max(lo, min(hi-total, q.sum/float64(q.n)))+before[len(out)])
		}
	}
	return out
}

// tie leads from a line's end, a dot, to a name that lies away from it; none where the name is beside it.
func (e *end) tie() string {
	x, y := min(max(e.x, e.plate.x), e.plate.x+e.wide), min(max(e.y, e.plate.y-9), e.plate.y+1)
	if math.Hypot(x-e.x, y-e.y) < 5 {
		return ""
	}
	return "M" + coord(e.x) + " " + coord(e.y) + "L" + coord(x) + " " + coord(y)
}

// names writes the names of the ends of lines and of marks. The ends come first, for they have one place each; a mark's name may stand
// anywhere along its line, and takes the first place that is free and that no other mark's line crosses.
func (p *Plot) names(d *drawing) {
	var taken []plate
	ends := p.ends()
	for i := range ends {
		taken = append(taken, ends[i].plate)
		if to := ends[i].tie(); to != "" {
			d.path("tie "+ends[i].line.Style, to)
			d.path("tie dotted "+ends[i].line.Style, "M"+coord(ends[i].x)+" "+coord(ends[i].y)+"h.01")
		}
	}
	mark := func(m *Mark) {
		at := p.beside(m, taken)
		taken = append(taken, at)
		if x := min(max(p.px(m.X), at.x), at.x+at.wide); !m.Across && math.Abs(x-p.px(m.X)) > 8 {
			d.path("tie "+m.Style, "M"+coord(p.px(m.X))+" "+coord(at.y-4)+"H"+coord(x))
		}
		at.write(d, m.Style, m.Name)
	}
	for _, across := range []bool{true, false} { // an upright line has more places
		for i := range p.Marks {
			if m := &p.Marks[i]; m.Name != "" && m.Across == across {
				mark(m)
			}
		}
	}
	for i := range ends {
		ends[i].plate.write(d, ends[i].line.Style, ends[i].line.End)
	}
}

// beside is the place of a mark's name among those that are taken: the first that no curve runs under and no other mark's line through,
// else one that no other mark's line runs through, else one that is free.
func (p *Plot) beside(m *Mark, taken []plate) plate {
	places := p.placesBeside(m)
	best, rank := places[0], 0
	for _, at := range places {
		switch near := !m.Across || math.Abs(at.y-p.py(m.Y)) <= 12.5; { // away from its line the name of one across could be another's
		case !at.free(taken):
		case near && p.clean(m, at) && !p.drawnUnder(at):
			return at
		case near && rank < 2 && p.clean(m, at):
			best, rank = at, 2
		case rank < 1:
			best, rank = at, 1
		}
	}
	return best
}

func (l plate) free(taken []plate) bool {
	for _, other := range taken {
		if l.meets(other) {
			return false
		}
	}
	return true
}

// clean says whether no other mark's line runs through a name of this one.
func (p *Plot) clean(m *Mark, at plate) bool {
	for i := range p.Marks {
		o := &p.Marks[i]
		x, y := p.px(o.X), math.NaN()
		if o.Across {
			x, y = math.NaN(), p.py(o.Y)
		}
		if *o != *m && at.crosses(x, y) {
			return false
		}
	}
	return true
}

// drawnUnder says whether a curve runs under a name.
func (p *Plot) drawnUnder(at plate) bool {
	for i := range p.Lines {
		points := p.Lines[i].Points
		for k := 1; k < len(points); k++ {
			a, b := points[k-1], points[k]
			if math.IsNaN(a.Y) || math.IsNaN(b.Y) {
				continue
			}
			x0, y0, x1, y1 := p.px(a.X), p.py(a.Y), p.px(b.X), p.py(b.Y)
			from, to := max(x0, at.x-1), min(x1, at.x+at.wide+1)
			if from > to {
				continue
			}
			if x1 > x0 { // the part of the curve above and below the name
				y0, y1 = y0+(y1-y0)*(from-x0)/(x1-x0), y0+(y1-y0)*(to-x0)/(x1-x0)
			}
			if min(y0, y1) < at.y+3 && max(y0, y1) > at.y-10 {
				return true
			}
		}
	}
	return false
}

// placesBeside lists where a mark's name can stand, the best first: row after row along an upright line, at either side of it; above or
// below a line across, at either end of it, then further off.
func (p *Plot) placesBeside(m *Mark) (list []plate) {
	w := wide(m.Name)
	type side struct {
		x     float64
		flush bool
	}
	add := func(at side, y float64) {
		if at.x >= plotLeft && at.x+w <= plotWidth && y >= plotTop+11 && y <= plotHeight-plotBottom-3 {
			list = append(list, plate{at.x, y, w, at.flush})
		}
	}
	const rows = 13 // as many lines of text as the frame is high
	if !m.Across {
		sides := []side{{p.px(m.X) + 4, false}, {p.px(m.X) - 4 - w, true}}
		if p.X.share(m.X) > 0.6 {
			sides[0], sides[1] = sides[1], sides[0]
		}
		for k := range rows {
			for _, at := range sides {
				add(at, plotTop+11+lineHeight*float64((m.Raise+k)%rows))
			}
		}
		for i := range p.Marks { // beyond a neighbor that is too near, and tied to its own line
			o := &p.Marks[i]
			if o.Across || *o == *m {
				continue
			}
			for k := range rows {
				y := plotTop + 11 + lineHeight*float64((m.Raise+k)%rows)
				add(side{p.px(o.X) - 4 - w, true}, y)
				add(side{p.px(o.X) + 4, false}, y)
			}
		}
		// Too long for either side.
		return append(list, plate{max(plotLeft, min(plotWidth-w, sides[0].x)), plotTop + 11 + lineHeight*float64(m.Raise), w, sides[0].flush})
	}
	sides := []side{{plotWidth - plotRight - 2 - w, true}, {plotLeft + 4, false}}
	if m.Left {
		sides[0], sides[1] = sides[1], sides[0]
	}
	y := p.py(m.Y)
	for k := range rows {
		for _, foot := range []float64{y - 4 - lineHeight*float64(k), y + 12 + lineHeight*float64(k)} {
			for _, at := range sides {
				add(at, foot)
			}
		}
	}
	return append(list, plate{sides[0].x, inside(y - 4), w, sides[0].flush})
}
