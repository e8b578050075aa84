//go:build !js

package browser

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/link"
	"headroom/wasm/page/pagetest"
)

// card is the card of a slider, told is what its lines say of the travel.
func sliderCard(key string) string { return slider(key) + ".closest('.slider')" }
func told(key string) string {
	return fmt.Sprintf(`document.querySelector('[data-travel=%q]').textContent.replace(/\s+/g, ' ')`, key)
}

func TestTracksMatchTheCore(t *testing.T) {
	t.Parallel()
	tab := open(t, "#v=1")
	heights := func() []float64 {
		return pagetest.Eval[[]float64](tab, `[...document.querySelectorAll('.slider')].map((e) => e.getBoundingClientRect().height)`)
	}
	lines := func(key string) []string {
		return pagetest.Eval[[]string](tab, fmt.Sprintf(`[...%s.querySelectorAll('.stretch')].map((e) => e.getAttribute('class').split(' ')[1])`, sliderCard(key)))
	}
	to(tab, "v=1&s=19")
	before := heights()
	assert.Empty(t, lines("kpa"), "nothing until the build has rested")
	tab.Await(told("kpa") + " !== ''")
	assert.Equal(t, before, heights(), "nothing moves when it appears")
	for _, key := range build.Main {
		var want []string
		var worst limit.Status
		for _, s := range core.Travel(link.Decode("v=1&s=19").Build, key) {
			if s.Status != worst {
				want = append(want, string(s.Status))
			}
			worst = s.Status
		}
		assert.Equal(t, want, lines(key), key)
	}
	focus(tab, slider("s"))
	press(tab, kb.ArrowRight)
	assert.NotEmpty(t, lines("s"), "a slider's own travel stays")
	assert.Empty(t, lines("p"), "that of the others is another now")
	tab.Await(told("kpa") + " !== ''")
	shown := pagetest.Eval[string](tab, `getComputedStyle(`+sliderCard("s")+`.querySelector('.bubble')).visibility`)
	assert.Equal(t, "visible", shown, "the value stands over the thumb that has the focus")
	over := pagetest.Eval[bool](tab, `((b, n) => b.bottom > n.top && b.top < n.bottom && b.right > n.left)(`+sliderCard("s")+`.querySelector('.bubble').getBoundingClientRect(), `+typed("s")+`.getBoundingClientRect())`)
	assert.False(t, over, "and never over the number field")
}

func TestHoldingAStepButton(t *testing.T) {
	tab := open(t, "#v=1")
	const more = `document.querySelector('[aria-label="More: Cells in series"]')`
	do(tab, more+".scrollIntoView({ block: 'center' })")
	at := pagetest.Eval[[]float64](tab, `((b) => [b.left + b.width / 2, b.top + b.height / 2])(`+more+`.getBoundingClientRect())`)
	mouse := func(kind input.DispatchMouseEventType, x, y float64) {
		pagetest.Call(tab, input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: kind, X: x, Y: y, Button: input.MouseButtonLeft, ClickCount: 1})
	}
	now := func() int { return pagetest.Eval[int](tab, "Number("+slider("s")+".value)") }

	mouse("mousePressed", at[0], at[1])
	mouse("mouseReleased", at[0], at[1])
	frames(tab)
	assert.Equal(t, 19, now(), "a click is one step")

	mouse("mousePressed", at[0], at[1])
	frames(tab)
	assert.Equal(t, 19, now(), "pressing alone none")
	tab.Await("Number(" + slider("s") + ".value) >= 23")
	mouse("mouseReleased", at[0], at[1])
	frames(tab)
	held := now()
	time.Sleep(700 * time.Millisecond)
	assert.Equal(t, held, now(), "let go is let go")

	do(tab, more+".focus()")
	press(tab, kb.Enter)
	assert.Equal(t, held+1, now(), "a key is one step")

	to(tab, "v=1")
	mouse("mousePressed", at[0], at[1])
	tab.Await("Number(" + slider("s") + ".value) >= 20")
	mouse("mouseMoved", at[0]-120, at[1]+40)
	frames(tab)
	held = now()
	time.Sleep(700 * time.Millisecond)
	assert.Equal(t, held, now(), "leaving the button ends it")
	mouse("mouseReleased", at[0]-120, at[1]+40)
}

func TestKeysOfFieldAndSlider(t *testing.T) {
	tab := open(t, "#v=1")
	now := func() int { return pagetest.Eval[int](tab, "Number("+slider("s")+".value)") }
	for _, control := range []string{slider("s"), typed("s")} {
		to(tab, "v=1")
		focus(tab, control)
		scroll := scrolled(tab)
		for _, step := range []struct {
			key  string
			want int
		}{{kb.ArrowUp, 19}, {kb.ArrowDown, 18}, {kb.PageUp, 23}, {kb.PageDown, 18}, {kb.End, 40}, {kb.Home, 8}} {
			press(tab, step.key)
			assert.Equal(t, step.want, now(), control)
		}
		assert.InDelta(t, scroll, scrolled(tab), 0.5, "the page does not scroll")
	}
	do(tab, typed("s")+".select()")
	press(tab, "3", "1", kb.Home, "2")
	assert.Equal(t, "231", pagetest.Eval[string](tab, typed("s")+".value"), "while a number is typed Home moves the caret")
}

func TestSeekByOneTap(t *testing.T) {
	tab := open(t, "#v=1&s=22")
	do(tab, `document.getElementById("why-pack.full_v").click()`)
	do(tab, `document.querySelector('button[name=seek]').click()`)
	want := core.Seek(link.Decode("v=1&s=22").Build, "pack.full_v")
	tab.Await(fmt.Sprintf(`document.querySelectorAll('[data-way]').length === %d`, len(want)))
	assert.Equal(t, "why", pagetest.Eval[string](tab, "document.activeElement.id"), "the focus stays in the sheet")
	for i, w := range want {
		assert.Equal(t, w.Text, pagetest.Eval[string](tab, fmt.Sprintf(`document.querySelectorAll('[data-way]')[%d].textContent.replace(/\s+/g, ' ')`, i)))
	}
	do(tab, `document.querySelector('[data-way=s]').click()`)
	assert.InDelta(t, 88.2, readout(tab, "pack.full_v"), 1e-6)
	assert.False(t, pagetest.Eval[bool](tab, `!!document.querySelector('.seek')`), "it is clear now")
	rest(tab, "v=1&s=21")
}
