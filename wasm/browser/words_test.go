//go:build !js

package browser

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// The bar's labels stand whole on a small phone, each with the underline that the first one's "why?" has, and the readings of another board say
// so and can be removed and brought back.
func TestTheWordsOfTheBarAndOfReadings(t *testing.T) {
	const labels = `[...document.querySelectorAll('.four .label')]`
	tab := openSized(t, "#v=1&s=24&p=3&motor=hub65-wide", 360, 800)
	assert.Empty(t, pagetest.Eval[[]string](tab, labels+`.filter((e) => e.scrollWidth > e.clientWidth).map((e) => e.textContent)`), "cut")
	assert.True(t, strings.HasSuffix(pagetest.Eval[string](tab, labels+`.at(-1).textContent`), " spare"))
	for _, e := range []string{labels + `[0]`, labels + `[3]`, `document.querySelector('.lead .ask')`} {
		assert.Equal(t, "underline dotted", pagetest.Eval[string](tab, `(({textDecorationLine: l, textDecorationStyle: s}) => l + " " + s)(getComputedStyle(`+e+`))`))
	}
	shots(t, tab, "bar", "")

	openCard(tab, "#ride-check")
	click(tab, "measure-add")
	click(tab, "measure-add")
	for i, text := range []string{"870", "900"} {
		write(tab, `document.querySelectorAll('.reading-entry input')[`+string(rune('0'+i))+`]`, text)
	}
	tab.Await(`document.querySelectorAll('[data-outcome]').length === 2`)
	do(tab, `location.hash = 'v=1&s=16&p=2'`)
	tab.Await(`document.querySelector('[data-message=ride-strangers]') !== null`)
	assert.Contains(t, shown(tab, "[data-message=ride-strangers]"), "Measured on 24s3p, ")
	assert.Empty(t, shown(tab, "[data-outcome]"))
	withAxe(t, tab)
	auditedCard(t, tab, "#ride-check")
	shots(t, tab, "strangers", "#ride-check")
	click(tab, "ride-clear")
	tab.Await(`document.querySelector('.measured') === null`)
	click(tab, "undo")
	tab.Await(`document.querySelectorAll('.measured').length === 2`)
	click(tab, "ride-adopt")
	tab.Await(`document.querySelectorAll('[data-outcome]').length === 2`)
	shots(t, tab, "adopted", "#ride-check")
	assert.LessOrEqual(t, pagetest.Eval[float64](tab, `document.documentElement.scrollWidth`), 360.0)
}

func shots(t *testing.T, tab *pagetest.Tab, name, at string) {
	t.Helper()
	folder := os.Getenv("HEADROOM_SHOTS")
	if folder == "" {
		return
	}
	for _, scheme := range []string{"light", "dark"} {
		media(tab, "prefers-color-scheme", scheme)
		if at != "" {
			do(tab, `document.querySelector('`+at+`').scrollIntoView()`)
		}
		picture, err := chromedp.Run(tab.Context(), chromedp.CaptureScreenshot())
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(folder, "words-"+name+"-"+scheme+".png"), picture, 0o644))
	}
}
