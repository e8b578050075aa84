package main

import (
	"github.com/hack-pad/safejs"

	"headroom/ui"
)

const notHanded = "the browser did not hand it over."

// chooser is a file input that is never on the page.
type chooser struct {
	input safejs.Value
	made  bool
	take  func(file safejs.Value) error // of the last asking
	fail  func(why string)
}

// ask has a person pick one file; it must be called within a click. take gets the file, fail in words why there is none.
func (c *chooser) ask(accept string, take func(file safejs.Value) error, fail func(why string)) {
	c.take, c.fail = take, fail
	if err := c.open(accept); err != nil {
		fail("this browser opens no files here.")
	}
}

func (c *chooser) open(accept string) error {
	if !c.made {
		if err := c.make(); err != nil {
			return err
		}
		c.made = true
	}
	// So that the same file can be picked again after it has been changed.
	if err := c.input.Set("value", ""); err != nil {
		return err
	}
	if err := c.input.Set("accept", accept); err != nil {
		return err
	}
	_, err := c.input.Call("click")
	return err
}

func (c *chooser) make() (err error) {
	if c.input, err = makeElement("input"); err != nil {
		return err
	}
	if err := c.input.Set("type", "file"); err != nil {
		return err
	}
	return listen(c.input, "change", func() {
		if err := c.picked(); err != nil {
			c.fail(notHanded)
		}
	})
}

func (c *chooser) picked() error {
	files, err := c.input.Get("files")
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
	return c.take(file)
}

// pickTexts gives a planner's wish for a text file to the chooser.
func pickTexts(c *chooser, render func()) func(ui.Pick) {
	return func(asked ui.Pick) {
		done := func(name, text, failure string) {
			asked.Done(name, text, failure)
			render()
		}
		c.ask(asked.Accept, func(file safejs.Value) error { return readText(file, asked.MaxBytes, done) },
			func(why string) { done("", "", why) })
	}
}

// readText reads a file that a person handed over as text, and says in words where it is not read.
func readText(file safejs.Value, maxBytes int, done func(name, text, failure string)) error {
	size, err := sizeOf(file)
	if err != nil {
		return err
	}
	name := textOf(file, "name")
	if size > maxBytes {
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
