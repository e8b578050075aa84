//go:build !js

package browser

import (
	"fmt"
	"math"
	"os/exec"
	"slices"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// speeds are this machine's own and that of a cheap phone of some years ago.
var speeds = []struct {
	name string
	rate float64
}{{"plain", 1}, {"cpu4x", 4}}

// throttle slows the page's processor down.
func throttle(tab *pagetest.Tab, rate float64) {
	pagetest.Call(tab, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: rate})
}

// afterPaint calls done with the time at which the frame in work has been drawn: a message posted in the last callback of an animation
// frame is handled once style, layout and paint of that frame are through. What remains is the screen's own delay.
const afterPaint = `self.afterPaint = (done) => requestAnimationFrame(() => {
	const { port1, port2 } = new MessageChannel();
	port1.onmessage = () => { port1.close(); done(performance.now()); };
	port2.postMessage(0);
});`

// sampling measures from a key pressed on a slider to the frame that shows its effect.
//
// The start is the timeStamp of the trusted keydown event, which the browser takes when the input arrives, before the page hears of it.
// The page applies what a frame's inputs make of it in that frame's animation callback; this script asks for its own callback in each frame
// until the full pack's data-value differs, and then takes the time after that frame's paint. So a sample holds the wait for the next
// frame (up to 16.7 ms at 60 Hz, 8 on average), the planning in Go, the change of the page, style, layout and paint.
const sampling = afterPaint + `
self.samples = [];
addEventListener('keydown', (event) => {
	if (event.target.type !== 'range') return;
	const shown = document.querySelector('[data-key="pack.full_v"]'), old = shown.dataset.value;
	const look = () => afterPaint((now) => shown.dataset.value !== old ? self.samples.push(now - event.timeStamp) : look());
	look();
}, true);`

// BenchmarkSliderPaint reports median-ms and p95-ms from input to paint, of at least 120 key presses; ns/op is one press with the
// protocol's own way there and back, and means little.
func BenchmarkSliderPaint(b *testing.B) {
	const unfolded = `document.querySelectorAll('details').forEach((d) => { d.open = true })`
	for _, s := range speeds {
		b.Run(s.name, func(b *testing.B) { sliderPaint(b, s.rate, "") })
		b.Run(s.name+"-unfolded", func(b *testing.B) { sliderPaint(b, s.rate, unfolded) })
	}
}

func sliderPaint(b *testing.B, rate float64, prepare string) {
	tab := fresh(b, serve(b))
	atStart(tab, sampling)
	resize(tab, 390, 844)
	visit(tab, serve(b)+"#v=1")
	do(tab, prepare)
	focus(tab, slider("s"))
	throttle(tab, rate)
	count := 0
	step := func() {
		key := kb.ArrowRight
		if count%2 == 1 {
			key = kb.ArrowLeft
		}
		tab.Do(chromedp.KeyEvent(key))
		count++
		tab.Await(fmt.Sprintf("samples.length === %d", count))
	}
	for range 10 { // warm up: the browser compiles, the collector finds its pace
		step()
	}
	for b.Loop() {
		step()
	}
	for count < 130 {
		step()
	}
	samples := pagetest.Eval[[]float64](tab, "samples.slice(10)")
	report(b, "input-to-paint", samples)
}

// BenchmarkColdStart reports the time from the start of navigation to the paint of the first view with figures, in a browser that has
// never seen the page, from a server on this machine.
func BenchmarkColdStart(b *testing.B) {
	for _, s := range speeds {
		b.Run(s.name, func(b *testing.B) {
			var samples []float64
			measure := func() {
				tab := fresh(b, serve(b))
				atStart(tab, starting)
				resize(tab, 390, 844)
				throttle(tab, s.rate)
				samples = append(samples, firstView(tab, serve(b)+"#v=1&s=20"))
			}
			for b.Loop() {
				measure()
			}
			for len(samples) < 3 {
				measure()
			}
			report(b, "to-first-view", samples)
		})
	}
}

// BenchmarkOfflineStart is BenchmarkColdStart for a page that the device keeps, with the server gone.
func BenchmarkOfflineStart(b *testing.B) {
	for _, s := range speeds {
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
			var samples []float64
			measure := func() { samples = append(samples, firstView(tab, address+"#v=1&s=20")) }
			for b.Loop() {
				measure()
			}
			for len(samples) < 5 {
				measure()
			}
			report(b, "to-first-view", samples)
		})
	}
}

func stopOnce(server *exec.Cmd) {
	if server.ProcessState == nil {
		stop(server)
	}
}

// starting notes when the first view with figures has been drawn, in ms since the navigation began.
const starting = afterPaint + `
self.firstView = 0;
new MutationObserver((_, observer) => {
	if (document.documentElement?.dataset.boot !== 'ready') return;
	observer.disconnect();
	afterPaint((now) => { if (document.querySelector('[data-key="pack.full_v"]').dataset.value) self.firstView = now; });
}).observe(document, { attributes: true, childList: true, subtree: true });`

func firstView(tab *pagetest.Tab, address string) float64 {
	tab.Do(chromedp.Navigate("about:blank"), chromedp.Navigate(address))
	tab.Await("self.firstView > 0")
	return pagetest.Eval[float64](tab, "firstView")
}

// report adds the median and the 95th percentile (nearest rank) of samples in ms to a benchmark's line.
func report(b *testing.B, what string, samples []float64) {
	slices.Sort(samples)
	rank := func(share float64) float64 { return samples[int(math.Ceil(share*float64(len(samples))))-1] }
	b.ReportMetric(rank(0.5), "median-ms")
	b.ReportMetric(rank(0.95), "p95-ms")
	b.Logf("%s: %d samples, %.1f to %.1f ms", what, len(samples), samples[0], samples[len(samples)-1])
}
