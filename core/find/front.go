package find

import (
	"math"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/link"
)

// Found is one build of an answer, planned whole. Every figure is the report's.
type Found struct {
	Link       string       `json:"link"`     // opens as the very build
	RangeKm    *float64     `json:"range_km"` // nil where the ride uses no charge, which counts as the farthest
	CeilingKmh float64      `json:"ceiling_kmh"`
	ShiftMm    float64      `json:"shift_mm"`
	MassKg     float64      `json:"mass_kg"`
	Price      *int64       `json:"price_hundredths,omitempty"` // nil where no list holds it
	Cells      [2]int       `json:"cells"`                      // in the main box and in the second
	Status     limit.Status `json:"status"`
	Code       string       `json:"code,omitempty"` // what makes it tight
	Index      int64        `json:"index"`          // place in the order of the space
}

// Miss is a build that fails one wish.
type Miss struct {
	Found
	Wish   string  `json:"wish"`   // key
	Share  float64 `json:"share"`  // of the wish, by which it is failed
	Value  float64 `json:"value"`  // what the build has, in the wish's unit
	Wanted float64 `json:"wanted"` // in the same
}

// figures are what one build beats another in; larger is better.
type figures [5]float64

func (f *Found) figures() figures {
	out := figures{math.Inf(1), f.CeilingKmh, -f.MassKg, 0, 0}
	if f.Status == limit.Clear {
		out[4] = 1
	}
	if f.RangeKm != nil {
		out[0] = *f.RangeKm
	}
	if f.Price != nil {
		out[3] = -float64(*f.Price)
	} else {
		out[3] = math.Inf(-1)
	}
	return out
}

// beats is the order of the answer: as good in all, better in one; alike in all, the first.
func (f *Found) beats(g *Found) bool {
	a, b := f.figures(), g.figures()
	better := f.Index < g.Index
	alike := true
	for i := range a {
		if a[i] < b[i] {
			return false
		}
		alike = alike && a[i] == b[i]
	}
	return !alike || better
}

// value is what a build has of a wish, SI; of cells how many there are, though boxes may hold as many and still not these.
func (f *Found) value(w Wish) float64 {
	switch w {
	case Range:
		if f.RangeKm == nil {
			return math.Inf(1)
		}
		return *f.RangeKm * 1e3
	case Ceiling:
		return f.CeilingKmh / 3.6
	case Shift:
		return f.ShiftMm / 1e3
	case Mass:
		return f.MassKg
	case Price:
		if f.Price == nil {
			return math.Inf(1)
		}
		return float64(*f.Price)
	case Clear:
		if f.Status == limit.Clear {
			return 1
		}
		return 0 // fails the wish by the whole of it, so that nothing tight is near
	}
	return float64(f.Cells[0] + f.Cells[1])
}

// foundOf reads a build's figures from its report.
func foundOf(b *build.Build, r *core.Report, index int64, price *int64) Found {
	status, code, _ := r.Worst()
	return Found{
		Link: link.Encode(b, nil), RangeKm: r.Range.Km, CeilingKmh: r.Speed.CruiseCeilingKmh.Low, ShiftMm: r.Ride.ShiftMm,
		MassKg: r.Weight.BoardKg, Price: price, Cells: [2]int{r.Boxes.Main.Cells, r.Boxes.Second.Cells},
		Status: status, Code: code, Index: index,
	}
}

// front is the set of builds that no other beats.
type front []Found

// add puts a build in unless it is beaten, and takes out what it beats.
func (s *front) add(f Found) bool {
	for i := range *s {
		if (*s)[i].beats(&f) {
			return false
		}
	}
	left := (*s)[:0]
	for i := range *s {
		if g := &(*s)[i]; !f.beats(g) {
			left = append(left, *g)
		}
	}
	*s = left
	*s = append(*s, f)
	return true
}

// beyond is the highest cruise ceiling in m/s among the builds that are as good in range (m), mass (kg) and price: a build with no more
// than it is beaten. Only clear builds beat one that may be clear. ok is false where there is none.
func (s front) beyond(meters, mass float64, price *int64, tight bool) (ceiling float64, ok bool) {
	for i := range s {
		f := &s[i]
		if !tight && f.Status != limit.Clear || f.MassKg > mass || f.value(Range) < meters || price != nil && (f.Price == nil || *f.Price > *price) {
			continue
		}
		ceiling, ok = max(ceiling, f.CeilingKmh/3.6), true
	}
	return ceiling, ok
}

// nearest are the nearest misses of each wish, nearest first.
type nearest [wishes][]Miss

// bar is the share of a wish that a build still to come must fail it by less than; builds come in the order of the space, so one that fails
// by just as much comes after.
func (n *nearest) bar(w Wish) (share float64, open bool) {
	if len(n[w]) == kept {
		return n[w][kept-1].Share, true
	}
	return nearLimit, false
}

// hopeless tells whether a build that fails a wish by at least a share is not among the nearest.
func (n *nearest) hopeless(w Wish, share float64) bool {
	bar, full := n.bar(w)
	return share > bar || full && share == bar
}

// nearer is the order of near misses: by share, then by place.
func (m *Miss) nearer(o *Miss) bool {
	return m.Share < o.Share || m.Share == o.Share && m.Index < o.Index
}

func (n *nearest) add(w Wish, m Miss) {
	if m.Share > nearLimit {
		return
	}
	list := append(n[w], m)
	for i := len(list) - 1; i > 0 && list[i].nearer(&list[i-1]); i-- {
		list[i], list[i-1] = list[i-1], list[i]
	}
	n[w] = list[:min(len(list), kept)]
}
