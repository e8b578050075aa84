//go:build !js

package browser

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/build"
	finds "headroom/core/find"
	"headroom/core/link"
	"headroom/wasm/page/pagetest"
)

// small is a search that ends soon and has builds and near misses to show; whole is one that goes on for a while.
const (
	small = "range=14&ceiling=20&mass=17.2"
	axes  = "s=14-20&p=1-3&cell=21700-balanced,21700-energy&motor=hub5-wide,hub6-wide&tire=trail-6,street-5&kpa=100-200/20&fw=0,10,20"
)

// openFind opens the page with wishes that the device has kept, and unfolds the card.
func openFind(t testing.TB, tab *pagetest.Tab, address, wishes string) {
	t.Helper()
	atStart(tab, fmt.Sprintf(`if (location.protocol !== 'about:') localStorage.setItem('headroom.find', %q)`, wishes))
	visit(tab, address)
	do(tab, `document.querySelector('.find').open = true; document.querySelector('.find').scrollIntoView()`)
	tab.Await(`Boolean(document.querySelector('[name=find-start]'))`)
}

func startFind(tab *pagetest.Tab) { do(tab, `document.querySelector('[name=find-start]').click()`) }

// searched waits until the search has ended, which a busy machine takes its time for.
func searched(t testing.TB, tab *pagetest.Tab) {
	t.Helper()
	for end := time.Now().Add(2 * time.Minute); !pagetest.Eval[bool](tab, findDone); time.Sleep(50 * time.Millisecond) { // asking takes the page's time
		require.True(t, time.Now().Before(end), "the search does not end")
	}
}

const findDone = `document.querySelector('[data-message=find]')?.dataset.state === 'done'`

// cores has the browser say that the device has so many processors: one less searches, two at most.
func cores(tab *pagetest.Tab, n int64) {
	pagetest.Call(tab, emulation.SetHardwareConcurrencyOverride, emulation.SetHardwareConcurrencyOverrideParams{HardwareConcurrency: n})
}

// natively is the answer of the same search outside the browser.
func natively(t testing.TB, base, wishes string) finds.Result {
	t.Helper()
	b := build.Default()
	if base != "" {
		b = link.Decode(base).Build
	}
	task, problems := finds.Read(b, wishes)
	require.Empty(t, problems)
	search, err := finds.NewSearch(task, 0, 1)
	require.NoError(t, err)
	for search.Step(1e6) {
	}
	return search.Result()
}

// allShown unfolds the whole table and reads its links, and those of the near misses.
func allShown(tab *pagetest.Tab) (found, near []string) {
	for pagetest.Eval[bool](tab, `Boolean(document.querySelector('[name=find-more]'))`) {
		do(tab, `document.querySelector('[name=find-more]').click()`)
	}
	return pagetest.Eval[[]string](tab, `[...document.querySelectorAll('[data-found]')].map((e) => e.dataset.found)`),
		pagetest.Eval[[]string](tab, `[...document.querySelectorAll('[data-near]')].map((e) => e.dataset.near)`)
}

func sameAnswer(t *testing.T, want finds.Result, tab *pagetest.Tab) {
	t.Helper()
	var found, near []string
	for _, f := range want.Found {
		found = append(found, f.Link)
	}
	for _, m := range want.Near {
		near = append(near, m.Link)
	}
	require.Greater(t, len(found), 1)
	require.NotEmpty(t, near)
	gotFound, gotNear := allShown(tab)
	assert.Equal(t, found, gotFound, "lightest first")
	assert.Equal(t, near, gotNear, "nearest first")
}

// The page finds what the core finds outside the browser, whether one thread searches or two, and each build opens as one step.
func TestFindFindsWhatTheCoreFinds(t *testing.T) {
	const wishes = small + "&" + axes
	want := natively(t, "", wishes)
	tab := fresh(t, serve(t))
	resize(tab, 390, 844)
	for _, n := range []int64{2, 8} {
		cores(tab, n)
		openFind(t, tab, serve(t), wishes)
		startFind(tab)
		searched(t, tab)
		sameAnswer(t, want, tab)
		assert.Equal(t, float64(min(n-1, 2)), pagetest.Eval[float64](tab, `performance.getEntriesByType('resource').filter((e) => e.name.endsWith('thread.js')).length`), "threads")
	}
	first := want.Found[0].Link
	do(tab, `document.querySelector('[name=find-open]').click()`)
	rest(tab, first)
	assert.Contains(t, pagetest.Eval[string](tab, `document.querySelector('.messages').innerText`), "is open")
	do(tab, `document.querySelector('[name=undo]').click()`)
	rest(tab, "v=1")

	// Reading the picture with the keys, and opening what is read.
	focus(tab, `document.querySelector('[name=find-read]')`)
	before := pagetest.Eval[string](tab, `document.querySelector('.found .reading').innerText`)
	press(tab, kb.ArrowRight)
	assert.NotEqual(t, before, pagetest.Eval[string](tab, `document.querySelector('.found .reading').innerText`))
	do(tab, `document.querySelector('[name=find-open-read]').click()`)
	tab.Await(`location.hash !== '#v=1'`)
}

// What cannot be used is said beside its field, and nothing is searched; what can is kept on the device.
func TestFindWishesAreTyped(t *testing.T) {
	tab := open(t, "")
	do(tab, `document.querySelector('.find').open = true`)
	wish := `document.getElementById('find-range')`
	write(tab, wish, "far")
	assert.Contains(t, pagetest.Eval[string](tab, `document.getElementById('find-range-msg').innerText`), "not a number")
	startFind(tab)
	assert.Contains(t, pagetest.Eval[string](tab, `document.querySelector('[data-message=find-trouble]').innerText`), "Mend this first")
	assert.False(t, pagetest.Eval[bool](tab, `Boolean(document.querySelector('[data-message=find]'))`))
	write(tab, wish, "20")
	assert.Empty(t, pagetest.Eval[string](tab, `document.getElementById('find-range-msg').innerText`))
	assert.Equal(t, "range=20", pagetest.Eval[string](tab, `localStorage.getItem('headroom.find')`))
	do(tab, `document.querySelector('[name=units][value=us]').click()`)
	assert.Equal(t, "12.427", pagetest.Eval[string](tab, wish+".value"), "in miles")
}

// A search that is cancelled ends at once and says what that means; one that is going on does not hold a finger up.
func TestFindIsCancelledAndLeavesThePageAlive(t *testing.T) {
	tab := fresh(t, serve(t))
	resize(tab, 390, 844)
	openFind(t, tab, serve(t), "kpa=60-200/5&fw=0-60/10")
	startFind(tab)
	tab.Await(`document.querySelector('.answer progress')?.value > 0`)
	do(tab, slider("s")+".scrollIntoView({ block: 'center' })")
	x, y := thumb(tab, "s")
	drag(tab, x, y, 60, 3, nil)
	s := pagetest.Eval[float64](tab, "Number("+slider("s")+".value)")
	assert.Greater(t, s, 20.0)
	assert.InDelta(t, s*4.2, readout(tab, "pack.full_v"), 1e-9, "figures follow the finger")
	require.Equal(t, "searching", pagetest.Eval[string](tab, `document.querySelector('[data-message=find]').dataset.state`))
	do(tab, `document.querySelector('[name=find-stop]').click()`)
	searched(t, tab)
	assert.Contains(t, pagetest.Eval[string](tab, `document.querySelector('[data-message=find]').innerText`), "Stopped")
	assert.False(t, pagetest.Eval[bool](tab, `Boolean(document.querySelector('[name=find-stop]'))`))
}

// Threads wait while an input moves, and go on when it rests.
func TestFindGivesWayToAFinger(t *testing.T) {
	tab := fresh(t, serve(t))
	resize(tab, 390, 844)
	atStart(tab, countThreads)
	openFind(t, tab, serve(t), "kpa=60-200/5&fw=0-60/10")
	startFind(tab)
	tab.Await(`self.spoke > 2`)
	focus(tab, slider("s"))
	heard := func() float64 { return pagetest.Eval[float64](tab, "self.spoke") }
	press(tab, kb.ArrowRight)
	time.Sleep(60 * time.Millisecond) // within which a thread looks up
	press(tab, kb.ArrowLeft)
	var counts []float64
	for range 25 {
		press(tab, kb.ArrowRight)
		press(tab, kb.ArrowLeft)
		counts = append(counts, heard())
		time.Sleep(20 * time.Millisecond)
	}
	// A thread speaks some seven times a second; what it said just before may still be on its way.
	assert.Equal(t, counts[len(counts)/2], counts[len(counts)-1], "%v", counts)
	tab.Await(fmt.Sprintf("self.spoke > %v", heard()+2))
	assert.Equal(t, "searching", pagetest.Eval[string](tab, `document.querySelector('[data-message=find]').dataset.state`))
}

// countThreads counts the page's threads, and what they say.
const countThreads = `{
	const Native = self.Worker;
	self.started = self.spoke = 0;
	self.Worker = class extends Native {
		constructor(address) { super(address); self.started++; this.addEventListener('message', () => self.spoke++); }
	};
}`

// The card in use keeps to the accessibility rules.
func TestFindMeetsTheAccessibilityRules(t *testing.T) {
	tab := fresh(t, serve(t))
	resize(tab, 390, 844)
	openFind(t, tab, serve(t), small+"&"+axes)
	withAxe(t, tab)
	startFind(tab)
	searched(t, tab)
	do(tab, `document.querySelectorAll('.find details').forEach((d) => { d.open = true })`)
	write(tab, `document.getElementById('find-mass')`, "heavy")
	do(tab, `scrollTo(0, 0)`) // nothing half under the bar
	auditedCard(t, tab, ".find")
}

// With prices, as long as some currencies have them, the table fits a phone with nothing to scroll sideways, and stays a table for whoever
// listens to it.
func TestFoundBuildsFitAPhone(t *testing.T) {
	const base = "fusetype=battery-450&fuse=60&awg=6&crossawg=6&conn=bolted-m5&plug=bolted-m5&chgtype=pv-1000&regen=20&batt=40&phase=90&chga=4"
	const wishes = "range=25&ceiling=26&mass=20&s=16-20&p=2&cell=21700-balanced,21700-energy&tire=trail-6,slick-6,street-5&ctrl=c100,c130"
	tab := fresh(t, serve(t))
	resize(tab, 360, 800)
	openFind(t, tab, serve(t)+"#"+base, wishes)
	unfoldAll(tab, "#prices", "#quote", "#quote .more", "#quote .more ~ .more ~ .more", "#prices .more")
	click(tab, "prices-demo")
	for _, money := range []struct {
		code  string
		extra string
	}{{"EUR", ""}, {"IDR", "id;name;price;for\nmotor;A motor;24500000.5;motor\n"}} {
		entered(tab, "quote-currency", money.code)
		if money.extra != "" {
			pasted(tab, "prices-paste", money.extra)
			click(tab, "prices-take")
			do(tab, `((e) => { e.value = 'motor'; e.dispatchEvent(new Event('change', { bubbles: true })) })(document.querySelector('#quote [name="item-motor"]'))`)
		}
		startFind(tab)
		searched(t, tab)
		tab.Await(fmt.Sprintf(`document.querySelector('.finds [value=price] small')?.innerText === %q`, money.code))
		dearest := pagetest.Eval[string](tab, `[...document.querySelectorAll('.finds td:nth-child(5)')].map((e) => e.innerText).sort((a, b) => b.length - a.length)[0]`)
		assert.Equal(t, money.extra != "", len(dearest) > len("1,402.37"), dearest)
		for _, width := range []int64{360, 390, 1440} {
			resize(tab, width, 800)
			assert.Empty(t, pagetest.Eval[[]string](tab, `[document.documentElement, ...document.querySelectorAll('.find, .find *:not(svg *, .sr)')].filter((e) => e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0 && getComputedStyle(e).display !== 'inline').map((e) => e.tagName + '.' + e.className)`), "%s at %d", money.code, width)
			assert.True(t, pagetest.Eval[bool](tab, `((table, room) => table.right <= room.right + 0.5)(document.querySelector('.finds').getBoundingClientRect(), document.querySelector('.answer').getBoundingClientRect())`), "%s at %d", money.code, width)
		}
	}
	assert.Equal(t, "table table-row table-cell", pagetest.Eval[string](tab, `['.finds', '.finds tbody tr', '.finds td'].map((s) => getComputedStyle(document.querySelector(s)).display).join(' ')`), "as its tags say")
	resize(tab, 360, 800)
	withAxe(t, tab)
	do(tab, `scrollTo(0, 0)`)
	auditedCard(t, tab, ".find")

	// Clear builds alone, by a tick.
	assert.Contains(t, shown(tab, "[data-message=find-states]"), "clear, first; then")
	do(tab, `document.querySelector('[name=find-clear]').click()`)
	assert.Contains(t, pagetest.Eval[string](tab, `localStorage.getItem('headroom.find')`), "clear=on")
	startFind(tab)
	searched(t, tab)
	assert.Contains(t, shown(tab, "[data-message=find-states]"), "All are clear")
	assert.Zero(t, pagetest.Eval[float64](tab, `document.querySelectorAll('.finds .st.tight, .found .dot.tight').length`))
}

// Where no thread can be had the page searches between its frames, and finds the same.
func TestFindWithoutThreads(t *testing.T) {
	const wishes = small + "&s=16-18&p=2&cell=21700-balanced,21700-energy&motor=hub5-wide,hub6-wide&tire=trail-6,street-5&ctrl=c100,c130&kpa=100-200/20&fw=0,10"
	want := natively(t, "", wishes)
	for _, without := range noThreads {
		tab := fresh(t, serve(t))
		resize(tab, 390, 844)
		atStart(tab, without)
		openFind(t, tab, serve(t), wishes)
		startFind(tab)
		searched(t, tab)
		sameAnswer(t, want, tab)
	}
}

// BenchmarkFind reports how many builds a search in the page gets through in a second (examined/s, every build; looked-at/s, those that no
// branch ruled out), with one thread and with two, and how long keys on a slider take to be painted meanwhile.
func BenchmarkFind(b *testing.B) {
	const base = "fusetype=battery-450&fuse=60&awg=6&crossawg=6&conn=bolted-m5&plug=bolted-m5&chgtype=pv-1000&regen=20&batt=40&phase=90&chga=4"
	const wishes = "range=25&ceiling=28&shift=30&mass=20&cells=24%2B24&kpa=100-200/20&fw=0,20,40"
	tally := natively(b, base, wishes).Tally
	for _, n := range []int64{1, 2} {
		b.Run(fmt.Sprintf("threads-%d", n), func(b *testing.B) {
			tab := fresh(b, serve(b))
			atStart(tab, sampling)
			resize(tab, 390, 844)
			cores(tab, n+1)
			openFind(b, tab, serve(b)+"#"+base, wishes)
			var seconds float64
			for b.Loop() {
				start := time.Now()
				startFind(tab)
				searched(b, tab)
				seconds += time.Since(start).Seconds()
			}
			b.ReportMetric(float64(b.N)*float64(tally.Examined())/seconds, "examined/s")
			b.ReportMetric(float64(b.N)*float64(tally.Looked+tally.Planned)/seconds, "looked-at/s")

			startFind(tab)
			focus(tab, slider("s"))
			for count := 0; count < 60 && !pagetest.Eval[bool](tab, findDone); count++ {
				key := kb.ArrowRight
				if count%2 == 1 {
					key = kb.ArrowLeft
				}
				tab.Do(chromedp.KeyEvent(key))
				tab.Await(fmt.Sprintf("samples.length === %d", count+1))
			}
			report(b, "input-to-paint while it searches", pagetest.Eval[[]float64](tab, "samples"), p95Goal(16))
		})
	}
}

// The page that is one file has its threads from its own text.
func TestFindInOneFile(t *testing.T) {
	const wishes = small + "&" + axes
	want := natively(t, "", wishes)
	address := "file://" + filepath.ToSlash(wholeFile(t))
	tab := fresh(t, address[:len("file://")])
	resize(tab, 390, 844)
	cores(tab, 3)
	atStart(tab, countThreads)
	openFind(t, tab, address, wishes)
	startFind(tab)
	searched(t, tab)
	sameAnswer(t, want, tab)
	assert.Equal(t, 2.0, pagetest.Eval[float64](tab, "self.started"), "threads")
	assert.GreaterOrEqual(t, pagetest.Eval[float64](tab, "self.spoke"), 2.0, "and they did the work")
}
