//go:build !js

package browser

import (
	"net"
	"os/exec"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// starting notes, in ms since the navigation began, when figures could first be read and when those of the program had been drawn, and adds
// up what moved (Cumulative Layout Shift, Web Vitals, without its windows: never less). Nothing is drawn, and so no animation frame comes, before the styles are there.
const starting = afterPaint + `
self.readable = self.live = self.moved = 0;
new PerformanceObserver((list) => { for (const e of list.getEntries()) self.moved += e.value; }).observe({ type: 'layout-shift', buffered: true });
(function look() {
	const figure = document.querySelector('.bar [data-key]');
	if (figure?.dataset.value && figure.checkVisibility({ visibilityProperty: true }) && getComputedStyle(figure).color !== 'rgba(0, 0, 0, 0)') afterPaint((now) => { self.readable = now; });
	else requestAnimationFrame(look);
})();
new MutationObserver((_, observer) => {
	if (document.documentElement?.dataset.boot !== 'ready') return;
	observer.disconnect();
	afterPaint((now) => { if (document.querySelector('[data-key="pack.full_v"]').dataset.value) self.live = now; });
}).observe(document, { attributes: true, childList: true, subtree: true });`

// arrival is what one visit showed.
type arrival struct{ Readable, Live, Moved float64 }

func visited(tab *pagetest.Tab, address string) arrival {
	tab.Do(chromedp.Navigate("about:blank"), chromedp.Navigate(address))
	for end := time.Now().Add(time.Minute); !pagetest.Eval[bool](tab, "self.live > 0 && self.readable > 0") && time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
	}
	tab.Await("self.live > 0 && self.readable > 0")
	return pagetest.Eval[arrival](tab, "({ Readable: readable, Live: live, Moved: moved })")
}

// starts adds the visits of a benchmark to the table.
func starts(b *testing.B, what string, all []arrival, readable, live func(_, _ *figure)) {
	b.Helper()
	var first, running []float64
	moved := 0.0
	for _, s := range all {
		first, running, moved = append(first, s.Readable), append(running, s.Live), max(moved, s.Moved)
	}
	report(b, "first readouts, "+what, first, readable)
	report(b, "live readouts, "+what, running, live)
	figures = append(figures, figure{what: "layout shift, " + what, value: moved})
	b.ReportMetric(moved, "shift")
}

// repeat measures once for each round of the benchmark, and so often at least.
func repeat(b *testing.B, least int, measure func() arrival) (all []arrival) {
	for b.Loop() {
		all = append(all, measure())
	}
	for len(all) < least {
		all = append(all, measure())
	}
	return all
}

// BenchmarkColdStart opens the page in a browser that has never seen it, from a server on this machine.
func BenchmarkColdStart(b *testing.B) {
	for _, s := range speeds {
		b.Run(s.name, func(b *testing.B) {
			starts(b, "first visit, no network in between, "+s.name, repeat(b, 3, func() arrival {
				tab := fresh(b, serve(b))
				atStart(tab, starting)
				resize(tab, 390, 844)
				throttle(tab, s.rate)
				return visited(tab, serve(b))
			}), noGoal, noGoal)
		})
	}
}

// BenchmarkSlowStart is BenchmarkColdStart over a slow mobile network (1.6 Mbit/s, 150 ms there and back) and on a slow phone. It counts the
// bytes on the way until the page is kept, for the worker asks anew for what it keeps.
func BenchmarkSlowStart(b *testing.B) {
	serve(b)
	first := 0.0
	starts(b, "first visit, slow 4G, cpu4x", repeat(b, 3, func() arrival {
		way := slow(b, strings.TrimSuffix(strings.TrimPrefix(serve(b), "http://"), "/"))
		tab := fresh(b, way.address)
		atStart(tab, starting)
		resize(tab, 390, 844)
		throttle(tab, 4)
		s := visited(tab, way.address)
		first = float64(way.carried.Load()) / 1e6
		return s
	}), medianGoal(1500), noGoal)
	b.ReportMetric(first, "MB")
	figures = append(figures, figure{what: "bytes of a first visit until it is live, with headers", value: first, unit: "MB", goal: 1.1})
}

// BenchmarkOfflineStart opens a page that the device keeps, with the server gone.
func BenchmarkOfflineStart(b *testing.B) {
	for i, s := range speeds {
		live := noGoal
		if i == 1 {
			live = medianGoal(1000)
		}
		b.Run(s.name, func(b *testing.B) {
			serve(b)
			server, address, err := launch("")
			require.NoError(b, err)
			b.Cleanup(func() { stopOnce(server) })
			tab := fresh(b, address, unplugged...)
			atStart(tab, starting)
			resize(tab, 390, 844)
			visit(tab, address+"#v=1")
			tab.Await(takenCare)
			visit(tab, address+"#v=1") // the browser keeps the machine code of a program that it has met in the cache
			stopOnce(server)
			throttle(tab, s.rate)
			starts(b, "second visit, offline, "+s.name, repeat(b, 5, func() arrival { return visited(tab, address+"#v=1") }), noGoal, live)
		})
	}
}

func stopOnce(server *exec.Cmd) {
	if server.ProcessState == nil {
		stop(server)
	}
}

// Slow 4G as the tools of the field have it.
const (
	slowRate = 1.6e6 / 8              // bytes a second
	slowTrip = 150 * time.Millisecond // there and back
)

// way is a slow network in front of a server.
type way struct {
	address string
	carried atomic.Int64 // bytes to the browser
	mu      sync.Mutex
	free    time.Time // when what has been given to it so far will have passed
}

// slow carries connections to a host. All share the rate; each byte takes half a round trip each way, and opening a connection a whole
// one. What it leaves out is that TCP starts slowly.
func slow(b *testing.B, host string) *way {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(b, err)
	b.Cleanup(func() { _ = listener.Close() })
	w := &way{address: "http://" + listener.Addr().String() + "/"}
	go func() {
		for {
			near, err := listener.Accept()
			if err != nil {
				return
			}
			far, err := net.Dial("tcp", host)
			if err != nil {
				_ = near.Close()
				continue
			}
			opened := time.Now().Add(slowTrip)
			go carry(far, near, func(int) time.Time { return later(opened, time.Now()).Add(slowTrip / 2) })
			go carry(near, far, w.down)
		}
	}()
	return w
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// down is when n more bytes will have come to the browser.
func (w *way) down(n int) time.Time {
	w.carried.Add(int64(n))
	w.mu.Lock()
	defer w.mu.Unlock()
	w.free = later(w.free, time.Now()).Add(time.Duration(float64(n) / slowRate * float64(time.Second)))
	return w.free.Add(slowTrip / 2)
}

// carry copies until either end closes, each piece at its time.
func carry(to, from net.Conn, due func(n int) time.Time) {
	type piece struct {
		bytes []byte
		at    time.Time
	}
	pieces := make(chan piece, 4096)
	go func() {
		defer func() { _ = to.Close() }()
		for p := range pieces {
			time.Sleep(time.Until(p.at))
			if _, err := to.Write(p.bytes); err != nil {
				_ = from.Close()
				for range pieces { // until it notices
				}
				return
			}
		}
	}()
	defer close(pieces)
	for {
		buffer := make([]byte, 1460) // as much as a packet holds
		n, err := from.Read(buffer)
		if n > 0 {
			pieces <- piece{buffer[:n], due(n)}
		}
		if err != nil {
			return
		}
	}
}
