//go:build !js

package browser

import (
	"fmt"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/stretchr/testify/assert"

	"headroom/wasm/page/pagetest"
)

// letters sets the browser's own size of letters, in px: the setting of who needs large ones. 16 is usual.
func letters(tab *pagetest.Tab, size int64) {
	pagetest.Call(tab, page.SetFontSizes, page.SetFontSizesParams{FontSizes: &page.FontSizes{Standard: size, Fixed: size * 13 / 16}})
	frames(tab)
}

// crowded lists texts in sight that are cut off or lie on one another. What scrolls by itself may be wider than its place, and the sheet
// behind "why?" lies over the page.
const crowded = `(() => {
	const list = [], texts = [];
	const scrolls = (e) => e && e !== document.body && (['auto', 'scroll'].includes(getComputedStyle(e).overflowX) || scrolls(e.parentElement));
	const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), range = document.createRange();
	for (let n; n = walk.nextNode();) {
		const e = n.parentElement;
		if (!n.data.trim() || e.closest('svg, .sr, .pair input, option') || !e.checkVisibility({ visibilityProperty: true }) || getComputedStyle(e).clipPath !== 'none') continue;
		const style = getComputedStyle(e);
		if (style.overflowX === 'hidden' && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 3)) list.push('cut off: ' + n.data.trim().slice(0, 40));
		if (scrolls(e)) continue;
		range.selectNodeContents(n);
		for (const r of range.getClientRects()) if (r.width > 1) texts.push({ l: r.left + 1, r: r.right - 1, t: r.top + 0.22 * r.height, b: r.bottom - 0.22 * r.height, words: n.data.trim().slice(0, 30) });
	}
	texts.sort((a, b) => a.t - b.t);
	texts.forEach((a, i) => {
		for (const b of texts.slice(i + 1)) {
			if (b.t >= a.b) break;
			if (a.l < b.r && b.l < a.r) list.push(a.words + ' lies on ' + b.words);
		}
	});
	return list.slice(0, 8);
})()`

// Letters twice as large, WCAG 2.2, 1.4.4 and 1.4.10: all is there, nothing lies on anything else, and nothing needs scrolling sideways.
func TestLargeLetters(t *testing.T) {
	t.Parallel()
	tab := fresh(t, serve(t))
	resize(tab, 390, 844)
	letters(tab, 32)
	visit(tab, serve(t)+"#"+twoBoxes)
	const why = `document.getElementById('why-speed.cruise_ceiling_kmh.low').click()`
	for _, s := range []struct {
		name string
		make func()
	}{
		{"as it opens", func() {}},
		{"everything unfolded", func() { unfold(tab) }},
		{"over in every way", func() { to(tab, "v=1&s=40&p=1&batt=400&phase=600&fuse=20&kpa=300&cruise=100&grade=30") }},
		{"US units", func() { do(tab, `document.querySelector('input[name=units][value=us]').click()`) }},
		{"a pinned build", func() { do(tab, `document.querySelector('[name=pin]').click()`); to(tab, "v=1&s=20") }},
	} {
		s.make()
		for _, width := range []int64{390, 360} {
			resize(tab, width, 844)
			frames(tab)
			do(tab, "window.scrollTo(0, 1500)")
			frames(tab)
			assert.Empty(t, pagetest.Eval[[]string](tab, verdictInSight), "%s, %d px: what stays in sight", s.name, width)
			do(tab, "window.scrollTo(0, 0)") // what stays in sight lies over what is scrolled
			frames(tab)
			assert.Empty(t, pagetest.Eval[[]string](tab, sideways), "%s, %d px: sticks out", s.name, width)
			assert.Empty(t, pagetest.Eval[[]string](tab, touchable), "%s, %d px: too small to touch", s.name, width)
			assert.Empty(t, pagetest.Eval[[]string](tab, crowded), "%s, %d px", s.name, width)
		}
	}
	do(tab, why)
	frames(tab)
	assert.True(t, pagetest.Eval[bool](tab, `((e) => e.scrollWidth <= e.clientWidth && e.getBoundingClientRect().right <= document.documentElement.clientWidth)(document.querySelector('.sheet'))`), "the answer is no wider than the screen")
	assert.Equal(t, 32.0, pagetest.Eval[float64](tab, `parseFloat(getComputedStyle(document.body).fontSize)`), "all letters follow the reader's own")
	do(tab, `document.querySelector('#why .close').click()`)
	style(tab, ".four { grid-template-columns: repeat(4, minmax(0, 1fr)) !important } .four output { white-space: nowrap !important } .card { width: 420px }")
	assert.NotEmpty(t, pagetest.Eval[[]string](tab, crowded), "these checks see what is wrong")
	assert.NotEmpty(t, pagetest.Eval[[]string](tab, sideways))
}

// verdictInSight lists what is wrong with the part that stays in sight while the page is scrolled: it tells the worst of the whole board, with
// mark, word and count, and leaves two thirds of the window.
const verdictInSight = `(() => {
	const list = [], lead = document.querySelector('.bar > .lead'), box = lead.getBoundingClientRect(), worst = lead.querySelector('.worst'), alarm = document.querySelector('.alarm');
	if (box.top !== 0) list.push('it does not stay: top ' + box.top);
	if (box.height > innerHeight / 3) list.push('it hides ' + Math.round(box.height) + ' of ' + innerHeight + ' px');
	if (alarm.getBoundingClientRect().bottom > box.bottom) list.push('the page is not scrolled');
	for (const part of ['.st svg', '.st span', '.count']) {
		const e = worst.querySelector(part), r = e && e.getBoundingClientRect(), is = alarm.querySelector(part);
		if (!e || !e.checkVisibility() || r.width === 0 && is.textContent || r.bottom > box.bottom || e.textContent !== is.textContent) list.push(part + ' of the worst is missing');
	}
	return list;
})()`

// sideways is sticking, but for what lies in something that scrolls by itself.
const sideways = `(() => {
	const wide = document.documentElement.clientWidth, list = [];
	const scrolls = (e) => e && e !== document.body && (['auto', 'scroll'].includes(getComputedStyle(e).overflowX) || scrolls(e.parentElement));
	if (document.documentElement.scrollWidth > wide) list.push('the page is ' + document.documentElement.scrollWidth + ' wide');
	for (const e of document.querySelectorAll('body *')) {
		if (!e.checkVisibility() || e.closest('svg') && e.tagName !== 'svg' || e.closest('.sr') || scrolls(e.parentElement)) continue;
		const box = e.getBoundingClientRect();
		if (box.width > 0 && (box.right > wide + 0.5 || box.left < -0.5)) list.push(e.tagName + '.' + e.className.toString() + ' ' + e.textContent.trim().slice(0, 30));
	}
	return list.slice(0, 5);
})()`

// Folded cards say what they hold in two lines at most, whatever is chosen, so that none of them grows while a slider moves; and the names
// of what can be measured are whole.
func TestFoldsSayAllInTwoLines(t *testing.T) {
	t.Parallel()
	tab := openSized(t, "#v=1", 360, 800)
	const cut = `[...document.querySelectorAll('summary .brief')].filter((e) => e.scrollHeight > e.clientHeight + 3 || e.scrollWidth > e.clientWidth + 1).map((e) => e.textContent)`
	const tall = `[...document.querySelectorAll('details:not([open]) > summary:has(.brief)')].filter((e) => e.checkVisibility() && e.getBoundingClientRect().height > 48).map((e) => e.textContent)`
	for _, key := range []string{"cell", "ctrl", "tire", "surface", "fusetype"} {
		for _, id := range pagetest.Eval[[]string](tab, fmt.Sprintf(`[...document.querySelector('select[name="%s"]').options].map((o) => o.value)`, key)) {
			to(tab, "v=1&s=40&p=12&split=18&rider=120&cruise=100&phase=600&batt=300&boxl=150&"+key+"="+id)
			assert.Empty(t, pagetest.Eval[[]string](tab, cut), "%s=%s", key, id)
			assert.Empty(t, pagetest.Eval[[]string](tab, tall), "%s=%s", key, id)
		}
	}
	resize(tab, 1440, 900)
	frames(tab)
	assert.Empty(t, pagetest.Eval[[]string](tab, cut))
	assert.Empty(t, pagetest.Eval[[]string](tab, tall))
	resize(tab, 360, 800)
	openCard(tab, "#ride-check")
	tab.Await(`document.querySelector('#measure-kind')`)
	assert.Empty(t, pagetest.Eval[[]string](tab, `((e) => {
		const c = document.createElement('canvas').getContext('2d'), style = getComputedStyle(e);
		c.font = style.font;
		return [...e.options].map((o) => o.text).filter((text) => c.measureText(text).width > e.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight) - 18);
	})(document.querySelector('#measure-kind'))`), "names that the picker cuts off beside its arrow")
	openCard(tab, "#prices")
	click(tab, "prices-demo")
	openCard(tab, "#quote")
	tab.Await(`document.querySelector('#quote .sums td')`)
	assert.LessOrEqual(t, pagetest.Eval[float64](tab, `Math.max(...[...document.querySelectorAll('.quote .sums td > span')].map((e) => e.getBoundingClientRect().right)) - document.querySelector('.quote > summary').getBoundingClientRect().right`), 0.5, "the sums end where the card's other lines do")
}
