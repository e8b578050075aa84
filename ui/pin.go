package ui

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/link"
)

// aside is a build beside the one in hand, with its report.
type aside struct {
	link   string
	build  build.Build
	parts  build.Parts
	report core.Report
}

// planAside plans the build of a link. A fault in the core is an error.
func planAside(text string) (a *aside, err error) {
	defer func() {
		if v := recover(); v != nil {
			a, err = nil, errors.New(fmt.Sprint(v))
		}
	}()
	l := link.Decode(text)
	r, err := core.Plan(l.Build)
	if err != nil {
		return nil, err
	}
	return &aside{text, l.Build, l.Build.Parts(), r}, nil
}

// PinnedReport is the report of the pinned build, nil while none is pinned. It is another one after each pinning.
func (p *Planner) PinnedReport() *core.Report {
	if p.pinned == nil {
		return nil
	}
	return &p.pinned.report
}

// TogglePin pins the build as it is, or lets go of the pinned one.
func (p *Planner) TogglePin() {
	p.Note, p.LinkText = "", ""
	if p.pinned != nil {
		p.Unpin()
		return
	}
	if p.Fault != "" {
		return // the figures are not of this build
	}
	p.pinned, p.told = p.asideNow(), "Pinned. "
	if err := p.keep(KeepPin, p.pinned.link); err != nil {
		p.Note = "Pinned. " + notKept + " The pin is gone when this page is closed."
	}
}

// Unpin lets go of the pinned build.
func (p *Planner) Unpin() {
	p.pinned, p.told = nil, "Unpinned. "
	_ = p.keep(KeepPin, "") // what cannot be written has not been kept either
}

// asideNow is the build in hand.
func (p *Planner) asideNow() *aside { return &aside{p.Link(), p.Build, p.parts, p.Report} }

// recallPin brings back what was pinned when the page was left.
func (p *Planner) recallPin(text string) {
	if p.pinned != nil { // a link has brought one already
		_ = p.keep(KeepPin, p.pinned.link)
		if text != "" {
			p.unpinned(text)
		}
		return
	}
	if text == "" {
		return
	}
	if a, err := planAside(text); err == nil {
		p.pinned = a
	}
}

// compared fills in what a figure has become against the pinned build. It counts with the figures as shown, so that the two and their
// difference agree.
func (p *Planner) compared(f *Figure, o *core.Readout) {
	if p.pinned == nil {
		return
	}
	was := p.Units.figure(o, &p.pinned.report)
	switch {
	case f.Missing && was.Missing:
		f.Change = "±0"
	case f.Missing || was.Missing:
		f.Change = "was " + was.spoken()
	default:
		f.Change = change(f.Number, was.Number)
		if f.Unit != "" && f.Change != "±0" {
			f.Change += " " + f.Unit
		}
	}
	if was.Status != f.Status {
		f.Was = was.Status
	}
}

// spoken is the number with its unit, if there is a number.
func (f *Figure) spoken() string {
	if f.Missing || f.Unit == "" {
		return f.Number
	}
	return f.Number + " " + f.Unit
}

// change is the difference of two formatted numbers with as many digits, with its sign.
func change(now, was string) string {
	digits := 0
	for i := range now {
		if now[i] == '.' {
			digits = len(now) - i - 1
		}
	}
	a, errA := strconv.ParseFloat(now, 64)
	b, errB := strconv.ParseFloat(was, 64)
	if errA != nil || errB != nil {
		return ""
	}
	size := decimal(math.Abs(a-b), digits)
	switch {
	case onlyZeros(size):
		return "±0"
	case a > b:
		return "+" + size
	}
	return "−" + size
}

// wasWord stands before the status that a figure had.
func (f *Figure) wasWord() string {
	if f.Was == "" {
		return ""
	}
	return "was "
}

// figure formats a readout of a report.
func (u Units) figure(o *core.Readout, r *core.Report) Figure {
	f := Figure{Key: o.Key, Label: o.Label, Help: o.Help, Detail: o.Detail(r), Number: "–", Missing: true}
	if f.Bar = r.Bar(o.Key); f.Bar != nil {
		f.Status = f.Bar.Status
	}
	v, ok := o.Value(r)
	f.Number, f.Unit = u.shown(o, v)
	if !ok {
		f.Number = "–"
		return f
	}
	f.Value, f.Missing = strconv.FormatFloat(v, 'g', 12, 64), false
	return f
}

// shown is the value of a readout with its unit. A length that matters to tenths of a millimeter is shown in mm, as gaps are entered.
func (u Units) shown(o *core.Readout, v float64) (number, unit string) {
	if o.Unit == "m" && o.Digits > 3 {
		return u.Figure(1e3*v, "mm", o.Digits-3)
	}
	return u.Figure(v, o.Unit, o.Digits)
}

// held reserves the room for the changes while a build is pinned.
func (c *ReadoutBar) held() string {
	if c.Lead().Change == "" {
		return ""
	}
	return " held"
}

func (c *ReadoutBar) was(i int) string { return c.figures[i].wasWord() }
