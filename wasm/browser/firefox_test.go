//go:build !js

package browser

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/ridelog"
)

// TestFirefox holds the page's main job in a browser with another engine, all in one go, for Firefox is slow to start.
func TestFirefox(t *testing.T) {
	t.Parallel()
	if foxPath() != "" {
		serve(t) // builds
	}
	f := openFox(t, 390, 844)
	server, address, err := launch("")
	require.NoError(t, err)
	t.Cleanup(func() { stopOnce(server) })
	t.Run("the page becomes live", func(t *testing.T) {
		f.visit(address)
		assert.Contains(t, foxEval[string](f, "navigator.userAgent"), "Firefox/")
		assert.Equal(t, "#v=1", foxEval[string](f, "location.hash"))
		assert.Equal(t, 390, foxEval[int](f, "innerWidth"))
		assert.LessOrEqual(t, foxEval[int](f, "document.documentElement.scrollWidth"), 390, "nothing runs off the side")
	})
	for _, m := range moves {
		t.Run(m.key+" moves", func(t *testing.T) {
			f.to("v=1")
			value := func() string { return foxEval[string](f, slider(m.key)+".value") }
			before, start := f.readouts(), value()
			f.focus(slider(m.key))
			f.press(foxRight)
			checkMoved(t, before, f.readouts(), m.moved, m.still)
			f.press(foxLeft)
			assert.Equal(t, start, value())
			assert.Equal(t, before, f.readouts(), "back is back")
			f.press(foxEnd)
			assert.Equal(t, foxEval[string](f, slider(m.key)+".max"), value())
			f.press(foxHome)
			assert.Equal(t, foxEval[string](f, slider(m.key)+".min"), value())

			f.to("v=1")
			f.do(`self.seen = new Set(); ` + slider(m.key) + `.addEventListener('input', (e) => self.seen.add(e.target.value))`)
			f.drag(m.key, 90)
			assert.NotEqual(t, start, value(), "the pointer takes the thumb along")
			assert.Greater(t, foxEval[int](f, "self.seen.size"), 1, "and not in one jump")
			checkMoved(t, before, f.readouts(), m.moved, m.still)
		})
	}
	t.Run("agrees with the core on this machine", func(t *testing.T) {
		figures := 0
		for _, board := range boards {
			f.to(board)
			figures += agrees(t, board, f.readouts())
		}
		assert.Greater(t, figures, len(boards)*35)
	})
	t.Run("a link opens", func(t *testing.T) {
		f.visit(address + "?s=20&p=3&kpa=145&motor=hub65-wide")
		assert.Equal(t, canonical("v=1&s=20&p=3&kpa=145&motor=hub65-wide"), foxEval[string](f, "location.hash"))
		assert.Positive(t, agrees(t, "v=1&s=20&p=3&kpa=145&motor=hub65-wide", f.readouts()))
		assert.Equal(t, "20", foxEval[string](f, typed("s")+".value"))
	})
	t.Run("folds, why and pin", func(t *testing.T) { foxHandles(t, f) })
	t.Run("threads", func(t *testing.T) { foxThreads(t, f, address) })
	t.Run("opens with the server gone", func(t *testing.T) {
		f.visit(address + "#v=1&s=20")
		f.await(takenCare)
		online := f.readouts()
		f.reload()
		stopOnce(server)
		f.reload()
		assert.Equal(t, online, f.readouts())
		f.visit(address + "?s=24&kpa=150")
		assert.Equal(t, "#v=1&s=24&kpa=150", foxEval[string](f, "location.hash"))
		f.focus(slider("p"))
		f.press(foxRight)
		f.await(`location.hash === "#v=1&s=24&p=3&kpa=150"`)
		assert.Positive(t, agrees(t, "v=1&s=24&p=3&kpa=150", f.readouts()))
	})
	assert.Empty(t, f.reported(), "what the page reported")
	assert.NotEmpty(t, f.requests())
	for _, asked := range f.requests() {
		local := strings.HasPrefix(asked, address) || strings.HasPrefix(asked, "data:") || strings.HasPrefix(asked, "blob:") || asked == "about:blank"
		assert.True(t, local, "a request to another place: %s", asked)
	}
	f.do(`console.error('heard'); setTimeout(() => { throw new Error('thrown') })`)
	assert.Eventually(t, func() bool { return len(f.reported()) == 2 }, 10*time.Second, 20*time.Millisecond, "this check hears the console and uncaught errors")
}

// foxHandles folds and unfolds by pointer and by key, asks why, and pins.
func foxHandles(t *testing.T, f *fox) {
	f.to("v=1")
	const group = `document.querySelector('details.group')`
	fold, unfolded := group+".querySelector('summary')", func() bool { return foxEval[bool](f, group+".open") }
	start := unfolded()
	f.click(fold)
	assert.Equal(t, !start, unfolded(), "a group answers the pointer")
	f.focus(fold)
	f.press(foxEnter)
	assert.Equal(t, start, unfolded(), "and the key")
	if !start {
		f.press(foxEnter)
	}
	f.await(group + `.querySelector('input, select')`)

	const lead, sheet = `document.querySelector('.lead')`, `document.querySelector('#why')`
	f.click(lead)
	f.await(sheet + `?.checkVisibility() && document.querySelector('#why .close')`)
	assert.Contains(t, foxEval[string](f, sheet+".innerText"), "Cruise ceiling")
	f.click(`document.querySelector('#why .close')`)
	f.await(`!` + sheet + `?.checkVisibility() || !document.querySelector('#why .close')`)

	full := f.readouts()["pack.full_v"]
	f.click(`document.querySelector('[name=pin]')`)
	f.focus(slider("s"))
	f.press(foxRight)
	f.await(`document.querySelector('.change')`)
	assert.NotEqual(t, full, f.readouts()["pack.full_v"])
	assert.Equal(t, "true", foxEval[string](f, `document.querySelector('[name=pin]').getAttribute('aria-pressed') ?? ''`))
	f.click(`document.querySelector('[name=pin]')`)
	f.await(`!document.querySelector('.change')`)
}

// foxThreads has a log read and builds searched beside the page.
func foxThreads(t *testing.T, f *fox, address string) {
	const axes = small + "&s=16-18&p=2&motor=hub5-wide,hub6-wide&tire=trail-6,street-5&ctrl=c100,c130&kpa=100-200/20&fw=0,10"
	f.do(fmt.Sprintf(`localStorage.setItem('headroom.find', %q)`, axes))
	f.visit(address + "?s=20")
	f.do(countThreads)

	report, err := core.Plan(build.Default())
	require.NoError(t, err)
	want, failure := ridelog.Read(exampleLog(t), ridelog.Settings{Model: ridelog.NewModel(report.Board()), Wanted: build.Default().Shift})
	require.Empty(t, failure)
	f.to("v=1")
	f.do(`document.querySelector('#ride-log').closest('details').open = true; document.querySelector('#ride-log').scrollIntoView()`)
	f.do(dropping("ride_log.csv", fmt.Sprintf("[%q]", exampleLog(t))))
	f.await(logRead)
	got := foxEval[map[string]float64](f, logFigures)
	assert.InDelta(t, want.Reserve.Least.Value*1e3, got["reserve_mm"], 1e-6)
	assert.InDelta(t, want.Resistance.Ohm*1e3, got["resistance_mohm"], 1e-6)
	assert.InDelta(t, want.HighestDuty.Value*100, got["duty_pct"], 1e-6)
	assert.Equal(t, 1, foxEval[int](f, "self.started"))
	assert.Positive(t, foxEval[int](f, "self.spoke"), "a thread read it")

	f.do(`document.querySelector('.find').open = true; document.querySelector('.find').scrollIntoView()`)
	f.await(`Boolean(document.querySelector('[name=find-start]'))`)
	f.do(`self.spoke = 0; document.querySelector('[name=find-start]').click()`)
	f.await(findDone)
	assert.Positive(t, foxEval[int](f, "self.spoke"), "a thread searched")
	found := foxEval[[]string](f, `[...document.querySelectorAll('[data-found]')].map((e) => e.dataset.found)`)
	answer := natively(t, "", axes)
	require.NotEmpty(t, found)
	for i, link := range found {
		assert.Equal(t, answer.Found[i].Link, link)
	}
}
