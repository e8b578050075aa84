package main

import (
	"github.com/hack-pad/safejs"

	"headroom/ui"
)

// sources lets a person pick a file that the planner reads in pieces.
type sources struct {
	planner *ui.Planner
	render  func()
	chooser chooser
	open    func(*ui.Source, string)
	threads threads // one at most

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
		s.give(nil, notHanded)
		return nil
	}); err != nil {
		return nil, err
	}
	planner.OnOpen = func(accept string, open func(*ui.Source, string)) {
		s.open = open
		s.chooser.ask(accept, s.openFile, s.refuse)
	}
	return s, nil
}

func (s *sources) refuse(why string) {
	s.open(nil, why)
	s.render()
}

// openFile hands a file to whoever asked for one.
func (s *sources) openFile(file safejs.Value) error {
	size, err := sizeOf(file)
	if err != nil {
		return err
	}
	s.open(&ui.Source{
		Name: textOf(file, "name"), Bytes: size,
		Read: func(from, n int, take func([]byte, string) bool) {
			s.take = take
			if err := s.read(file, from, n); err != nil {
				s.give(nil, notHanded)
			}
		},
		Apart: func(order ui.LogOrder) (stop func()) { return s.apart(file, order) },
	}, "")
	s.render()
	return nil
}

// apart has a thread read a file.
func (s *sources) apart(file safejs.Value, order ui.LogOrder) (stop func()) {
	err := s.threads.start(ui.Share{Log: &order}, file, func(news []byte) {
		if s.planner.TakeLogNews(news) {
			s.render()
		}
	}, func() {
		s.planner.LogBroke()
		s.render()
	})
	if err != nil {
		s.threads.stop()
		return nil
	}
	return s.threads.stop
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
	piece, err := bytesIn(content, &s.buffer)
	if err != nil {
		s.give(nil, notHanded)
		return
	}
	s.give(piece, "")
}

func (s *sources) give(piece []byte, why string) {
	take := s.take
	s.take = nil
	if take != nil && take(piece, why) {
		s.render()
	}
}
