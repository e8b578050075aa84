//go:build !js

package browser

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// rules are the success criteria of WCAG 2.2, levels A and AA, and what axe-core calls best practice.
const rules = `['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']`

// audit is what axe-core finds: each violation with the elements it concerns.
const audit = `axe.run(document, { runOnly: ` + rules + `, resultTypes: ['violations'] }).then(({ violations, passes }) => {
	if (passes.length < 15) throw new Error('only ' + passes.length + ' rules had something to look at');
	return violations.flatMap((v) => v.nodes.map((n) => v.id + ': ' + n.target.join(' ') + ': ' + n.failureSummary.replace(/\s+/g, ' ')));
})`

// withAxe puts axe-core into the tab, beside the page: the page's own policy would not let it in as a script.
func withAxe(t *testing.T, tab *pagetest.Tab) {
	t.Helper()
	source, err := os.ReadFile(filepath.Join("..", "..", "testdata", "axe", "axe.min.js"))
	require.NoError(t, err)
	pagetest.Eval[any](tab, string(source)+";0")
}

func audited(t *testing.T, tab *pagetest.Tab) {
	t.Helper()
	frames(tab)
	found := await[[]string](tab, audit)
	for _, line := range found[:min(len(found), 12)] {
		t.Error(line)
	}
	if len(found) > 12 {
		t.Errorf("and %d more", len(found)-12)
	}
}

// TestAccessibilityRules has axe-core look at the page in every state that a person can bring it into.
func TestAccessibilityRules(t *testing.T) {
	const dangerous = "v=1&s=40&p=1&batt=300&phase=500"
	states := []struct {
		name string
		do   func(tab *pagetest.Tab)
		once bool // on the phone alone: what it adds does not depend on the size
	}{
		{"at the start", func(*pagetest.Tab) {}, false},
		{"why sheet", func(tab *pagetest.Tab) { do(tab, `document.querySelector('.lead').click()`) }, false},
		{"a dangerous build", func(tab *pagetest.Tab) {
			do(tab, `document.querySelector('#why .close').click()`)
			to(tab, dangerous)
		}, false},
		{"a link that cannot be used as it stands", func(tab *pagetest.Tab) { to(tab, "v=1&s=99&later=1") }, true},
		{"a pinned build", func(tab *pagetest.Tab) {
			to(tab, "v=1&s=20")
			do(tab, `document.querySelector('[name=pin]').click()`)
			to(tab, "v=1&s=24&p=3")
		}, false},
		{"all unfolded", func(tab *pagetest.Tab) {
			unfold(tab)
			style(tab, "* { content-visibility: visible !important }")
		}, true},
		{"what cannot be a number", func(tab *pagetest.Tab) { write(tab, typed("s"), "many") }, true},
		{"US units", func(tab *pagetest.Tab) { do(tab, `document.querySelector('[name=units][value=us]').click()`) }, true},
		{"more contrast", func(tab *pagetest.Tab) { do(tab, `document.querySelector('[name=sun]').click()`) }, false},
		{"no more contrast", func(tab *pagetest.Tab) { do(tab, `document.querySelector('[name=sun]').click()`) }, true},
		{"a dangerous build, unfolded", func(tab *pagetest.Tab) { to(tab, dangerous) }, false},
	}
	for _, size := range []struct {
		name          string
		width, height int64
		scale         float64
		scheme        string
	}{
		{"phone", 390, 844, 1, "light"},
		{"phone, dark", 390, 844, 1, "dark"},
		{"narrow", 320, 640, 1, "light"},
		{"desk", 1440, 900, 1, "light"},
		{"desk at 200 %, dark", 720, 450, 2, "dark"},
	} {
		t.Run(size.name, func(t *testing.T) {
			tab := open(t, "#v=1")
			pagetest.Call(tab, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{
				Width: size.width, Height: size.height, DeviceScaleFactor: size.scale})
			media(tab, "prefers-color-scheme", size.scheme)
			withAxe(t, tab)
			for _, s := range states {
				s.do(tab)
				if !s.once || size.name == "phone" {
					t.Run(s.name, func(t *testing.T) { audited(t, tab) })
				}
			}
		})
	}
	t.Run("colors of the person's own", func(t *testing.T) {
		tab := open(t, "#"+dangerous)
		media(tab, "forced-colors", "active")
		unfold(tab)
		style(tab, "* { content-visibility: visible !important }")
		withAxe(t, tab)
		audited(t, tab)
	})
	t.Run("on paper", func(t *testing.T) {
		tab := open(t, "#"+dangerous)
		unfold(tab)
		style(tab, "* { content-visibility: visible !important }")
		pagetest.Call(tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		withAxe(t, tab)
		audited(t, tab)
	})
	t.Run("the build sheet", func(t *testing.T) {
		tab := open(t, "#"+dangerous)
		do(tab, "window.print = () => {}")
		click(tab, "share")
		click(tab, "print-sheet")
		pagetest.Call(tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		withAxe(t, tab)
		audited(t, tab)
	})
	t.Run("while the program is on its way", func(t *testing.T) {
		for _, tail := range []string{"", "#v=1&s=32"} {
			tab := holdBack(t, serve(t)+tail, 390, 844, "")
			withAxe(t, tab)
			audited(t, tab)
			goOn(tab)
		}
	})
	t.Run("when the program cannot start", func(t *testing.T) {
		tab := fresh(t, serve(t), "cannot run the planner", "It has no WebAssembly")
		atStart(tab, "delete self.WebAssembly")
		resize(tab, 390, 844)
		tab.Do(chromedp.Navigate(serve(t) + "#v=1&s=20"))
		tab.Await(`document.documentElement.dataset.boot === 'failed'`)
		withAxe(t, tab)
		audited(t, tab)
	})
	t.Run("this check sees what is wrong", func(t *testing.T) {
		tab := open(t, "#v=1")
		withAxe(t, tab)
		do(tab, `document.querySelector('label[for=in-s]').style.color = '#ccc'; document.querySelector('button.step').removeAttribute('aria-label'); document.querySelector('button.step').textContent = ''`)
		found := await[[]string](tab, audit)
		for _, rule := range []string{"color-contrast", "button-name"} {
			assert.True(t, slices.ContainsFunc(found, func(line string) bool { return len(line) > len(rule) && line[:len(rule)] == rule }), "%s in %s", rule, fmt.Sprint(found))
		}
	})
}
