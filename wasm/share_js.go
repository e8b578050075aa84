package main

import (
	"errors"
	"fmt"

	"github.com/hack-pad/safejs"

	"headroom/ui"
)

// openSharing connects what hands a build on to what this browser has for it.
func openSharing(planner *ui.Planner, address *address, render func()) {
	planner.Address = address.with
	planner.PrintDate = today
	planner.OnPicture = func(svg string, width, height int, done func(png []byte)) {
		drawPicture(svg, width, height, func(png []byte) {
			done(png)
			render()
		})
	}
	navigator, err := safejs.Global().Get("navigator")
	if err != nil {
		return
	}
	if share, err := navigator.Get("share"); err != nil || share.Type() != safejs.TypeFunction {
		return
	}
	planner.OnShare = func(s ui.Shared) {
		share(navigator, s, func(ok, closed bool) {
			s.Done(ok, closed)
			render()
		})
	}
	planner.SharesFiles = sharesFiles(navigator)
}

// sharesFiles asks whether the share sheet takes a picture.
func sharesFiles(navigator safejs.Value) bool {
	file, err := makeFile("a.png", "image/png", []byte{0})
	if err != nil {
		return false
	}
	can, err := navigator.Call("canShare", map[string]any{"files": []any{safejs.Unsafe(file)}})
	if err != nil {
		return false // no such function
	}
	ok, err := can.Bool()
	return err == nil && ok
}

// share opens the share sheet. closed tells that the person closed it.
func share(navigator safejs.Value, s ui.Shared, done func(ok, closed bool)) {
	what := map[string]any{"title": s.Title, "url": s.URL}
	if s.Text != "" {
		what["text"] = s.Text
	}
	if s.PNG != nil {
		file, err := makeFile(s.Name, "image/png", s.PNG)
		if err != nil {
			done(false, false)
			return
		}
		what["files"] = []any{safejs.Unsafe(file)}
	}
	promise, err := navigator.Call("share", what)
	if err != nil {
		done(false, false)
		return
	}
	err = after(promise, func(_ safejs.Value) { done(true, false) }, func(why safejs.Value) { done(false, textOf(why, "name") == "AbortError") })
	if err != nil {
		done(false, false)
	}
}

func makeFile(name, mime string, content []byte) (safejs.Value, error) {
	array, err := bytesOf(content)
	if err != nil {
		return safejs.Value{}, err
	}
	file, err := safejs.Global().Get("File")
	if err != nil {
		return safejs.Value{}, err
	}
	return file.New([]any{safejs.Unsafe(array)}, name, map[string]any{"type": mime})
}

// drawPicture has the browser draw an SVG as PNG; done gets nil where that fails.
func drawPicture(svg string, width, height int, done func(png []byte)) {
	fail := func(err error) {
		fmt.Println("headroom: the picture could not be drawn:", err)
		done(nil)
	}
	window := safejs.Global()
	encoded, err := window.Call("encodeURIComponent", svg)
	if err != nil {
		fail(err)
		return
	}
	source, err := encoded.String()
	if err != nil {
		fail(err)
		return
	}
	image, err := makeElement("img")
	if err != nil {
		fail(err)
		return
	}
	if err := listen(image, "load", func() {
		if err := rasterize(image, width, height, done); err != nil {
			fail(err)
		}
	}); err != nil {
		fail(err)
		return
	}
	if err := listen(image, "error", func() { fail(errPicture) }); err != nil {
		fail(err)
		return
	}
	// A data address and no other file: the page's policy allows it for pictures, and it needs no clearing away.
	if err := image.Set("src", "data:image/svg+xml;charset=utf-8,"+source); err != nil {
		fail(err)
	}
}

var errPicture = errors.New("the browser refuses it")

// rasterize draws an image on a canvas and reads it back as PNG.
func rasterize(image safejs.Value, width, height int, done func(png []byte)) error {
	canvas, err := makeElement("canvas")
	if err != nil {
		return err
	}
	for name, v := range map[string]int{"width": width, "height": height} {
		if err := canvas.Set(name, v); err != nil {
			return err
		}
	}
	context, err := canvas.Call("getContext", "2d")
	if err != nil {
		return err
	}
	if !isObject(context) {
		return errPicture
	}
	if _, err := context.Call("drawImage", image, 0, 0, width, height); err != nil {
		return err
	}
	take, err := safejs.FuncOf(func(_ safejs.Value, args []safejs.Value) any {
		if len(args) == 0 || !isObject(args[0]) {
			done(nil)
			return nil
		}
		promise, err := args[0].Call("arrayBuffer")
		if err != nil {
			done(nil)
			return nil
		}
		if err := after(promise, func(buffer safejs.Value) { done(contentOf(buffer)) }, func(safejs.Value) { done(nil) }); err != nil {
			done(nil)
		}
		return nil
	})
	if err != nil {
		return err
	}
	_, err = canvas.Call("toBlob", take, "image/png")
	return err
}

// contentOf is what an ArrayBuffer holds, nil where it cannot be read.
func contentOf(buffer safejs.Value) []byte {
	makeBytes, err := safejs.Global().Get("Uint8Array")
	if err != nil {
		return nil
	}
	array, err := makeBytes.New(buffer)
	if err != nil {
		return nil
	}
	size, err := array.Length()
	if err != nil {
		return nil
	}
	out := make([]byte, size)
	if _, err := safejs.CopyBytesToGo(out, array); err != nil {
		return nil
	}
	return out
}

// after calls one of two functions once a promise is settled.
func after(promise safejs.Value, kept, broken func(v safejs.Value)) error {
	then := func(f func(safejs.Value)) (safejs.Func, error) {
		return safejs.FuncOf(func(_ safejs.Value, args []safejs.Value) any {
			v := safejs.Undefined()
			if len(args) > 0 {
				v = args[0]
			}
			f(v)
			return nil
		})
	}
	yes, err := then(kept)
	if err != nil {
		return err
	}
	no, err := then(broken)
	if err != nil {
		return err
	}
	_, err = promise.Call("then", yes, no)
	return err
}
