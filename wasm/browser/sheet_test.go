//go:build !js

package browser

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/ledongthuc/pdf"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/limit"
	"headroom/core/link"
	"headroom/wasm/page/pagetest"
)

// sheet prints the build sheet of a link and returns the PDF. The page takes the sheet away when printing is through, so it is printed while
// print() is under way.
func sheet(t *testing.T, tab *pagetest.Tab, text string, width, height float64) []byte {
	t.Helper()
	to(tab, text)
	click(tab, "print-sheet")
	require.Equal(t, 1, pagetest.Eval[int](tab, "printed"))
	made := pagetest.Call(tab, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: width, PaperHeight: height})
	do(tab, "self.printed = 0; dispatchEvent(new Event('afterprint'))")
	assert.False(t, pagetest.Eval[bool](tab, `!!document.querySelector('.paper')`), "it is gone after printing")
	return made.Data
}

// readPDF is the text of each page.
func readPDF(t *testing.T, content []byte) []string {
	t.Helper()
	r, err := pdf.NewReader(bytes.NewReader(content), int64(len(content)))
	require.NoError(t, err)
	var pages []string
	for i := 1; i <= r.NumPage(); i++ {
		text, err := r.Page(i).GetPlainText(nil)
		require.NoError(t, err)
		pages = append(pages, text)
	}
	return pages
}

// squeezed is a text without spaces and ligatures: where lines break is the browser's business.
func squeezed(text string) string {
	return strings.NewReplacer("ﬁ", "fi", "ﬂ", "fl", "ﬀ", "ff", "ﬃ", "ffi", "ﬄ", "ffl", "\u00ad", "", "−", "-").Replace(strings.Join(strings.Fields(text), ""))
}

// onOnePage tells whether one of the pages holds the whole of a text.
func onOnePage(pages []string, text string) bool {
	return slices.ContainsFunc(pages, func(p string) bool { return strings.Contains(p, squeezed(text)) })
}

// hardest are frozen links: the build with the most that is tight or over, and the one with the longest link.
func hardest(t *testing.T) (most, longest string) {
	t.Helper()
	content, err := os.ReadFile(filepath.Join("..", "..", "testdata", "frozen_links.json"))
	require.NoError(t, err)
	var frozen struct{ Links []struct{ Opens string } }
	require.NoError(t, json.Unmarshal(content, &frozen))
	troubles := -1
	for _, f := range frozen.Links {
		l := link.Decode(f.Opens)
		text := link.Encode(&l.Build, nil)
		r, err := core.Plan(l.Build)
		require.NoError(t, err)
		count := 0
		for _, n := range r.Notes {
			if n.Status != limit.Clear {
				count++
			}
		}
		if count > troubles {
			troubles, most = count, text
		}
		if len(text) > len(longest) {
			longest = text
		}
	}
	require.Greater(t, troubles, 20)
	require.Greater(t, len(longest), 1000)
	return most, longest
}

// twoBoxes is a build of two boxes whose sheet took a third page of Letter for nothing but the code of its link.
const twoBoxes = "v=1&s=24&p=3&motor=hub65-wide&kpa=150&ctrl=c130&phase=140&batt=55&tire=slick-65&rider=95&cruise=32&profile=hills&fusetype=battery-450&split=12&boxl=230&box2l=230"

// TestBuildSheetOnPaper prints the sheet to PDF on both papers, and holds what an independent reader finds in it against the report.
func TestBuildSheetOnPaper(t *testing.T) {
	tab := fresh(t, serve(t))
	atStart(tab, `self.printed = 0; window.print = () => { self.printed++ }`)
	resize(tab, 390, 844)
	visit(tab, serve(t)+"#v=1")
	assert.False(t, pagetest.Eval[bool](tab, `!!document.querySelector('.paper')`), "it stands in the page only while it is printed")
	media(tab, "prefers-color-scheme", "dark")
	do(tab, `document.querySelector('button.sun').click()`)
	click(tab, "share")
	most, longest := hardest(t)
	for _, text := range []string{"v=1", "v=1&s=20&p=3&fw=30&rider=90&split=8", twoBoxes, most, longest} {
		r, err := core.Plan(link.Decode(text).Build)
		require.NoError(t, err)
		for name, size := range map[string][2]float64{"A4": {8.27, 11.69}, "Letter": {8.5, 11}} {
			pages := readPDF(t, sheet(t, tab, text, size[0], size[1]))
			most := 3
			if text == twoBoxes {
				most = 2
			}
			assert.LessOrEqual(t, len(pages), most, "%s of %.40s", name, text)
			for i := range pages {
				pages[i] = squeezed(pages[i])
				assert.Greater(t, len(pages[i]), 400, "%s of %.40s: page %d is not worth its paper", name, text, i+1)
			}
			settings := slices.IndexFunc(pages, func(p string) bool { return strings.Contains(p, squeezed("Settings to enter")) })
			require.GreaterOrEqual(t, settings, 0)
			for _, row := range r.Settings {
				assert.Contains(t, pages[settings], squeezed(row.Label), "%s of %.40s: the settings stand together", name, text)
			}
			all := strings.Join(pages, "")
			has := func(what string) {
				t.Helper()
				assert.True(t, onOnePage(pages, what), "%s of %.40s on %s: %s", "not on one page", text, name, what)
			}
			// Figures, written here from the report.
			has(fmt.Sprintf("Full pack %.1f V", r.Pack.FullV))
			has(fmt.Sprintf("Cruise ceiling, low charge %.0f km/h", r.Speed.CruiseCeilingKmh.Low))
			has(fmt.Sprintf("Free-spin speed %.0f km/h", r.Speed.FreeSpinKmh))
			has(fmt.Sprintf("Rated energy %.0f Wh", r.Pack.EnergyWh))
			has(fmt.Sprintf("Charger: %.1f V", r.Charge.ChargerV))
			has(fmt.Sprintf("Cells in series %d", link.Decode(text).Build.Series))
			has(fmt.Sprintf("It can stop %.0f A, a dead short draws %.0f A.", r.Protection.Fuse.BreakingA, r.Protection.Fuse.ShortCircuitA))
			if r.Range.Km != nil {
				has(fmt.Sprintf("Range %.0f km", *r.Range.Km))
			}
			// Every row whole, with its status in words.
			for _, row := range r.Protection.Rows {
				has(fmt.Sprintf("%s%s %.1f of %.0f %s %.0f of %.0f %s %.0f %% %s", strings.ToUpper(row.Part[:1]), row.Part[1:], row.LoadA, row.RatingA, row.Unit, row.PeakA, row.PeakRating, row.Unit, row.MarginPct, row.Status))
			}
			for _, row := range r.Settings {
				has(row.Label)
			}
			// What is wrong stands before everything else, the worst first; what is true of every build is there too.
			last := -1
			for _, n := range r.Notes {
				has(n.Text)
				if n.Status != limit.Clear {
					has(string(n.Status) + n.Text)
					at := strings.Index(all, squeezed(n.Text))
					assert.Greater(t, at, last)
					assert.Less(t, at, strings.Index(all, squeezed("What it gives")))
					last = at
				}
			}
			for _, title := range []string{"To settle first", "Settings to enter", "Wiring", "Charging", "Before the first ride", "Before you build or ride", "data sheets, local codes and licensed practice"} {
				has(title)
			}
			has("Printed " + time.Now().Format("2006-01-02"))
			has(fmt.Sprintf("Clearance at full spin %.1f mm", 1e3*r.Tire.ClearanceM))
			assert.Contains(t, all, squeezed(serve(t)+"#"+text), "the link, to be typed")
		}
	}
}

func TestBuildSheetIsBlackOnWhite(t *testing.T) {
	tab := fresh(t, serve(t))
	atStart(tab, `self.printed = 0; window.print = () => { self.printed++ }`)
	resize(tab, 794, 1123)
	visit(tab, serve(t)+"#v=1&s=20&p=3")
	for range 2 {
		pagetest.Call(tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print", Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}}})
		do(tab, `document.querySelector('[name=share]').click()`)
		click(tab, "print-sheet")
		assert.Equal(t, "rgb(0, 0, 0) on rgb(255, 255, 255)", pagetest.Eval[string](tab, `getComputedStyle(document.querySelector('.paper')).color + ' on ' + getComputedStyle(document.body).backgroundColor`))
		assert.Equal(t, serve(t)+"#v=1&s=20&p=3", scan(t, photo(t, tab, `document.querySelector('[data-qr=sheet]')`)))
		others := pagetest.Eval[[]string](tab, `[...document.querySelectorAll('.page > *')].filter((e) => e.checkVisibility()).map((e) => e.className)`)
		assert.Equal(t, []string{"paper"}, others, "nothing else is on paper")
		do(tab, `dispatchEvent(new KeyboardEvent('keydown', { key: 'Shift' }))`)
		assert.False(t, pagetest.Eval[bool](tab, `!!document.querySelector('.paper')`), "whoever goes on with the page gets it back, also where the browser never says that it is through")
		do(tab, `document.querySelector('button.sun').click()`)
	}
}
