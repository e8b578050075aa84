package main

import (
	"errors"

	"github.com/hack-pad/safejs"
)

// database keeps the texts that may grow large, each under a name, in IndexedDB. It is a cache like all of a browser's memory; what cannot be
// written is told.
type database struct {
	open    safejs.Value
	ready   bool
	failure string // why there is none
	waiting []func()
}

const (
	databaseName = "headroom"
	tableName    = "shop"
)

// openDatabase begins to open it. What is asked of it meanwhile waits.
func openDatabase() *database {
	d := &database{}
	if err := d.begin(); err != nil {
		d.settle("the browser refuses its database.")
	}
	return d
}

func (d *database) begin() error {
	factory, err := refusable("indexedDB")
	if err != nil {
		return err
	}
	if !isObject(factory) {
		return errors.New("there is none")
	}
	request, err := factory.Call("open", databaseName, 1)
	if err != nil {
		return err
	}
	err = when(request, "onupgradeneeded", func() {
		if opened, err := request.Get("result"); err == nil {
			_, _ = opened.Call("createObjectStore", tableName)
		}
	})
	if err != nil {
		return err
	}
	err = when(request, "onsuccess", func() {
		opened, err := request.Get("result")
		if err != nil {
			d.settle("the browser's database does not open.")
			return
		}
		d.open, d.ready = opened, true
		d.settle("")
	})
	if err != nil {
		return err
	}
	for _, event := range []string{"onerror", "onblocked"} {
		if err := when(request, event, func() { d.settle("the browser's database does not open.") }); err != nil {
			return err
		}
	}
	return nil
}

// settle lets what waits go on.
func (d *database) settle(failure string) {
	d.failure = failure
	waiting := d.waiting
	d.waiting = nil
	for _, f := range waiting {
		f()
	}
}

// soon calls f now, or once the database has opened or failed to.
func (d *database) soon(f func()) {
	if d.ready || d.failure != "" {
		f()
		return
	}
	d.waiting = append(d.waiting, f)
}

// get calls done with the text under a name, "" where there is none, or with why it cannot be read.
func (d *database) get(name string, done func(text, failure string)) {
	d.soon(func() {
		if !d.ready {
			done("", d.failure)
			return
		}
		request, err := d.in("readonly", func(table safejs.Value) (safejs.Value, error) { return table.Call("get", name) })
		if err == nil {
			err = settled(request, "onsuccess", []string{"onerror"}, func(ok bool) {
				if !ok {
					done("", "the browser's database cannot be read.")
					return
				}
				done(textOf(request, "result"), "")
			})
		}
		if err != nil {
			done("", "the browser's database cannot be read.")
		}
	})
}

// put calls done with "" once a text is on the device, or with why it is not.
func (d *database) put(name, text string, done func(failure string)) {
	const full = "its storage is full, or the browser lets nothing be written."
	d.soon(func() {
		if !d.ready {
			done(d.failure)
			return
		}
		request, err := d.in("readwrite", func(table safejs.Value) (safejs.Value, error) { return table.Call("put", text, name) })
		if err != nil {
			done(full)
			return
		}
		// Only the end of the transaction tells that it is on the device.
		transaction, err := request.Get("transaction")
		if err == nil {
			err = settled(transaction, "oncomplete", []string{"onabort", "onerror"}, func(ok bool) {
				if !ok {
					done(full)
					return
				}
				done("")
			})
		}
		if err != nil {
			done(full)
		}
	})
}

// in does one thing with the table.
func (d *database) in(mode string, do func(table safejs.Value) (safejs.Value, error)) (safejs.Value, error) {
	transaction, err := d.open.Call("transaction", tableName, mode)
	if err != nil {
		return safejs.Value{}, err
	}
	table, err := transaction.Call("objectStore", tableName)
	if err != nil {
		return safejs.Value{}, err
	}
	return do(table)
}

// when calls f on an event that is set as a property.
func when(target safejs.Value, property string, f func()) error {
	callback, err := safejs.FuncOf(func(safejs.Value, []safejs.Value) any {
		f()
		return nil
	})
	if err != nil {
		return err
	}
	return target.Set(property, callback)
}

// settled calls done once, after good or after one of bad, and lets its functions go.
func settled(target safejs.Value, good string, bad []string, done func(ok bool)) error {
	var callbacks []safejs.Func
	over := false
	answer := func(ok bool) (safejs.Func, error) {
		f, err := safejs.FuncOf(func(safejs.Value, []safejs.Value) any {
			if !over {
				over = true
				done(ok)
			}
			return nil
		})
		callbacks = append(callbacks, f)
		return f, err
	}
	for i, event := range append([]string{good}, bad...) {
		f, err := answer(i == 0)
		if err != nil {
			return err
		}
		if err := target.Set(event, f); err != nil {
			return err
		}
	}
	return nil
}
