package ui

import (
	"math"

	"github.com/vugu/vugu"

	"headroom/core/build"
)

// keyOf is the key of an event; "" while a modifier is held, for then it means something else.
func keyOf(e vugu.DOMEvent) string {
	for _, modifier := range [...]string{"shiftKey", "ctrlKey", "metaKey", "altKey"} {
		if e.PropBool(modifier) {
			return ""
		}
	}
	return e.PropString("key")
}

// noMenu keeps the menu of a long touch away from a held step button; a mouse's second button ends the hold.
func (p *Planner) noMenu(e vugu.DOMEvent) { e.PreventDefault() }

// fieldKey handles a key in a text field, sliderKey one on a slider. What was used does nothing else: no scrolling, no moving of the caret.
func (p *Planner) fieldKey(key string, e vugu.DOMEvent) {
	if p.Keys(key, keyOf(e)) {
		e.PreventDefault()
	}
}

func (p *Planner) sliderKey(key string, e vugu.DOMEvent) {
	if steps := p.page(key, keyOf(e)); steps != 0 {
		p.Nudge(key, steps)
		e.PreventDefault()
	}
}

// Keys handles the keys of a text field: Enter takes the text, Escape drops it, the arrows step, the page keys leap, Home and End go to the
// ends of the range. While a number is being typed Home and End belong to the text. It tells whether the key moved the field.
func (p *Planner) Keys(key, pressed string) bool {
	f := build.FieldFor(key)
	steps := p.page(key, pressed)
	switch pressed {
	case "Enter":
		p.Leave(key)
	case "Escape":
		p.Revert(key)
	case "ArrowUp":
		steps = 1
	case "ArrowDown":
		steps = -1
	case "Home", "End":
		if _, typing := p.drafts[key]; typing {
			return false
		}
		lo, hi, _ := p.travel(f, p.Units.of(f.Unit))
		if pressed == "Home" {
			p.set(f, lo)
		} else {
			p.set(f, hi)
		}
		return true
	}
	if steps == 0 {
		return false
	}
	p.Nudge(key, steps)
	return true
}

// page is how many steps a page key moves a field: a tenth of its travel and at least five, but no more than a third of the travel.
func (p *Planner) page(key, pressed string) float64 {
	sign := 1.0
	switch pressed {
	case "PageUp":
	case "PageDown":
		sign = -1
	default:
		return 0
	}
	f := build.FieldFor(key)
	steps := float64(len(f.Options()) - 1)
	if f.Kind != build.Choice {
		lo, hi, step := p.travel(f, p.Units.of(f.Unit))
		steps = (hi - lo) / step
	}
	return sign * math.Max(1, math.Round(math.Max(steps/10, math.Min(5, math.Floor(steps/3)))))
}
