package main

import (
	"github.com/hack-pad/safejs"

	"headroom/ui"
)

// kept is where the planner's small texts lie. The list is at most a few dozen kilobytes and has to be on the device before the page can
// be left, so localStorage serves, which writes at once; a database would write later.
const kept = "headroom."

// openDesk brings back pin and saved builds, and connects what is done with them to the device.
func openDesk(planner *ui.Planner, store store, render func()) error {
	planner.OnKeep = func(name, text string) error { return store.keep(kept+name, text) }
	planner.OnSave = saveFile
	planner.Recall(func(name string) string { return store.get(kept + name) })
	planner.OnPick = pickTexts(&chooser{}, render)
	planner.OnCopyText = func(text string, done func(ok bool)) {
		copyText(text, func(_ string, ok bool) {
			done(ok)
			render()
		})
	}

	// Another window of the same planner has changed the list: take it over, or the next change here would undo that one.
	err := hear("storage", func(event safejs.Value) {
		if textOf(event, "key") == kept+ui.KeepBuilds {
			planner.RecallBuilds(store.get(kept + ui.KeepBuilds))
			render()
		}
	})
	if err != nil {
		return err
	}
	return hear("keydown", func(event safejs.Value) {
		if !flagOf(event, "ctrlKey") && !flagOf(event, "metaKey") || flagOf(event, "altKey") {
			return
		}
		inField, field := typingIn(event)
		if planner.UndoKey(letter(event), flagOf(event, "shiftKey"), inField, field) {
			_, _ = event.Call("preventDefault")
			render()
		}
	})
}

// letter is the key pressed; by its place on the keyboard where the alphabet is another one.
func letter(event safejs.Value) string {
	key := textOf(event, "key")
	if key != "" && key[0] < 0x80 {
		return key
	}
	switch textOf(event, "code") {
	case "KeyZ":
		return "z"
	case "KeyY":
		return "y"
	}
	return ""
}

// typingIn tells whether the key went to a field with text in it, and that field's name.
func typingIn(event safejs.Value) (inField bool, name string) {
	target, err := event.Get("target")
	if err != nil || !isObject(target) {
		return false, ""
	}
	switch textOf(target, "tagName") {
	case "TEXTAREA":
		return true, textOf(target, "name")
	case "INPUT":
		kind := textOf(target, "type")
		return kind != "range" && kind != "radio" && kind != "checkbox", textOf(target, "name")
	}
	return false, ""
}

// hear calls f with each event of the window, for the life of the page.
func hear(event string, f func(event safejs.Value)) error {
	callback, err := safejs.FuncOf(func(_ safejs.Value, args []safejs.Value) any {
		f(args[0])
		return nil
	})
	if err != nil {
		return err
	}
	_, err = safejs.Global().Call("addEventListener", event, callback)
	return err
}

// textOf is a property as text, "" where it is none.
func textOf(v safejs.Value, property string) string {
	value, err := v.Get(property)
	if err != nil || value.Type() != safejs.TypeString {
		return ""
	}
	text, err := value.String()
	if err != nil {
		return ""
	}
	return text
}

func flagOf(v safejs.Value, property string) bool {
	value, err := v.Get(property)
	if err != nil || value.Type() != safejs.TypeBoolean {
		return false
	}
	on, err := value.Bool()
	return err == nil && on
}
