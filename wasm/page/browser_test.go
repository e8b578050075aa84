//go:build !js

package page

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

const probePage = `<!doctype html><meta charset="utf-8"><title>probe</title>
<body><div id="app"><p id="prerendered">first</p></div>
<script src="/wasm_exec.js"></script><script src="/page.js"></script><script src="/start.js"></script>`

const probeStart = `const go = new Go();
WebAssembly.instantiateStreaming(fetch('/main.wasm'), go.importObject).then((r) => go.run(r.instance));`

// probe is what testdata/probe says of itself.
type probe struct {
	Clicks, Outer, Inputs, Slider            int
	Text, Unit, Order, Focused, ActiveTarget string
	Opened                                   bool
	Panics                                   []string
}

func openProbe(t *testing.T) *pagetest.Tab {
	t.Helper()
	binary := filepath.Join(t.TempDir(), "main.wasm")
	build := exec.Command("go", "build", "-o", binary, "./testdata/probe")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := build.CombinedOutput()
	require.NoError(t, err, "%s", out)
	root, err := exec.Command("go", "env", "GOROOT").Output()
	require.NoError(t, err)
	files := map[string][]byte{"/": []byte(probePage), "/start.js": []byte(probeStart)}
	for name, path := range map[string]string{
		"/main.wasm":    binary,
		"/page.js":      filepath.Join("..", "..", "public", "page.js"),
		"/wasm_exec.js": filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"),
	} {
		files[name], err = os.ReadFile(path)
		require.NoError(t, err)
	}
	tab := pagetest.Open(t, pagetest.Serve(t, files))
	tab.Await("document.getElementById('state')")
	return tab
}

const state = "JSON.parse(document.getElementById('state').textContent)"

func TestProgramInTheBrowser(t *testing.T) {
	tab := openProbe(t)
	css := func(id string) chromedp.CSS { return chromedp.CSS("#" + id) }
	get := func() probe { return pagetest.Eval[probe](tab, state) }
	value := func(id string) string {
		return pagetest.Eval[string](tab, "document.getElementById('"+id+"').value")
	}

	t.Run("what was in the mount is replaced", func(t *testing.T) {
		assert.False(t, pagetest.Eval[bool](tab, "!!document.getElementById('prerendered')"))
	})
	t.Run("a select has its value from the start", func(t *testing.T) {
		assert.Equal(t, "mi", value("unit"))
	})
	t.Run("clicks go outward until stopped", func(t *testing.T) {
		tab.Do(chromedp.Click(css("add")))
		tab.Await(state + ".clicks === 1")
		assert.Equal(t, 1, get().Outer)
		tab.Do(chromedp.Click(css("stop")))
		tab.Await(state + ".clicks === 2")
		assert.Equal(t, 1, get().Outer)
	})
	t.Run("a handler can prevent the default at once", func(t *testing.T) {
		assert.False(t, pagetest.Eval[bool](tab, "document.getElementById('link')"+
			".dispatchEvent(new MouseEvent('click', {bubbles: true, cancelable: true}))"))
		assert.True(t, pagetest.Eval[bool](tab, "document.getElementById('add')"+
			".dispatchEvent(new MouseEvent('click', {bubbles: true, cancelable: true}))"))
	})
	t.Run("1.05 can be typed into a controlled field", func(t *testing.T) {
		tab.Do(chromedp.Focus(css("text")))
		tab.Do(chromedp.KeyEvent("\b"))
		for _, key := range "1.05" {
			tab.Do(chromedp.KeyEvent(string(key)))
		}
		tab.Await(state + ".text === '1.05'")
		assert.Equal(t, "1.05", value("text"))
		assert.Equal(t, "text", get().ActiveTarget)
	})
	t.Run("what the program refuses is written back", func(t *testing.T) {
		tab.Do(chromedp.Focus(css("refused")), chromedp.KeyEvent("x"))
		tab.Await("document.getElementById('refused').value === 'fixed'")
	})
	t.Run("inputs of one frame are one, before the next other event", func(t *testing.T) {
		before := get()
		pagetest.Eval[int](tab, `(() => {
			const slide = (v) => { slider.value = v; slider.dispatchEvent(new Event('input', {bubbles: true})); };
			const type = (v) => { text.value = v; text.dispatchEvent(new Event('input', {bubbles: true})); };
			slide(60); type('a'); slide(70); type('b'); slide(80);
			unit.value = 'km'; unit.dispatchEvent(new Event('change', {bubbles: true}));
			return 0;
		})()`)
		tab.Await(state + ".unit === 'km'")
		now := get()
		assert.Equal(t, before.Inputs+2, now.Inputs)
		assert.Equal(t, 80, now.Slider)
		assert.Equal(t, "b", now.Text)
		assert.Equal(t, before.Order+"input;slide;change unit;", now.Order)
	})
	t.Run("toggle is told though it does not bubble", func(t *testing.T) {
		tab.Do(chromedp.Click(css("summary")))
		tab.Await(state + ".opened")
		assert.True(t, pagetest.Eval[bool](tab, "document.getElementById('fold').open"))
		tab.Do(chromedp.Click(css("summary")))
		tab.Await("!" + state + ".opened")
	})
	t.Run("focus reaches the target alone", func(t *testing.T) {
		tab.Do(chromedp.Focus(css("focusable")))
		tab.Await(state + ".focused !== ''")
		assert.Equal(t, "focus;", get().Focused)
	})
	t.Run("namespaces", func(t *testing.T) {
		for id, want := range map[string]string{
			"drawing": "http://www.w3.org/2000/svg", "group": "http://www.w3.org/2000/svg",
			"foreign": "http://www.w3.org/2000/svg", "inner": "http://www.w3.org/1999/xhtml",
		} {
			assert.Equal(t, want, pagetest.Eval[string](tab, "document.getElementById('"+id+"').namespaceURI"), id)
		}
	})
	t.Run("attributes of a namespace", func(t *testing.T) {
		assert.Equal(t, "#group", pagetest.Eval[string](tab,
			"document.getElementById('path').getAttributeNS('http://www.w3.org/1999/xlink', 'href')"))
	})
	t.Run("a focused field can go", func(t *testing.T) {
		before := get()
		tab.Do(chromedp.Focus(css("leaving")))
		pagetest.Eval[int](tab, "(leave.click(), 0)")
		tab.Await("!document.getElementById('leaving')")
		assert.Equal(t, before.Focused, get().Focused, "a node that left answers no more")
	})
	t.Run("a style is applied under the policy", func(t *testing.T) {
		assert.Equal(t, "rgb(1, 2, 3)", pagetest.Eval[string](tab, "getComputedStyle(styled).color"))
	})
	t.Run("a moved node keeps its focus", func(t *testing.T) {
		tab.Do(chromedp.Focus(css("item-a")))
		pagetest.Eval[int](tab, "(document.getElementById('reverse').click(), 0)")
		tab.Await("[...list.children].map((n) => n.dataset.k).join('') === 'cba'")
		assert.Equal(t, "item-a", pagetest.Eval[string](tab, "document.activeElement.id"))
	})
	t.Run("panics are told and survived", func(t *testing.T) {
		tab.Do(chromedp.Click(css("panic")))
		tab.Await(state + ".panics?.length === 1")
		tab.Do(chromedp.Click(css("break")))
		tab.Await("stats()[6] === 2") // the build has broken; only then does another click have it built again
		tab.Do(chromedp.Click(css("add")))
		tab.Await(state + ".panics?.length === 2")
		assert.Equal(t, []string{"broken handler", "broken build"}, get().Panics)
	})
	t.Run("another goroutine can ask for a render", func(t *testing.T) {
		pagetest.Eval[int](tab, "(later(), 0)")
		tab.Await("document.getElementById('text').value === 'later'")
	})
	t.Run("a failed batch is made up for", func(t *testing.T) {
		before := get()
		pagetest.Eval[int](tab, "(spoil.click(), 0)")
		tab.Await("stats()[6] === 3") // panics
		pagetest.Eval[int](tab, "(add.click(), 0)")
		tab.Await(state + ".panics.length === 3")
		now := get()
		assert.Equal(t, before.Clicks+1, now.Clicks, "the handlers were still there")
		assert.Equal(t, "km", value("unit"))
	})
	t.Run("frames and hooks are counted", func(t *testing.T) {
		s := pagetest.Eval[[]float64](tab, "stats()")
		assert.Greater(t, s[0], 5.0)
		assert.Equal(t, s[0], s[5], "one call of the hook per frame")
		assert.Positive(t, s[2]+s[3]+s[4])
	})
	assert.Empty(t, tab.Errors())
}
