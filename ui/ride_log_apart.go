package ui

import (
	"headroom/core"
	"headroom/core/link"
	"headroom/core/ridelog"
	"headroom/ui/internal/parcel"
)

// LogOrder is how a log is to be read, for a program beside the page that has the file.
type LogOrder struct {
	Link   string          // of the board that it is held against
	Layout *ridelog.Layout // nil: its columns are guessed
}

// Reader begins to read.
func (o *LogOrder) Reader() (*ridelog.Reader, error) {
	l := link.Decode(o.Link)
	report, err := core.Plan(l.Build)
	if err != nil {
		return nil, err
	}
	return ridelog.NewReader(ridelog.Settings{Layout: o.Layout, Model: ridelog.NewModel(report.Board()), Wanted: l.Build.Shift}), nil
}

// LogNews is what such a program tells.
type LogNews struct {
	Done    int           // bytes read
	Ride    *ridelog.Ride // at the end, with what was understood of the layout at least
	Failure string        // why there is no ride
	Why     string        // why the file could not be read to its end, a sentence; "" otherwise
}

// Bytes is the news as it crosses to the page.
func (n *LogNews) Bytes() []byte { return parcel.Pack(*n) }

// readApart has a program beside the page read the file; it tells whether there is one.
func (p *Planner) readApart(layout *ridelog.Layout) bool {
	l := &p.log
	if l.file.Apart == nil {
		return false
	}
	l.stop = l.file.Apart(LogOrder{Link: link.Encode(&p.Build, nil), Layout: layout})
	return l.stop != nil
}

// ReadingApart tells whether a program beside the page is reading.
func (p *Planner) ReadingApart() bool { return p.log.reading && p.log.stop != nil }

// endApart ends such a program.
func (l *rideLog) endApart() {
	if l.stop != nil {
		l.stop()
		l.stop = nil
	}
}

// TakeLogNews takes what that program tells; show says whether there is something new to show.
func (p *Planner) TakeLogNews(b []byte) (show bool) {
	if !p.ReadingApart() {
		return false
	}
	defer func() {
		if v := recover(); v != nil {
			p.log.reading, show = false, true
			p.log.endApart()
			p.Fail(v)
		}
	}()
	var news LogNews
	if err := parcel.Unpack(b, &news); err != nil {
		p.LogBroke()
		return true
	}
	l := &p.log
	switch {
	case news.Why != "":
		l.endApart()
		p.brokeOff(news.Why)
	case news.Ride != nil:
		l.endApart()
		p.finishLog(*news.Ride, news.Failure)
	default:
		return l.at(news.Done)
	}
	return true
}

// LogBroke is called where the program beside the page cannot read after all: the page reads from the beginning, between its frames.
func (p *Planner) LogBroke() {
	if !p.ReadingApart() {
		return
	}
	l := &p.log
	l.endApart()
	l.done, l.percent = 0, 0
	l.rev++
	p.readHere()
}
