//go:build !js

package browser

import (
	"fmt"
	"maps"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"

	"headroom/wasm/page/pagetest"
)

// moves says what each leading slider must move at least, and what it must leave alone.
var moves = []struct {
	key          string
	moved, still []string
}{
	{"s", []string{"pack.full_v", "pack.energy_wh", "speed.free_spin_kmh", "speed.level_top_kmh", "speed.cruise_ceiling_kmh.full", "range.km"},
		[]string{"pack.capacity_ah", "motor.flux_wb", "pack.peak_a"}},
	{"p", []string{"pack.energy_wh", "pack.capacity_ah", "range.km", "protection.rows.0.margin_pct", "pack.resistance_ohm"},
		[]string{"pack.full_v", "motor.flux_wb"}},
	{"motor", []string{"speed.free_spin_kmh", "motor.flux_wb", "motor.torque_per_a", "ride.shift_mm"},
		[]string{"pack.full_v", "pack.energy_wh"}},
	{"kpa", []string{"model.tire.rolling_radius_m", "tire.deflection_m", "range.km"},
		[]string{"pack.full_v", "motor.flux_wb", "weight.total_kg"}},
}

func checkMoved(t *testing.T, before, after map[string]string, moved, still []string) {
	t.Helper()
	for _, key := range moved {
		assert.NotEmpty(t, after[key], key)
		assert.NotEqual(t, before[key], after[key], key)
	}
	for _, key := range still {
		assert.NotEmpty(t, before[key], key)
		assert.Equal(t, before[key], after[key], key)
	}
}

func TestSliders(t *testing.T) {
	tab := open(t, "#v=1")
	const name = `document.querySelector('[data-choice=motor]').textContent.replace(/\s+/g, ' ')`
	for _, m := range moves {
		at := func() string { return pagetest.Eval[string](tab, slider(m.key)+".value") }
		spoken := func() string { return pagetest.Eval[string](tab, slider(m.key)+".getAttribute('aria-valuetext')") }

		t.Run(m.key+" by keyboard", func(t *testing.T) {
			to(tab, "v=1")
			before, start, said, motor := readouts(tab), at(), spoken(), pagetest.Eval[string](tab, name)
			focus(tab, slider(m.key))
			press(tab, kb.ArrowRight)
			checkMoved(t, before, readouts(tab), m.moved, m.still)
			assert.NotEqual(t, start, at())
			assert.NotEqual(t, said, spoken())
			if m.key == "motor" {
				assert.NotEqual(t, motor, pagetest.Eval[string](tab, name), "the name of the motor is shown")
			} else {
				assert.Equal(t, at(), pagetest.Eval[string](tab, typed(m.key)+".value"), "the field says what the slider does")
			}
			press(tab, kb.ArrowLeft)
			assert.Equal(t, start, at())
			assert.Equal(t, before, readouts(tab), "back is back")
			press(tab, kb.End)
			assert.Equal(t, pagetest.Eval[string](tab, slider(m.key)+".max"), at())
			press(tab, kb.Home)
			assert.Equal(t, pagetest.Eval[string](tab, slider(m.key)+".min"), at())
		})

		t.Run(m.key+" by touch", func(t *testing.T) {
			to(tab, "v=1")
			do(tab, slider(m.key)+".scrollIntoView({ block: 'center' })")
			before, start, scroll := readouts(tab), at(), scrolled(tab)
			x, y := thumb(tab, m.key)
			seen := map[string]bool{}
			drag(tab, x, y, 90, 6, func() { seen[at()] = true })
			assert.NotEqual(t, start, at())
			assert.Greater(t, len(seen), 1, "the page answers while the finger moves: %v", seen)
			checkMoved(t, before, readouts(tab), m.moved, m.still)
			assert.Equal(t, scroll, scrolled(tab), "a drag to the side does not scroll")

			x, y = thumb(tab, m.key)
			drag(tab, x, y, -90, -4, nil)
			assert.Equal(t, start, at(), "the thumb can be caught again and taken back")
			assert.Equal(t, before, readouts(tab))
			assert.Equal(t, scroll, scrolled(tab))
		})

		t.Run(m.key+" lets the page scroll", func(t *testing.T) {
			to(tab, "v=1")
			do(tab, slider(m.key)+".scrollIntoView({ block: 'center' })")
			before, start, scroll := readouts(tab), at(), scrolled(tab)
			x, y := thumb(tab, m.key)
			drag(tab, x, y, 3, -160, nil)
			time.Sleep(100 * time.Millisecond)
			assert.Greater(t, scrolled(tab), scroll+40, "a drag upward that starts on a slider scrolls")
			assert.Equal(t, start, at(), "and moves nothing")
			assert.True(t, maps.Equal(before, readouts(tab)))
		})
	}
}

func scrolled(tab *pagetest.Tab) float64 { return pagetest.Eval[float64](tab, "window.scrollY") }

// thumbAt is where the thumb of a slider is, in the window: x and y.
func thumbAt(key string) string {
	return fmt.Sprintf(`((s) => {
		const box = s.getBoundingClientRect(), wide = 30;
		const share = (s.value - s.min) / (s.max - s.min);
		return [box.left + wide / 2 + share * (box.width - wide), box.top + box.height / 2];
	})(%s)`, slider(key))
}

func thumb(tab *pagetest.Tab, key string) (x, y float64) {
	at := pagetest.Eval[[]float64](tab, thumbAt(key))
	return at[0], at[1]
}

// drag moves one finger by dx, dy in small steps.
func drag(tab *pagetest.Tab, x, y, dx, dy float64, during func()) {
	const steps = 8
	touch := func(kind input.DispatchTouchEventType, points ...*input.TouchPoint) {
		pagetest.Call(tab, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
	}
	touch("touchStart", &input.TouchPoint{X: x, Y: y})
	for i := 1.0; i <= steps; i++ {
		touch("touchMove", &input.TouchPoint{X: x + dx*i/steps, Y: y + dy*i/steps})
		if during != nil {
			frames(tab)
			during()
		}
	}
	touch("touchEnd")
	frames(tab)
}
