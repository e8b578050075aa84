package ui

import (
	"headroom/core"
	"headroom/core/build"
)

// Sliding is what belongs to moving inputs: a step button that is held down, where along a slider's travel the build is clear, and the
// search for what would make a figure clear. The slow parts are done a piece at a time by Work, for which the program finds the time.
type Sliding struct {
	OnHold func() // the program times the repeats; called when a button is pressed or let go

	hold    hold
	travels map[string]*travelled
	seeking *seeking
	looked  bool // along some slider to its end, once
}

// travelled is the travel of one slider, as far as it is known.
type travelled struct {
	of    build.Build // with the slider's own field at its default, for that one does not matter
	work  *core.Travels
	shown []core.Stretch
}

func without(b build.Build, key string) build.Build {
	build.FieldFor(key).Clear(&b)
	return b
}

// travelOf is what is known of a slider's travel; nil where that was for another build.
func (p *Planner) travelOf(key string) *travelled {
	if t := p.travels[key]; t != nil && t.of == without(p.Build, key) {
		return t
	}
	return nil
}

// LookAround begins to look along the travel of every leading slider whose travel is not known for this build. It is called once the
// build has rested.
func (p *Planner) LookAround() {
	if p.travels == nil {
		p.travels = map[string]*travelled{}
	}
	for _, key := range build.Main {
		if p.travelOf(key) == nil {
			p.travels[key] = &travelled{of: without(p.Build, key), work: core.NewTravels(p.Build, key)}
		}
	}
}

// HasWork tells whether Work has anything to do.
func (p *Planner) HasWork() bool {
	if s := p.sought(); s != nil && !s.work.Done() {
		return true
	}
	if p.hasRoute() || p.hasRideWork() {
		return true
	}
	for _, key := range build.Main {
		if t := p.travelOf(key); t != nil && !t.work.Done() {
			return true
		}
	}
	return p.findWork()
}

// Work does one piece of what is waiting: a search that a person waits for comes first, then the ride of a track, then one position of one
// slider, then a bit of a search for builds. What belongs to a build of before is left lying.
func (p *Planner) Work() {
	defer func() {
		if v := recover(); v != nil {
			p.travels, p.seeking, p.routing.work, p.finds.run = nil, nil, nil, nil
			p.giveUpRide()
			p.finds.turned()
			p.Fail(v)
		}
	}()
	if s := p.sought(); s != nil && s.work.Step() {
		return
	}
	if p.hasRoute() {
		p.workRoute()
		return
	}
	if p.rideWork() {
		return
	}
	for _, key := range build.Main {
		if t := p.travelOf(key); t != nil && t.work.Step() {
			t.shown = t.work.Stretches()
			p.looked = p.looked || t.work.Done()
			return
		}
	}
	if p.findWork() {
		p.workFind()
	}
}
