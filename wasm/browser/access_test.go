//go:build !js

package browser

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/build"
	"headroom/wasm/page/pagetest"
)

// said is a string of the accessibility tree.
func said(t *testing.T, v *accessibility.Value) string {
	t.Helper()
	if v == nil || len(v.Value) == 0 {
		return ""
	}
	var text string
	require.NoError(t, json.Unmarshal(v.Value, &text))
	return text
}

func TestAssistiveTechnology(t *testing.T) {
	t.Parallel()
	tab := open(t, "#v=1")
	t.Run("the Tab key leads everywhere", func(t *testing.T) { walk(t, tab) })
	to(tab, "v=1&s=99&later=1")
	unfold(tab)

	t.Run("everything to operate has a name of its own", func(t *testing.T) {
		tree := pagetest.Call(tab, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
		count := map[string]int{}
		names := map[string]int{}
		for _, n := range tree.Nodes {
			role := said(t, n.Role)
			if n.Ignored || !slices.Contains([]string{"slider", "textbox", "combobox", "button", "radio", "DisclosureTriangle", "link", "spinbutton", "checkbox"}, role) {
				continue
			}
			name := said(t, n.Name)
			assert.NotEmpty(t, strings.TrimSpace(name), "a %s without a name", role)
			count[role]++
			names[role+" "+name]++
		}
		numbers, choices := 0, 0
		for i := range build.Fields {
			if build.Fields[i].Kind == build.Choice {
				choices++
			} else {
				numbers++
			}
		}
		readers := pagetest.Eval[int](tab, `document.querySelectorAll(".reader").length`)
		assert.Equal(t, 4+readers, count["slider"], "the leading inputs, and one over each chart that is read")
		settings := pagetest.Eval[int](tab, `document.querySelectorAll("[data-setting]").length`)
		// The other cards of the results have fields of their own.
		elsewhere := func(what string) int {
			return pagetest.Eval[int](tab, fmt.Sprintf(`[...document.querySelectorAll(".results :is(%s)")].filter((e) => !e.closest("[data-setting]") && e.checkVisibility()).length`, what))
		}
		texts := elsewhere("textarea, input[type=text], input[type=search], input[type=date], input:not([type])")
		assert.Equal(t, numbers+settings+texts, count["textbox"], "each number once, and once more in the settings check")
		assert.Equal(t, choices-1+elsewhere("select"), count["combobox"])
		assert.Equal(t, 2+elsewhere("input[type=radio]"), count["radio"])
		assert.GreaterOrEqual(t, count["button"], 2*(numbers+1)+3)
		for name, n := range names {
			if !strings.HasPrefix(name, "DisclosureTriangle") { // "More about it" stands in its own group
				assert.Equal(t, 1, n, "two controls are called %q", name)
			}
		}
	})
	t.Run("the document", func(t *testing.T) {
		assert.Equal(t, "en", pagetest.Eval[string](tab, "document.documentElement.lang"))
		assert.NotEmpty(t, pagetest.Eval[string](tab, "document.title"))
		assert.Equal(t, 1, pagetest.Eval[int](tab, "document.querySelectorAll('h1').length"))
		assert.Equal(t, 1, pagetest.Eval[int](tab, "document.querySelectorAll('main').length"))
		assert.Empty(t, pagetest.Eval[[]string](tab, `(() => {
			const ids = [...document.querySelectorAll('[id]')].map((e) => e.id);
			return ids.filter((id, i) => ids.indexOf(id) !== i);
		})()`), "ids that stand twice")
		assert.Empty(t, pagetest.Eval[[]string](tab, `[...document.querySelectorAll('[aria-describedby]')]
			.flatMap((e) => e.getAttribute('aria-describedby').split(/\s+/)).filter((id) => !document.getElementById(id))`), "ids that lead nowhere")
		assert.Empty(t, pagetest.Eval[[]string](tab, `[...document.querySelectorAll('[tabindex]')].filter((e) => e.tabIndex > 0).map((e) => e.outerHTML)`))
		levels := pagetest.Eval[[]int](tab, `[...document.querySelectorAll('h1, h2, h3, h4')].filter((e) => e.checkVisibility()).map((e) => Number(e.tagName[1]))`)
		require.NotEmpty(t, levels)
		assert.Equal(t, 1, levels[0])
		for i := 1; i < len(levels); i++ {
			assert.LessOrEqual(t, levels[i], levels[i-1]+1, "no level is left out: %v", levels)
		}
		assert.NotRegexp(t, `user-scalable\s*=\s*no|maximum-scale`, pagetest.Eval[string](tab, "document.querySelector('meta[name=viewport]').content"), "the page can be enlarged")
	})
	t.Run("changes are told once they have settled", func(t *testing.T) {
		to(tab, "v=1")
		const summary = `document.querySelector('.page > [aria-live=polite]')`
		tab.Await(summary + ".textContent.replace(/\\s+/g, ' ').includes('Full pack 75.6 V')") // what opening the build has to say
		time.Sleep(900 * time.Millisecond)
		do(tab, `self.moved = 0; self.told = [];
			addEventListener('input', () => { self.moved = performance.now() }, true);
			new MutationObserver(() => self.told.push(performance.now() - self.moved)).observe(`+summary+`, { characterData: true, childList: true, subtree: true })`)
		// At once: between keys a busy machine may rest so long that the first is told, rightly.
		do(tab, "for (const n of [19, 20]) { "+slider("s")+".value = n; "+slider("s")+".dispatchEvent(new Event('input', { bubbles: true })) }")
		tab.Await(summary + ".textContent.replace(/\\s+/g, ' ').includes('Full pack 84.0 V')")
		for _, after := range pagetest.Eval[[]float64](tab, "told") {
			assert.Greater(t, after, 650.0, "not while they come")
		}
		now := pagetest.Eval[string](tab, summary+".textContent.replace(/\\s+/g, ' ')")
		assert.Contains(t, now, "Cruise ceiling")
		assert.Zero(t, pagetest.Eval[int](tab, `[...document.querySelectorAll('output')].filter((o) => o.dataset.key && o.getAttribute('aria-live') !== 'off').length`), "readouts do not chatter")
	})
	t.Run("figures are readable", func(t *testing.T) {
		for _, scheme := range []string{"light", "dark"} {
			media(tab, "prefers-color-scheme", scheme)
			assert.Empty(t, pagetest.Eval[[]string](tab, contrast), scheme)
		}
		media(tab, "prefers-color-scheme", "light")
		style(tab, ".help { color: #999 } :focus-visible { outline: none !important }")
		assert.NotEmpty(t, pagetest.Eval[[]string](tab, contrast), "this check sees what is wrong")
		focus(tab, slider("s"))
		press(tab, kb.Tab)
		assert.False(t, pagetest.Eval[bool](tab, ring), "and so does that of the focus")
	})
}

// walk goes through the page with the Tab key alone.
func walk(t *testing.T, tab *pagetest.Tab) {
	const current = `((e) => e === document.body ? '' : [e.type || e.tagName.toLowerCase(), e.name || ''].join(' '))(document.activeElement)`
	var order []string
	for range 60 {
		press(tab, kb.Tab)
		at := pagetest.Eval[string](tab, current)
		if at == "" {
			break
		}
		assert.True(t, pagetest.Eval[bool](tab, ring), "%s: the focus cannot be seen", at)
		order = append(order, at)
	}
	last := -1
	for _, key := range build.Main {
		at := slices.Index(order, "range "+key)
		require.GreaterOrEqual(t, at, 0, "the slider of %s is not reached: %v", key, order)
		assert.Greater(t, at, last, "the sliders come in the page's order")
		last = at
	}
	assert.Contains(t, order, "button copy")
	assert.Contains(t, order, "radio units")
	assert.GreaterOrEqual(t, len(order), 4+4+8)

	focus(tab, `document.querySelector('details.group > summary')`)
	press(tab, kb.Enter)
	tab.Await(`document.querySelector('details.group').open`)
	press(tab, kb.Tab)
	assert.True(t, pagetest.Eval[bool](tab, `document.querySelector('details.group').contains(document.activeElement)`), "the way leads into an unfolded group")
	to(tab, "v=1&s=20")
	assert.True(t, pagetest.Eval[bool](tab, `document.querySelector('details.group').open`), "which stays unfolded")
}

// contrast lists texts in sight whose contrast with what is behind them is under 4.5:1, or 3:1 for large ones (WCAG 2.2, 1.4.3).
const contrast = `(() => {
	const numbers = (color) => color.match(/[\d.]+/g).map(Number);
	const light = (c) => { const [r, g, b] = c.map((v) => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4); return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
	const behind = (e) => { for (; e; e = e.parentElement) { const c = numbers(getComputedStyle(e).backgroundColor); if (c.length < 4 || c[3] === 1) return c.slice(0, 3); } return [255, 255, 255]; };
	const list = new Set();
	for (const e of document.querySelectorAll('#app *')) {
		if (!e.checkVisibility() || e.closest('.sr, svg') || ![...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim())) continue;
		const s = getComputedStyle(e), a = light(numbers(s.color).slice(0, 3)), b = light(behind(e));
		const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05), size = parseFloat(s.fontSize);
		const large = size >= 24 || size >= 18.66 && s.fontWeight >= 700;
		if (ratio < (large ? 3 : 4.5)) list.add(e.tagName + '.' + e.className + ' ' + ratio.toFixed(2) + ': ' + e.textContent.trim().slice(0, 20));
	}
	return [...list];
})()`

// ring tells whether the focus can be seen. That of a radio button is drawn on what stands in its place.
const ring = `((e) => ((s) => s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2)(getComputedStyle(e.type === 'radio' ? e.nextElementSibling : e)))(document.activeElement)`
