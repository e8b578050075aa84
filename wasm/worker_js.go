package main

import (
	"time"

	"headroom/ui"
)

const (
	slice  = 12 * time.Millisecond  // of work in one go, so that a finger is answered within the frame after it
	breath = 4 * time.Millisecond   // between two goes, for input and frames
	often  = 150 * time.Millisecond // between two showings of what has been found
)

// worker does the planner's slow work in small pieces between the frames.
type worker struct {
	planner *ui.Planner
	render  func()
	busy    bool
	shown   time.Time
}

// newWorker begins to look around once the first view has been there for a moment; later the planner does so as it settles.
func newWorker(planner *ui.Planner, render func()) *worker {
	time.AfterFunc(pause, func() {
		planner.LookAround()
		render()
	})
	return &worker{planner: planner, render: render}
}

// follow is called after every frame.
func (w *worker) follow() {
	if !w.busy && w.planner.HasWork() {
		w.busy, w.shown = true, time.Now()
		time.AfterFunc(breath, w.work)
	}
}

func (w *worker) work() {
	start := time.Now()
	more := w.planner.HasWork()
	for more && time.Since(start) < slice {
		w.planner.Work()
		more = w.planner.HasWork()
	}
	if more {
		time.AfterFunc(breath, w.work)
	} else {
		w.busy = false
	}
	if now := time.Now(); !more || now.Sub(w.shown) > often {
		w.shown = now
		w.render()
	}
}
