package ui

import (
	"fmt"
	"strings"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/link"
)

// Planner is the page's state: one build, its report, and what is being typed. The zero Planner is not ready; use NewPlanner.
type Planner struct {
	Build  build.Build
	Report core.Report // of Build; the last good one while something is wrong
	Units  Units
	Sun    bool // more contrast, for sunlight

	Unknown  []link.Pair     // keys of the link that nobody here knows; written back
	Seen     bool            // the message about them has been put away
	Problems []build.Problem // what the link held that could not be used as it stood
	Fault    string          // what went wrong inside, for a person; "" when nothing did
	Note     string          // one line after an action ("Link copied"); shown once
	Summary  string          // what a screen reader is told after changes have settled
	Asked    string          // report key of the figure whose "why?" is open; "" for none
	Focus    string          // id of the element that is to have the focus after the next rendering
	Printing string          // what is to be printed after the next rendering; "" for nothing
	Helpers  []core.Sensitivity
	helpers  string // the link that Helpers was computed for
	LinkText string // shown for copying by hand where the clipboard is closed

	link    string // of linked and Unknown; "" while nobody has asked since there was a plan
	linked  build.Build
	parts   build.Parts // of Build
	entries []madeEntry // by the field's place in the table
	drafts  map[string]draft
	open    map[string]bool
	desk    // pin, undo and saved builds
	shop    // price list, quote and preview

	Sliding // what belongs to moving inputs
	sight
	sharing // what belongs to handing a build on

	plans   int       // how many reports there have been: tells whether something was made of this one
	charts  charts    // see chart.go
	routing routing   // see route.go
	dropped *dropNote // see drop.go; nil for none

	// Actions that need the browser; the program sets them, tests leave them nil.
	OnCopy  func(link string)
	OnUnits func(Units)
	OnSun   func(bool)
	OnSave  func(name, mime string, content []byte)
}

// draft is a text as typed in a field that has not been left yet, or that cannot be used.
type draft struct{ text, message string }

// NewPlanner returns a planner of the default build.
func NewPlanner() *Planner {
	p := &Planner{Build: build.Default(), entries: make([]madeEntry, len(build.Fields)), drafts: map[string]draft{}, open: map[string]bool{}}
	p.plan()
	p.steps.now = p.state()
	return p
}

// Open reads a link. It keeps what it does not understand and lists what it could not use.
func (p *Planner) Open(text string) {
	beside := p.load(text)
	p.recordOpened()
	p.pinBeside(beside)
}

// load takes a link without making it a step of undo. It returns the link of the second build that stands in it, if one does.
func (p *Planner) load(text string) (beside string) {
	l := link.Decode(text)
	p.Build, p.Unknown, p.Problems = l.Build, l.Unknown, l.Problems
	clear(p.drafts)
	p.Seen, p.Note, p.LinkText = false, "", ""
	p.plan()
	return l.Beside
}

// Link returns the canonical link of the build. Several ask for it in every frame, so it is written once for each change.
func (p *Planner) Link() string {
	if p.link == "" || p.linked != p.Build {
		p.link, p.linked = link.Encode(&p.Build, p.Unknown), p.Build
	}
	return p.link
}

// Reset returns to the default build.
func (p *Planner) Reset() {
	p.load("v=1")
	p.record("")
	p.Note = "Back to the standard build"
}

// plan computes the report. A fault in the core keeps the last good report and the build, and says so.
func (p *Planner) plan() {
	p.link, p.pace = "", still
	defer func() {
		if v := recover(); v != nil {
			p.Fail(v)
		}
	}()
	r, err := core.Plan(p.Build)
	if err != nil {
		p.Fail(err)
		return
	}
	p.Report, p.parts, p.Fault = r, p.Build.Parts(), ""
	p.plans++
}

// Fail records a fault. The build stays as it is.
func (p *Planner) Fail(v any) {
	p.Fault = "Something went wrong inside: " + fmt.Sprint(v) + ". Your build is kept; the figures are the last good ones."
}

// edited is called after every change of the build that is a step of its own.
func (p *Planner) edited() { p.editedBy("") }

// editedBy is called after a change of one field; those that follow without a rest belong to it.
func (p *Planner) editedBy(key string) {
	p.record(key)
	p.Note, p.LinkText = "", ""
	p.say("", "")
	p.plan()
	if key != "" {
		p.pace = moving
	}
}

// SetUnits switches the unit system.
func (p *Planner) SetUnits(u Units) {
	p.Units = u
	clear(p.drafts)
	clear(p.finds.typed)
	p.finds.turned()
	if p.OnUnits != nil {
		p.OnUnits(u)
	}
}

// SetSun switches the contrast for sunlight.
func (p *Planner) SetSun(on bool) {
	p.Sun = on
	if p.OnSun != nil {
		p.OnSun(on)
	}
}

// Copy hands the link to the clipboard.
func (p *Planner) Copy() {
	if p.OnCopy != nil {
		p.OnCopy(p.Link())
	}
}

// Copied reports how the copying went; where it failed the link is shown for copying by hand.
func (p *Planner) Copied(address string, ok bool) {
	if ok {
		p.Note, p.LinkText = "Link copied", ""
		return
	}
	p.Note, p.LinkText = "Copy the link by hand:", address
}

// Dismiss puts the messages about the link away. Unknown keys stay in the link.
func (p *Planner) Dismiss() { p.Problems, p.Seen = nil, true }

// IsOpen tells whether a folded group is open.
func (p *Planner) IsOpen(id string) bool { return p.open[id] }

// SetOpen remembers it.
func (p *Planner) SetOpen(id string, open bool) {
	p.open[id] = open
	switch id {
	case helpID:
		p.FindHelpers()
	case shareID:
		p.drawQR()
	case routeID:
		p.rideRoute()
	}
}

// Ask opens what stands behind a figure; asking again closes it.
func (p *Planner) Ask(key string) {
	if p.Asked == key {
		p.Unask()
		return
	}
	p.Asked, p.Focus = key, "why"
}

// Unask closes it and gives the focus back to where it was opened.
func (p *Planner) Unask() {
	p.Focus, p.Asked = "why-"+p.Asked, ""
}

// helpID is the folded card of what would help most. Its figures take a few hundred plans, so they are made only while it is open, and
// after the build has rested.
const helpID = "out-help"

// HelpersFresh tells whether Helpers belong to the build as it is.
func (p *Planner) HelpersFresh() bool { return p.helpers == p.Link() }

// FindHelpers computes what would help most, if anyone looks.
func (p *Planner) FindHelpers() {
	if !p.IsOpen(helpID) || p.HelpersFresh() {
		return
	}
	defer func() {
		if v := recover(); v != nil {
			p.Fail(v)
		}
	}()
	if s, err := core.Sensitivities(p.Build); err == nil {
		p.Helpers, p.helpers = s, p.Link()
	}
}

// Settle is called when the build has rested for a moment.
func (p *Planner) Settle() {
	p.steps.gesture = ""
	p.pace = still
	p.Summarize()
	p.FindHelpers()
	p.LookAround()
	p.drawQR()
	p.rideRoute()
}

// Summarize makes the sentence for screen readers out of the leading readouts.
func (p *Planner) Summarize() {
	var s strings.Builder
	s.WriteString(p.told)
	p.told = ""
	for i, o := range leading {
		f := p.Readout(o)
		if i > 0 {
			s.WriteString(", ")
		}
		s.WriteString(o.Label + " " + f.Number + " " + f.Unit)
		if f.Status != "" {
			s.WriteString(" " + string(f.Status))
		}
	}
	p.Summary = s.String()
}
