package ui

import (
	"slices"
	"strconv"

	"headroom/core/build"
	"headroom/core/link"
)

// maxSteps bounds how many steps back are kept; one takes about two kilobytes.
const maxSteps = 300

// state is what a step brings back: the build to the last digit, and the keys of its link that nobody here knows.
type state struct {
	build   build.Build
	unknown []link.Pair
}

func (p *Planner) state() state { return state{p.Build, p.Unknown} }

func (s *state) same(t *state) bool { return s.build == t.build && slices.Equal(s.unknown, t.unknown) }

// step is a state to go to and what the way there changes, in words.
type step struct {
	state
	words    string
	readings []measured // of the ride check that the step took away; nil for a step of another kind
	bound    []binding  // of which boards the step's readings are said to be, the other way; nil for a step of another kind
}

// steps is what undo and redo walk. One gesture is one step: changes of one field with no rest between them come together.
type steps struct {
	past, future []step
	now          state
	gesture      string // the field whose change may still go on; "" after a rest
	begun        bool   // a build has been opened or changed, so that the next one opened is a step
}

// record makes a step of what has changed since the last one. Changes with the same gesture come together; one without is by itself.
func (p *Planner) record(gesture string) {
	s, now := &p.steps, p.state()
	s.begun = true
	if now.same(&s.now) {
		return
	}
	if n := len(s.past); gesture == "" || gesture != s.gesture || n == 0 {
		s.past = append(s.past, step{s.now, p.changed(gesture, &s.now.build), nil, nil})
		if len(s.past) > maxSteps {
			s.past = slices.Delete(s.past, 0, len(s.past)-maxSteps)
		}
		s.gesture = gesture
	} else if s.past[n-1].same(&now) { // back where it began, so there is nothing to undo
		s.past, s.gesture = s.past[:n-1], ""
	}
	s.future, s.now = nil, now
}

// recordOpened makes a step of a build that the address brought. Back and forward of the browser and undo and redo walk the same
// changes, so what is one step away is walked to.
func (p *Planner) recordOpened() {
	s, now := &p.steps, p.state()
	s.gesture = ""
	switch {
	case !s.begun:
		s.begun, s.now = true, now
	case leadsTo(s.past, &now):
		p.walk(&s.past, &s.future)
	case leadsTo(s.future, &now):
		p.walk(&s.future, &s.past)
	default:
		p.record("")
	}
}

// ofBuild tells a step of the build from one of the readings, which leaves the build as it is.
func (s *step) ofBuild() bool { return s.readings == nil && s.bound == nil }

func leadsTo(list []step, to *state) bool {
	return len(list) > 0 && list[len(list)-1].ofBuild() && list[len(list)-1].same(to)
}

// recordReadings makes a step of readings that were taken away. The build stays as it is.
func (p *Planner) recordReadings(gone []measured) {
	p.recordBeside("Readings removed", gone, nil)
}

// recordBindings makes a step of readings that are said to be of another board than before. The build stays as it is.
func (p *Planner) recordBindings(before []binding) {
	p.recordBeside("Board of the readings", nil, before)
}

func (p *Planner) recordBeside(words string, gone []measured, before []binding) {
	p.record("")
	s := &p.steps
	s.past = append(s.past, step{s.now, words, gone, before})
	if len(s.past) > maxSteps {
		s.past = slices.Delete(s.past, 0, len(s.past)-maxSteps)
	}
	s.future, s.gesture = nil, ""
}

// walk takes the last step of a list and puts the way back on the other.
func (p *Planner) walk(from, to *[]step) (words string) {
	s := &p.steps
	last := (*from)[len(*from)-1]
	*from = (*from)[:len(*from)-1]
	*to = append(*to, step{s.now, last.words, last.readings, p.swapBindings(last.bound)})
	s.now, s.gesture = last.state, ""
	if last.readings != nil {
		p.swapReadings(last.readings)
	}
	return last.words
}

// Undo goes one step back.
func (p *Planner) Undo() { p.stride("Undone: ", &p.steps.past, &p.steps.future) }

// Redo goes forward again.
func (p *Planner) Redo() { p.stride("Done again: ", &p.steps.future, &p.steps.past) }

func (p *Planner) stride(word string, from, to *[]step) {
	if len(*from) == 0 {
		return
	}
	// Said with the summary of the figures and not as a message: that would move the sliders below it.
	p.told = word + p.walk(from, to) + ". "
	p.Build, p.Unknown = p.steps.now.build, p.steps.now.unknown
	p.Problems = nil
	clear(p.drafts)
	p.Note, p.LinkText = "", ""
	p.plan()
}

// changed says what differs from the build before.
func (p *Planner) changed(gesture string, before *build.Build) string {
	if f := build.FieldFor(gesture); f != nil {
		return f.Label
	}
	words, more := "", 0
	for i := range build.Fields {
		f := &build.Fields[i]
		switch {
		case f.Text(before) == f.Text(&p.Build):
		case words == "":
			words = f.Label
		default:
			more++
		}
	}
	switch {
	case words == "":
		return "keys of the link"
	case more > 0:
		return words + " and " + strconv.Itoa(more) + " more"
	}
	return words
}

// UndoKey answers a key pressed with Ctrl or Cmd anywhere on the page, and tells whether it was one of ours. field is the name of the text
// field that has the focus and inField tells whether one has: a text that is being typed has an undo of its own.
func (p *Planner) UndoKey(key string, shift, inField bool, field string) bool {
	if inField {
		if _, typing := p.drafts[field]; typing || build.FieldFor(field) == nil {
			return false
		}
	}
	switch {
	case (key == "z" || key == "Z") && !shift:
		p.Undo()
	case key == "z" || key == "Z" || (key == "y" || key == "Y") && !shift:
		p.Redo()
	default:
		return false
	}
	return true
}

// EditTools is undo, redo and pin.
type EditTools struct{ P *Planner }

// off is the aria-disabled of a button with nowhere to go. It stays focusable, or the focus would be lost with the last step.
func (c *EditTools) off(list []step) string { return strconv.FormatBool(len(list) == 0) }

func (c *EditTools) title(word string, list []step) string {
	if len(list) == 0 {
		return "Nothing to " + word
	}
	return upperFirst(word) + ": " + list[len(list)-1].words
}

func (c *EditTools) pinned() string { return strconv.FormatBool(c.P.pinned != nil) }

func (c *EditTools) pinTitle() string {
	if c.P.pinned != nil {
		return "Stop comparing with the pinned build"
	}
	return "Hold every figure against this build from now on"
}
