package main

import (
	"time"

	"headroom/ui"
)

// clickWithin is how long after a button is let go its click may come; later ones are clicks of their own.
const clickWithin = 300 * time.Millisecond

// keepHolding times the repeats of a step button that is held down.
func keepHolding(planner *ui.Planner, render func()) {
	var timer *time.Timer
	var repeat func()
	wait := func() {
		timer = time.AfterFunc(time.Duration(planner.HoldPause())*time.Millisecond, repeat)
	}
	repeat = func() {
		if planner.HoldStep() {
			wait() // only now, so that a slow device does not pile steps up
		}
		render()
	}
	planner.OnHold = func() {
		if timer != nil {
			timer.Stop()
		}
		if planner.Held() {
			wait()
		} else {
			timer = time.AfterFunc(clickWithin, planner.Unspend)
		}
	}
}
