//go:build !js

package browser

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// unplugged are the browser's own words about a server that is gone: the worker asks for a new version of itself.
var unplugged = []string{"ERR_CONNECTION_REFUSED", "Failed to update a ServiceWorker", "An unknown error occurred when fetching the script"}

// takenCare holds once the worker keeps the page.
const takenCare = "navigator.serviceWorker.controller && navigator.serviceWorker.controller.state === 'activated'"

// TestSecondVisitNeedsNoNetwork takes the whole server away, which no worker and no cache can get around.
func TestSecondVisitNeedsNoNetwork(t *testing.T) {
	t.Parallel()
	serve(t) // builds
	server, address, err := launch("")
	require.NoError(t, err)
	gone := false
	t.Cleanup(func() {
		if !gone {
			stop(server)
		}
	})
	tab := fresh(t, address, unplugged...)
	resize(tab, 390, 844)
	visit(tab, address+"#v=1&s=20")
	tab.Await(takenCare)
	online := readouts(tab)
	visit(tab, address+"#v=1&s=20")
	assert.Equal(t, online, readouts(tab), "a repeated visit with a network")

	stop(server)
	gone = true
	visit(tab, address+"#v=1&s=20")
	assert.Equal(t, online, readouts(tab), "the same without")
	visit(tab, address+"?s=24&kpa=150")
	assert.InDelta(t, 24*4.2, readout(tab, "pack.full_v"), 1e-9, "a link that somebody sent opens too")
	assert.Equal(t, "#v=1&s=24&kpa=150", pagetest.Eval[string](tab, "location.hash"))
	focus(tab, slider("p"))
	press(tab, kb.ArrowRight)
	rest(tab, "v=1&s=24&p=3&kpa=150")
	tab.Do(chromedp.Reload())
	tab.Await(ready)
	frames(tab)
	assert.Equal(t, "3", pagetest.Eval[string](tab, slider("p")+".value"))
	assert.Positive(t, pagetest.Eval[int](tab, "document.styleSheets[0].cssRules.length"), "with its styles")
	picture := pagetest.Eval[string](tab, `getComputedStyle(document.querySelector('.bar')).position`)
	assert.Equal(t, "sticky", picture)
}

// TestNothingIsLoadedWhileUsing has a person use the page, and looks at what it asks the network for meanwhile: nothing at all.
func TestNothingIsLoadedWhileUsing(t *testing.T) {
	t.Parallel()
	tab := open(t, "#v=1")
	tab.Await(takenCare)
	unfold(tab)
	loaded := `performance.getEntriesByType('resource').map((e) => e.name)`
	before := pagetest.Eval[[]string](tab, loaded)
	require.NotEmpty(t, before)
	for _, key := range []string{"s", "p", "motor", "kpa"} {
		focus(tab, slider(key))
		press(tab, kb.ArrowRight)
	}
	do(tab, `document.querySelector('input[name=units][value=us]').click()`)
	do(tab, `document.querySelector('button[name=reset]').click()`)
	rest(tab, "v=1")
	assert.Equal(t, before, pagetest.Eval[[]string](tab, loaded))
	for _, name := range before {
		assert.True(t, strings.HasPrefix(name, serve(t)), name)
	}
	assert.Empty(t, pagetest.Eval[string](tab, "document.cookie"))
	kept := pagetest.Eval[[]string](tab, "Object.keys(localStorage).sort()")
	assert.Equal(t, []string{"headroom.build", "headroom.units"}, kept, "what the device remembers")
}
