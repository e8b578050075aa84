package main

import (
	"errors"
	"time"

	"github.com/hack-pad/safejs"

	"headroom/ui"
)

// threads run this same program, compiled once, beside the page, each with a share of some work.
type threads struct {
	list    []safejs.Value
	calls   []safejs.Func
	resting bool // they were told to
	again   *time.Timer
}

// pauseOfInput is how long after the last movement of an input threads go on: a key that is held, or a finger that thinks, is not done yet.
const pauseOfInput = 250 * time.Millisecond

// follow is called after every frame: while an input moves the page has the processors for itself, since a phone has few to spare and
// drawing takes more than one.
func (t *threads) follow(moving bool) {
	if !moving || len(t.list) == 0 {
		return
	}
	t.rest(true)
	if t.again != nil {
		t.again.Stop()
	}
	t.again = time.AfterFunc(pauseOfInput, func() { t.rest(false) })
}

func (t *threads) rest(on bool) {
	if t.resting == on {
		return
	}
	t.resting = on
	for _, thread := range t.list {
		_, _ = thread.Call("postMessage", on)
	}
}

var errNoThreads = errors.New("there can be no thread here")

// start has one more thread do a share; file is what the share is about, undefined where that is nothing of the page. news gets what the thread
// tells, and broke is called where the thread fails; one of the two may stop all threads.
func (t *threads) start(share ui.Share, file safejs.Value, news func([]byte), broke func()) error {
	boot, ok := bootPart()
	if !ok {
		return errNoThreads
	}
	content, err := bytesOf(share.Bytes())
	if err != nil {
		return err
	}
	thread, err := boot.Call("thread", content, file)
	if err != nil {
		return err
	}
	t.list = append(t.list, thread)
	for _, hears := range []struct {
		event string
		hear  func(safejs.Value)
	}{
		{"onmessage", func(e safejs.Value) {
			told, err := e.Get("data")
			if err == nil {
				var b []byte
				if b, err = bytesIn(told, new([]byte)); err == nil {
					news(b)
				}
			}
			if err != nil {
				broke()
			}
		}},
		{"onerror", func(e safejs.Value) {
			_, _ = e.Call("preventDefault")
			broke()
		}},
	} {
		call, err := safejs.FuncOf(func(_ safejs.Value, args []safejs.Value) any {
			hears.hear(args[0])
			return nil
		})
		if err != nil {
			return err
		}
		t.calls = append(t.calls, call)
		if err := thread.Set(hears.event, call.Value()); err != nil {
			return err
		}
	}
	return nil
}

// stop ends every thread. What they said last and is still on its way is heard by nobody.
func (t *threads) stop() {
	for _, thread := range t.list {
		_ = thread.Set("onmessage", nil)
		_ = thread.Set("onerror", nil)
		_, _ = thread.Call("terminate")
	}
	t.list, t.resting = nil, false
	if calls := t.calls; len(calls) > 0 {
		t.calls = nil
		time.AfterFunc(time.Second, func() { // not while one of them may be running
			for _, call := range calls {
				call.Release()
			}
		})
	}
}
