package main

import (
	"time"

	"github.com/hack-pad/safejs"

	"headroom/ui"
)

// finder has threads search for builds.
type finder struct {
	planner *ui.Planner
	render  func()
	threads threads
}

// mostThreads is how many threads search at most; one processor is left to the page.
const mostThreads = 2

func openFinder(planner *ui.Planner, render func()) *finder {
	f := &finder{planner: planner, render: render}
	planner.OnFind, planner.OnFindStop = f.start, f.threads.stop
	return f
}

// start gives every thread its share; 0 where there can be none.
func (f *finder) start(order ui.FindOrder) int {
	f.threads.stop()
	order.Shards = searchers()
	for order.Shard = range order.Shards {
		mine := order
		if err := f.threads.start(ui.Share{Find: &mine}, safejs.Undefined(), f.take, f.broke); err != nil {
			f.threads.stop()
			return 0
		}
	}
	return order.Shards
}

func (f *finder) take(news []byte) {
	f.planner.TakeFindNews(news)
	if !f.planner.Searching() {
		f.threads.stop()
	}
	f.render()
}

func (f *finder) broke() {
	f.planner.FindBroke()
	f.render()
}

// searchers is how many threads this device has for a search.
func searchers() int {
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

const (
	showing  = 600 * time.Millisecond // between two of what it has found, at least
	findWork = 2000                   // looks at a build between two looks at the clock
)

// searchShare searches a share and tells how that goes.
func searchShare(order *ui.FindOrder) error {
	search, err := order.Search()
	if err != nil {
		return err
	}
	var told, shown time.Time
	var page listener
	found := -1
	for more := true; more; {
		page.giveWay()
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
		if err := tell(news.Bytes()); err != nil {
			return err
		}
	}
	return nil
}
