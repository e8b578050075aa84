//go:build !js

package browser

import (
	"fmt"
	"io"
	"math"
	"os"
	"runtime"
	"slices"
	"testing"
	"text/tabwriter"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// figure is one measured figure and the goal that it stands beside, none if it is 0 and noGoal.
type figure struct {
	what        string
	value, goal float64
	unit        string
	noGoal      bool
	atLeast     bool // the goal is the least, not the most
}

// remarks say what could not be measured.
var remarks []string

// figures are printed after the last benchmark.
var figures []figure

func tell(w io.Writer) {
	for _, r := range remarks {
		fmt.Fprintln(w, r)
	}
	if len(figures) == 0 {
		return
	}
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(table, "\t\tgoal\t\t\t")
	for _, f := range figures {
		goal, word := fmt.Sprintf("%.4g", f.goal), "met"
		switch {
		case f.noGoal:
			goal, word = "-", ""
		case f.atLeast && f.value < f.goal, !f.atLeast && f.value > f.goal:
			word = "MISSED"
		}
		fmt.Fprintf(table, "%.4g\t%s\t%s\t%s\t\v%s\n", f.value, f.unit, goal, word, f.what)
	}
	_ = table.Flush()
	var load float64
	if text, err := os.ReadFile("/proc/loadavg"); err == nil {
		_, _ = fmt.Sscan(string(text), &load)
	}
	if busy := load / float64(runtime.NumCPU()); busy > 1.5 {
		fmt.Fprintf(w, "%.1f programs wanted each processor of this machine meanwhile: on an idle one, times are better.\n", busy)
	}
}

// spread is the median and the 95th percentile (nearest rank).
func spread(samples []float64) (median, p95 float64) {
	slices.Sort(samples)
	rank := func(share float64) float64 { return samples[int(math.Ceil(share*float64(len(samples))))-1] }
	return rank(0.5), rank(0.95)
}

// report adds the median and the 95th percentile of samples in ms to a benchmark's line, and to the table beside a goal for one of them.
func report(b *testing.B, what string, samples []float64, goal func(median, p95 *figure)) {
	b.Helper()
	median, p95 := spread(samples)
	b.ReportMetric(median, "median-ms")
	b.ReportMetric(p95, "p95-ms")
	m := figure{what: what + ", median of " + fmt.Sprint(len(samples)), value: median, unit: "ms", noGoal: true}
	p := figure{what: what + ", 95th percentile", value: p95, unit: "ms", noGoal: true}
	goal(&m, &p)
	figures = append(figures, m, p)
}

func noGoal(_, _ *figure) {}

func medianGoal(ms float64) func(_, _ *figure) {
	return func(median, _ *figure) { median.goal, median.noGoal = ms, false }
}

func p95Goal(ms float64) func(_, _ *figure) {
	return func(_, p95 *figure) { p95.goal, p95.noGoal = ms, false }
}

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
// protocol's own way there and back, and means little. Goal: a frame of 60 Hz, and 50 ms on a slow phone.
func BenchmarkSliderPaint(b *testing.B) {
	for i, s := range speeds {
		goal := p95Goal([]float64{16, 50}[i])
		b.Run(s.name, func(b *testing.B) { sliderPaint(b, "folded, "+s.name, s.rate, fold, goal) })
		b.Run(s.name+"-unfolded", func(b *testing.B) { sliderPaint(b, "all unfolded, "+s.name, s.rate, unfold, goal) })
	}
}

func fold(tab *pagetest.Tab) {
	do(tab, `document.querySelectorAll('details').forEach((d) => { d.open = false })`)
}

func sliderPaint(b *testing.B, what string, rate float64, prepare func(*pagetest.Tab), goal func(_, _ *figure)) {
	tab := fresh(b, serve(b))
	atStart(tab, sampling)
	resize(tab, 390, 844)
	visit(tab, serve(b)+"#v=1")
	prepare(tab)
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
	report(b, "slider input to paint, "+what, pagetest.Eval[[]float64](tab, "samples.slice(10)"), goal)
}

// BenchmarkDrag counts the tasks over 50 ms (W3C Long Tasks) while a finger moves a slider to and fro for four seconds.
func BenchmarkDrag(b *testing.B) {
	for _, s := range speeds {
		b.Run(s.name, func(b *testing.B) { dragging(b, "folded, "+s.name, s.rate, fold) })
		b.Run(s.name+"-unfolded", func(b *testing.B) { dragging(b, "all unfolded, "+s.name, s.rate, unfold) })
	}
}

func dragging(b *testing.B, what string, rate float64, prepare func(*pagetest.Tab)) {
	tab := fresh(b, serve(b))
	resize(tab, 390, 844)
	visit(tab, serve(b)+"#v=1")
	prepare(tab)
	do(tab, slider("s")+".scrollIntoView({ block: 'center' })")
	throttle(tab, rate)
	x, y := thumb(tab, "s")
	touch := func(kind input.DispatchTouchEventType, points ...*input.TouchPoint) {
		pagetest.Call(tab, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
	}
	sweep := func(lasts time.Duration) {
		touch("touchStart", &input.TouchPoint{X: x, Y: y})
		for begin := time.Now(); time.Since(begin) < lasts; time.Sleep(8 * time.Millisecond) {
			touch("touchMove", &input.TouchPoint{X: x + 80*math.Sin(time.Since(begin).Seconds()*4), Y: y})
		}
		touch("touchMove", &input.TouchPoint{X: x, Y: y})
		touch("touchEnd")
		frames(tab)
	}
	sweep(time.Second) // warm up
	do(tab, `self.long = []; self.moves = 0;
		new PerformanceObserver((list) => self.long.push(...list.getEntries().map((e) => e.duration))).observe({ type: 'longtask' });
		addEventListener('input', () => { self.moves++ }, true)`)
	for b.Loop() {
		sweep(4 * time.Second)
	}
	long := pagetest.Eval[[]float64](tab, "long")
	require.Positive(b, pagetest.Eval[int](tab, "moves"), "the slider moved")
	b.ReportMetric(float64(len(long)), "long-tasks")
	longest := 0.0
	for _, ms := range long {
		longest = max(longest, ms)
	}
	figures = append(figures, figure{what: "tasks over 50 ms while dragging, " + what, value: float64(len(long))},
		figure{what: "longest of them", value: longest, unit: "ms", noGoal: true})
}
