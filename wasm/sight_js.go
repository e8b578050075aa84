package main

import (
	"time"

	"github.com/hack-pad/safejs"

	"headroom/ui"
)

const (
	rest   = 150 * time.Millisecond // after the last movement, then what is out of sight catches up
	nearby = "300px 0px"            // beyond the screen's edges, so that a card has caught up before it is seen
)

// watchSight tells the planner which cards can be seen. Where the browser does not say, all are taken to be in sight.
func watchSight(planner *ui.Planner, document safejs.Value, render func()) (follow func()) {
	observer, err := makeObserver(planner, render)
	if err != nil {
		return func() {
			if planner.CatchUp() {
				render()
			}
		}
	}
	watched, behind := false, false
	var timer *time.Timer
	return func() {
		if !watched { // the cards are there from the first frame on and stay
			watched = true
			_ = watchCards(observer, document)
		}
		if planner.CatchUp() {
			render()
		}
		if now := planner.Behind(); now != behind {
			behind = now
			markBehind(document, now)
		}
		if !planner.Moving() {
			return
		}
		if timer != nil {
			timer.Stop()
		}
		timer = time.AfterFunc(rest, func() {
			planner.Rest()
			render()
		})
	}
}

// markBehind tells scripts that read the page whether cards out of sight may show a build of before.
func markBehind(document safejs.Value, behind bool) {
	root, err := document.Get("documentElement")
	if err != nil {
		return
	}
	_, _ = root.Call("toggleAttribute", "data-behind", behind)
}

func makeObserver(planner *ui.Planner, render func()) (safejs.Value, error) {
	makeOne, err := safejs.Global().Get("IntersectionObserver")
	if err != nil {
		return safejs.Value{}, err
	}
	callback, err := safejs.FuncOf(func(_ safejs.Value, args []safejs.Value) any {
		entries := args[0]
		n, _ := entries.Length()
		for i := range n {
			entry, err := entries.Index(i)
			if err != nil {
				continue
			}
			target, err := entry.Get("target")
			if err != nil {
				continue
			}
			data, err := target.Get("dataset")
			if err != nil {
				continue
			}
			planner.SetSight(textOf(data, "sight"), flagOf(entry, "isIntersecting"))
		}
		render() // what has come into sight may be behind
		return nil
	})
	if err != nil {
		return safejs.Value{}, err
	}
	return makeOne.New(callback, map[string]any{"rootMargin": nearby})
}

func watchCards(observer, document safejs.Value) error {
	cards, err := document.Call("querySelectorAll", "[data-sight]")
	if err != nil {
		return err
	}
	n, err := cards.Length()
	if err != nil {
		return err
	}
	for i := range n {
		card, err := cards.Index(i)
		if err != nil {
			return err
		}
		if _, err := observer.Call("observe", card); err != nil {
			return err
		}
	}
	return nil
}
