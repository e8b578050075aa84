package main

import (
	"github.com/hack-pad/safejs"

	"headroom/ui"
)

// sources lets a person pick a file that the planner reads in pieces.
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
func openSources(planner *ui.Planner, render func()) (s *sources, err error) {
	s = &sources{planner: planner, render: render}
	if s.taken, err = safejs.FuncOf(func(_ safejs.Value, args []safejs.Value) any {
		s.hand(args[0])
		return nil
	}); err != nil {
		return nil, err
	}
	if s.failed, err = safejs.FuncOf(func(safejs.Value, []safejs.Value) any {
		s.give(nil, "the browser did not hand it over.")
		return nil
	}); err != nil {
		return nil, err
	}
	planner.OnOpen = func(accept string, open func(*ui.Source, string)) {
		s.open = open
		if err := s.ask(accept); err != nil {
			s.refuse()
		}
	}
	return s, nil
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

// first opens the file that was picked.
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
		return nil // picking was given up
	}
	return s.openFile(file)
}

// openFile hands a file to whoever asked for one.
func (s *sources) openFile(file safejs.Value) error {
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
