//go:build !js

package browser

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/ridelog"
	"headroom/wasm/page/pagetest"
)

// drop drops a file on the card of the ride log; content is JavaScript for the parts of a Blob.
func drop(tab *pagetest.Tab, name, content string) { do(tab, dropping(name, content)) }

func dropping(name, content string) string {
	return fmt.Sprintf(`const carried = new DataTransfer();
		carried.items.add(new File(%s, %q));
		const card = document.querySelector('#ride-log');
		for (const kind of ['dragover', 'drop']) {
			const event = new DragEvent(kind, { dataTransfer: carried, bubbles: true, cancelable: true });
			if (card.dispatchEvent(event)) throw new Error(kind + ' is left to the browser');
		}`, content, name)
}

const logRead = `document.querySelector('.log-figures') !== null && document.querySelector('#ride-log progress') === null`

// logged is the figures of the log by key.
func logged(tab *pagetest.Tab) map[string]float64 {
	return pagetest.Eval[map[string]float64](tab, logFigures)
}

const logFigures = `Object.fromEntries([...document.querySelectorAll('[data-log]')].map((e) => [e.dataset.log, Number(e.dataset.value)]))`

func exampleLog(t testing.TB) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "ride_log.csv"))
	require.NoError(t, err)
	return text
}

// The figures of a dropped log are those of the core in native Go, to a billionth; then the plan is fitted to it.
func TestRideLogDropped(t *testing.T) {
	report, err := core.Plan(build.Default())
	require.NoError(t, err)
	text := exampleLog(t)
	want, failure := ridelog.Read(text, ridelog.Settings{Model: ridelog.NewModel(report.Board()), Wanted: build.Default().Shift})
	require.Empty(t, failure)

	tab := open(t, "#v=1")
	openCard(tab, "#ride-log")
	drop(tab, "ride_log.csv", fmt.Sprintf("[%q]", text))
	tab.Await(logRead)
	assert.Equal(t, 1.0, pagetest.Eval[float64](tab, `performance.getEntriesByType('resource').filter((e) => e.name.endsWith('thread.js')).length`), "read in a thread")
	got := logged(tab)
	per, _ := want.PerMeter()
	for key, v := range map[string]float64{
		"reserve_mm": want.Reserve.Least.Value * 1e3, "duty_pct": want.HighestDuty.Value * 100, "top_kmh": want.TopSpeed.Value * 3.6,
		"low_v": want.LowestV.Value, "high_v": want.HighestV.Value, "sag_v": want.WorstSag.Value, "battery_a": want.MostA.Value,
		"back_a": want.MostBackA.Value, "phase_a": want.MostPhaseA.Value, "motor_c": want.MotorC.Value, "out_wh": want.Out / 3600,
		"back_wh": want.Back / 3600, "wh_per_km": per / 3.6, "resistance_mohm": want.Resistance.Ohm * 1e3, "steady": float64(want.Stretches),
	} {
		assert.InDelta(t, v, got[key], 1e-9*(1+v), key)
		delete(got, key)
	}
	assert.Empty(t, got, "figures that were not compared")
	assert.Equal(t, len(want.Reserve.Events), pagetest.Eval[int](tab, `document.querySelectorAll('.log-events tbody tr').length`))
	for _, width := range []int64{360, 390, 1440} {
		resize(tab, width, 844)
		frames(tab)
		assert.Empty(t, pagetest.Eval[[]string](tab, `(() => {
			const table = document.querySelector('.log-events'), frame = table.parentElement.getBoundingClientRect();
			const out = (e) => { const box = e.getBoundingClientRect(); return box.left < frame.left || box.right > frame.right || e.scrollWidth > e.clientWidth };
			return [...table.querySelectorAll('th, td')].filter(out).map((e) => e.innerText + ' ' + e.scrollWidth + ' of ' + e.clientWidth);
		})()`), "cells out of sight at %d px", width)
	}
	resize(tab, 390, 844)
	assert.Equal(t, len(want.Problems), pagetest.Eval[int](tab, `document.querySelectorAll('[data-message=log-problems] li').length`))
	assert.Equal(t, 6, pagetest.Eval[int](tab, `document.querySelectorAll('#ride-log .chart').length`))

	withAxe(t, tab)
	openCard(tab, "#ride-log details.more")
	auditedCard(t, tab, "#ride-log")
	media(tab, "prefers-color-scheme", "dark")
	auditedCard(t, tab, "#ride-log")

	click(tab, "log-fit")
	tab.Await(`document.querySelector('[name=ride-put]') !== null`)
	click(tab, "ride-put")
	tab.Await(`location.hash.includes('kv=')`)
	kv := pagetest.Eval[float64](tab, `Number(new URLSearchParams(location.hash.slice(1)).get('kv'))`)
	assert.InDelta(t, 14.175, kv, 0.14, "the example was ridden with it")
	click(tab, "undo")
	rest(tab, "v=1")

	// What is no log is said, and what was read before is not passed off for it.
	drop(tab, "words.txt", `['no table at all']`)
	tab.Await(`document.querySelector('[data-message=log-failure]').textContent !== ''`)
	assert.Contains(t, shown(tab, "[data-message=log-failure]"), "No table")
	assert.Empty(t, logged(tab))
}

// noThreads are ways in which a browser has no threads for the page.
var noThreads = []string{
	`self.Worker = undefined`,
	`self.Worker = class { postMessage() { setTimeout(() => this.onerror(new Event('error', { cancelable: true }))) } terminate() {} }`,
}

// Where no thread can be had the page reads the log between its frames, and tells the same.
func TestRideLogWithoutThreads(t *testing.T) {
	text := exampleLog(t)
	tab := open(t, "#v=1")
	openCard(tab, "#ride-log")
	drop(tab, "ride_log.csv", fmt.Sprintf("[%q]", text))
	tab.Await(logRead)
	want := logged(tab)
	require.NotEmpty(t, want)
	for _, without := range noThreads {
		tab := fresh(t, serve(t))
		resize(tab, 390, 844)
		atStart(tab, without)
		visit(tab, serve(t)+"#v=1")
		openCard(tab, "#ride-log")
		drop(tab, "ride_log.csv", fmt.Sprintf("[%q]", text))
		tab.Await(logRead)
		assert.Equal(t, want, logged(tab))
	}
}

// A long log is given up at a press while its bar moves, and one that the browser loses hold of is told.
func TestRideLogIsGivenUp(t *testing.T) {
	tab := open(t, "#v=1")
	openCard(tab, "#ride-log")
	const long = `['time_s,speed_kmh,voltage_v\n', ...Array.from({ length: 400 }, (_, i) => Array.from({ length: 5000 }, (_, j) => ((i * 5000 + j) / 10) + ',20.' + j % 9 + ',70\n').join(''))]`
	drop(tab, "long.csv", long)
	tab.Await(`document.querySelector('#ride-log progress')?.value > 4`)
	click(tab, "log-cancel")
	assert.Contains(t, shown(tab, "[data-message=log]"), "given up")
	assert.Empty(t, logged(tab))

	// A file that has changed since it was picked is no longer handed over; nothing of it is passed off for the whole.
	path := filepath.Join(t.TempDir(), "growing.csv")
	var text strings.Builder
	text.WriteString("time_s,speed_kmh,voltage_v\n")
	for i := range 1_500_000 {
		fmt.Fprintf(&text, "%d.%d,20.%d,70\n", i/10, i%10, i%9)
	}
	require.NoError(t, os.WriteFile(path, []byte(text.String()), 0o600))
	picker(t, tab)("log-pick", path)
	tab.Await(`document.querySelector('#ride-log progress')?.value > 4`)
	require.NoError(t, os.WriteFile(path, []byte("time_s"), 0o600))
	tab.Await(`document.querySelector('[data-message=log]').textContent !== ''`)
	assert.Contains(t, shown(tab, "[data-message=log]"), "could not be read to its end")
	assert.Empty(t, logged(tab))
}

// watchMemory keeps hold of the program's memory, whose size can then be asked for, and of the page's long tasks.
const watchMemory = `for (const name of ['instantiate', 'instantiateStreaming']) {
	const plain = WebAssembly[name];
	WebAssembly[name] = async (...given) => {
		const made = await plain.apply(WebAssembly, given);
		self.memoryOf = () => (made.instance ?? made).exports.mem.buffer.byteLength;
		return made;
	};
}
self.longest = 0;
new PerformanceObserver((list) => { for (const e of list.getEntries()) self.longest = Math.max(self.longest, e.duration) }).observe({ type: 'longtask', buffered: true });`

// watchThreads has every thread of the page tell the most memory that its program had.
const watchThreads = `if (location.protocol !== 'about:') {
	const Native = self.Worker;
	self.most = 0;
	new BroadcastChannel('memory').onmessage = ({ data }) => { self.most = Math.max(self.most, data); };
	const within = (base) => {
		const load = self.importScripts.bind(self);
		self.importScripts = (path) => load(new URL(path, base).href);
		const plain = WebAssembly.instantiate, post = self.postMessage.bind(self), channel = new BroadcastChannel('memory');
		let memory;
		WebAssembly.instantiate = async (...given) => {
			const made = await plain.apply(WebAssembly, given);
			memory = (made.instance ?? made).exports.mem;
			return made;
		};
		self.postMessage = (...given) => {
			channel.postMessage(memory.buffer.byteLength);
			post(...given);
		};
	};
	self.Worker = class extends Native {
		constructor(path) {
			const address = new URL(path, location.href).href;
			super(URL.createObjectURL(new Blob(['(' + within + ')(' + JSON.stringify(address) + '); importScripts(' + JSON.stringify(address) + ')'])));
		}
	};
}`

// BenchmarkLongLog reads a log of a million rows, some 40 MB, made in the page: ms until figures and plots are there, the longest task of the page on the way
// (0 where none was longer than 50 ms), by how many MB the page's program grew, and how many its thread had.
func BenchmarkLongLog(b *testing.B) {
	for _, s := range speeds {
		b.Run(s.name, func(b *testing.B) {
			tab := fresh(b, serve(b))
			pagetest.Call(tab, page.SetBypassCSP, page.SetBypassCSPParams{Enabled: true}) // for a thread that is watched
			atStart(tab, watchMemory)
			atStart(tab, watchThreads)
			resize(tab, 390, 844)
			visit(tab, serve(b)+"#v=1")
			openCard(tab, "#ride-log")
			do(tab, fmt.Sprintf(`const [head, ...rows] = %q.trim().split('\n').map((row) => row.slice(row.indexOf(',')));
				self.long = ['time_s' + head + '\n'];
				for (let i = 0; i < 1_000_000;) {
					let part = '';
					for (let n = 0; n < 10_000; n++, i++) part += (i / 8).toFixed(3) + rows[i %% rows.length] + '\n';
					self.long.push(part);
				}
				self.long = [new Blob(self.long)]; /* here, for making it is a long task of its own */`, exampleLog(b)))
			throttle(tab, s.rate)
			before := pagetest.Eval[float64](tab, `memoryOf()`)
			var ms float64
			for b.Loop() {
				do(tab, `self.longest = 0; self.began = performance.now()`)
				drop(tab, "long.csv", "self.long")
				await[bool](tab, `new Promise((done) => {
					const look = () => document.querySelectorAll('#ride-log .chart').length === 6 ? done(true) : setTimeout(look, 20);
					setTimeout(look, 100);
				})`)
				ms += pagetest.Eval[float64](tab, `performance.now() - began`)
			}
			require.Contains(b, shown(tab, "#ride-log .headline"), "1000000 of 1000000 rows read")
			b.ReportMetric(ms/float64(b.N), "read-ms")
			b.ReportMetric(pagetest.Eval[float64](tab, `longest`), "longest-task-ms")
			b.ReportMetric((pagetest.Eval[float64](tab, `memoryOf()`)-before)/1e6, "grown-MB")
			b.ReportMetric(before/1e6, "before-MB")
			most := pagetest.Eval[float64](tab, `most`)
			require.NotZero(b, most, "no thread read it")
			b.ReportMetric(most/1e6, "thread-MB")
		})
	}
}
