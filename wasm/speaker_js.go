package main

import (
	"time"

	"headroom/ui"
)

// pause is how long after the last change the slow things follow: what screen readers are told, so that a moving slider does not
// chatter, and what would help most.
const pause = 700 * time.Millisecond

// speaker lets the planner settle once changes have come to rest.
type speaker struct {
	planner *ui.Planner
	render  func()
	link    string
	timer   *time.Timer
}

func newSpeaker(planner *ui.Planner, render func()) *speaker {
	return &speaker{planner: planner, render: render, link: planner.Link()}
}

func (s *speaker) follow() {
	link := s.planner.Link()
	if link == s.link {
		return
	}
	s.link = link
	if s.timer != nil {
		s.timer.Stop()
	}
	s.timer = time.AfterFunc(pause, func() {
		s.planner.Settle()
		s.render()
	})
}
