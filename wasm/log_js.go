package main

import (
	"github.com/hack-pad/safejs"

	"headroom/ui"
)

// sources lets a person pick or drop a file that the planner reads in pieces.
type sources struct {
	planner *ui.Planner
	render  func()
	input   safejs.Value
	made    bool
	open    func(*ui.Source, string)

	buffer []byte
	// One reading is under way at most, so two functions serve all of them.
	taken, failed safejs.Func
	take          func(piece []byte, why string) (show bool)
}

// openSources connects them to the planner.
func openSources(planner *ui.Planner, render func()) error {
	s := &sources{planner: planner, render: render}
	var err error
	if s.taken, err = safejs.FuncOf(func(_ safejs.Value, args []safejs.Value) any {
		s.hand(args[0])
		return nil
	}); err != nil {
		return err
	}
	if s.failed, err = safejs.FuncOf(func(safejs.Value, []safejs.Value) any {
		s.give(nil, "the browser did not hand it over.")
		return nil
	}); err != nil {
		return err
	}
	planner.OnOpen = func(accept string, open func(*ui.Source, string)) {
		s.open = open
		if err := s.ask(accept); err != nil {
			s.refuse()
		}
	}
	for event, f := range map[string]func(safejs.Value) error{"dragover": s.over, "drop": s.drop} {
		err := hear(event, func(e safejs.Value) {
			if f(e) != nil {
				s.open = planner.OpenLog
				s.refuse()
			}
		})
		if err != nil {
			return err
		}
	}
	return nil
}

func (s *sources) refuse() {
	s.open(nil, "this browser opens no files here.")
	s.render()
}

func (s *sources) ask(accept string) error {
	if !s.made {
		input, err := makeElement("input")
		if err != nil {
			return err
		}
		if err := input.Set("type", "file"); err != nil {
			return err
		}
		err = listen(input, "change", func() {
			if err := s.first(input); err != nil {
				s.refuse()
			}
		})
		if err != nil {
			return err
		}
		s.input, s.made = input, true
	}
	// So that the same file can be picked again after it has been changed.
	if err := s.input.Set("value", ""); err != nil {
		return err
	}
	if err := s.input.Set("accept", accept); err != nil {
		return err
	}
	_, err := s.input.Call("click")
	return err
}

// first opens the first file of an input or of what was dropped.
func (s *sources) first(holder safejs.Value) error {
	files, err := holder.Get("files")
	if err != nil {
		return err
	}
	file, err := files.Index(0)
	if err != nil {
		return err
	}
	if !isObject(file) {
		return nil // picking was given up, or what was dropped is no file
	}
	size, err := file.Get("size")
	if err != nil {
		return err
	}
	bytes, err := size.Float()
	if err != nil {
		return err
	}
	s.open(&ui.Source{Name: textOf(file, "name"), Bytes: int(bytes), Read: func(from, n int, take func([]byte, string) bool) {
		s.take = take
		if err := s.read(file, from, n); err != nil {
			s.give(nil, "the browser did not hand it over.")
		}
	}}, "")
	s.render()
	return nil
}

func (s *sources) read(file safejs.Value, from, n int) error {
	piece, err := file.Call("slice", from, from+n)
	if err != nil {
		return err
	}
	promise, err := piece.Call("arrayBuffer")
	if err != nil {
		return err
	}
	_, err = promise.Call("then", s.taken, s.failed)
	return err
}

func (s *sources) hand(content safejs.Value) {
	piece, err := s.bytes(content)
	if err != nil {
		s.give(nil, "the browser did not hand it over.")
		return
	}
	s.give(piece, "")
}

// bytes copies a piece into the one buffer.
func (s *sources) bytes(content safejs.Value) ([]byte, error) {
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
	if n > len(s.buffer) {
		s.buffer = make([]byte, n)
	}
	_, err = safejs.CopyBytesToGo(s.buffer, array)
	return s.buffer[:n], err
}

func (s *sources) give(piece []byte, why string) {
	take := s.take
	s.take = nil
	if take != nil && take(piece, why) {
		s.render()
	}
}

// logCard tells whether an event happened on the card of the ride log.
func logCard(event safejs.Value) (bool, error) {
	target, err := event.Get("target")
	if err != nil || !isObject(target) {
		return false, err
	}
	closest, err := target.Get("closest")
	if err != nil || closest.Type() != safejs.TypeFunction {
		return false, err
	}
	card, err := target.Call("closest", "#ride-log")
	return err == nil && isObject(card), err
}

// over lets a file be dropped on the card.
func (s *sources) over(event safejs.Value) error {
	on, err := logCard(event)
	if err != nil || !on {
		return err
	}
	_, err = event.Call("preventDefault")
	return err
}

func (s *sources) drop(event safejs.Value) error {
	on, err := logCard(event)
	if err != nil || !on {
		return err
	}
	if _, err := event.Call("preventDefault"); err != nil {
		return err
	}
	dropped, err := event.Get("dataTransfer")
	if err != nil || !isObject(dropped) {
		return err
	}
	s.open = s.planner.OpenLog
	return s.first(dropped)
}
