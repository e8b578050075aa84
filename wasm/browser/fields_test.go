//go:build !js

package browser

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"

	"headroom/core/build"
	"headroom/wasm/page/pagetest"
)

func text(tab *pagetest.Tab, element string) string {
	return pagetest.Eval[string](tab, element+`.textContent.replace(/\s+/g, ' ').trim()`)
}

// message is what stands under a field about what was typed; "" when it cannot be seen.
func message(tab *pagetest.Tab, key string) string {
	return pagetest.Eval[string](tab, fmt.Sprintf(`((m) => m.checkVisibility() ? m.textContent.replace(/\s+/g, ' ') : '')(document.getElementById('in-%s-msg'))`, key))
}

func invalid(tab *pagetest.Tab, key string) string {
	return pagetest.Eval[string](tab, typed(key)+".getAttribute('aria-invalid')")
}

// unfold opens every folded part of the page.
func unfold(tab *pagetest.Tab) {
	for range 2 { // the second time for those inside
		do(tab, `document.querySelectorAll('details').forEach((d) => { d.open = true })`)
	}
}

func TestTyping(t *testing.T) { // alone: a tap that takes long is a hold
	tab := open(t, "#v=1")
	unfold(tab)
	value := func(key string) string { return pagetest.Eval[string](tab, typed(key)+".value") }

	t.Run("digits are not mangled on the way", func(t *testing.T) {
		to(tab, "v=1")
		before := readouts(tab)
		element := typed("linkr")
		focus(tab, element)
		do(tab, element+".select()")
		for i, want := range []string{"1", "1.", "1.0", "1.05"} {
			press(tab, want[i:])
			assert.Equal(t, want, value("linkr"))
			assert.Empty(t, message(tab, "linkr"))
		}
		assert.NotEqual(t, before["pack.resistance_ohm"], readouts(tab)["pack.resistance_ohm"])
		rest(tab, "v=1&linkr=1.05")
		press(tab, kb.Enter)
		assert.Equal(t, "1.05", value("linkr"))
	})
	t.Run("a comma and spare digits are tidied when left", func(t *testing.T) {
		to(tab, "v=1")
		write(tab, typed("kpa"), "0142,50")
		assert.Equal(t, "0142,50", value("kpa"))
		do(tab, typed("kpa")+".blur()")
		assert.Equal(t, "142.5", value("kpa"))
		rest(tab, "v=1&kpa=142.5")
	})
	t.Run("what is out of range is said beside the field and changes nothing", func(t *testing.T) {
		to(tab, "v=1&p=3")
		before := readouts(tab)
		write(tab, typed("s"), "41")
		assert.Equal(t, "41", value("s"))
		assert.Equal(t, "true", invalid(tab, "s"))
		assert.Contains(t, message(tab, "s"), "must be a whole number between 8 and 40")
		near := pagetest.Eval[float64](tab, `((a, b) => Math.abs(a.top - b.bottom))(document.getElementById('in-s-msg').getBoundingClientRect(), `+typed("s")+`.closest('.card').querySelector('.drag').getBoundingClientRect())`)
		assert.Less(t, near, 40.0, "beside means beside")
		assert.Equal(t, "in-s-msg", pagetest.Eval[string](tab, typed("s")+".getAttribute('aria-describedby').split(' ')[0]"))
		// Of the text "41", the "4" was out of range too: nothing was planned on the way.
		assert.Equal(t, before, readouts(tab))
		assert.Equal(t, "18", pagetest.Eval[string](tab, slider("s")+".value"))
		do(tab, typed("s")+".blur()")
		assert.Equal(t, "41", value("s"), "it stays to be corrected")
		assert.NotEmpty(t, message(tab, "s"))
		assert.Equal(t, "#v=1&p=3", pagetest.Eval[string](tab, "location.hash"))

		write(tab, typed("s"), "20")
		assert.Empty(t, message(tab, "s"))
		assert.Equal(t, "false", invalid(tab, "s"))
		assert.Equal(t, "20", pagetest.Eval[string](tab, slider("s")+".value"))
		assert.InDelta(t, 84, readout(tab, "pack.full_v"), 1e-9)
		rest(tab, "v=1&s=20&p=3")
	})
	t.Run("Escape takes back", func(t *testing.T) {
		to(tab, "v=1")
		for _, bad := range []string{"x", "", "1.2.3", "7"} {
			write(tab, typed("kpa"), bad)
			assert.Equal(t, "true", invalid(tab, "kpa"), bad)
			assert.NotEmpty(t, message(tab, "kpa"), bad)
			press(tab, kb.Escape)
			assert.Equal(t, "130", value("kpa"))
			assert.Equal(t, "false", invalid(tab, "kpa"))
			assert.Empty(t, message(tab, "kpa"))
		}
	})
	t.Run("a field left empty is the class value", func(t *testing.T) {
		to(tab, "v=1")
		class := readout(tab, "speed.free_spin_kmh")
		assert.Empty(t, value("kv"))
		assert.NotEmpty(t, pagetest.Eval[string](tab, typed("kv")+".placeholder"))
		write(tab, typed("kv"), "20")
		assert.NotEqual(t, class, readout(tab, "speed.free_spin_kmh"))
		rest(tab, "v=1&kv=20")
		write(tab, typed("kv"), "")
		assert.Equal(t, class, readout(tab, "speed.free_spin_kmh"))
		rest(tab, "v=1")
	})
	t.Run("arrow keys and buttons step", func(t *testing.T) {
		to(tab, "v=1")
		focus(tab, typed("kpa"))
		press(tab, kb.ArrowUp, kb.ArrowUp, kb.ArrowDown)
		assert.Equal(t, "135", value("kpa"))
		for _, key := range []string{"s", "kpa", "grade"} {
			f := build.FieldFor(key)
			step := func(sign string) {
				button := fmt.Sprintf(`document.querySelector('button[aria-label=%q]')`, sign+": "+f.Label)
				do(tab, button+".scrollIntoView({ block: 'center' })")
				at := pagetest.Eval[[]float64](tab, `((b) => [b.left + b.width / 2, b.top + b.height / 2])(`+button+`.getBoundingClientRect())`)
				tab.Do(chromedp.TapXY(at[0], at[1]))
				frames(tab)
			}
			to(tab, "v=1")
			step("More")
			step("More")
			step("Less")
			rest(tab, fmt.Sprintf("v=1&%s=%v", key, f.Default+f.Step))
		}
		to(tab, "v=1")
		assert.True(t, pagetest.Eval[bool](tab, `(() => { for (let i = 0; i < 40; i++) document.querySelector('button[aria-label="More: Cells in parallel"]').click(); return true })()`))
		rest(tab, "v=1&p=12")
		assert.Equal(t, "12", value("p"), "stepping ends at the end")
	})
	t.Run("choices", func(t *testing.T) {
		to(tab, "v=1")
		for i := range build.Fields {
			f := &build.Fields[i]
			if f.Kind != build.Choice || f.Key == "motor" {
				continue
			}
			list := fmt.Sprintf(`document.querySelector('select[name=%q]')`, f.Key)
			assert.Equal(t, f.Chosen, pagetest.Eval[string](tab, list+".value"), "%s shows the choice in use", f.Key)
			before := readouts(tab)
			options := f.Options()
			other := options[len(options)-1].ID
			if other == f.Chosen || other == "own" { // a ride of one's own is steady until it has rows
				other = options[0].ID
			}
			if other == f.Chosen {
				other = options[1].ID
			}
			do(tab, fmt.Sprintf(`%s.value = %q; %[1]s.dispatchEvent(new Event('change', { bubbles: true }))`, list, other))
			// These cells stand more than the battery current limit; BMS and charge fuse are judged and move no figure.
			if f.Key != "celllimit" && f.Key != "bms" && f.Key != "chgtype" {
				assert.NotEqual(t, before, readouts(tab), f.Key)
			}
			rest(tab, "v=1&"+f.Key+"="+other)
			to(tab, "v=1")
			assert.Equal(t, f.Chosen, pagetest.Eval[string](tab, list+".value"), "%s follows the link", f.Key)
		}
		// By keyboard, as with any list.
		list := `document.querySelector('select[name="surface"]')`
		focus(tab, list)
		press(tab, kb.ArrowDown)
		tab.Await("location.hash.startsWith('#v=1&surface=')")
	})
}

func TestUSUnits(t *testing.T) {
	t.Parallel()
	tab := open(t, "#v=1&kpa=150&rider=90&grade=2")
	metric := readouts(tab)
	choose := func(value string) {
		do(tab, fmt.Sprintf(`document.querySelector('input[name=units][value=%q]').click()`, value))
	}
	shows := func() {
		t.Helper()
		assert.True(t, pagetest.Eval[bool](tab, `document.querySelector('input[name=units][value=us]').checked`))
		assert.Equal(t, "21.76", pagetest.Eval[string](tab, typed("kpa")+".value"))
		assert.Equal(t, "psi", text(tab, typed("kpa")+".nextElementSibling"))
		assert.Contains(t, text(tab, `document.querySelector('[data-key="range.km"]')`), "mi")
		assert.Contains(t, text(tab, `document.querySelector('[data-key="speed.cruise_ceiling_kmh.low"]')`), "mph")
		// The browser rounds a slider's value to its steps; the thumb must stand within one of the pressure.
		travel := pagetest.Eval[[]float64](tab, "((s) => [s.min, s.max, s.step, s.value].map(Number))("+slider("kpa")+")")
		assert.InDelta(t, 21.76, travel[3], travel[2])
		assert.InDelta(t, 30/6.894757, travel[0], travel[2], "the ends of the slider are psi too")
		assert.InDelta(t, 300/6.894757, travel[1], travel[2])
	}
	choose("us")
	shows()
	assert.Equal(t, metric, readouts(tab), "data-value stays metric")
	assert.Equal(t, "#v=1&kpa=150&rider=90&grade=2", pagetest.Eval[string](tab, "location.hash"), "and so does the link")

	tab.Do(chromedp.Reload())
	tab.Await(ready)
	frames(tab)
	shows()
	assert.Equal(t, metric, readouts(tab))

	write(tab, typed("kpa"), "1")
	assert.Contains(t, message(tab, "kpa"), "between 4.35 and 43.51 psi; still using 21.76 psi")
	press(tab, kb.Escape)
	unfold(tab)
	write(tab, typed("rider"), "200")
	do(tab, typed("rider")+".blur()")
	assert.Equal(t, "200", pagetest.Eval[string](tab, typed("rider")+".value"))
	tab.Await(`/^#v=1&kpa=150&rider=90\.7[0-9]*&grade=2$/.test(location.hash)`)
	choose("metric")
	assert.Equal(t, "150", pagetest.Eval[string](tab, typed("kpa")+".value"))
	assert.Equal(t, "150", pagetest.Eval[string](tab, slider("kpa")+".value"))
	focus(tab, slider("kpa"))
	press(tab, kb.ArrowRight)
	assert.Equal(t, "155", pagetest.Eval[string](tab, typed("kpa")+".value"))
}
