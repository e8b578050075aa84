//go:build !js

package browser

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/link"
	rc "headroom/core/ridecheck"
	"headroom/wasm/page/pagetest"
)

// measure adds a measurement and types its fields, pairs of entry and text; n counts the rows from 1.
func measure(tab *pagetest.Tab, n int, kind rc.Kind, pairs ...string) {
	do(tab, fmt.Sprintf(`const s = document.querySelector('#measure-kind'); s.value = %q; s.dispatchEvent(new Event('change', { bubbles: true }))`, string(kind)))
	click(tab, "measure-add")
	for i := 0; i < len(pairs); i += 2 {
		write(tab, fmt.Sprintf(`document.getElementById('measured-%d-%s')`, n, pairs[i]), pairs[i+1])
	}
}

// TestRideCheck enters what a board shows that differs from its plan in known ways, and fits the plan to it.
func TestRideCheck(t *testing.T) {
	const plan = "v=1&board=17"
	truth := link.Decode("v=1&board=17&kv=16.2&tirer=140&cellr=24&motorr=46").Build
	shows := func(k rc.Measurement) string {
		c := rc.CheckAll(truth, []rc.Measurement{k})[0]
		require.Empty(t, c.Skipped)
		return strconv.FormatFloat(c.Predicted/k.Kind.Info().Value.Scale, 'g', 4, 64)
	}
	tab := open(t, "#"+plan)
	openCard(tab, "#ride-check")
	measure(tab, 1, rc.Rollout, "", shows(rc.Measurement{Kind: rc.Rollout}))
	measure(tab, 2, rc.FreeSpinTurns, "", shows(rc.Measurement{Kind: rc.FreeSpinTurns, At: rc.At{BusV: 72}}), "bus", "72")
	measure(tab, 3, rc.PackResistance, "", shows(rc.Measurement{Kind: rc.PackResistance, At: rc.At{Charge: 0.7}}), "charge", "70")
	measure(tab, 4, rc.LeadsOhm, "", shows(rc.Measurement{Kind: rc.LeadsOhm, At: rc.At{Celsius: 22}}))
	assert.Contains(t, shown(tab, "[data-measured=leads-ohm] .lacks"), "Winding temperature is needed.")
	write(tab, `document.getElementById('measured-4-celsius')`, "22")
	measure(tab, 5, rc.Duty, "", "abc")
	measure(tab, 6, rc.NoseMass, "", "7.9")
	assert.Contains(t, shown(tab, "[data-measured=duty] .msg:not(:empty)"), "not a number")
	tab.Await(`document.querySelectorAll('[data-outcome]').length === 5`)
	assert.Contains(t, shown(tab, "[data-measured=free-spin-turns] .outcome"), "Most likely the motor Kv")
	assert.Equal(t, "5 measured, 1 open", shown(tab, "#ride-check .brief"))
	before := readouts(tab)

	click(tab, "ride-fit")
	tab.Await(`document.querySelector('.fit-changes') !== null`)
	assert.Equal(t, "#"+plan, pagetest.Eval[string](tab, "location.hash"), "measurements stay outside the link")
	withAxe(t, tab)
	auditedCard(t, tab, "#ride-check")
	rideShots(t, tab, "", "#ride-check", "[data-measured=free-spin-turns]", "#ride-fit", ".fit-changes", "[data-message=fit-besides]")

	click(tab, "ride-put")
	tab.Await(`location.hash.includes('kv=16')`)
	hash := pagetest.Eval[string](tab, "location.hash")
	fitted := link.Decode(strings.TrimPrefix(hash, "#")).Build
	r, err := core.Plan(fitted)
	require.NoError(t, err)
	assert.InEpsilon(t, r.Speed.FreeSpinKmh, readout(tab, "speed.free_spin_kmh"), 1e-9, "the readouts follow the fit")
	want, err := core.Plan(truth)
	require.NoError(t, err)
	assert.InEpsilon(t, want.Speed.FreeSpinKmh, readout(tab, "speed.free_spin_kmh"), 0.01, "which is the board that was measured")
	assert.InEpsilon(t, want.Pack.ResistanceOhm, readout(tab, "pack.resistance_ohm"), 0.1, "one reading leaves a tenth open")
	assert.Contains(t, shown(tab, "#ride-said"), "The build now holds the fitted values")
	click(tab, "undo")
	rest(tab, plan)
	assert.Empty(t, shown(tab, "#ride-said"), "and no longer does")
	assert.Equal(t, before, readouts(tab), "one step brings all of it back")
	click(tab, "redo")
	tab.Await(fmt.Sprintf("location.hash === %q", hash))

	visit(tab, serve(t))
	assert.Equal(t, hash, pagetest.Eval[string](tab, "location.hash"))
	openCard(tab, "#ride-check")
	assert.Equal(t, []string{"rollout", "free-spin-turns", "pack-resistance", "leads-ohm", "duty", "nose-mass"},
		pagetest.Eval[[]string](tab, `[...document.querySelectorAll('[data-measured]')].map((e) => e.dataset.measured)`))
	assert.Equal(t, "abc", pagetest.Eval[string](tab, `document.querySelector('[data-measured=duty] input').value`), "also what cannot be used")
	tab.Await(`document.querySelectorAll('[data-outcome]').length === 5`)
	for _, verdict := range pagetest.Eval[[]string](tab, `[...document.querySelectorAll('.outcome .st')].map((e) => e.textContent)`) {
		assert.Equal(t, "inside", verdict)
	}

	// A duty that no fit explains away: the row and the fit both say so, and nothing can be put in.
	for entry, text := range map[string]string{"": "88", "speed": "28", "bus": "70"} {
		write(tab, fmt.Sprintf(`document.getElementById('measured-5-%s')`, entry), text)
	}
	tab.Await(`document.querySelector('[data-measured=duty] [data-warns]') !== null`)
	assert.Contains(t, shown(tab, "[data-measured=duty] [data-warns]"), "Stop: ")
	click(tab, "ride-fit")
	tab.Await(`document.querySelector('[data-message=fit-withheld]') !== null`)
	assert.Regexp(t, "^over ?From 28 km/h", shown(tab, ".fit [role=status]"))
	assert.False(t, pagetest.Eval[bool](tab, `document.querySelector('[name=ride-put]') !== null`))
	withAxe(t, tab)
	auditedCard(t, tab, "#ride-check")
	rideShots(t, tab, "danger-", "[data-measured=duty]", "#ride-fit", "[data-message=fit-withheld]")
	do(tab, `document.querySelector('[name=measure-remove]').click()`)
	assert.Equal(t, "ride-said", pagetest.Eval[string](tab, `document.activeElement.id`), "the focus does not get lost")
}

// rideShots takes pictures of the card for who wants to look at them.
func rideShots(t *testing.T, tab *pagetest.Tab, name string, places ...string) {
	t.Helper()
	folder := os.Getenv("HEADROOM_SHOTS")
	if folder == "" {
		return
	}
	for _, at := range places {
		for _, scheme := range []string{"light", "dark"} {
			media(tab, "prefers-color-scheme", scheme)
			do(tab, fmt.Sprintf(`document.querySelector(%q).scrollIntoView()`, at))
			picture, err := chromedp.Run(tab.Context(), chromedp.CaptureScreenshot())
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(filepath.Join(folder, "ride-"+name+strings.Trim(at, "#.[]")+"-"+scheme+".png"), picture, 0o644))
		}
	}
}
