//go:build !js

package browser

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"headroom/wasm/page/pagetest"
)

// sticking lists what sticks out to the side: the page itself, and every element in sight that does, with what it holds.
const sticking = `(() => {
	const wide = document.documentElement.clientWidth, list = [];
	if (document.documentElement.scrollWidth > wide) list.push('the page is ' + document.documentElement.scrollWidth + ' wide');
	for (const e of document.querySelectorAll('body *')) {
		if (!e.checkVisibility() || e.closest('svg') && e.tagName !== 'svg' || e.closest('.sr')) continue;
		const box = e.getBoundingClientRect();
		if (box.width > 0 && (box.right > wide + 0.5 || box.left < -0.5)) list.push(e.tagName + '.' + e.className.toString() + ' ' + e.textContent.trim().slice(0, 30));
	}
	return list.slice(0, 5);
})()`

// touchable lists what is to be touched and is lower or narrower than 44 px, or not to be reached at all. A radio button is as large as
// its label.
const touchable = `(() => {
	const list = [];
	for (const e of document.querySelectorAll('button, input, select, summary, a[href]')) {
		if (!e.checkVisibility()) continue;
		const box = (e.type === 'radio' ? e.closest('label') : e).getBoundingClientRect();
		if (box.height < 43.5 || box.width < 43.5) list.push([e.tagName, e.name, e.getAttribute('aria-label') || e.textContent.trim().slice(0, 30), box.width + 'x' + box.height].join(' '));
	}
	return list;
})()`

// covered focuses everything that can be, and lists what then lies under the readout bar, outside the window or under something else.
const covered = `(() => {
	const list = [], bar = document.querySelector('.bar');
	for (const e of document.querySelectorAll('button, input, select, summary')) {
		if (!e.checkVisibility()) continue;
		window.scrollTo(0, e.getBoundingClientRect().top + scrollY - 5); // as unfriendly as scrolling can leave it
		e.blur();
		e.focus();
		const box = e.getBoundingClientRect(), under = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
		const sticks = bar.getBoundingClientRect();
		const name = [e.tagName, e.name, e.getAttribute('aria-label') || e.textContent.trim().slice(0, 30)].join(' ');
		if (document.activeElement !== e) list.push(name + ' takes no focus');
		else if (!under) list.push(name + ' is outside the window');
		else if (under !== e && !e.contains(under) && !(e.labels && [...e.labels].some((l) => l.contains(under)))) list.push(name + ' is under ' + under.tagName + '.' + under.className);
		else if (!e.closest('.top, .bar') && box.top < sticks.bottom - 0.5) list.push(name + ' is partly under the bar');
	}
	return list;
})()`

func TestScreens(t *testing.T) {
	t.Parallel()
	tab := openSized(t, "#v=1", 360, 740)
	states := []struct {
		name string
		make func()
	}{
		{"as it opens", func() { to(tab, "v=1") }},
		{"everything unfolded", func() { unfold(tab) }},
		{"a board that is over in every way", func() { to(tab, "v=1&s=40&p=1&batt=400&phase=600&fuse=20&kpa=300&cruise=100&grade=30") }},
		{"wide figures", func() { to(tab, "v=1&s=40&p=12&cellah=60&cellpeak=800&fusebreak=200000&fusev=1500") }},
		{"US units", func() { do(tab, `document.querySelector('input[name=units][value=us]').click()`) }},
		{"messages beside fields", func() {
			for _, key := range []string{"s", "kpa", "fusebreak", "cellah"} {
				do(tab, fmt.Sprintf(`((e) => { e.value = '99999999999999999999'; e.dispatchEvent(new Event('input', { bubbles: true })) })(%s)`, typed(key)))
				assert.NotEmpty(t, message(tab, key))
			}
		}},
		{"messages about the link", func() {
			to(tab, "v=1&s=99&p=x&motor=nothing&"+strings.Repeat("W", 200)+"=1&"+strings.Repeat("iiii_", 50)+"=2&kpa="+strings.Repeat("9", 300))
			assert.True(t, pagetest.Eval[bool](tab, `document.querySelector('[data-message=link]').checkVisibility()`))
		}},
		{"a link to copy by hand", func() {
			do(tab, `Object.defineProperty(navigator, 'clipboard', { value: undefined, configurable: true }); document.querySelector('button[name=copy]').click()`)
			tab.Await(`document.querySelector('[data-message=note] input')`)
		}},
	}
	for _, s := range states {
		s.make()
		for _, width := range []int64{360, 320} {
			resize(tab, width, 740)
			frames(tab)
			assert.Empty(t, pagetest.Eval[[]string](tab, sticking), "%s, %d px: sticks out", s.name, width)
			assert.Empty(t, pagetest.Eval[[]string](tab, touchable), "%s, %d px: too small to touch", s.name, width)
		}
	}
	assert.NotContains(t, pagetest.Eval[string](tab, `getComputedStyle(document.documentElement).overflowX + getComputedStyle(document.body).overflowX`), "hidden",
		"nothing is cut off to make it fit")

	to(tab, "v=1")
	for _, height := range []int64{740, 560} {
		resize(tab, 360, height)
		frames(tab)
		assert.Empty(t, pagetest.Eval[[]string](tab, covered), "360x%d: hidden when it has the focus", height)
	}
	resize(tab, 360, 740)
	do(tab, "document.activeElement.blur(); window.scrollTo(0, 1e6)")
	box := pagetest.Eval[[]float64](tab, `((b) => [b.top, b.height])(document.querySelector('.bar').getBoundingClientRect())`)
	assert.InDelta(t, 0, box[0], 0.5, "the readout bar stays in sight at the end of the page")
	assert.Less(t, box[1], 740*0.4, "and leaves room for the sliders")
	assert.Greater(t, scrolled(tab), 1000.0)

	to(tab, "v=1&s=99&later=1")
	for _, width := range []int64{480, 768, 900, 1024, 1300, 1440, 1920} {
		resize(tab, width, 900)
		frames(tab)
		assert.Empty(t, pagetest.Eval[[]string](tab, sticking), "%d px: sticks out", width)
	}
	beside := pagetest.Eval[bool](tab, `document.querySelector('.inputs').getBoundingClientRect().right <= document.querySelector('.results').getBoundingClientRect().left`)
	assert.True(t, beside, "inputs left, results right")

	resize(tab, 360, 740)
	style(tab, ".card { width: 400px } .step { height: 40px !important } html { scroll-padding-top: 0 !important }")
	assert.NotEmpty(t, pagetest.Eval[[]string](tab, sticking), "these checks see what is wrong")
	assert.NotEmpty(t, pagetest.Eval[[]string](tab, touchable))
	assert.NotEmpty(t, pagetest.Eval[[]string](tab, covered))
}

// style adds rules to the page until it is loaded again.
func style(tab *pagetest.Tab, rules string) {
	do(tab, fmt.Sprintf("const s = new CSSStyleSheet(); s.replaceSync(%q); document.adoptedStyleSheets = [s]", rules))
}
