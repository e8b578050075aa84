package main

import (
	"fmt"

	"github.com/hack-pad/safejs"

	"headroom/ui"
	"headroom/wasm/page"
)

func main() {
	if share, ok := shareOfWork(); ok {
		doShare(share)
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

	p := page.Start(mount, &ui.Page{P: planner}, func(v any) {
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
	openSharing(planner, address, p.RequestRender)
	if err := openDesk(planner, store, p.RequestRender); err != nil {
		return err
	}
	paper, err := openPaper(planner, p.RequestRender)
	if err != nil {
		return err
	}
	openShop(planner, address, p.RequestRender)
	logs, err := openSources(planner, p.RequestRender)
	if err != nil {
		return err
	}
	if err := takeDrops(planner, logs, p.RequestRender); err != nil {
		return err
	}
	search := openFinder(planner, p.RequestRender)
	speaker := newSpeaker(planner, p.RequestRender)
	worker := newWorker(planner, p.RequestRender)
	keepHolding(planner, p.RequestRender)
	sight := watchSight(planner, document, p.RequestRender)
	p.BeforeEvent(planner.Stir)

	first := true
	p.AfterRender(func() {
		if first {
			first = false
			boot("ready")
		}
		address.follow()
		speaker.follow()
		worker.follow()
		sight()
		search.threads.follow(planner.Moving())
		logs.threads.follow(planner.Moving())
		focus(document, planner)
		paper.follow()
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
