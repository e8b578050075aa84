package main

import (
	"errors"
	"fmt"
	"time"

	"github.com/hack-pad/safejs"

	"headroom/ui"
)

// shareOfWork is what this program is to do where it runs in a thread beside the page.
func shareOfWork() (content safejs.Value, ok bool) {
	content, err := safejs.Global().Get("headroomShare")
	return content, err == nil && isObject(content)
}

const (
	telling = 250 * time.Millisecond // between two words of how far a thread is
	hearing = 50 * time.Millisecond  // between two looks at whether the page wants it to wait; each costs some 4 ms
)

// listener lets a thread that works without a pause hear the page now and then.
type listener struct{ last time.Time }

// giveWay is called between two pieces of work. It comes back once the page can spare the processor.
func (l *listener) giveWay() {
	if time.Since(l.last) < hearing {
		return
	}
	time.Sleep(time.Millisecond) // thread.js hears what the page has said meanwhile
	for pageWantsRest() {
		time.Sleep(10 * time.Millisecond)
	}
	l.last = time.Now()
}

func pageWantsRest() bool {
	wants, err := safejs.Global().Get("headroomRest")
	if err != nil {
		return false
	}
	yes, err := wants.Truthy()
	return err == nil && yes
}

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
