//go:build !js

package browser

import (
	"fmt"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// counting notes when the page writes to the history; browsers stop answering pages that do it too often.
const counting = `(() => {
	self.writes = [];
	for (const name of ['pushState', 'replaceState']) {
		const plain = history[name];
		history[name] = function (...args) { self.writes.push(performance.now()); return plain.apply(this, args); };
	}
})()`

// TestAddressIsNotWrittenTooOften moves a slider for five seconds as people do: now fast, now with rests.
func TestAddressIsNotWrittenTooOften(t *testing.T) {
	tab := fresh(t, serve(t))
	atStart(tab, counting)
	resize(tab, 390, 844)
	visit(tab, serve(t)+"#v=1")
	assert.LessOrEqual(t, pagetest.Eval[int](tab, "writes.length"), 1, "opening a canonical address needs no more than one write")

	before := pagetest.Eval[int](tab, "history.length")
	moves := await[int](tab, `new Promise((done) => {
		const s = `+slider("kpa")+`, rests = [16, 16, 250, 250, 250, 250, 16, 370, 16, 420, 360];
		let count = 0;
		const move = () => {
			if (performance.now() > end) return done(count);
			s.value = 30 + 5 * (count++ % 50);
			s.dispatchEvent(new Event('input', { bubbles: true }));
			setTimeout(move, rests[count % rests.length]);
		};
		const end = performance.now() + 5000;
		move();
	})`)
	require.Greater(t, moves, 15)
	time.Sleep(500 * time.Millisecond)
	times := pagetest.Eval[[]float64](tab, "writes")
	require.Greater(t, len(times), 3, "the address follows in the rests")
	for i := 3; i < len(times); i++ {
		// Timers are late now and then, so two writes may come a little closer than the rest between them.
		assert.Greater(t, times[i]-times[i-3], 950.0, "four writes within a second: %v", times[i-3:i+1])
	}
	assert.LessOrEqual(t, pagetest.Eval[int](tab, "history.length")-before, len(times))
}

func TestBackAndForward(t *testing.T) {
	t.Parallel()
	tab := open(t, "#v=1")
	builds := []string{"v=1", "v=1&s=19", "v=1&s=19&p=3", "v=1&s=19&p=3&kpa=135"}
	seen := []map[string]string{readouts(tab)}
	for i, key := range []string{"s", "p", "kpa"} {
		focus(tab, slider(key))
		press(tab, kb.ArrowRight)
		rest(tab, builds[i+1])
		seen = append(seen, readouts(tab))
	}
	turn := func(way string, i int) {
		t.Helper()
		do(tab, "history."+way+"()")
		rest(tab, builds[i])
		frames(tab)
		assert.Equal(t, seen[i], readouts(tab), "%s to %s", way, builds[i])
	}
	turn("back", 2)
	turn("back", 1)
	assert.Equal(t, "19", pagetest.Eval[string](tab, slider("s")+".value"))
	assert.Equal(t, "2", pagetest.Eval[string](tab, slider("p")+".value"), "the controls follow")
	assert.Equal(t, "2", pagetest.Eval[string](tab, typed("p")+".value"))
	turn("forward", 2)
	turn("back", 1)
	turn("back", 0)
	time.Sleep(500 * time.Millisecond)
	assert.Equal(t, "#v=1", pagetest.Eval[string](tab, "location.hash"), "going back is no new edit")
	turn("forward", 1)

	// A change made after going back starts a new way on.
	focus(tab, slider("motor"))
	press(tab, kb.ArrowRight)
	tab.Await("location.hash.startsWith('#v=1&s=19&motor=')")
	do(tab, "history.back()")
	rest(tab, "v=1&s=19")
}

func TestLinkOpensAsTheSameBuild(t *testing.T) {
	t.Parallel()
	const shared = "#v=1&s=20&p=3&motor=hub65-wide&kpa=145&cell=21700-power&rider=92.5&cruise=31&grade=1.5&kv=17.3"
	one := open(t, shared)
	link := pagetest.Eval[string](one, "location.hash")
	require.Equal(t, canonical(shared), link)
	two := open(t, link)
	assert.Equal(t, readouts(one), readouts(two))
	assert.Equal(t, link, pagetest.Eval[string](two, "location.hash"))

	for _, address := range []string{"?s=20&p=3", "?v=1&p=3&s=20#"} {
		visit(two, serve(t)+address)
		assert.Equal(t, "#v=1&s=20&p=3", pagetest.Eval[string](two, "location.hash"), address)
		assert.Empty(t, pagetest.Eval[string](two, "location.search"), "one build in the address, not two")
		assert.InDelta(t, 84, readout(two, "pack.full_v"), 1e-9)
	}
	to(two, "s=20&p=3")
	to(two, "p=3&s=20&v=1&rider=80")
	assert.Equal(t, "#v=1&s=20&p=3", pagetest.Eval[string](two, "location.hash"), "one build has one link")
	visit(two, serve(t)+"?s=20#v=1&s=22")
	assert.InDelta(t, 22*4.2, readout(two, "pack.full_v"), 1e-9, "the fragment counts")

	visit(two, serve(t))
	assert.Equal(t, "#v=1&s=22", pagetest.Eval[string](two, "location.hash"), "an address without a build opens the last one")
	focus(two, slider("s"))
	press(two, kb.ArrowRight)
	visit(two, serve(t)) // as soon as it is drawn, before the address has followed
	assert.Equal(t, "#v=1&s=23", pagetest.Eval[string](two, "location.hash"), "the last change is not lost by leaving")
	visit(two, serve(t)+"#v=1")
	assert.InDelta(t, 18*4.2, readout(two, "pack.full_v"), 1e-9, "a link to the standard build is a link")
}

func TestStrangeLinks(t *testing.T) {
	t.Parallel()
	tab := fresh(t, serve(t))
	atStart(tab, "self.owned = 0; self.alert = () => { self.owned++ }")
	resize(tab, 390, 844)
	visit(tab, serve(t)+"#v=1")
	said := func() string {
		return pagetest.Eval[string](tab, `document.querySelector('[data-message=link]')?.innerText ?? ''`)
	}
	elements := func() int { return pagetest.Eval[int](tab, "document.querySelectorAll(':not(.slider *)').length") }
	assert.Empty(t, said())

	to(tab, "v=1&s=99&later=7&p=x")
	assert.Contains(t, said(), "later", "an unknown key is named")
	assert.Contains(t, said(), "Cells in series must be a whole number between 8 and 40; using 40", "a clamped value is named")
	assert.Contains(t, said(), "Cells in parallel")
	assert.Equal(t, "#v=1&s=40&later=7", pagetest.Eval[string](tab, "location.hash"), "the unknown key is kept")
	plain := elements()
	focus(tab, slider("p"))
	press(tab, kb.ArrowRight)
	rest(tab, "v=1&s=40&p=3&later=7")
	do(tab, `document.querySelector('button[name=dismiss]').click()`)
	assert.Empty(t, said())
	time.Sleep(500 * time.Millisecond)
	assert.Equal(t, "#v=1&s=40&p=3&later=7", pagetest.Eval[string](tab, "location.hash"), "reading the message away keeps the key")

	for i, evil := range []string{
		`<script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `'><svg/onload=alert(1)>`, `</ul><iframe srcdoc="<script>alert(1)</script>">`,
		"javascript:alert(1)", "&lt;img src=x onerror=alert(1)&gt;", "\u202eevil", "__proto__", "constructor", strings.Repeat("<b>", 1500),
	} {
		name := url.QueryEscape(evil)
		places := []string{"v=1&s=99&" + name + "=7&p=x", "v=1&s=99&later=7&p=" + name, "v=1&s=99&later=" + name + "&p=x"}
		if i > 1 {
			places = places[:2] // values of unknown keys are shown nowhere
		}
		for _, address := range places {
			to(tab, address)
			assert.Equal(t, plain, elements(), "%.60q adds no element", address)
			assert.Zero(t, pagetest.Eval[int](tab, "owned"), "%.60q runs nothing", address)
			assert.InDelta(t, 40*4.2, readout(tab, "pack.full_v"), 1e-9)
			assert.Less(t, len(said()), 700, "%.60q does not flood the page", address)
		}
	}
	to(tab, "v=1&"+url.QueryEscape("<i>x</i>")+"=1")
	assert.Contains(t, said(), "<i>x</i>", "it is named as it is")
	for _, raw := range []string{"%", "%zz=1", "&&&", "=", "v=2&s=20", "v=x", "s=%F0%28%8C%28", "s=1e999", "s=-0", strings.Repeat("a=1&", 5000)} {
		to(tab, raw)
		assert.NotEmpty(t, readouts(tab)["pack.full_v"], "%.30q", raw)
		assert.True(t, strings.HasPrefix(pagetest.Eval[string](tab, "location.hash"), "#v=1"), "%.30q", raw)
	}
}

func TestCopyLink(t *testing.T) {
	tab := open(t, "#v=1&s=20")
	const fallback = `document.querySelector('[data-message=note] input')`
	note := func() string {
		return pagetest.Eval[string](tab, `document.querySelector('[data-message=note]')?.textContent ?? ''`)
	}
	for _, name := range []string{"clipboard-read", "clipboard-write"} {
		_, err := chromedp.CallBrowser(tab.Context(), browser.SetPermission, browser.SetPermissionParams{
			Permission: &browser.PermissionDescriptor{Name: name, AllowWithoutSanitization: name == "clipboard-write"}, Setting: browser.PermissionSettingGranted,
		})
		require.NoError(t, err)
	}
	copyIt := func() { tab.Do(chromedp.Click(chromedp.CSS("button[name=copy]"))); frames(tab) }
	focus(tab, slider("p"))
	press(tab, kb.ArrowRight)
	copyIt() // before the address has followed: the link is that of the build in sight
	tab.Await(`document.querySelector('[data-message=note]')`)
	assert.Equal(t, "Link copied", note())
	assert.Equal(t, serve(t)+"#v=1&s=20&p=3", await[string](tab, "navigator.clipboard.readText()"))

	do(tab, "navigator.clipboard.writeText = () => Promise.reject(new DOMException('no', 'NotAllowedError'))")
	copyIt()
	tab.Await(fallback)
	assert.Equal(t, serve(t)+"#v=1&s=20&p=3", pagetest.Eval[string](tab, fallback+".value"))
	assert.Contains(t, note(), "by hand")
	focus(tab, slider("s"))
	press(tab, kb.ArrowRight)
	assert.Empty(t, note(), "the next change ends it: that link was of another build")

	for _, gone := range []string{"undefined", "{}", "{ writeText() { throw new Error('no') } }"} {
		do(tab, fmt.Sprintf("Object.defineProperty(navigator, 'clipboard', { value: %s, configurable: true })", gone))
		copyIt()
		tab.Await(fallback)
		assert.True(t, pagetest.Eval[bool](tab, fallback+".readOnly"))
		do(tab, fallback+".focus(); "+fallback+".select()")
		assert.Equal(t, serve(t)+"#v=1&s=21&p=3", pagetest.Eval[string](tab, "getSelection().toString() || "+fallback+".value.slice("+fallback+".selectionStart, "+fallback+".selectionEnd)"))
		to(tab, "v=1&s=20&p=3")
		assert.Empty(t, note(), "another build in the address ends it too")
		to(tab, "v=1&s=21&p=3")
	}
}
