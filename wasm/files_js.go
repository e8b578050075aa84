package main

import (
	"fmt"

	"github.com/hack-pad/safejs"
)

// saveFile hands a file to the browser to be saved where a person wants it.
func saveFile(name, mime string, content []byte) {
	if err := download(name, mime, content); err != nil {
		fmt.Println("headroom: the file could not be saved:", err)
	}
}

func download(name, mime string, content []byte) error {
	window := safejs.Global()
	array, err := bytesOf(content)
	if err != nil {
		return err
	}
	makeBlob, err := window.Get("Blob")
	if err != nil {
		return err
	}
	blob, err := makeBlob.New([]any{safejs.Unsafe(array)}, map[string]any{"type": mime})
	if err != nil {
		return err
	}
	urls, err := window.Get("URL")
	if err != nil {
		return err
	}
	address, err := urls.Call("createObjectURL", blob)
	if err != nil {
		return err
	}
	link, err := makeElement("a")
	if err != nil {
		return err
	}
	for _, p := range []struct {
		name  string
		value any
	}{{"href", address}, {"download", name}} {
		if err := link.Set(p.name, p.value); err != nil {
			return err
		}
	}
	if _, err := link.Call("click"); err != nil {
		return err
	}
	// The address lives for a while, for browsers that fetch the content only after having asked where to put it.
	free, err := safejs.FuncOf(func(safejs.Value, []safejs.Value) any {
		_, _ = urls.Call("revokeObjectURL", address)
		return nil
	})
	if err != nil {
		return err
	}
	_, err = window.Call("setTimeout", free, 60_000)
	return err
}

// bytesOf is a Uint8Array of its content.
func bytesOf(content []byte) (safejs.Value, error) {
	makeBytes, err := safejs.Global().Get("Uint8Array")
	if err != nil {
		return safejs.Value{}, err
	}
	array, err := makeBytes.New(len(content))
	if err != nil {
		return safejs.Value{}, err
	}
	_, err = safejs.CopyBytesToJS(array, content)
	return array, err
}

// sizeOf is how many bytes a file has.
func sizeOf(file safejs.Value) (int, error) {
	size, err := file.Get("size")
	if err != nil {
		return 0, err
	}
	bytes, err := size.Float()
	return int(bytes), err // far below what a float64 holds exactly, and an int here
}

// bytesIn copies the bytes of a Uint8Array or an ArrayBuffer into a buffer that grows to hold them, and is kept.
func bytesIn(content safejs.Value, buffer *[]byte) ([]byte, error) {
	makeBytes, err := safejs.Global().Get("Uint8Array")
	if err != nil {
		return nil, err
	}
	array, err := makeBytes.New(content)
	if err != nil {
		return nil, err
	}
	n, err := array.Length()
	if err != nil {
		return nil, err
	}
	if n > len(*buffer) {
		*buffer = make([]byte, n)
	}
	_, err = safejs.CopyBytesToGo((*buffer)[:n], array)
	return (*buffer)[:n], err
}

func makeElement(tag string) (safejs.Value, error) {
	document, err := safejs.Global().Get("document")
	if err != nil {
		return safejs.Value{}, err
	}
	return document.Call("createElement", tag)
}
