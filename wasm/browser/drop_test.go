//go:build !js

package browser

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"headroom/wasm/page/pagetest"
)

// dropOn lets a file fall on an element of the page.
func dropOn(tab *pagetest.Tab, element, name, content string, x, y int) {
	do(tab, fmt.Sprintf(`{
		const carried = new DataTransfer();
		carried.items.add(new File([%q], %q));
		for (const kind of ['dragover', 'drop']) {
			const event = new DragEvent(kind, { dataTransfer: carried, bubbles: true, cancelable: true, clientX: %d, clientY: %d });
			if (document.querySelector(%q).dispatchEvent(event)) throw new Error(kind + ' is left to the browser');
		}
	}`, content, name, x, y, element))
}

// A file goes where it belongs wherever it falls; one that belongs nowhere is refused where it fell, and no card is opened for it.
func TestDroppedFilesGoWhereTheyBelong(t *testing.T) {
	tab := open(t, "#v=1")
	open := func(id string) bool {
		return pagetest.Eval[bool](tab, fmt.Sprintf(`document.querySelector(%q).open`, id))
	}
	note := `document.querySelector('[data-message=drop]')`
	for _, name := range []string{"photo.png", "film.mp4", "folder"} {
		dropOn(tab, ".inputs", name, "x", 380, 400)
		tab.Await(note + ` !== null`)
		assert.Contains(t, shown(tab, "[data-message=drop]"), "“"+name+"”")
		assert.True(t, pagetest.Eval[bool](tab, `(({ left, right, top, bottom }) => left >= 0 && right <= innerWidth && top >= 0 && top <= 400 && bottom > 400 && bottom <= innerHeight)(`+note+`.getBoundingClientRect())`), "it lies where the file fell, and whole")
		assert.False(t, open("#ride-log") || open("#saved") || open("#route") || open("#prices"), name)
	}
	withAxe(t, tab)
	auditedCard(t, tab, "[data-message=drop]")
	assert.GreaterOrEqual(t, pagetest.Eval[float64](tab, note+`.querySelector('button').getBoundingClientRect().width`), 44.0)
	click(tab, "drop-end")
	tab.Await(note + ` === null`)

	dropOn(tab, ".inputs", "builds.json", `{"format": "headroom-builds", "version": 1, "builds": [{"name": "Hill board", "link": "v=1&s=20&p=3"}]}`, 10, 10)
	tab.Await(`document.querySelector('[data-saved]')?.dataset.saved === 'v=1&s=20&p=3'`)
	assert.Equal(t, "saved-said", pagetest.Eval[string](tab, `document.activeElement.id`))
	dropOn(tab, "#saved", "prices.json", `{"format": "headroom-prices", "version": 1, "items": [{"id": "1", "name": "Round cell", "for": "cell", "price": "3.85", "unit": "piece"}]}`, 10, 10)
	tab.Await(`document.querySelector('[data-item]')?.dataset.item === '1'`)
	dropOn(tab, "#prices", "more.csv", "id;name;price\n2;Nut;0,05\n", 10, 10)
	tab.Await(`document.querySelectorAll('[data-item]').length === 2`)
	assert.False(t, open("#ride-log"), "a table that falls on the price list is one")
	dropOn(tab, ".inputs", "hills.gpx", hills(), 10, 10)
	tab.Await(`document.querySelector('#route')?.open === true`)
	dropOn(tab, ".inputs", "ride.csv", string(exampleLog(t)), 10, 10)
	tab.Await(logRead)
}
