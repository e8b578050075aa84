//go:build !js

package browser

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// rules are the success criteria of WCAG 2.2, levels A and AA, and what axe-core calls best practice.
const rules = `['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']`

// What of the rules to hold the page against. Names, roles and structure come from the elements, which are the same at every size and in
// every scheme, so one look at them is enough for a large page.
const (
	everything = `{}`
	drawing    = `{ runOnly: ['color-contrast', 'target-size', 'scrollable-region-focusable', 'link-in-text-block', 'region'] }`
	layout     = `{ runOnly: ['target-size', 'scrollable-region-focusable', 'region'] }` // where the same colors have been seen elsewhere
)

// audit is what axe-core finds within an element: each violation with the elements it concerns.
func audit(within, what string) string {
	return `axe.run(` + within + `, { runOnly: ` + rules + `, resultTypes: ['violations'], ...` + what + ` }).then(({ violations, passes }) => {
		if (passes.length < (` + within + ` !== document ? 5 : ` + what + `.runOnly ? 2 : 15)) throw new Error('only ' + passes.length + ' rules had something to look at');
		return violations.flatMap((v) => v.nodes.map((n) => v.id + ': ' + n.target.join(' ') + ': ' + n.failureSummary.replace(/\s+/g, ' ')));
	})`
}

// withAxe puts axe-core into the tab, beside the page: the page's own policy would not let it in as a script.
func withAxe(t *testing.T, tab *pagetest.Tab) {
	t.Helper()
	source, err := os.ReadFile(filepath.Join("..", "..", "testdata", "axe", "axe.min.js"))
	require.NoError(t, err)
	pagetest.Eval[any](tab, string(source)+";0")
}

func audited(t *testing.T, tab *pagetest.Tab, what string) {
	t.Helper()
	frames(tab)
	looked(t, await[[]string](tab, audit("document", what)))
}

// auditedCard looks at one card, where the rest of the page is as it always is.
func auditedCard(t *testing.T, tab *pagetest.Tab, card string) {
	t.Helper()
	frames(tab)
	looked(t, await[[]string](tab, audit(fmt.Sprintf("document.querySelector(%q)", card), everything)))
}

func looked(t *testing.T, found []string) {
	t.Helper()
	for _, line := range found[:min(len(found), 12)] {
		t.Error(line)
	}
	if len(found) > 12 {
		t.Errorf("and %d more", len(found)-12)
	}
}

// look is one way to see the page.
type look struct {
	name          string
	width, height int64
	scale         float64
	scheme        string
}

func (l look) at(tab *pagetest.Tab) {
	pagetest.Call(tab, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{
		Width: l.width, Height: l.height, DeviceScaleFactor: l.scale})
	media(tab, "prefers-color-scheme", l.scheme)
}

var (
	phone     = look{"phone", 390, 844, 1, "light"}
	phoneDark = look{"phone, dark", 390, 844, 1, "dark"}
	narrow    = look{"narrow", 320, 640, 1, "light"}
	desk      = look{"desk", 1440, 900, 1, "light"}
	deskDark  = look{"desk at 200 %, dark", 720, 450, 2, "dark"}
)

const dangerous = "v=1&s=40&p=1&batt=300&phase=500"

// seen says what is looked for, and in which look.
type seen struct {
	look look
	what string
}

// TestAccessibilityRules has axe-core look at the page in every state that a person can bring it into: at the start in
// every look by every rule, then in as many as show every color and every layout, for a look takes up to three seconds.
func TestAccessibilityRules(t *testing.T) {
	t.Parallel()
	once := []seen{{phone, everything}} // what the state adds does not depend on the size
	whole := []seen{{phone, everything}, {phoneDark, everything}, {narrow, everything}, {desk, everything}, {deskDark, everything}}
	each := []seen{{phone, everything}, {phoneDark, drawing}, {narrow, layout}, {desk, everything}, {deskDark, layout}}
	click := func(element string) func(*pagetest.Tab) {
		return func(tab *pagetest.Tab) { do(tab, `document.querySelector('`+element+`').click()`) }
	}
	states := []struct {
		name string
		do   func(tab *pagetest.Tab)
		seen []seen
	}{
		{"at the start", func(*pagetest.Tab) {}, whole},
		{"why sheet", click(".lead"), each},
		{"a dangerous build", func(tab *pagetest.Tab) {
			click("#why .close")(tab)
			to(tab, dangerous)
		}, each},
		{"a link that cannot be used as it stands", func(tab *pagetest.Tab) { to(tab, "v=1&s=99&later=1") }, once},
		{"a pinned build", func(tab *pagetest.Tab) {
			to(tab, "v=1&s=20")
			click("[name=pin]")(tab)
			to(tab, "v=1&s=24&p=3")
		}, each},
		{"what cannot be a number", func(tab *pagetest.Tab) { write(tab, typed("s"), "many") }, once},
		{"all unfolded, US units", func(tab *pagetest.Tab) {
			click("[name=units][value=us]")(tab)
			unfold(tab)
			style(tab, "* { content-visibility: visible !important }")
		}, once},
		{"more contrast", click("[name=sun]"), []seen{{phone, everything}, {phoneDark, drawing}}},
		{"a dangerous build, unfolded, no more contrast, metric units", func(tab *pagetest.Tab) {
			click("[name=sun]")(tab)
			click("[name=units][value=metric]")(tab)
			to(tab, dangerous)
		}, each},
	}
	tab := open(t, "#v=1")
	withAxe(t, tab)
	for _, s := range states {
		phone.at(tab)
		s.do(tab)
		for _, seen := range s.seen {
			t.Run(s.name+"/"+seen.look.name, func(t *testing.T) {
				seen.look.at(tab)
				audited(t, tab, seen.what)
			})
		}
	}
	phone.at(tab)
	t.Run("colors of the person's own", func(t *testing.T) {
		media(tab, "forced-colors", "active")
		audited(t, tab, drawing)
	})
	t.Run("on paper", func(t *testing.T) {
		pagetest.Call(tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		audited(t, tab, everything)
		pagetest.Call(tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
	})
	t.Run("this check sees what is wrong", func(t *testing.T) {
		do(tab, `document.querySelectorAll('details').forEach((d) => { d.open = false })`)
		do(tab, `document.querySelector('label[for=in-s]').style.color = '#ccc'; document.querySelector('.tool').style.cssText = 'min-height: 0; height: 9px';
			document.querySelector('button.step').removeAttribute('aria-label'); document.querySelector('button.step').textContent = ''`)
		for what, rules := range map[string][]string{everything: {"color-contrast", "button-name"}, drawing: {"color-contrast"}} {
			found := await[[]string](tab, audit("document", what))
			for _, rule := range rules {
				assert.True(t, slices.ContainsFunc(found, func(line string) bool { return strings.HasPrefix(line, rule+":") }), "%s in %q", rule, found)
			}
		}
		do(tab, `document.querySelectorAll('.step').forEach((e) => { e.style.cssText = 'width: 9px; height: 9px; margin: 0; padding: 0' }); document.querySelectorAll('.row').forEach((e) => { e.style.gap = 0 })`)
		small := await[[]string](tab, audit("document", layout))
		assert.True(t, slices.ContainsFunc(small, func(line string) bool { return strings.HasPrefix(line, "target-size:") }), "%q", small)
	})
	t.Run("the build sheet", func(t *testing.T) {
		tab := open(t, "#"+dangerous)
		do(tab, "window.print = () => {}")
		do(tab, `document.querySelector('[name=share]').click()`)
		frames(tab)
		do(tab, `document.querySelector('[name=print-sheet]').click()`)
		frames(tab)
		pagetest.Call(tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		withAxe(t, tab)
		audited(t, tab, everything)
	})
	t.Run("while the program is on its way", func(t *testing.T) {
		for _, tail := range []string{"", "#v=1&s=32"} {
			tab := holdBack(t, serve(t)+tail, 390, 844, "")
			withAxe(t, tab)
			audited(t, tab, everything)
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
		audited(t, tab, everything)
	})
}
