//go:build !js

package browser

import (
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// alarm is the line of the readout bar that is always in sight.
const alarm = `(() => {
	const line = document.querySelector('[data-alarm]'), box = line.getBoundingClientRect();
	const notes = [...document.querySelectorAll('#know [data-note]')];
	return { code: line.dataset.alarm, over: line.classList.contains('over'), word: line.querySelector('.st').innerText.trim(),
		seen: box.top >= 0 && box.bottom <= innerHeight && box.height > 0, first: notes.length ? notes[0].className : '' };
})()`

type alarmed struct {
	Code, Word, First string
	Over, Seen        bool
}

// Whatever is over, anywhere in the report, stands in the line that is always in sight and first among the notes, without a scroll.
func TestEveryOverReachesTheTopOfThePage(t *testing.T) {
	t.Parallel()
	tab := open(t, "#v=1")
	require.False(t, pagetest.Eval[alarmed](tab, alarm).Over, "the standard board is not over anywhere")
	for _, c := range [][2]string{
		{"fusetype=blade-32", "fuse-voltage"}, {"fusebreak=300", "fuse-breaking"}, {"fuse=200&awg=16", "fuse-lead"},
		{"p=1&batt=60", "current-cells"}, {"linkmm2=1", "current-links"}, {"bms=path&bmsa=30", "current-BMS"}, {"awg=20", "current-leads"},
		{"plug=bullet-4", "current-motor plug"}, {"s=30&plug=round-60&ctrl=c170&fusetype=battery-450", "connector-voltage"},
		{"chgv=79.8", "charger-voltage"}, {"chgtemp=-1", "charge-temperature"}, {"chga=14&chgfuse=30", "charge-current"}, {"chgtype=blade-58", "charge-fuse"},
		{"endz=-150", "clearance"}, {"boxl=225", "box-main"}, {"split=9&box2l=100", "box-second"}, {"ovv=101", "settings"},
		{"s=24", "controller-voltage"}, {"cruise=100", "no-reserve"}, {"vcut=75", "no-ride"}, {"rub=0", "rub"}, {"kpa=210", "pressure-high"},
	} {
		to(tab, "v=1&"+c[0])
		got := pagetest.Eval[alarmed](tab, alarm)
		assert.True(t, got.Over && got.Seen, "%s: %+v", c[0], got)
		assert.Equal(t, "over", got.Word, c[0])
		assert.Equal(t, "over", got.First, "%s: the worst note stands first", c[0])
		codes := pagetest.Eval[[]string](tab, `[...document.querySelectorAll('#know [data-note]')].map((n) => n.dataset.note)`)
		assert.Contains(t, codes, c[1], c[0])
	}
}

// A setting typed into the check is the build's: the alarm, the address and the field above follow.
func TestSettingsCheckInThePage(t *testing.T) {
	t.Parallel()
	tab := open(t, "#v=1")
	do(tab, `document.querySelector('#settings').open = true`)
	frames(tab)
	write(tab, `document.querySelector('#set-batt')`, "90")
	frames(tab)
	assert.True(t, pagetest.Eval[alarmed](tab, alarm).Over)
	assert.Equal(t, "90", pagetest.Eval[string](tab, `document.querySelector('#in-batt').value`))
	assert.Equal(t, "set-batt", pagetest.Eval[string](tab, `document.activeElement.id`), "no row moves while it is typed in")
	do(tab, `document.activeElement.blur()`)
	frames(tab)
	assert.Equal(t, "batt", pagetest.Eval[string](tab, `document.querySelector('[data-setting]').dataset.setting`), "then the most dangerous stands first")
	do(tab, `document.querySelector('[data-setting="batt"] button').click()`)
	frames(tab)
	assert.False(t, pagetest.Eval[alarmed](tab, alarm).Over)

	// On paper only the check is left.
	do(tab, `self.printed = 0; window.print = () => { self.printed = 1; self.paper = getComputedStyle(document.querySelector('.path')).display; }`)
	pagetest.Call(tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	do(tab, `document.querySelector('[name="print-settings"]').click()`)
	frames(tab)
	assert.Equal(t, 1, pagetest.Eval[int](tab, "printed"))
	assert.Equal(t, "none", pagetest.Eval[string](tab, "paper"))
}
