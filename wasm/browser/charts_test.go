//go:build !js

package browser

import (
	"encoding/csv"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/link"
	"headroom/wasm/page/pagetest"
)

// card opens the card that is named so.
func card(tab *pagetest.Tab, name string) {
	do(tab, fmt.Sprintf(`[...document.querySelectorAll('details.curves > summary')].find((s) => s.textContent === %q).click()`, name))
	frames(tab)
}

const (
	torque   = `document.querySelector('[data-chart=torque]')`
	reader   = `document.querySelector('[name=read-torque]')`
	crossing = torque + `.querySelector('.cross path').getAttribute('d')`
	reading  = torque + `.querySelector('.reading').textContent.replace(/\s+/g, ' ')`
)

func TestChartIsRead(t *testing.T) {
	t.Parallel()
	tab := open(t, "#v=1")
	assert.True(t, pagetest.Eval[bool](tab, torque+" === null"), "nothing is drawn in a folded card")
	card(tab, "Torque left")
	tab.Await(reader)
	speed := func() float64 { return pagetest.Eval[float64](tab, "Number("+reader+".value)") }
	start, words, line := speed(), pagetest.Eval[string](tab, reading), pagetest.Eval[string](tab, crossing)
	assert.InDelta(t, link.Decode("v=1").Build.Cruise*3.6, start, 0.51, "at first where it is ridden")

	focus(tab, reader)
	press(tab, kb.ArrowRight, kb.ArrowRight)
	assert.Equal(t, start+2, speed())
	assert.NotEqual(t, line, pagetest.Eval[string](tab, crossing))
	now := pagetest.Eval[string](tab, reading)
	assert.NotEqual(t, words, now)
	assert.Contains(t, now, "At "+strconv.FormatFloat(start+2, 'f', -1, 64)+" km/h: ")
	assert.Equal(t, now, pagetest.Eval[string](tab, reader+".getAttribute('aria-valuetext')"))

	// A finger lands where the line then stands.
	at := pagetest.Eval[[]float64](tab, `(() => { const b = `+torque+`.querySelector('svg.plot').getBoundingClientRect(); return [b.left, b.top, b.width, b.height] })()`)
	x, y := at[0]+at[2]*0.3, at[1]+at[3]*0.4
	drag(tab, x, y, at[2]*0.25, 2, nil)
	where := pagetest.Eval[float64](tab, `(() => { const b = `+torque+`.querySelector('.cross path').getBoundingClientRect(); return (b.left + b.right) / 2 })()`)
	step := at[2] * 0.85 / pagetest.Eval[float64](tab, "Number("+reader+".max)")
	assert.InDelta(t, x+at[2]*0.25, where, step, "the line stands under the finger")

	// A mouse need not press.
	pagetest.Call(tab, input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: input.DispatchMouseEventTypeMouseMoved, X: at[0] + at[2]*0.4, Y: y})
	frames(tab)
	where = pagetest.Eval[float64](tab, `(() => { const b = `+torque+`.querySelector('.cross path').getBoundingClientRect(); return (b.left + b.right) / 2 })()`)
	assert.InDelta(t, at[0]+at[2]*0.4, where, step, "the line stands under the mouse")

	// The same speed in the other charts, and in the other units.
	kmh := speed()
	card(tab, "Duty")
	assert.Equal(t, kmh, pagetest.Eval[float64](tab, `Number(document.querySelector('[name=read-duty]').value)`))
	do(tab, `document.querySelector('[name=units][value=us]').click()`)
	assert.InDelta(t, kmh/1.609344, speed(), 0.51)
	assert.Contains(t, pagetest.Eval[string](tab, reading), " mph: ")
}

func TestChartTargetsAreLargeAndFit(t *testing.T) {
	t.Parallel()
	tab := openSized(t, "#v=1", 320, 700)
	do(tab, `document.querySelectorAll('details.curves > summary').forEach((s) => s.click())`)
	frames(tab)
	do(tab, `document.querySelectorAll('details.curves details > summary').forEach((s) => s.click())`)
	frames(tab)
	assert.Equal(t, 7, pagetest.Eval[int](tab, `document.querySelectorAll('[data-chart]').length`))
	assert.LessOrEqual(t, pagetest.Eval[int](tab, `document.documentElement.scrollWidth`), 320)
	small := pagetest.Eval[[]string](tab, `[...document.querySelectorAll('.curves button, .curves input, .curves summary')].filter((e) => {
		const b = e.getBoundingClientRect(); return b.width < 44 || b.height < 44;
	}).map((e) => e.name || e.textContent)`)
	assert.Empty(t, small)
	names := pagetest.Eval[[]string](tab, `[...document.querySelectorAll('.curves button, .curves input')].map((e) => e.getAttribute('aria-label'))`)
	seen := map[string]bool{}
	for _, name := range names {
		assert.False(t, seen[name], name)
		seen[name] = true
	}
	assert.Len(t, seen, 3*7)
}

func TestChartIsSaved(t *testing.T) {
	t.Parallel()
	tab := fresh(t, serve(t))
	resize(tab, 390, 844)
	// The page hands a blob to a link: what it holds, and under which name, is kept here.
	atStart(tab, `(() => {
		self.saved = [];
		const make = URL.createObjectURL;
		URL.createObjectURL = (blob) => { const address = make.call(URL, blob); self.lastBlob = [address, blob]; return address; };
		HTMLAnchorElement.prototype.click = function () {
			self.saved.push((async () => [this.download, self.lastBlob[1].type, this.href === self.lastBlob[0] ? await self.lastBlob[1].text() : 'another address'])());
		};
	})()`)
	visit(tab, serve(t)+"#v=1")
	card(tab, "Torque left")
	tab.Await(reader)
	do(tab, `document.querySelector('[name=csv-torque]').click()`)
	do(tab, `document.querySelector('[name=svg-torque]').click()`)
	files := await[[][]string](tab, `Promise.all(self.saved)`)
	require.Len(t, files, 2)

	assert.Equal(t, "headroom-torque.csv", files[0][0])
	assert.Contains(t, files[0][1], "text/csv")
	rows, err := csv.NewReader(strings.NewReader(files[0][2])).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, []string{"curve", "speed (km/h)", "torque (N·m)"}, rows[0])
	b := link.Decode("v=1").Build
	r, err := core.Plan(b)
	require.NoError(t, err)
	at := 0
	for _, row := range rows[1:] {
		if row[0] != "left, low" {
			continue
		}
		v, err := strconv.ParseFloat(row[2], 64)
		require.NoError(t, err)
		assert.InDelta(t, r.Envelope.Low[at].ReserveNm, v, 1e-9*100)
		at++
	}
	assert.Equal(t, len(r.Envelope.Low), at)

	assert.Equal(t, "headroom-torque.svg", files[1][0])
	assert.Equal(t, "image/svg+xml", files[1][1])
	paths := 0
	for d := xml.NewDecoder(strings.NewReader(files[1][2])); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if e, is := token.(xml.StartElement); is && e.Name.Local == "path" {
			paths++
		}
	}
	assert.Greater(t, paths, 10)
	width := await[float64](tab, `new Promise((done, fail) => {
		const picture = new Image();
		picture.onload = () => done(picture.naturalWidth);
		picture.onerror = () => fail(new Error('the saved picture cannot be shown'));
		picture.src = 'data:image/svg+xml,' + encodeURIComponent(`+strconv.Quote(files[1][2])+`);
	})`)
	assert.Equal(t, 720.0, width)
}
