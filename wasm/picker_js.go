package main

import (
	"github.com/hack-pad/safejs"

	"headroom/ui"
)

// picker lets a person pick a file and reads it.
type picker struct {
	render func()
	asked  ui.Pick // the last
	input  safejs.Value
	made   bool
}

const notHanded = "the browser did not hand it over."

// pick must be called within a click.
func (p *picker) pick(asked ui.Pick) {
	p.asked = asked
	if err := p.ask(); err != nil {
		p.fail("this browser opens no files here.")
	}
}

func (p *picker) done(name, text, failure string) {
	p.asked.Done(name, text, failure)
	p.render()
}

func (p *picker) fail(why string) { p.done("", "", why) }

func (p *picker) ask() error {
	if !p.made {
		if err := p.make(); err != nil {
			return err
		}
		p.made = true
	}
	// So that the same file can be picked again after it has been changed.
	if err := p.input.Set("value", ""); err != nil {
		return err
	}
	if err := p.input.Set("accept", p.asked.Accept); err != nil {
		return err
	}
	_, err := p.input.Call("click")
	return err
}

// make makes the one input that all picking goes through; it is never on the page.
func (p *picker) make() (err error) {
	if p.input, err = makeElement("input"); err != nil {
		return err
	}
	if err := p.input.Set("type", "file"); err != nil {
		return err
	}
	return listen(p.input, "change", func() {
		if err := p.read(); err != nil {
			p.fail(notHanded)
		}
	})
}

func (p *picker) read() error {
	files, err := p.input.Get("files")
	if err != nil {
		return err
	}
	file, err := files.Index(0)
	if err != nil {
		return err
	}
	if !isObject(file) {
		return nil // picking was given up
	}
	return readText(file, p.asked.MaxBytes, p.done)
}

// readText reads a file that a person handed over as text, and says in words where it is not read.
func readText(file safejs.Value, maxBytes int, done func(name, text, failure string)) error {
	size, err := file.Get("size")
	if err != nil {
		return err
	}
	bytes, err := size.Float()
	if err != nil {
		return err
	}
	name := textOf(file, "name")
	if bytes > float64(maxBytes) {
		done(name, "", "it is too large for what is asked here.")
		return nil
	}
	promise, err := file.Call("text")
	if err != nil {
		return err
	}
	// Two functions a file live on; files are picked by hand, not in a loop.
	read, err := safejs.FuncOf(func(_ safejs.Value, args []safejs.Value) any {
		text, err := args[0].String()
		if err != nil {
			done(name, "", "it holds no text.")
			return nil
		}
		done(name, text, "")
		return nil
	})
	if err != nil {
		return err
	}
	failed, err := safejs.FuncOf(func(safejs.Value, []safejs.Value) any {
		done(name, "", notHanded)
		return nil
	})
	if err != nil {
		return err
	}
	_, err = promise.Call("then", read, failed)
	return err
}
