package main

import (
	"time"

	"github.com/hack-pad/safejs"
)

// saveFile hands a file to the browser's downloads: a link to a blob, pressed by the program. Nothing is sent anywhere.
func saveFile(document safejs.Value, name, mime string, body []byte) error {
	global := safejs.Global()
	list, err := construct(global, "Uint8Array", len(body))
	if err != nil {
		return err
	}
	if _, err := safejs.CopyBytesToJS(list, body); err != nil {
		return err
	}
	blob, err := construct(global, "Blob", []any{list}, map[string]any{"type": mime})
	if err != nil {
		return err
	}
	urls, err := global.Get("URL")
	if err != nil {
		return err
	}
	address, err := urls.Call("createObjectURL", blob)
	if err != nil {
		return err
	}
	// The browser has taken hold of the blob by the time that the press returns, but Safari has not: it is let go later.
	defer time.AfterFunc(time.Minute, func() { _, _ = urls.Call("revokeObjectURL", address) })
	link, err := document.Call("createElement", "a")
	if err != nil {
		return err
	}
	for key, value := range map[string]any{"href": address, "download": name} {
		if err := link.Set(key, value); err != nil {
			return err
		}
	}
	_, err = link.Call("click")
	return err
}

func construct(global safejs.Value, class string, args ...any) (safejs.Value, error) {
	c, err := global.Get(class)
	if err != nil {
		return safejs.Value{}, err
	}
	return c.New(args...)
}
