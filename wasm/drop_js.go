package main

import (
	"github.com/hack-pad/safejs"

	"headroom/core/route"
	"headroom/ui"
)

// takeDrops lets a track, a ride log, builds or a price list be dropped anywhere on the page. A browser that is not told otherwise leaves
// the page for a file that falls on it.
func takeDrops(planner *ui.Planner, logs *sources, render func()) error {
	err := hear("dragover", func(event safejs.Value) {
		if _, ok := filesOf(event); ok {
			_, _ = event.Call("preventDefault")
		}
	})
	if err != nil {
		return err
	}
	return hear("drop", func(event safejs.Value) {
		files, ok := filesOf(event)
		if !ok {
			return // a text or a link: the field below it takes it
		}
		_, _ = event.Call("preventDefault")
		file, err := files.Index(0)
		if err != nil || !isObject(file) {
			return // nothing
		}
		take(planner, logs, render, file, event)
		render()
	})
}

// take hands a file to what it is for.
func take(planner *ui.Planner, logs *sources, render func(), file, event safejs.Value) {
	name, card := textOf(file, "name"), cardOf(event)
	read := func(maxBytes int, done func(text, failure string)) {
		shown := func(_, text, failure string) {
			done(text, failure)
			render()
		}
		if err := readText(file, maxBytes, shown); err != nil {
			done("", notHanded)
		}
	}
	switch planner.DropOf(name, card) {
	case ui.DropTrack:
		read(route.MaxBytes, func(text, failure string) { planner.DropRoute(name, text, failure) })
	case ui.DropText:
		read(ui.MaxDropped, func(text, failure string) { planner.TakeText(card, text, failure) })
	case ui.DropLog:
		logs.open = planner.DropLog
		if err := logs.openFile(file); err != nil {
			logs.refuse(notHanded)
		}
	default:
		planner.RefuseDrop(name, pixels(event, "clientX"), pixels(event, "clientY"))
	}
}

// cardOf is the id of the card that an event fell on, of those that tell more of a file than its name does.
func cardOf(event safejs.Value) string {
	target, err := event.Get("target")
	if err != nil || !isObject(target) {
		return ""
	}
	card, err := target.Call("closest", ui.DropCards)
	if err != nil || !isObject(card) {
		return ""
	}
	return textOf(card, "id")
}

// pixels is a coordinate of an event, 0 where it has none.
func pixels(event safejs.Value, name string) int {
	value, err := event.Get(name)
	if err != nil {
		return 0
	}
	v, err := value.Float()
	if err != nil {
		return 0
	}
	return int(v)
}

// filesOf is the list of files that an event carries; ok is false where it carries something else. While it is dragged the list is still
// empty, so the kinds are looked at.
func filesOf(event safejs.Value) (files safejs.Value, ok bool) {
	carried, err := event.Get("dataTransfer")
	if err != nil || !isObject(carried) {
		return files, false
	}
	kinds, err := carried.Get("types")
	if err != nil {
		return files, false
	}
	has, err := kinds.Call("includes", "Files")
	if err != nil {
		return files, false
	}
	if is, err := has.Bool(); err != nil || !is {
		return files, false
	}
	files, err = carried.Get("files")
	return files, err == nil && isObject(files)
}
