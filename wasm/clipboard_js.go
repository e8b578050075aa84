package main

import "github.com/hack-pad/safejs"

// copyText puts a text on the clipboard and tells how it went. It must be called within a click.
func copyText(text string, done func(text string, ok bool)) {
	promise, err := writeText(text)
	if err != nil {
		done(text, false)
		return
	}
	then := func(ok bool) safejs.Func {
		f, _ := safejs.FuncOf(func(safejs.Value, []safejs.Value) any {
			done(text, ok)
			return nil
		})
		return f
	}
	// The two functions live on: one of them is called once, and a copy is made by hand, not in a loop.
	if _, err := promise.Call("then", then(true), then(false)); err != nil {
		done(text, false)
	}
}

func writeText(text string) (safejs.Value, error) {
	navigator, err := safejs.Global().Get("navigator")
	if err != nil {
		return safejs.Value{}, err
	}
	clipboard, err := navigator.Get("clipboard")
	if err != nil {
		return safejs.Value{}, err
	}
	return clipboard.Call("writeText", text) // fails where there is no clipboard: not https, or refused
}
