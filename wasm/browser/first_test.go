//go:build !js

package browser

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// held keeps the program back until self.goOn() is called, and adds up what moves under a reader's eyes meanwhile.
const held = `{
	const { fetch } = self;
	self.fetch = (...of) => String(of[0]).includes('.wasm') ? new Promise((go) => { self.goOn = go; }).then(() => fetch(...of)) : fetch(...of);
	self.moved = 0;
	new PerformanceObserver((list) => { for (const e of list.getEntries()) { self.moved += e.value; self.shifts = [...(self.shifts || []), ...e.sources.map((s) => [s.node && (s.node.outerHTML || s.node.data).slice(0, 80), JSON.stringify(s.previousRect), JSON.stringify(s.currentRect)].join(" "))]; } }).observe({ type: 'layout-shift', buffered: true });
}`

// outline is what a person sees of the page: each element in sight, where it lies, and its own words.
const outline = `[...document.querySelectorAll('#app *')].filter((e) => e.checkVisibility() && !e.closest('details:not([open]) > :not(summary)')
	&& !e.closest('.track, [data-travel]')).map((e) => { // tracks come when the build has rested, in room that is kept for them
	const { x, y, width, height } = e.getBoundingClientRect();
	const own = [...e.childNodes].filter((n) => n.nodeType === 3).map((n) => n.data).join('').trim();
	return [e.tagName, e.getAttribute('class'), e.value, e.checked, own, ...[x, y, width, height].map(Math.round)].join(' ');
})`

// legible is every text that can be read: in sight and not drawn in no color.
const legible = `[...new Set([...document.querySelectorAll('#app *')].filter((e) => e.checkVisibility({ visibilityProperty: true }) && getComputedStyle(e).color !== 'rgba(0, 0, 0, 0)'
	&& !e.closest('.pair')).map((e) => e.value !== undefined && e.type === 'text' ? e.value : [...e.childNodes].filter((n) => n.nodeType === 3).map((n) => n.data).join('').trim()).filter(Boolean))]`

// holdBack opens an address and stops before the program has come.
func holdBack(t *testing.T, address string, width, height int64, before string) *pagetest.Tab {
	t.Helper()
	tab := fresh(t, serve(t))
	atStart(tab, before+held)
	resize(tab, width, height)
	tab.Do(chromedp.Navigate("about:blank"), chromedp.Navigate(address))
	tab.Await(`Boolean(self.goOn) && document.readyState === 'complete'`)
	frames(tab)
	return tab
}

func goOn(tab *pagetest.Tab) {
	pagetest.Eval[bool](tab, "self.goOn(), true")
	tab.Await(ready)
	frames(tab)
}

func TestFirstViewIsWhatTheProgramDraws(t *testing.T) {
	t.Parallel()
	for _, size := range [][2]int64{{320, 700}, {390, 844}, {1440, 900}} {
		t.Run(fmt.Sprintf("%dx%d", size[0], size[1]), func(t *testing.T) {
			tab := holdBack(t, serve(t), size[0], size[1], "")
			style(tab, "* { content-visibility: visible !important }") // else what lies far below has no place yet
			before, figures := pagetest.Eval[[]string](tab, outline), readouts(tab)
			require.Greater(t, len(before), 150)
			require.NotEmpty(t, figures)
			assert.True(t, pagetest.Eval[bool](tab, `document.querySelector('.bar output').checkVisibility({ visibilityProperty: true })`), "figures can be read")
			assert.True(t, pagetest.Eval[bool](tab, `document.getElementById('app').ariaBusy === 'true'`))
			assert.Empty(t, pagetest.Eval[[]string](tab, `[...document.querySelectorAll('#app :is(button, input, summary)')].filter((e) => !e.matches('[inert], :disabled')).map((e) => e.outerHTML)`))
			do(tab, slider("s")+".click(); "+slider("s")+".focus()")
			assert.Equal(t, "BODY", pagetest.Eval[string](tab, "document.activeElement.tagName"), "nothing can be moved that would be lost")
			goOn(tab)
			after := pagetest.Eval[[]string](tab, outline)
			for i := range min(len(before), len(after)) {
				require.Equal(t, before[i], after[i], "element %d in sight", i)
			}
			assert.Len(t, after, len(before))
			for key, value := range readouts(tab) {
				if first, ok := figures[key]; ok {
					assert.Equal(t, first, value, key)
				}
			}
			assert.Zero(t, pagetest.Eval[float64](tab, "self.moved"), "what is being read stays where it is: %q", pagetest.Eval[[]string](tab, "self.shifts || []"))
			assert.False(t, pagetest.Eval[bool](tab, `document.getElementById('app').hasAttribute('aria-busy') || Boolean(document.querySelector('#app :is([inert], :disabled)'))`))
		})
	}
}

// places is where the parts lie that a skeleton shows, by their words.
const places = `Object.fromEntries([...document.querySelectorAll('.bar, .top .tool, .slider :is(label, .step, .help:not(.where)), .inputs > details > summary h2')].map((e, i) => {
	const { x, y } = e.getBoundingClientRect();
	return [i + ' ' + (e.getAttribute('class') ?? e.tagName), Math.round(x) + ' ' + Math.round(y)];
}))`

// TestFirstViewNeverShowsAnotherBuild opens the page where the standard build's figures would be wrong.
func TestFirstViewNeverShowsAnotherBuild(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct{ tail, before string }{
		"a link in the fragment": {tail: "#v=1&s=32&p=4&motor=hub65-wide&kpa=90&cell=46800-balanced"},
		"a link in the query":    {tail: "?s=32&p=4&motor=hub5-narrow"},
		"a dangerous build":      {tail: "#v=1&s=40&p=1&batt=300&phase=500"},
		"the build of last time": {before: `localStorage.setItem('headroom.build', 'v=1&s=32&motor=hub5-narrow&kpa=90');`},
		"a pinned build":         {before: `localStorage.setItem('headroom.pin', 'v=1&s=32');`},
		"US units":               {before: `localStorage.setItem('headroom.units', 'us');`},
	} {
		if c.before != "" {
			c.before = "if (location.protocol === 'http:') { " + c.before + " }\n"
		}
		for _, size := range [][2]int64{{390, 844}, {1440, 900}} {
			t.Run(fmt.Sprintf("%s/%d", name, size[0]), func(t *testing.T) {
				tab := holdBack(t, serve(t)+c.tail, size[0], size[1], c.before)
				shown, lying := pagetest.Eval[[]string](tab, legible), pagetest.Eval[map[string]string](tab, places)
				require.Greater(t, len(shown), 15, "the shape of the page is there")
				assert.Contains(t, shown, "Cells in series")
				style(tab, ":root:not(.first) #app[aria-busy] .page .bar * { visibility: visible !important }")
				spoiled := pagetest.Eval[[]string](tab, legible)
				goOn(tab)
				if name != "a pinned build" { // which adds to the standard build's figures and makes none of them wrong
					assert.NotSubset(t, pagetest.Eval[[]string](tab, legible), spoiled, "this check sees a wrong figure")
				}
				assert.Subset(t, pagetest.Eval[[]string](tab, legible), shown, "all that could be read is true of this build")
				assert.Zero(t, pagetest.Eval[float64](tab, "self.moved"), "what is in sight stays where it is: %v", pagetest.Eval[any](tab, "self.shifts"))
				assert.Equal(t, lying, pagetest.Eval[map[string]string](tab, places), "and so does what the program draws anew")
			})
		}
	}
}
