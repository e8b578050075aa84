package ui

import (
	"slices"
	"strconv"
	"strings"

	"headroom/core/build"
)

// onBoard is what tells one board from another: parts that a fit does not change. The empty one stands for readings from before they were kept
// with their board.
type onBoard struct {
	series, parallel              int
	cell, motor, tire, controller string
}

// board is that of the build in hand.
func (p *Planner) board() onBoard {
	b := &p.Build
	return onBoard{b.Series, b.Parallel, b.Cell, b.Motor, b.Tire, b.Controller}
}

func (b *onBoard) known() bool { return b.series > 0 }

// text is how it is kept on the device; readBoard reads it again, as the empty one where it cannot.
func (b *onBoard) text() string {
	if !b.known() {
		return ""
	}
	return strings.Join([]string{strconv.Itoa(b.series), strconv.Itoa(b.parallel), b.cell, b.motor, b.tire, b.controller}, "~")
}

func readBoard(text string) onBoard {
	parts := strings.Split(text, "~")
	if len(parts) != 6 {
		return onBoard{}
	}
	s, err := strconv.Atoi(parts[0])
	q, err2 := strconv.Atoi(parts[1])
	if err != nil || err2 != nil || s < 1 || q < 1 {
		return onBoard{}
	}
	return onBoard{s, q, parts[2], parts[3], parts[4], parts[5]}
}

// words name a board beside another one: cells and motor always, the other parts where they differ.
func (b *onBoard) words(beside *onBoard) string {
	text := strconv.Itoa(b.series) + "s" + strconv.Itoa(b.parallel) + "p, " + classNamed("motor", b.motor)
	for _, part := range []struct{ key, is, other string }{{"cell", b.cell, beside.cell}, {"tire", b.tire, beside.tire}, {"ctrl", b.controller, beside.controller}} {
		if part.is != part.other {
			f := build.FieldFor(part.key)
			text += ", " + strings.ToLower(f.Label) + " " + classNamed(part.key, part.is)
		}
	}
	return text
}

// classNamed is the name of a part's class, or its id where nobody here knows it.
func classNamed(key, id string) string {
	for _, o := range build.FieldFor(key).Options() {
		if o.ID == id {
			return o.Name
		}
	}
	return build.Foreign(id)
}

// foreign lists the readings that were taken on another board than that of the build in hand.
func (p *Planner) foreign() (rows []*measured) {
	if len(p.ride.rows) == 0 {
		return nil
	}
	now := p.board()
	for i := range p.ride.rows {
		if m := &p.ride.rows[i]; m.on != now {
			rows = append(rows, m)
		}
	}
	return rows
}

func (p *Planner) isForeign(m *measured) bool { return m.on != p.board() }

// binding is of which board a reading is said to be.
type binding struct {
	id int
	on onBoard
}

// AdoptReadings says that all readings are of the build in hand, as one step of undo.
func (p *Planner) AdoptReadings() {
	var before []binding
	for _, m := range p.foreign() {
		before = append(before, binding{m.id, m.on})
		m.on = p.board()
	}
	if before == nil {
		return
	}
	p.recordBindings(before)
	p.changedRide()
	of := p.Build
	p.ride.said, p.ride.holds = "The readings are held against this build now; undo takes that back.", &of
	p.Focus = "ride-said"
}

// swapBindings says of readings that they are of the boards listed, and returns of which they were.
func (p *Planner) swapBindings(list []binding) (before []binding) {
	for _, b := range list {
		now := b.on
		if m := p.rowAt(b.id); m != nil {
			now, m.on = m.on, b.on
		}
		before = append(before, binding{b.id, now})
	}
	if list != nil {
		p.changedRide()
	}
	return before
}

// RemoveReadings takes all readings away; undo brings them back.
func (p *Planner) RemoveReadings() {
	p.takeAway(func(*measured) bool { return true })
	p.ride.say("All readings are gone; undo brings them back.")
	p.Focus = "ride-said"
}

// takeAway takes readings away, as one step of undo.
func (p *Planner) takeAway(which func(*measured) bool) {
	r := &p.ride
	var gone, kept []measured
	for _, m := range r.rows {
		if which(&m) {
			gone = append(gone, m)
		} else {
			kept = append(kept, m)
		}
	}
	if len(gone) == 0 {
		return
	}
	r.rows = kept
	p.recordReadings(gone)
	p.changedRide()
}

// swapReadings brings readings back that are gone, or takes them away again.
func (p *Planner) swapReadings(list []measured) {
	r := &p.ride
	here := func(id int) bool { return p.rowAt(id) != nil }
	if here(list[0].id) {
		r.rows = slices.DeleteFunc(slices.Clone(r.rows), func(m measured) bool {
			return slices.ContainsFunc(list, func(o measured) bool { return o.id == m.id })
		})
	} else {
		for i := range list { // each to its old place
			at := 0
			for at < len(r.rows) && r.rows[at].id < list[i].id {
				at++
			}
			r.rows = slices.Insert(r.rows, at, list[i])
		}
	}
	p.changedRide()
}

// strangers says of which board the readings are that are held against nothing; "" where there are none.
func (c *RideCheckBody) strangers() string {
	rows := c.P.foreign()
	if len(rows) == 0 {
		return ""
	}
	now := c.P.board()
	var boards []onBoard
	for _, m := range rows {
		if !slices.Contains(boards, m.on) {
			boards = append(boards, m.on)
		}
	}
	what := "Measured on "
	if n := len(rows); n < len(c.r().rows) {
		what = counted(n, "reading") + " below: measured on "
	}
	if len(boards) == 1 && !boards[0].known() {
		return "Which board this was measured on was not kept; this build is " + now.words(&now) + ". Until you say which, nothing is held against it."
	}
	var names []string
	beside := now
	for i := range boards {
		if b := &boards[i]; b.known() {
			names = append(names, b.words(&now))
			beside = *b
		} else {
			names = append(names, "a board that was not kept")
		}
	}
	if len(boards) > 1 {
		beside = now
	}
	return what + strings.Join(names, " and on ") + "; this build is " + now.words(&beside) + ". Readings of another board are held against nothing here."
}

// several tells whether there is more than one reading, so that all can be removed at once.
func (c *RideCheckBody) several() bool { return len(c.r().rows) > 1 }

// logUsed is what a log measured, where it was read for the build's board.
func (p *Planner) logUsed() int {
	r := &p.ride
	if r.loggedOn.known() && r.loggedOn != p.board() {
		return 0
	}
	return len(r.logged)
}
