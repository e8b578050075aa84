package ridelog

import "math"

// Settings are how a log is to be read.
type Settings struct {
	Layout *Layout // nil: guessed from the head of the file
	Model  *Model  // what reserve is told by; nil: none is told
	// Wanted is the reserve in m of shift below which there is an event.
	Wanted float64
}

// Reader reads a log fed to it in pieces that may end anywhere, and keeps figures and curves of it, never its rows: what it holds does not
// grow with the log.
type Reader struct {
	set    Settings
	layout Layout
	failed string

	head    []byte
	known   bool // the layout is
	skip    int  // lines before the figures
	split   *splitter
	columns []reading
	power   bool // the battery's current comes from power and voltage

	rows, read int // records met, and rows that were used
	ledger     ledger
	order      order
	sum        gather
}

// reading is how one column is turned into SI.
type reading struct {
	cell           int
	q              Quantity
	factor, offset float64
	clock          bool
}

// NewReader begins to read a log.
func NewReader(set Settings) *Reader {
	r := &Reader{set: set}
	if set.Layout != nil {
		r.layout = set.Layout.Copy()
		r.failed = r.layout.Missing()
	}
	return r
}

// Feed reads the next piece of the file. It keeps no part of it.
func (r *Reader) Feed(chunk []byte) {
	if r.known {
		r.push(chunk)
		return
	}
	room := min(HeadBytes-len(r.head), len(chunk))
	r.head = append(r.head, chunk[:room]...)
	if len(r.head) == HeadBytes {
		r.begin()
		r.push(chunk[room:])
	}
}

// begin is called with the head of the file complete.
func (r *Reader) begin() {
	r.known = true
	if r.set.Layout == nil {
		r.layout, r.failed = Sniff(r.head)
	}
	head := skipBOM(r.head)
	r.head = nil
	if r.failed != "" {
		return
	}
	r.skip = r.layout.FirstLine
	for i, c := range r.layout.Columns {
		if c.Quantity == None {
			continue
		}
		u, ok := c.Quantity.unit(c.Unit)
		if !ok {
			u = c.Quantity.Units()[0]
		}
		if c.Flip {
			u.Factor = -u.Factor
		}
		r.columns = append(r.columns, reading{i, c.Quantity, u.Factor, u.Offset, u.ID == unitClock})
	}
	r.power = r.layout.Column(BatteryA) < 0 && r.layout.Column(Power) >= 0
	r.sum.begin(r.set)
	r.sum.byPower = r.power
	r.order = order{spread: r.layout.Spread, ledger: &r.ledger, emit: func(row *Row, line int) {
		r.read++
		r.sum.add(row, line)
	}}
	r.split = newSplitter(r.layout.Delimiter, r.record)
	r.push(head)
}

func (r *Reader) push(chunk []byte) {
	if r.failed == "" {
		r.split.feed(chunk)
	}
}

// record turns one line into a row of figures.
func (r *Reader) record(rec *record) {
	if rec.line < r.skip {
		return
	}
	r.rows++
	if rec.broken {
		r.ledger.note(BrokenQuote, None, rec.line)
		return
	}
	switch n := rec.cells(); {
	case n < len(r.layout.Columns):
		r.ledger.note(ShortRow, None, rec.line)
	case n > len(r.layout.Columns):
		r.ledger.note(LongRow, None, rec.line)
	}
	var row Row
	for i := range row {
		row[i] = math.NaN()
	}
	for i := range r.columns {
		c := &r.columns[i]
		if c.cell >= rec.cells() {
			continue
		}
		cell := trim(rec.cell(c.cell))
		if len(cell) == 0 {
			if c.q != Time {
				r.ledger.note(MissingCell, c.q, rec.line)
			}
			continue
		}
		v, ok := r.figure(c, cell)
		if !ok {
			if c.q != Time {
				r.ledger.note(NoNumber, c.q, rec.line)
			}
			continue
		}
		v = v*c.factor + c.offset
		if k := &kinds[c.q]; !(v >= k.lo && v <= k.hi) {
			r.ledger.note(Implausible, c.q, rec.line)
			continue
		}
		row[c.q] = v
	}
	if math.IsNaN(row[Time]) {
		r.ledger.note(BadTime, Time, rec.line)
		return
	}
	if r.power {
		row[BatteryA] = row[Power] / row[PackV]
	}
	// A board ridden backward goes forward all the same; what its motor does goes by the way it rolls.
	if row[Speed] < 0 {
		row[Speed], row[PhaseA] = -row[Speed], -row[PhaseA]
	}
	row[Duty] = math.Abs(row[Duty])
	r.order.add(&row, rec.line)
}

func (r *Reader) figure(c *reading, cell []byte) (float64, bool) {
	if c.clock {
		v, _, ok := clock(cell)
		return v, ok
	}
	v, ok := number(cell, r.layout.Decimal)
	if !ok && len(cell) > 1 && cell[len(cell)-1] == '%' {
		return number(trim(cell[:len(cell)-1]), r.layout.Decimal)
	}
	return v, ok
}

// Layout is how the log is written, as far as it is known yet.
func (r *Reader) Layout() Layout { return r.layout.Copy() }

// Rows counts the rows met so far.
func (r *Reader) Rows() int { return r.rows }

// Finish ends the log and tells what it holds. failure says in words why there is nothing to tell; the layout may then be corrected by
// hand and the file read again.
func (r *Reader) Finish() (ride Ride, failure string) {
	if !r.known {
		r.begin()
	}
	ride.Layout = r.layout.Copy()
	if r.failed != "" {
		return ride, r.failed
	}
	r.split.finish()
	r.order.finish()
	ride.Rows, ride.Used, ride.Problems = r.rows, r.read, r.ledger.list()
	ride.Backward = r.order.down > 2*r.order.up
	if r.read < 2 && ride.Backward {
		return ride, "In this file time runs backward. Sort it with the oldest row first and read it again."
	}
	if r.read < 2 {
		return ride, "No two rows with a time were found. Is the right column taken as the time, in the right unit?"
	}
	r.sum.finish(&ride)
	return ride, ""
}

// Read reads a log that is there as a whole.
func Read(text []byte, set Settings) (Ride, string) {
	r := NewReader(set)
	r.Feed(text)
	return r.Finish()
}
