package main

import (
	"errors"
	"fmt"
	"time"

	"github.com/hack-pad/safejs"

	"headroom/ui"
)

// threads run this same program, compiled once, beside the page, each with a share of some work.
type threads struct {
	list  []safejs.Value
	calls []safejs.Func
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
			if told, err := dataOf(e); err == nil {
				news(told)
			} else {
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
	t.list = nil
	if calls := t.calls; len(calls) > 0 {
		t.calls = nil
		time.AfterFunc(time.Second, func() { // not while one of them may be running
			for _, call := range calls {
				call.Release()
			}
		})
	}
}

// dataOf is the bytes that a message carries.
func dataOf(event safejs.Value) ([]byte, error) {
	data, err := event.Get("data")
	if err != nil {
		return nil, err
	}
	return bytesIn(data, new([]byte))
}

// shareOfWork is what this program is to do where it runs in a thread beside the page.
func shareOfWork() (content safejs.Value, ok bool) {
	content, err := safejs.Global().Get("headroomShare")
	return content, err == nil && isObject(content)
}

const telling = 150 * time.Millisecond // between two words of how far a thread is

// doShare is the whole program in a thread. A fault ends as an error of the thread, which the page hears of.
func doShare(content safejs.Value) {
	if err := tryShare(content); err != nil {
		panic(fmt.Sprint("headroom: a share of work could not be done: ", err))
	}
}

func tryShare(content safejs.Value) error {
	b, err := bytesIn(content, new([]byte))
	if err != nil {
		return err
	}
	share, err := ui.ReadShare(b)
	switch {
	case err != nil:
		return err
	case share.Find != nil:
		return searchShare(share.Find)
	case share.Log != nil:
		return readShare(share.Log)
	}
	return errors.New("the share is empty")
}

// tell gives the page news.
func tell(news []byte) error {
	content, err := bytesOf(news)
	if err != nil {
		return err
	}
	_, err = safejs.Global().Call("postMessage", content)
	return err
}
