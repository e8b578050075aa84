package ridelog

import "math"

// How far time may go between two rows, s.
const (
	little = 2.0  // back: rows out of order; more is a clock that began anew, or garbage
	far    = 60.0 // on: a pause, or garbage
	gapS   = 5.0  // longer than this nothing is summed across
)

// order brings the rows into the order of time: seconds from the first row, never going back. It holds back at most the rows of one step
// of the clock.
type order struct {
	spread bool
	ledger *ledger
	emit   func(*Row, int)

	begun  bool
	last   float64 // time of the last row that was let through, as the file has it
	now    float64 // its time in the log
	usual  float64 // s between rows, a running mean
	doubt  held    // a row whose time is far from the one before; the next row tells
	equals []held  // rows of one step of the clock

	met      bool
	raw      float64 // time of the last row, as the file has it, let through or not
	up, down int     // rows whose time is later than that of the row before, and earlier
}

type held struct {
	row  Row
	line int
	has  bool
}

func (o *order) add(row *Row, line int) {
	t := row[Time]
	switch {
	case !o.met:
	case t > o.raw:
		o.up++
	case t < o.raw:
		o.down++
	}
	o.met, o.raw = true, t
	if !o.begun {
		o.begun, o.last, o.usual = true, t, 0
		o.pass(row, line, 0)
		return
	}
	if o.doubt.has {
		o.doubt.has = false
		from := o.doubt.row[Time]
		switch near, on := t-o.last, t-from; {
		case near >= 0 && near <= far:
			o.ledger.note(Leap, Time, o.doubt.line)
		case on >= 0 && on <= far:
			o.accept(&o.doubt)
		default:
			o.ledger.note(Leap, Time, o.doubt.line)
		}
	}
	switch step := t - o.last; {
	case step > far, step < -little:
		o.doubt = held{*row, line, true}
	case step < 0:
		o.ledger.note(BackInTime, Time, line)
	case step == 0 && !o.spread:
		o.ledger.note(SameTime, Time, line)
	default:
		o.pass(row, line, step)
	}
}

// accept lets a row through that is far from the one before, because the next is near it.
func (o *order) accept(h *held) {
	row, step := h.row, h.row[Time]-o.last
	switch {
	case step < -daySeconds/2 && step > -daySeconds && o.last < daySeconds:
		o.pass(&row, h.line, step+daySeconds) // the clock has passed midnight
	case step < 0:
		o.ledger.note(Restart, Time, h.line)
		o.flow(&row, h.line, 2*gapS)
	default:
		o.pass(&row, h.line, step)
	}
}

func (o *order) pass(row *Row, line int, step float64) {
	if step > gapS {
		o.ledger.note(Gap, Time, line)
	} else if step > 0 {
		if o.usual == 0 {
			o.usual = step
		}
		o.usual += (step - o.usual) / 16
	}
	o.flow(row, line, step)
}

// flow hands a row on, step s after the last.
func (o *order) flow(row *Row, line int, step float64) {
	o.last = row[Time]
	if !o.spread {
		o.now += step
		row[Time] = o.now
		o.emit(row, line)
		return
	}
	if step > 0 {
		o.release(math.Min(step, o.usual))
		o.now += step
	}
	row[Time] = o.now
	o.equals = append(o.equals, held{*row, line, true})
	const mostEqual = 4096
	if len(o.equals) == mostEqual {
		o.release(o.usual)
	}
}

// release lets the rows of one step of the clock go, spread evenly over it.
func (o *order) release(step float64) {
	n := float64(len(o.equals))
	for i := range o.equals {
		e := &o.equals[i]
		e.row[Time] += step * float64(i) / n
		o.emit(&e.row, e.line)
	}
	o.equals = o.equals[:0]
}

func (o *order) finish() {
	if o.doubt.has {
		o.ledger.note(Leap, Time, o.doubt.line)
	}
	if len(o.equals) > 0 {
		o.release(o.usual)
	}
}
