package main

import (
	"encoding/json"
	"fmt"
	"time"

	"github.com/hack-pad/safejs"

	"headroom/ui"
)

// finder has programs beside the page search for builds: this same program, compiled once, each in a thread of its own.
type finder struct {
	planner *ui.Planner
	render  func()
	threads []safejs.Value
	calls   []safejs.Func
}

// mostThreads is how many threads search at most; one processor is left to the page.
const mostThreads = 2

func openFinder(planner *ui.Planner, render func()) {
	f := &finder{planner: planner, render: render}
	planner.OnFind, planner.OnFindStop = f.start, f.stop
}

// start gives every thread its share; 0 where there can be no thread, or no program for it.
func (f *finder) start(order ui.FindOrder) int {
	f.stop()
	boot, ok := bootPart()
	if !ok {
		return 0
	}
	order.Shards = threads()
	for order.Shard = range order.Shards {
		if err := f.thread(boot, order); err != nil {
			f.stop()
			return 0
		}
	}
	return order.Shards
}

// threads is how many threads this device has for a search.
func threads() int {
	navigator, err := safejs.Global().Get("navigator")
	if err != nil {
		return 1
	}
	count, err := navigator.Get("hardwareConcurrency")
	if err != nil || count.Type() != safejs.TypeNumber {
		return 1
	}
	n, err := count.Int()
	if err != nil {
		return 1
	}
	return max(1, min(mostThreads, n-1))
}

func (f *finder) thread(boot safejs.Value, order ui.FindOrder) error {
	share, err := json.Marshal(order)
	if err != nil {
		return err
	}
	thread, err := boot.Call("thread", string(share))
	if err != nil {
		return err
	}
	f.threads = append(f.threads, thread)
	for _, hears := range []struct {
		event string
		hear  func(safejs.Value)
	}{
		{"onmessage", func(e safejs.Value) { f.planner.TakeNews(textOf(e, "data")) }},
		{"onerror", func(e safejs.Value) {
			_, _ = e.Call("preventDefault")
			f.planner.FindBroke()
		}},
	} {
		call, err := safejs.FuncOf(func(_ safejs.Value, args []safejs.Value) any {
			hears.hear(args[0])
			if !f.planner.Searching() {
				f.stop()
			}
			f.render()
			return nil
		})
		if err != nil {
			return err
		}
		f.calls = append(f.calls, call)
		if err := thread.Set(hears.event, safejs.Unsafe(call.Value())); err != nil {
			return err
		}
	}
	return nil
}

// stop ends every thread. What they said last and is still on its way belongs to no search.
func (f *finder) stop() {
	for _, thread := range f.threads {
		_ = thread.Set("onmessage", nil)
		_ = thread.Set("onerror", nil)
		_, _ = thread.Call("terminate")
	}
	f.threads = nil
	if len(f.calls) > 0 {
		calls := f.calls
		f.calls = nil
		time.AfterFunc(time.Second, func() { // not while one of them may be running
			for _, call := range calls {
				call.Release()
			}
		})
	}
}

const (
	telling  = 150 * time.Millisecond // between two words of how far a thread is
	showing  = 600 * time.Millisecond // between two of what it has found, at least
	findWork = 2000                   // looks at a build between two looks at the clock
)

// workShare is the whole program in a thread beside the page: it searches its share and tells how that goes.
func workShare(text string) error {
	var order ui.FindOrder
	if err := json.Unmarshal([]byte(text), &order); err != nil {
		return err
	}
	search, err := order.Search()
	if err != nil {
		return err
	}
	var told, shown time.Time
	found := -1
	for more := true; more; {
		more = search.Step(findWork)
		now := time.Now()
		if more && now.Sub(told) < telling {
			continue
		}
		told = now
		news := ui.FindNews{Shard: order.Shard, Tally: search.Tally(), Done: !more}
		if n := search.Changes(); !more || n != found && now.Sub(shown) > showing {
			found, shown = n, now
			result := search.Result()
			news.Result = &result
		}
		if err := tell(news); err != nil {
			return err
		}
	}
	return nil
}

func tell(news ui.FindNews) error {
	text, err := json.Marshal(news)
	if err != nil {
		return err
	}
	_, err = safejs.Global().Call("postMessage", string(text))
	return err
}

// shareOfWork is what this program is to search where it runs in a thread beside the page.
func shareOfWork() (text string, ok bool) {
	v, err := safejs.Global().Get("headroomShare")
	if err != nil || v.Type() != safejs.TypeString {
		return "", false
	}
	text, err = v.String()
	return text, err == nil
}

// runShare has a fault in a thread end as an error of the thread, which the page hears of.
func runShare(text string) {
	if err := workShare(text); err != nil {
		panic(fmt.Sprint("headroom: the search could not run: ", err))
	}
}
