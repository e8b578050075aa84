package ui

import (
	"strconv"

	"headroom/core/build"
	"headroom/core/link"
	"headroom/core/ridelog"
)

// Source is a file that is read in pieces.
type Source struct {
	Name  string
	Bytes int
	// Read has n bytes from a place handed to take, later and once: the bytes, which are take's only until it returns, or in words why there
	// are none. take says whether there is something new to show.
	Read func(from, n int, take func(piece []byte, why string) (show bool))
	// Apart has a program beside the page read all of it, whose words come through TakeLogNews and LogBroke, and returns what ends that
	// program; nil where there can be none. It may itself be nil.
	Apart func(LogOrder) (stop func())
}

// rideLog is a log as far as it has been read. Only what was made of it is kept, neither its rows nor, across visits, anything.
type rideLog struct {
	file    *Source
	turn    int             // counts readings; pieces of one that was given up are dropped
	reader  *ridelog.Reader // in the page's own thread
	stop    func()          // ends the program beside the page that reads; nil where there is none
	guided  *ridelog.Layout // the columns that it is read with; nil: guessed
	done    int             // bytes read
	percent int
	reading bool

	ride    *ridelog.Ride // nil where there is none
	failure string
	layout  ridelog.Layout // the columns as they are to be read next
	changed bool           // they are not those of ride
	of      build.Build    // what reserve was told by
	fullV   float64        // of its pack
	said    string

	rev   int // counts every change of what the card shows
	plots logPlots
}

const (
	rideLogID = "out-ride-log"
	// logPiece is how much is read in one go: some milliseconds of work on a phone.
	logPiece = 64 << 10
)

// PickLog lets a person pick a log; it must be called within a click.
func (p *Planner) PickLog() {
	if p.OnOpen != nil {
		p.OnOpen(".csv,.tsv,.txt,.log,text/csv,text/plain", p.OpenLog)
	}
}

// DropLog takes a log that was dropped on the page.
func (p *Planner) DropLog(file *Source, why string) {
	p.SetOpen(rideLogID, true)
	p.Focus = "ride-log-head"
	p.OpenLog(file, why)
}

// OpenLog begins to read a log, picked or dropped; why says why there is none.
func (p *Planner) OpenLog(file *Source, why string) {
	l := &p.log
	p.SetOpen(rideLogID, true)
	if why != "" {
		l.said = "The file was not read: " + why
		l.rev++
		return
	}
	p.CancelLog()
	l.file, l.ride, l.failure, l.changed, l.layout = file, nil, "", false, ridelog.Layout{}
	p.readLog(nil)
}

// readLog reads the file from its beginning; with nil its columns are guessed.
func (p *Planner) readLog(layout *ridelog.Layout) {
	l := &p.log
	l.turn++
	l.said, l.done, l.percent, l.reading, l.of, l.fullV = "", 0, 0, true, p.Build, p.Report.Pack.FullV
	l.guided = layout
	l.rev++
	if !p.readApart(layout) {
		p.readHere()
	}
}

// readHere reads between the frames.
func (p *Planner) readHere() {
	l := &p.log
	o := LogOrder{Link: link.Encode(&l.of, nil), Layout: l.guided}
	reader, err := o.Reader()
	if err != nil {
		l.reading = false
		p.Fail(err)
		return
	}
	l.reader = reader
	p.readOn(l.turn)
}

// readOn asks for the next piece.
func (p *Planner) readOn(turn int) {
	l := &p.log
	l.file.Read(l.done, min(logPiece, l.file.Bytes-l.done), func(piece []byte, why string) (show bool) {
		if turn != l.turn || !l.reading {
			return false
		}
		defer func() {
			if v := recover(); v != nil {
				l.reading, show = false, true
				p.Fail(v)
			}
		}()
		if why != "" || len(piece) == 0 && l.done < l.file.Bytes {
			p.brokeOff(orElse(why, FileChanged))
			return true
		}
		l.reader.Feed(piece)
		if done := l.done + len(piece); done < l.file.Bytes {
			show = l.at(done)
			p.readOn(turn)
			return show
		}
		p.finishLog(l.reader.Finish())
		return true
	})
}

// FileChanged says why a file ends before it should.
const FileChanged = "it has changed."

// at notes how far it is; show says whether that is to be shown.
func (l *rideLog) at(done int) (show bool) {
	before := l.percent
	l.done, l.percent = done, int(100*float64(done)/float64(l.file.Bytes))
	if show = l.percent/2 != before/2; show {
		l.rev++
	}
	return show
}

// brokeOff ends a reading before the file's end.
func (p *Planner) brokeOff(why string) {
	l := &p.log
	l.reading, l.reader = false, nil
	l.said = "The file could not be read to its end: " + why
	l.rev++
}

func orElse(text, other string) string {
	if text == "" {
		return other
	}
	return text
}

func (p *Planner) finishLog(ride ridelog.Ride, failure string) {
	l := &p.log
	l.reader, l.reading, l.changed = nil, false, false
	l.failure, l.layout, l.ride = failure, ride.Layout.Copy(), nil
	if failure == "" {
		l.ride = &ride
	} else if len(l.layout.Columns) > 0 {
		p.SetOpen(columnsID, true)
	}
	l.rev++
}

// CancelLog gives up reading.
func (p *Planner) CancelLog() {
	l := &p.log
	if !l.reading {
		return
	}
	l.endApart()
	l.reading, l.reader = false, nil
	l.turn++
	l.said = "Reading was given up."
	l.rev++
}

// ReadLogAgain reads the file with the columns as corrected by hand, and holds it against the build as it is now.
func (p *Planner) ReadLogAgain() {
	l := &p.log
	if l.file == nil || l.reading {
		return
	}
	layout := l.layout.Copy()
	p.readLog(&layout)
}

const columnsID = "out-ride-log-columns"

// column is one that a person may correct, nil where there is none of the number.
func (l *rideLog) column(i int) *ridelog.Column {
	if i < 0 || i >= len(l.layout.Columns) || l.reading {
		return nil
	}
	l.changed = true
	l.said = ""
	l.rev++
	return &l.layout.Columns[i]
}

// UseColumn says what a column holds: a quantity by its number.
func (p *Planner) UseColumn(i int, quantity string) {
	q, err := strconv.Atoi(quantity)
	if err != nil || q < 0 || q >= len(ridelog.Quantities()) {
		return
	}
	if p.log.column(i) != nil {
		p.log.layout.Use(i, ridelog.Quantity(q))
	}
}

// SetColumnUnit says which unit a column is in.
func (p *Planner) SetColumnUnit(i int, id string) {
	if c := p.log.column(i); c != nil {
		c.Unit, c.Assumed = id, false
	}
}

// FlipColumn turns the sign of a column around.
func (p *Planner) FlipColumn(i int, on bool) {
	if c := p.log.column(i); c != nil {
		c.Flip = on
	}
}

// TurnSigns turns the currents around whose signs are in doubt and reads again.
func (p *Planner) TurnSigns() {
	l := &p.log
	if l.ride == nil {
		return
	}
	turn := func(list ...ridelog.Quantity) {
		for _, q := range list {
			if i := l.layout.Column(q); i >= 0 {
				p.FlipColumn(i, !l.layout.Columns[i].Flip)
				return
			}
		}
	}
	if l.ride.BatteryDoubt {
		turn(ridelog.BatteryA, ridelog.Power)
	}
	if l.ride.PhaseDoubt {
		turn(ridelog.PhaseA)
	}
	p.ReadLogAgain()
}

// FitLog hands what the log tells to the ride check and has the plan fitted to it.
func (p *Planner) FitLog() {
	l := &p.log
	if l.ride == nil {
		return
	}
	if l.unfit() != "" {
		p.Focus = "log-unfit"
		return
	}
	p.ride.logged, p.ride.loggedOf = ridelog.Measurements(l.ride, p.Report.Board()), l.file.Name
	p.ride.loggedOn = p.board()
	p.ride.asked++
	p.SetOpen(rideCheckID, true)
	p.FitRide()
}
