package main

import (
	"fmt"

	"github.com/hack-pad/safejs"

	"headroom/ui"
	"headroom/wasm/page"
)

func main() {
	if text, ok := shareOfWork(); ok {
		runShare(text)
		return
	}
	if err := run(); err != nil {
		// Nothing is on the page yet; boot.js shows the message and keeps the address.
		boot("fail", "the planner could not start: "+err.Error())
	}
	select {} // the program lives as long as the page
}

func run() error {
	document, err := safejs.Global().Get("document")
	if err != nil {
		return err
	}
	mount, err := document.Call("getElementById", "app")
	if err != nil {
		return err
	}
	planner := ui.NewPlanner()
	store := openStore()
	planner.Units = store.units()
	planner.OnUnits = store.keepUnits
	planner.Sun = store.sun()
	planner.OnSun = store.keepSun

	p := page.Start(mount, &ui.Root{P: planner}, func(v any) {
		fmt.Println("headroom: fault:", v) // the console, for whoever reports it
		planner.Fail(v)
	})
	address, err := openAddress(planner, store, p.RequestRender)
	if err != nil {
		return err
	}
	planner.OnCopy = func(link string) {
		copyText(address.with(link), func(text string, ok bool) {
			planner.Copied(text, ok)
			p.RequestRender()
		})
	}
	if err := openDesk(planner, store, p.RequestRender); err != nil {
		return err
	}
	openFinder(planner, p.RequestRender)
	speaker := newSpeaker(planner, p.RequestRender)
	worker := newWorker(planner, p.RequestRender)
	keepHolding(planner, p.RequestRender)

	first := true
	p.AfterRender(func() {
		if first {
			first = false
			boot("ready")
		}
		address.follow()
		speaker.follow()
		worker.follow()
		focus(document, planner)
		paper(planner, p.RequestRender)
	})
	return nil
}

// focus moves the focus where the planner wants it.
func focus(document safejs.Value, planner *ui.Planner) {
	id := planner.Focus
	if id == "" {
		return
	}
	planner.Focus = ""
	element, err := document.Call("getElementById", id)
	if err != nil || !isObject(element) {
		return
	}
	if _, err := element.Call("focus"); err != nil {
		fmt.Println("headroom:", err)
	}
}

// paper has the browser print what the planner wants printed; the browser waits until that is done or given up.
func paper(planner *ui.Planner, rendered func()) {
	if planner.Printing == "" {
		return
	}
	if _, err := safejs.Global().Call("print"); err != nil {
		fmt.Println("headroom:", err)
	}
	planner.Printing = ""
	rendered()
}

// boot calls one of boot.js's functions, if the page has it.
func boot(name string, args ...any) {
	if b, ok := bootPart(); ok {
		if _, err := b.Call(name, args...); err != nil {
			fmt.Println("headroom:", err)
		}
	}
}

func bootPart() (safejs.Value, bool) {
	b, err := safejs.Global().Get("headroomBoot")
	return b, err == nil && isObject(b)
}
