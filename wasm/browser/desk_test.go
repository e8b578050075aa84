//go:build !js

package browser

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// click presses the button with a name, the first of them.
func click(tab *pagetest.Tab, name string) {
	do(tab, fmt.Sprintf(`document.querySelector('button[name=%q]').click()`, name))
}

// shown is the text of an element, "" where there is none.
func shown(tab *pagetest.Tab, selector string) string {
	return pagetest.Eval[string](tab, fmt.Sprintf(`document.querySelector(%q)?.textContent.replace(/\s+/g, ' ').trim() ?? ''`, selector))
}

// openCard unfolds a card.
func openCard(tab *pagetest.Tab, selector string) {
	do(tab, fmt.Sprintf(`document.querySelector(%q).open = true`, selector))
	frames(tab)
}

// save keeps the build under a name.
func save(tab *pagetest.Tab, name string) {
	write(tab, `document.querySelector('[name=save-name]')`, name)
	click(tab, "save")
}

func names(tab *pagetest.Tab) []string {
	return pagetest.Eval[[]string](tab, `[...document.querySelectorAll('.shelf .title')].map((e) => e.textContent)`)
}

const ceilingChange = `.lead [data-change="speed.cruise_ceiling_kmh.low"] b`

func TestPinAndListOutliveReload(t *testing.T) {
	t.Parallel()
	tab := open(t, "#v=1")
	top := func() float64 {
		return pagetest.Eval[float64](tab, `document.querySelector('.columns').getBoundingClientRect().top`)
	}
	assert.Empty(t, shown(tab, ceilingChange))
	click(tab, "pin")
	assert.Equal(t, "±0", shown(tab, ceilingChange))
	assert.Equal(t, "true", pagetest.Eval[string](tab, `document.querySelector('[name=pin]').getAttribute('aria-pressed')`))
	before := top()
	for range 6 {
		do(tab, `((e) => { e.value = Number(e.value) + 1; e.dispatchEvent(new Event('input', { bubbles: true })) })(`+slider("s")+`)`)
		assert.InDelta(t, before, top(), 0.5, "nothing moves while a slider does")
	}
	assert.Equal(t, "+25.2 V", shown(tab, `.four [data-change="pack.full_v"]`))
	assert.Contains(t, shown(tab, `.four`), "was", "the status differs")
	openCard(tab, ".saved")
	save(tab, "tall")
	rest(tab, "v=1&s=24")
	change := shown(tab, ceilingChange)

	visit(tab, serve(t))
	assert.Equal(t, change, shown(tab, ceilingChange), "the pin is still there")
	openCard(tab, ".saved")
	assert.Equal(t, []string{"tall"}, names(tab))
	click(tab, "pin")
	assert.Empty(t, shown(tab, ceilingChange))
	visit(tab, serve(t))
	assert.Empty(t, shown(tab, ceilingChange), "unpinned stays unpinned")

	to(tab, "v=1&p=3")
	openCard(tab, ".saved")
	click(tab, "open-saved")
	rest(tab, "v=1&s=24")
	assert.Contains(t, shown(tab, "[data-message=note]"), "“tall” is open")
	click(tab, "undo")
	rest(tab, "v=1&p=3")
}

// shortcut presses Ctrl with a letter.
func shortcut(tab *pagetest.Tab, letter string, shift bool) {
	flags := kb.ModifierCtrl
	key := letter
	if shift {
		flags |= kb.ModifierShift
		key = strings.ToUpper(letter)
	}
	for _, kind := range []input.DispatchKeyEventType{input.DispatchKeyEventTypeRawKeyDown, input.DispatchKeyEventTypeKeyUp} {
		pagetest.Call(tab, input.DispatchKeyEvent, input.DispatchKeyEventParams{
			Type: kind, Modifiers: int64(flags), Key: key, Code: "Key" + strings.ToUpper(letter), WindowsVirtualKeyCode: int64(strings.ToUpper(letter)[0]),
		})
	}
	frames(tab)
}

func TestUndoKeysAndTheAddress(t *testing.T) {
	tab := open(t, "#v=1")
	is := func(s string) {
		t.Helper()
		assert.Equal(t, s, pagetest.Eval[string](tab, slider("s")+".value"))
	}
	disabled := func(name string) string {
		return pagetest.Eval[string](tab, fmt.Sprintf(`document.querySelector('[name=%s]').getAttribute('aria-disabled')`, name))
	}
	assert.Equal(t, "true", disabled("undo"))
	focus(tab, slider("s"))
	press(tab, kb.ArrowRight, kb.ArrowRight, kb.ArrowRight)
	is("21")
	time.Sleep(800 * time.Millisecond) // a rest
	press(tab, kb.ArrowRight)
	is("22")
	assert.Equal(t, "false", disabled("undo"))
	shortcut(tab, "z", false)
	is("21")
	shortcut(tab, "z", false)
	is("18")
	assert.Equal(t, "true", disabled("undo"), "three steps of one gesture are one")
	shortcut(tab, "z", true)
	is("21")
	shortcut(tab, "y", false)
	is("22")
	rest(tab, "v=1&s=22")

	write(tab, typed("s"), "25")
	is("25")
	shortcut(tab, "z", false)
	assert.NotEqual(t, "true", pagetest.Eval[string](tab, `document.querySelector('[name=redo]').getAttribute('aria-disabled') === 'false' ? 'true' : ''`),
		"a text that is being typed has its own undo")
	do(tab, "document.activeElement.blur()")
	time.Sleep(800 * time.Millisecond)

	do(tab, `document.querySelector('[name=reset]').click()`)
	rest(tab, "v=1")
	do(tab, `document.querySelector('[name=p][type=range]').focus()`)
	shortcut(tab, "z", false)
	assert.NotEqual(t, "18", pagetest.Eval[string](tab, slider("s")+".value"), "starting over can be undone")
	shortcut(tab, "z", true)
	rest(tab, "v=1")

	// Back and forward of the browser are undo and redo of the same changes.
	press(tab, kb.ArrowRight)
	rest(tab, "v=1&p=3")
	do(tab, "history.back()")
	rest(tab, "v=1")
	assert.Equal(t, "false", disabled("redo"))
	shortcut(tab, "y", false)
	rest(tab, "v=1&p=3")
	do(tab, "history.back()")
	rest(tab, "v=1")
}

func TestBuildsGoOutAndComeBackAsAFile(t *testing.T) {
	folder := t.TempDir()
	tab := open(t, "#v=1&s=20")
	_, err := chromedp.CallBrowser(tab.Context(), cdpbrowser.SetDownloadBehavior, cdpbrowser.SetDownloadBehaviorParams{
		Behavior: cdpbrowser.SetDownloadBehaviorBehaviorAllow, DownloadPath: folder,
	})
	require.NoError(t, err)
	openCard(tab, ".saved")
	evil := `<img src=x onerror="self.owned=1">`
	save(tab, evil)
	to(tab, "v=1&p=3&later=7")
	save(tab, "trail")
	assert.Equal(t, []string{evil, "trail"}, names(tab), "a name is a text and never markup")
	assert.Zero(t, pagetest.Eval[int](tab, `document.querySelectorAll('#app img').length + (self.owned ?? 0)`))
	click(tab, "export")
	file := filepath.Join(folder, "headroom-builds.json")
	require.Eventually(t, func() bool { b, err := os.ReadFile(file); return err == nil && json.Valid(b) }, 20*time.Second, 50*time.Millisecond)
	content, err := os.ReadFile(file)
	require.NoError(t, err)
	var out struct {
		Format  string
		Version int
		Builds  []struct{ Name, Link string }
	}
	require.NoError(t, json.Unmarshal(content, &out))
	assert.Equal(t, "headroom-builds", out.Format)
	assert.Equal(t, 1, out.Version)
	require.Len(t, out.Builds, 2)
	assert.Equal(t, "v=1&p=3&later=7", out.Builds[1].Link)

	for range 2 {
		click(tab, "delete-saved")
	}
	assert.Empty(t, names(tab))
	click(tab, "take-back")
	assert.Equal(t, []string{"trail"}, names(tab), "a deletion can be taken back")
	click(tab, "delete-saved")

	pick := picker(t, tab)
	pick("import", file)
	tab.Await(`document.querySelectorAll('.shelf li').length === 2`)
	assert.Equal(t, []string{evil, "trail"}, names(tab))
	assert.Equal(t, "v=1&p=3&later=7", pagetest.Eval[string](tab, `document.querySelectorAll('[data-saved]')[1].dataset.saved`))

	broken := filepath.Join(folder, "broken.json")
	require.NoError(t, os.WriteFile(broken, content[:len(content)/2], 0o600))
	pick("import", broken)
	tab.Await(`document.querySelector('[data-message=saved-lines]')`)
	assert.Contains(t, shown(tab, "[data-message=saved-lines]"), "not a whole file")
	assert.Len(t, names(tab), 2, "and nothing is lost")

	openCard(tab, ".compare")
	frames(tab)
	do(tab, `for (const b of document.querySelectorAll('[name=compare-saved]')) if (b.getAttribute('aria-pressed') === 'false') b.click()`)
	for _, width := range []int64{320, 390, 1440} {
		resize(tab, width, 844)
		frames(tab)
		assert.LessOrEqual(t, pagetest.Eval[float64](tab, "document.documentElement.scrollWidth - innerWidth"), 0.0, "%d px: the table scrolls inside its card", width)
		assert.Empty(t, pagetest.Eval[[]string](tab, touchable), width)
	}
	resize(tab, 320, 844)
	do(tab, `document.querySelector('.scroll').scrollLeft = 1e4`)
	left := pagetest.Eval[[]float64](tab, `((a, b) => [document.querySelector('.scroll').scrollLeft, a.left, b.left])(document.querySelector('.scroll tbody th').getBoundingClientRect(), document.querySelector('.compare').getBoundingClientRect())`)
	assert.Positive(t, left[0])
	assert.InDelta(t, left[2], left[1], 2, "the first column stays")
	click(tab, "open-column")
	rest(tab, "v=1&s=20")
}

func TestListIsKeptOnlyWhereTheBrowserKeepsIt(t *testing.T) {
	tab := fresh(t, serve(t))
	atStart(tab, `Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError') }`)
	resize(tab, 390, 844)
	visit(tab, serve(t)+"#v=1&s=20")
	openCard(tab, ".saved")
	save(tab, "one")
	assert.Contains(t, shown(tab, "[data-message=saved-trouble]"), "keeps nothing")
	assert.Equal(t, []string{"one"}, names(tab), "the page goes on with it")
	click(tab, "pin")
	assert.Contains(t, shown(tab, "[data-message=note]"), "keeps nothing")
	assert.Equal(t, "±0", shown(tab, ceilingChange))
}
