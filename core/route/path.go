package route

import (
	"math"
	"sort"
	"strconv"
)

const (
	step      = 5.0  // between two nodes of a path, m, where the path is not too long for it
	mostNodes = 6000 // then the step grows

	// A slope is that of the 100 m around it, a curve that of 30 m.
	slopeReach = 50.0
	curveReach = 15.0

	samePlace = 1.0   // m; nearer points are taken for one: a board that stands still wanders about on its record
	leastGap  = 100.0 // m; a shorter leg is none that matters
	gapSteps  = 4.0   // a leg longer than this many usual ones was not recorded in between, and is ridden straight
	// A leg can hide a hill as long as itself, up over one half and down over the other. Up to this length, m, a half is no longer than the
	// stretch that one slope is taken from; over it whole slopes go unseen, however steep (engineering judgment, no published source).
	blindLeg = 4 * slopeReach
	mostGap  = 5e3   // m; over a longer leg nobody knows the way
	mostWay  = 500e3 // m

	steepest = 1.0 // rise over run; what is steeper is a fault of the record
	tightest = 0.7 // 1/m; a tighter curve is a turn on the spot

	// Rises and falls count in the sum once they exceed this, m: less is the noise of most records (common practice, no published source).
	noise = 3.0
)

// Path is a way laid out evenly, its slopes and curves smoothed. Nodes are Step m of map distance apart; segment i lies between node i and i+1.
type Path struct {
	Name    string
	Planned bool // laid out as a route, not recorded
	Level   bool // the file knows no elevations; everything is taken as level at sea level
	Step    float64
	Ele     []float64 // m above sea level, at each node
	Grade   []float64 // rise over run, of each segment
	Curve   []float64 // 1/m ≥ 0, at each node
	Climb   float64   // sum of the rises, m
	Fall    float64   // sum of the falls, m ≥ 0
	Gaps    int       // holes in the record, ridden straight
	GapM    float64   // their length, m
	BlindM  float64   // m of the way whose slopes nobody knows: holes, and wherever known elevations are too far apart; all of it where Level
	Unknown int       // points without a usable elevation, which is taken from their neighbors
}

// Meters is the length of the way on the map.
func (p *Path) Meters() float64 { return p.Step * float64(len(p.Grade)) }

// Open reads a GPX file and lays its way out.
func Open(text string) (*Path, *Problem) {
	t, problem := ParseGPX(text)
	if problem != nil {
		return nil, problem
	}
	return t.Path()
}

// raw is a way as recorded: at each point the distance from the start, the place on a plane that is rolled along it, and the elevation.
type raw struct {
	meters, east, north, ele []float64
	begins                   []int // points that begin a further segment of the file, away from the last one's end
}

func (w *raw) add(meters, east, north, ele float64) {
	w.meters, w.east, w.north, w.ele = append(w.meters, meters), append(w.east, east), append(w.north, north), append(w.ele, ele)
}

// Path lays a track out. Its segments follow each other; where they do not meet, and wherever the record has a hole, the way is ridden
// straight.
func (t *Track) Path() (*Path, *Problem) {
	p := &Path{Name: t.Name, Planned: t.Planned, Unknown: t.Unknown}
	way, problem := t.unroll()
	if problem != nil {
		return nil, problem
	}
	holes := make([]bool, len(way.meters)) // the last is of no leg
	if !p.Planned {
		p.Gaps, p.GapM = way.gaps(holes)
	}
	p.BlindM = way.blind(holes)
	length := way.meters[len(way.meters)-1]
	if length < 4*step {
		return nil, &Problem{0, "The way is only " + strconv.FormatFloat(length, 'f', 0, 64) + " m long; there is nothing to ride."}
	}
	n := int(math.Min(mostNodes, math.Ceil(length/step)))
	p.Step = length / float64(n)
	p.Level = !bridge(way.ele)
	ele, east, north := spread(way.meters, way.ele, n), spread(way.meters, way.east, n), spread(way.meters, way.north, n)
	p.slopes(ele)
	p.curves(east, north)
	p.Climb, p.Fall = climbed(p.Ele)
	return p, nil
}

// unroll measures the legs.
func (t *Track) unroll() (way raw, problem *Problem) {
	var last *Point
	var meters, east, north float64
	for _, segment := range t.Segments {
		for i := range segment {
			q := &segment[i]
			ele := math.NaN()
			if q.HasEle {
				ele = q.Ele
			}
			if last == nil {
				way.add(0, 0, 0, ele)
				last = q
				continue
			}
			leg := Distance(*last, *q)
			if leg < samePlace {
				continue
			}
			if meters += leg; leg > mostGap || meters > mostWay {
				text := "this point lies " + strconv.FormatFloat(leg/1e3, 'f', 1, 64) + " km from the one before: nobody knows the way between."
				if leg <= mostGap {
					text = "the way is longer than " + strconv.Itoa(mostWay/1e3) + " km here; no board goes that far."
				}
				s := scanner{text: t.text}
				return way, s.fault(q.at, text)
			}
			if i == 0 {
				way.begins = append(way.begins, len(way.meters))
			}
			dx, dy := heading(*last, *q, leg)
			east, north = east+dx, north+dy
			way.add(meters, east, north, ele)
			last = q
		}
	}
	return way, nil
}

// gaps are the legs that were not recorded, and their length. A recorder that loses its place begins another segment: what lies before one is
// a hole if it is long at all. Within a segment a hole stands out from the other legs. Recorders and planners set few points where the way is
// straight, so the usual leg is not the middle of all: half of the way is in legs up to that one, the longest left aside. Each hole is marked.
func (w *raw) gaps(holes []bool) (n int, meters float64) {
	legs := make([]float64, 0, len(w.meters))
	for i := 1; i < len(w.meters); i++ {
		legs = append(legs, w.meters[i]-w.meters[i-1])
	}
	sorted := append([]float64(nil), legs...)
	sort.Float64s(sorted)
	half, usual := w.meters[len(legs)]/2, 0.0
	if last := len(legs) - 1; last >= 0 {
		half -= sorted[last] / 2
		sorted = sorted[:last]
	}
	for _, leg := range sorted {
		usual = leg
		if half -= leg; half <= 0 {
			break
		}
	}
	begins := w.begins
	for i, leg := range legs {
		for len(begins) > 0 && begins[0] <= i {
			begins = begins[1:]
		}
		begun := len(begins) > 0 && begins[0] == i+1
		if leg > leastGap && (begun || leg > gapSteps*usual) {
			n++
			meters += leg
			holes[i] = true
		}
	}
	return n, meters
}

// blind is how much of the way has slopes that nobody knows, m: the holes, and whatever lies between known elevations that are too far apart.
// Before the first known one and after the last there is nothing to tell a slope from.
func (w *raw) blind(holes []bool) (meters float64) {
	from := -1 // the last point with an elevation
	for i, ele := range w.ele {
		end := i == len(w.ele)-1
		if math.IsNaN(ele) && !end {
			continue
		}
		known := from >= 0 && !math.IsNaN(ele)
		long := !known || w.meters[i]-w.meters[from] > blindLeg
		for j := max(0, from); j < i; j++ {
			if long || holes[j] {
				meters += w.meters[j+1] - w.meters[j]
			}
		}
		from = i
	}
	return meters
}

// bridge fills what is not known from the known neighbors, along the points; ok is false where nothing is known, and all is 0 then.
func bridge(values []float64) (ok bool) {
	before := -1
	for i, v := range values {
		if math.IsNaN(v) {
			continue
		}
		for j := before + 1; j < i; j++ {
			if before < 0 {
				values[j] = v
			} else {
				values[j] = values[before] + (v-values[before])*float64(j-before)/float64(i-before)
			}
		}
		before = i
	}
	for j := before + 1; j < len(values); j++ {
		values[j] = 0
		if before >= 0 {
			values[j] = values[before]
		}
	}
	return before >= 0
}

// spread reads values over distances off at n+1 even distances.
func spread(meters, values []float64, n int) []float64 {
	out := make([]float64, n+1)
	length := meters[len(meters)-1]
	k := 0
	for i := range out {
		at := length * float64(i) / float64(n)
		for k < len(meters)-2 && meters[k+1] < at {
			k++
		}
		share := math.Min(1, (at-meters[k])/(meters[k+1]-meters[k]))
		out[i] = values[k] + share*(values[k+1]-values[k])
	}
	return out
}

// slopes smooths the elevations into grades, and makes the elevations that belong to them: those are drawn and ridden, so that what is
// climbed is what costs energy.
func (p *Path) slopes(ele []float64) {
	n := len(ele)
	reach := int(math.Round(slopeReach / p.Step))
	at := make([]float64, n)
	for i := range at {
		at[i] = math.Min(steepest, math.Max(-steepest, newFit(ele, i, reach).slope/p.Step))
	}
	p.Grade, p.Ele = make([]float64, n-1), make([]float64, n)
	mean := 0.0
	for i := range p.Grade {
		p.Grade[i] = (at[i] + at[i+1]) / 2
		p.Ele[i+1] = p.Ele[i] + p.Grade[i]*p.Step
		mean += ele[i+1] - p.Ele[i+1]
	}
	mean = (mean + ele[0]) / float64(n)
	for i := range p.Ele {
		p.Ele[i] += mean
	}
}

// curves is κ = |x′y″ − y′x″|/(x′² + y′²)^1.5 of the smoothed plane.
func (p *Path) curves(east, north []float64) {
	reach := int(math.Round(curveReach / p.Step))
	p.Curve = make([]float64, len(east))
	for i := range p.Curve {
		x, y := newFit(east, i, reach), newFit(north, i, reach)
		speed := math.Hypot(x.slope, y.slope)
		bent := 2 * math.Abs(x.slope*y.bend-y.slope*x.bend)
		if bent > 0 {
			p.Curve[i] = math.Min(tightest, bent/(speed*speed*speed))
		}
		if speed < 0.2*p.Step { // there and back
			p.Curve[i] = tightest
		}
	}
}

// fit is the parabola value + slope·u + bend·u² of least squares through evenly spaced values, u counted from the middle of its window.
type fit struct{ value, slope, bend float64 }

// newFit fits around a place, reach values to either side: in the middle of a window that is the smoothing and the derivative of
// A. Savitzky and M. J. E. Golay, Anal. Chem. 36 (1964) 1627. Near an end the window is the first or last whole one, and what it has is
// held: a slope drawn on from a parabola would carry most of the noise there.
func newFit(values []float64, at, reach int) fit {
	reach = max(1, min(reach, (len(values)-1)/2))
	at = min(max(at, reach), len(values)-1-reach)
	m := float64(reach)
	count := 2*m + 1
	s2 := m * (m + 1) * count / 3    // Σu²
	s4 := s2 * (3*m*m + 3*m - 1) / 5 // Σu⁴
	var f fit
	var sum, first, second float64
	for u := -reach; u <= reach; u++ {
		v := values[at+u] - values[at] // small numbers keep their digits
		x := float64(u)
		sum += v
		first += x * v
		second += x * x * v
	}
	f.slope = first / s2
	f.bend = (second - sum*s2/count) / (s4 - s2*s2/count)
	f.value = values[at] + sum/count - f.bend*s2/count
	return f
}

// climbed sums rises and falls that exceed noise: a rise ends where the way falls by more than that from its top.
func climbed(ele []float64) (rise, fall float64) {
	low, high := ele[0], ele[0] // of the stretch not counted yet
	up, down := false, false
	for _, e := range ele {
		switch {
		case up && e > high:
			high = e
		case up && e < high-noise:
			rise += high - low
			up, down, low = false, true, e
		case down && e < low:
			low = e
		case down && e > low+noise:
			fall += high - low
			up, down, high = true, false, e
		case !up && !down:
			low, high = math.Min(low, e), math.Max(high, e)
			if high-low > noise {
				up, down = e == high, e == low
			}
		}
	}
	switch {
	case up:
		rise += high - low
	case down:
		fall += high - low
	}
	return rise, fall
}
