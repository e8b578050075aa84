//go:build !js

package browser

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// granted lets the page use the clipboard, as one that a person looks at.
func granted(t *testing.T, tab *pagetest.Tab) {
	t.Helper()
	pagetest.Call(tab, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true})
	for _, name := range []string{"clipboard-read", "clipboard-write"} {
		_, err := chromedp.CallBrowser(tab.Context(), browser.SetPermission, browser.SetPermissionParams{
			Permission: &browser.PermissionDescriptor{Name: name, AllowWithoutSanitization: name == "clipboard-write"}, Setting: browser.PermissionSettingGranted,
		})
		require.NoError(t, err)
	}
}

// scan reads a QR code in a picture with an independent decoder, a port of ZXing.
func scan(t *testing.T, m image.Image) string {
	t.Helper()
	bitmap, err := gozxing.NewBinaryBitmapFromImage(m)
	require.NoError(t, err)
	result, err := qrcode.NewQRCodeReader().Decode(bitmap, map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true})
	require.NoError(t, err)
	return result.GetText()
}

// photo is what the screen shows of an element.
func photo(t *testing.T, tab *pagetest.Tab, element string) image.Image {
	t.Helper()
	box := pagetest.Eval[map[string]float64](tab, `(() => {
		const e = `+element+`;
		e.scrollIntoView({ block: 'center' });
		const { x, y, width, height } = e.getBoundingClientRect();
		return { x: x + scrollX, y: y + scrollY, width, height };
	})()`)
	frames(tab)
	shot := pagetest.Call(tab, page.CaptureScreenshot, page.CaptureScreenshotParams{
		Clip: &page.Viewport{X: box["x"], Y: box["y"], Width: box["width"], Height: box["height"], Scale: 1}})
	m, err := png.Decode(bytes.NewReader(shot.Data))
	require.NoError(t, err)
	return m
}

const code = `document.querySelector('[data-qr=link]')`

func TestCodeIsReadFromTheScreen(t *testing.T) {
	tab := open(t, "#v=1&s=20&p=3")
	click(tab, "share")
	assert.Equal(t, "share", pagetest.Eval[string](tab, "document.activeElement.id"), "the card is opened and in sight")
	for _, state := range []struct{ name, do string }{
		{"light", "0"}, {"dark", "dark"}, {"sunlight", "document.querySelector('button[name=sun]').click()"},
	} {
		if state.do == "dark" {
			media(tab, "prefers-color-scheme", "dark")
		} else {
			do(tab, state.do)
		}
		assert.Equal(t, serve(t)+"#v=1&s=20&p=3", scan(t, photo(t, tab, code)), state.name)
	}
	// While the build moves there is none: a code of another build would be worse.
	focus(tab, slider("p"))
	press(tab, kb.ArrowRight)
	assert.Empty(t, pagetest.Eval[string](tab, code+".firstElementChild.getAttribute('d')"))
	tab.Await(code + ".firstElementChild.getAttribute('d') !== ''")
	assert.Equal(t, serve(t)+"#v=1&s=20&p=4", scan(t, photo(t, tab, code)))
	assert.Equal(t, serve(t)+"#v=1&s=20&p=4", pagetest.Eval[string](tab, "document.getElementById('share-link').value"))
}

func TestTextIsCopied(t *testing.T) {
	tab := open(t, "#v=1&s=40&p=1")
	granted(t, tab)
	click(tab, "share")
	const area = `document.querySelector('[name=share-text]')`
	said := func(at string) string {
		return pagetest.Eval[string](tab, fmt.Sprintf(`document.querySelector('[data-message="share-%s"]').textContent`, at))
	}
	click(tab, "share-copy")
	tab.Await(`document.querySelector('[data-message="share-link"]').textContent !== ''`)
	assert.Equal(t, "Link copied.", said("link"))
	assert.Equal(t, serve(t)+"#v=1&s=40&p=1", await[string](tab, "navigator.clipboard.readText()"))
	for format, start := range map[string]string{"plain": "40s1p", "markdown": "**40s1p", "bbcode": "[b]40s1p"} {
		do(tab, fmt.Sprintf(`document.querySelector('[name=format][value=%s]').click()`, format))
		text := pagetest.Eval[string](tab, area+".value")
		assert.True(t, strings.HasPrefix(text, start), "%.40s", text)
		assert.Contains(t, text, serve(t)+"#v=1&s=40&p=1")
		click(tab, "share-text-copy")
		tab.Await(`document.querySelector('[data-message="share-text"]').textContent === 'Text copied.'`)
		assert.Equal(t, text, await[string](tab, "navigator.clipboard.readText()"))
	}
	do(tab, "navigator.clipboard.writeText = () => Promise.reject(new DOMException('no', 'NotAllowedError'))")
	click(tab, "share-text-copy")
	tab.Await(`document.querySelector('[data-message="share-text"]').textContent.includes('by hand')`)
	focus(tab, slider("p"))
	press(tab, kb.ArrowRight)
	assert.Empty(t, said("text"), "what was said of another build is gone")
}

// keeping notes what the page hands to the browser to be saved.
const keeping = `(() => {
	self.saved = [];
	const make = URL.createObjectURL;
	URL.createObjectURL = (blob) => { self.lastBlob = blob; return make.call(URL, blob); };
	HTMLAnchorElement.prototype.click = function () { self.saved.push([this.download, self.lastBlob]); };
})()`

// base64Of is what a blob holds.
func base64Of(tab *pagetest.Tab, blob string) string {
	address := await[string](tab, `new Promise((done) => { const r = new FileReader(); r.onload = () => done(r.result); r.readAsDataURL(`+blob+`); })`)
	_, content, _ := strings.Cut(address, ",")
	return content
}

func decoded(t *testing.T, text string) image.Image {
	t.Helper()
	content, err := base64.StdEncoding.DecodeString(text)
	require.NoError(t, err)
	m, err := png.Decode(bytes.NewReader(content))
	require.NoError(t, err)
	return m
}

func TestPictureOfABuild(t *testing.T) {
	tab := fresh(t, serve(t))
	atStart(tab, keeping)
	resize(tab, 390, 844)
	visit(tab, serve(t)+"#v=1&s=20&p=3")
	media(tab, "prefers-color-scheme", "dark")
	click(tab, "share")
	assert.False(t, pagetest.Eval[bool](tab, `!!document.querySelector('[name="share-send"], [name="share-png-send"]')`), "no share sheet here, no button for it")
	click(tab, "share-png")
	tab.Await("saved.length === 1")
	assert.Equal(t, "headroom-20s3p.png", pagetest.Eval[string](tab, "saved[0][0]"))
	assert.Equal(t, "image/png", pagetest.Eval[string](tab, "saved[0][1].type"))
	m := decoded(t, base64Of(tab, "saved[0][1]"))
	require.Equal(t, image.Rect(0, 0, 1200, 630), m.Bounds())

	// It is not blank: paper covers most of it, whatever the page's scheme, and ink and the bars' colors much of the rest.
	count := map[color.RGBA]int{}
	for y := range 630 {
		for x := range 1200 {
			count[color.RGBAModel.Convert(m.At(x, y)).(color.RGBA)]++
		}
	}
	assert.InDelta(t, 0.75, float64(count[color.RGBA{0xf4, 0xf1, 0xe8, 0xff}])/(1200*630), 0.15, "paper")
	assert.Greater(t, count[color.RGBA{0x1d, 0x23, 0x27, 0xff}], 3000, "ink")
	assert.Greater(t, count[color.RGBA{0x0f, 0x5c, 0x68, 0xff}]+count[color.RGBA{0x8f, 0x52, 0x00, 0xff}]+count[color.RGBA{0x9b, 0x1c, 0x2e, 0xff}], 10000, "bars")
	// The lead's bar is filled as far as the report says.
	bar := func(x int) bool { return color.RGBAModel.Convert(m.At(x, 389)) != color.RGBA{0xf4, 0xf1, 0xe8, 0xff} }
	filled := 0
	for x := 60; x < 1140; x++ {
		if bar(x) {
			filled++
		}
	}
	ceiling := readout(tab, "speed.cruise_ceiling_kmh.low")
	assert.InDelta(t, 24/ceiling, float64(filled)/1088, 0.02)
	crop := m.(interface {
		SubImage(r image.Rectangle) image.Image
	}).SubImage(image.Rect(930, 20, 1170, 260))
	assert.Equal(t, serve(t)+"#v=1&s=20&p=3", scan(t, crop))
}

func TestShareSheet(t *testing.T) {
	tab := fresh(t, serve(t))
	atStart(tab, `self.shared = []; self.answer = () => Promise.resolve();
		navigator.share = (what) => { self.shared.push(what); return self.answer(); };
		navigator.canShare = (what) => what.files[0] instanceof File`)
	resize(tab, 390, 844)
	visit(tab, serve(t)+"#v=1&s=20")
	click(tab, "share")
	click(tab, "share-send")
	tab.Await(`document.querySelector('[data-message="share-link"]').textContent === 'Handed on.'`)
	assert.Equal(t, serve(t)+"#v=1&s=20", pagetest.Eval[string](tab, "shared[0].url"))
	assert.Contains(t, pagetest.Eval[string](tab, "shared[0].title"), "20s2p")
	click(tab, "share-png-send")
	tab.Await("shared.length === 2")
	assert.Equal(t, image.Rect(0, 0, 1200, 630), decoded(t, base64Of(tab, "shared[1].files[0]")).Bounds())
	assert.Equal(t, "image/png headroom-20s2p.png", pagetest.Eval[string](tab, "shared[1].files[0].type + ' ' + shared[1].files[0].name"))

	do(tab, `self.answer = () => Promise.reject(new DOMException('closed', 'AbortError'))`)
	click(tab, "share-send")
	tab.Await(`document.querySelector('[data-message="share-link"]').textContent === ''`)
	do(tab, `self.answer = () => Promise.reject(new DOMException('no', 'NotAllowedError'))`)
	click(tab, "share-send")
	tab.Await(`document.querySelector('[data-message="share-link"]').textContent.includes('could not share')`)
	do(tab, `self.answer = () => { throw new TypeError('no') }; document.querySelector('[data-message="share-link"]').textContent = ''`)
	click(tab, "share-send")
	assert.Len(t, pagetest.Eval[[]any](tab, "shared.map(() => 1)"), 5)
}

const compared = `[...document.querySelectorAll('.compare thead th .title')].map((e) => e.textContent).join()`

func TestLinkToBothBuilds(t *testing.T) {
	tab := open(t, "#v=1&s=20")
	granted(t, tab)
	click(tab, "share")
	assert.False(t, pagetest.Eval[bool](tab, `!!document.querySelector('[name="share-both"]')`))
	click(tab, "pin")
	focus(tab, slider("p"))
	press(tab, kb.ArrowRight)
	click(tab, "share-both")
	tab.Await(`document.querySelector('[data-message="share-link"]').textContent.includes('both')`)
	both := await[string](tab, "navigator.clipboard.readText()")
	assert.Equal(t, serve(t)+"#v=1&s=20&p=3&beside=v%3D1%26s%3D20", both)

	assert.Equal(t, both, pagetest.Eval[string](tab, "document.getElementById('share-pair').value"), "also to be copied by hand")

	other := fresh(t, serve(t))
	resize(other, 390, 844)
	visit(other, both)
	assert.Equal(t, "Now,Pinned", pagetest.Eval[string](other, compared))
	assert.Equal(t, "true", pagetest.Eval[string](other, `document.querySelector('[name=pin]').getAttribute('aria-pressed')`))
	assert.Equal(t, "#v=1&s=20&p=3", pagetest.Eval[string](other, "location.hash"), "the address is the build in hand")
	assert.Equal(t, "compare", pagetest.Eval[string](other, "document.activeElement.id"))
	cells := pagetest.Eval[[]string](other, `[...document.querySelectorAll('.compare tr.input')].map((r) => [...r.children].map((c) => c.textContent.trim()).join('|'))`)
	assert.Equal(t, []string{"Cells in parallel|3|2"}, cells)
	visit(other, serve(t))
	assert.Equal(t, "true", pagetest.Eval[string](other, `document.querySelector('[name=pin]').getAttribute('aria-pressed')`), "the pin is kept on the device")

	// Another link of two builds lets go of that pin, and shows its link so that it is not lost.
	visit(other, serve(t)+"#v=1&s=24&beside=v%3D1%26s%3D30")
	assert.Contains(t, pagetest.Eval[string](other, `document.querySelector('[data-message=note]').textContent`), "pinned before")
	assert.Equal(t, serve(t)+"#v=1&s=20", pagetest.Eval[string](other, `document.querySelector('[data-message=note] input').value`))
	to(other, "v=1&s=24&beside=v%3D1%26s%3D31")
	assert.Equal(t, serve(t)+"#v=1&s=30", pagetest.Eval[string](other, `document.querySelector('[data-message=note] input').value`), "also in a page that is open")
}

// TestNothingInALinkIsMarkup opens links whose every part is hostile, with builds saved under hostile names, everything unfolded.
func TestNothingInALinkIsMarkup(t *testing.T) {
	evils := []string{
		`<script>owned++</script>`, `"><img src=x onerror=owned++>`, `'><svg/onload=owned++>`, `</textarea><iframe srcdoc="<script>top.owned++</script>">`, `</title></style><b>`,
		`javascript:owned++`, `&lt;img src=x onerror=owned++&gt;`, "\u202e\u0000<a href=//evil.example>", `{{constructor.constructor('owned++')()}}`, `]]><script>owned++</script>`,
	}
	tab := fresh(t, serve(t))
	var list []string
	for i, evil := range evils {
		list = append(list, fmt.Sprintf(`{"name": %q, "link": "v=1&s=%d"}`, strings.ReplaceAll(evil, "\u0000", ""), 20+i))
	}
	atStart(tab, `self.owned = 0; self.alert = () => { self.owned++ }`)
	resize(tab, 390, 844)
	visit(tab, serve(t)+"#v=1")
	do(tab, fmt.Sprintf(`localStorage.setItem('headroom.builds', %q)`, `{"format": "headroom-builds", "version": 1, "builds": [`+strings.Join(list, ",")+`]}`))
	visit(tab, serve(t)+"#v=1&s=19&beside=v%3D1%26s%3D18")
	unfold(tab)
	require.Len(t, pagetest.Eval[[]string](tab, `[...document.querySelectorAll('[data-saved]')].map((e) => e.dataset.saved)`), len(evils))
	foreign := func() int {
		return pagetest.Eval[int](tab, `document.querySelectorAll('#app :is(script, img, iframe, a, b > b, style, title, object, embed, base, form, [onerror], [onload], [srcdoc], [href])').length`)
	}
	require.Zero(t, foreign(), "the page itself has none of these")
	for i, evil := range evils {
		e := url.QueryEscape(evil)
		inner := url.QueryEscape("v=1&s=24&" + e + "=" + e + "&motor=" + e)
		for _, address := range []string{
			fmt.Sprintf("v=1&s=%d", 20+i), // the build of that name: it is the title of text, picture and sheet
			"v=" + e + "&s=19&motor=" + e + "&p=" + e + "&own=" + e + "&" + e + "=" + e + "&beside=" + inner + "&beside=" + e,
		} {
			to(tab, address)
			click(tab, "share-png")
			click(tab, "print-sheet")
			assert.NotNil(t, pagetest.Eval[any](tab, `document.querySelector('.paper')`), "the sheet stands in the page")
			do(tab, `document.querySelector('[name=format][value=bbcode]').click()`)
			assert.Zero(t, foreign(), "%q", address)
			assert.Zero(t, pagetest.Eval[int](tab, "owned"), "%q", address)
			do(tab, `dispatchEvent(new Event('afterprint'))`)
		}
	}
	to(tab, "v=1&s=20")
	assert.True(t, strings.HasPrefix(pagetest.Eval[string](tab, `document.querySelector('[name=share-text]').value`), "[b]<script>owned++</script>[/b]"), "it is told as it is")
}
