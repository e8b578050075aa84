package main

import (
	"github.com/hack-pad/safejs"

	"headroom/core/route"
	"headroom/ui"
)

// takeDrops lets a track or a ride log be dropped anywhere on the page. A browser that is not told otherwise leaves the page for a file that
// falls on it.
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
			return // a folder, or nothing
		}
		name := textOf(file, "name")
		if ui.IsTrack(name) {
			done := func(name, text, failure string) {
				planner.DropRoute(name, text, failure)
				render()
			}
			if err := readText(file, route.MaxBytes, done); err != nil {
				done(name, "", notHanded)
			}
			return
		}
		logs.open = planner.DropLog
		if err := logs.openFile(file); err != nil {
			logs.refuse(notHanded)
		}
	})
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
