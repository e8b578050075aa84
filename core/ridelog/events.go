package ridelog

import "math"

const (
	joined     = 1.0 // s: events no further apart are one
	mostEvents = 60  // kept: those with the least reserve
)

// Event is a time in which the reserve stood under the wanted one.
type Event struct {
	At, Seconds float64 // s
	Line        int     // of the file, where the least was
	Shift       float64 // the least reserve, m
	Speed       float64 // there, m/s
	Duty        float64 // there, fraction; NaN where it is not logged
	PackV       float64 // there, V
	Full        bool    // there the duty had reached the plan's highest
}

// Reserve is what the model says was left during a ride.
type Reserve struct {
	Least  Extreme // m of shift
	By     string  // how the torque taken is known, most of the time
	Road   float64 // share of the moments whose torque is that of a level road: hills, starts and wind are not in them
	Wanted float64 // m of shift
	Events []Event // in the order of time
	Met    int     // events there were; Events holds the worst of them
	Under  float64 // s in all of them

	Moments int  // it was told for
	Full    int  // of them, with the duty at the plan's highest
	Weakens bool // the plan's drive weakens the field: what is left at full duty cannot be told from the duty
}

// reserver follows the reserve through a log. As with the extremes, a reading counts as far as one beside it bears it out.
type reserver struct {
	model  *Model
	wanted float64
	least  watch
	ways   map[string]int
	last   moment
	has    bool
	event  Event
	open   bool
	list   []Event
	met    int
	under  float64
	full   int
}

type moment struct {
	shift, at float64
	row       Row
	line      int
	beside    bool // one lay beside it already
}

func newReserver(m *Model, wanted float64) *reserver {
	return &reserver{model: m, wanted: wanted, ways: map[string]int{}}
}

func (r *reserver) add(row *Row, line int) {
	shift, by := r.model.Shift(row)
	if math.IsNaN(shift) {
		return
	}
	r.ways[by]++
	if r.model.Full(row) {
		r.full++
	}
	r.least.see(-shift, row, line)
	now := moment{shift, row[Time], *row, line, false}
	if r.has && now.at-r.last.at <= beside {
		now.beside = true
		// The milder of the two is what both bear out. At full duty many moments are alike.
		if r.last.shift >= shift {
			r.see(&r.last)
		}
		if r.last.shift <= shift {
			r.see(&now)
		}
	} else {
		r.flush()
	}
	r.last, r.has = now, true
}

func (r *reserver) flush() {
	if r.has && !r.last.beside {
		r.see(&r.last)
	}
}

func (r *reserver) see(m *moment) {
	if m.shift >= r.wanted {
		return
	}
	if r.open && m.at-(r.event.At+r.event.Seconds) > joined {
		r.close()
	}
	if !r.open {
		r.event, r.open = Event{At: m.at, Shift: math.Inf(1)}, true
	}
	e := &r.event
	e.Seconds = max(e.Seconds, m.at-e.At)
	if m.shift < e.Shift {
		e.Shift, e.Line, e.Speed, e.Duty, e.PackV = m.shift, m.line, m.row[Speed], m.row[Duty], m.row[PackV]
		e.Full = r.model != nil && r.model.Full(&m.row)
	}
}

func (r *reserver) close() {
	if !r.open {
		return
	}
	r.open = false
	r.met++
	r.under += r.event.Seconds
	if len(r.list) < mostEvents {
		r.list = append(r.list, r.event)
		return
	}
	mildest := 0
	for i := range r.list {
		if r.list[i].Shift > r.list[mildest].Shift {
			mildest = i
		}
	}
	if r.event.Shift < r.list[mildest].Shift {
		r.list = append(append(r.list[:mildest:mildest], r.list[mildest+1:]...), r.event)
	}
}

func (r *reserver) result() *Reserve {
	r.flush()
	r.close()
	least := r.least.result(-1)
	if least == nil {
		return nil
	}
	out := &Reserve{Least: *least, Wanted: r.wanted, Events: r.list, Met: r.met, Under: r.under, Full: r.full, Weakens: r.model.weakens()}
	top, all := 0, 0
	for _, n := range r.ways {
		all += n
	}
	out.Moments = all
	out.Road = float64(r.ways[ByRoad]) / float64(all)
	for _, by := range []string{ByPhase, ByPower, ByRoad} {
		if r.ways[by] > top {
			out.By, top = by, r.ways[by]
		}
	}
	return out
}
