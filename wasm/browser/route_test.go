//go:build !js

package browser

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/route"
	"headroom/wasm/page/pagetest"
)

// hills is a track over hills, with curves.
func hills() string {
	var out strings.Builder
	out.WriteString(`<?xml version="1.0" encoding="UTF-8"?><gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><trk><name>Over the hills</name><trkseg>` + "\n")
	for s := 0.0; s <= 9000; s += 8 {
		fmt.Fprintf(&out, `<trkpt lat="%.8f" lon="%.8f"><ele>%.2f</ele></trkpt>`+"\n", s/110574.3, 7+0.0006*math.Sin(s/220),
			240+45*(1-math.Cos(2*math.Pi*s/3000))+25*math.Sin(s/310))
	}
	return out.String() + `</trkseg></trk></gpx>`
}

// dropTrack lets a file fall on the page.
func dropTrack(tab *pagetest.Tab, name, text string) {
	do(tab, fmt.Sprintf(`const data = new DataTransfer();
		data.items.add(new File([%q], %q));
		for (const kind of ['dragover', 'drop']) {
			const event = new DragEvent(kind, { dataTransfer: data, bubbles: true, cancelable: true });
			document.body.dispatchEvent(event);
			if (!event.defaultPrevented) throw new Error(kind + ' is left to the browser');
		}`, text, name))
}

func TestTrackIsRiddenInThePage(t *testing.T) {
	tab := open(t, "#v=1&cruise=28")
	dropTrack(tab, "hills.gpx", hills())
	tab.Await(`document.querySelector('[data-key="route.end_pct"]') !== null`)
	b := build.Default()
	build.FieldFor("cruise").SetValue(&b, 28)
	r, err := core.Plan(b)
	require.NoError(t, err)
	path, problem := route.Open(hills())
	require.Nil(t, problem)
	riding := r.NewRouteRiding(path)
	for riding.Step() {
	}
	want := riding.Route()
	same := func() {
		t.Helper()
		for key, v := range map[string]float64{
			"route.end_pct": want.EndPct, "route.lowest.value": want.Lowest.Value, "route.hottest.value": want.Hottest.Value,
			"route.energy_wh": want.EnergyWh, "route.minutes": want.Minutes,
		} {
			assert.InEpsilon(t, v, readout(tab, key), 1e-9, key)
		}
	}
	same()
	assert.Contains(t, shown(tab, "#route-said"), "“Over the hills”: 9.")
	assert.Equal(t, "route-said", pagetest.Eval[string](tab, `document.activeElement.id`))

	// A file that cannot be read leaves it all standing.
	dropTrack(tab, "half.gpx", "<gpx>\n<trk>\n<trkseg>")
	assert.Contains(t, shown(tab, `[data-message="route-trouble"]`), "Line 3: the file ends within <trkseg>")
	same()

	// Another build rides it again, once it rests.
	do(tab, `((e) => { e.value = 4; e.dispatchEvent(new Event('input', { bubbles: true })) })(`+slider("p")+`)`)
	tab.Await(`document.querySelector('[data-message="route-state"]').textContent === ''`)
	assert.Greater(t, readout(tab, "route.end_pct"), want.EndPct)

	withAxe(t, tab)
	auditedCard(t, tab, "#route")
	do(tab, `document.querySelector('#route details.more').open = true`)
	auditedCard(t, tab, "#route")
	do(tab, `document.querySelector('[name=units][value=us]').click()`)
	assert.Contains(t, shown(tab, "#route-said"), " mi, up ")

	click(tab, "forget-route")
	assert.Equal(t, "pick-route", pagetest.Eval[string](tab, `document.activeElement.id`))

	// A text that is dragged is left to the browser.
	do(tab, `const data = new DataTransfer();
		data.setData('text/plain', 'words');
		const event = new DragEvent('dragover', { dataTransfer: data, bubbles: true, cancelable: true });
		document.body.dispatchEvent(event);
		if (event.defaultPrevented) throw new Error('a text was taken for a file')`)
}

func TestTrackShots(t *testing.T) {
	folder := os.Getenv("HEADROOM_SHOTS")
	if folder == "" {
		t.Skip("HEADROOM_SHOTS names no folder")
	}
	require.NoError(t, os.MkdirAll(folder, 0o755))
	for _, size := range [][2]int64{{390, 844}, {1440, 900}} {
		for _, scheme := range []string{"light", "dark"} {
			tab := openSized(t, "#v=1&cruise=30", size[0], size[1])
			media(tab, "prefers-color-scheme", scheme)
			dropTrack(tab, "hills.gpx", hills())
			tab.Await(`document.querySelector('[data-key="route.end_pct"]') !== null`)
			for _, step := range [][2]string{
				{"route", `document.querySelector('#route').scrollIntoView()`},
				{"route-plots", `document.querySelector('[data-chart="route-ground"]').scrollIntoView()`},
				{"route-more", `document.querySelector('[data-chart="route-charge"]').scrollIntoView()`},
				{"route-settings", `document.querySelector('#settings').open = true; document.querySelector('#settings').scrollIntoView()`},
			} {
				pagetest.Eval[any](tab, step[1]+";0")
				tab.Do(chromedp.Sleep(300 * time.Millisecond))
				picture, err := chromedp.Run(tab.Context(), chromedp.CaptureScreenshot())
				require.NoError(t, err)
				require.NoError(t, os.WriteFile(filepath.Join(folder, fmt.Sprintf("%dx%d-%s-%s.png", size[0], size[1], scheme, step[0])), picture, 0o644))
			}
		}
	}
}
