package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/hack-pad/safejs"

	"headroom/core/preview"
	"headroom/ui"
)

// settle is how long the build must rest before the address is rewritten: browsers throttle history calls, some at about a
// hundred in half a minute, so this keeps them under three a second.
const settle = 350 * time.Millisecond

// address keeps the build in the page's address. Each build that has settled is one entry of the history, so that back and forward
// walk through them.
type address struct {
	planner  *ui.Planner
	store    store
	render   func()
	history  safejs.Value
	location safejs.Value
	shown    string // the link in the address
	seen     string // the link in the last frame
	timer    *time.Timer
}

// openAddress opens the build in the address: its fragment, else its query, else the last build kept on the device.
func openAddress(planner *ui.Planner, store store, render func()) (*address, error) {
	window := safejs.Global()
	history, err := window.Get("history")
	if err != nil {
		return nil, err
	}
	location, err := window.Get("location")
	if err != nil {
		return nil, err
	}
	a := &address{planner: planner, store: store, render: render, history: history, location: location}
	text := a.text()
	_, offered := preview.In(text)
	if text == "" || offered {
		text = store.build()
	}
	planner.Open(text)
	if !a.offer() {
		a.shown = planner.Link()
		a.write("replaceState")
	}

	for _, event := range []string{"popstate", "hashchange"} {
		if err := listen(window, event, a.reopen); err != nil {
			return nil, err
		}
	}
	// A page that is left within the resting time must not lose the last change.
	return a, listen(window, "pagehide", a.settled)
}

// text is the part of the address that holds a build.
func (a *address) text() string {
	href := a.href()
	if _, fragment, ok := strings.Cut(href, "#"); ok && fragment != "" {
		return "#" + fragment
	}
	if base, _, _ := strings.Cut(href, "#"); strings.Contains(base, "?") {
		_, query, _ := strings.Cut(base, "?")
		return query
	}
	return ""
}

func (a *address) href() string {
	v, err := a.location.Get("href")
	if err != nil {
		return ""
	}
	href, err := v.String()
	if err != nil {
		return ""
	}
	return href
}

// with returns the whole address with a link as its fragment; a query has done its part and is dropped.
func (a *address) with(link string) string {
	base, _, _ := strings.Cut(a.href(), "#")
	base, _, _ = strings.Cut(base, "?")
	return base + "#" + link
}

// reopen follows back, forward and an address edited by hand.
func (a *address) reopen() {
	text := a.text()
	if strings.TrimPrefix(text, "#") == a.shown {
		return
	}
	a.stop()
	if a.offer() {
		a.render()
		return
	}
	a.planner.CloseOffer()
	a.planner.Open(text)
	a.shown = a.planner.Link()
	a.write("replaceState") // the same entry, in canonical form
	a.render()
}

// offer shows the preview that the address holds, if it holds one. The address stays as it is, and so does the build that the device
// remembers.
func (a *address) offer() bool {
	text, ok := preview.In(a.text())
	if ok {
		a.planner.OpenOffer(text)
		a.shown = preview.Key + "=" + text
	}
	return ok
}

// follow notices that the build has changed and rewrites the address once it rests.
func (a *address) follow() {
	link := a.planner.Link()
	if a.planner.Offered() || link == a.shown {
		a.seen = ""
		a.stop()
		a.followOffer()
		return
	}
	if link == a.seen {
		return // a frame of something else
	}
	a.seen = link
	if a.timer == nil {
		a.timer = time.AfterFunc(settle, a.settled)
		return
	}
	a.timer.Reset(settle)
}

// followOffer puts a preview into the address that the page went back to, so that what is seen is what a reload opens. The device goes on
// remembering the build.
func (a *address) followOffer() {
	if text := a.planner.OfferAddress(); text != "" && text != a.shown {
		a.shown = text
		a.write("pushState")
	}
}

func (a *address) stop() {
	if a.timer != nil {
		a.timer.Stop()
	}
}

func (a *address) settled() {
	a.stop()
	link := a.planner.Link()
	if a.planner.Offered() || link == a.shown {
		return
	}
	a.shown = link
	a.write("pushState")
}

func (a *address) write(method string) {
	if !a.planner.Offered() {
		a.store.keepBuild(a.shown)
	}
	if _, err := a.history.Call(method, safejs.Null(), "", a.with(a.shown)); err != nil {
		fmt.Println("headroom: the address could not be rewritten:", err)
	}
}

// listen calls f on an event, for the life of the page.
func listen(target safejs.Value, event string, f func()) error {
	callback, err := safejs.FuncOf(func(safejs.Value, []safejs.Value) any {
		f()
		return nil
	})
	if err != nil {
		return err
	}
	_, err = target.Call("addEventListener", event, callback)
	return err
}
