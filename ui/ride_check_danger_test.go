package ui

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/build"
	rc "headroom/core/ridecheck"
)

// fittedTo enters measurements into the standard build, and returns the planner with the fit shown and the fit's text.
func fittedTo(t *testing.T, enterAll func(p *Planner)) (p *Planner, fit string) {
	t.Helper()
	p = opened(t, "v=1")
	p.SetOpen(rideCheckID, true)
	enterAll(p)
	p.FitRide()
	work(p)
	return p, tidy(find(show(t, p), class("fit")))
}

func enterDuty(p *Planner, kmh, bus, value string) {
	enter(p, rc.Duty, "speed", kmh, "bus", bus, "", value)
}

// TestTwoDutiesAreNoMilderThanOne: where both disagree with the free spin, none counts as left out, and the warning must stand all the same.
func TestTwoDutiesAreNoMilderThanOne(t *testing.T) {
	for slow, scale := range map[string]bool{"48": true, "37": false} { // both high, and one
		p, fit := fittedTo(t, func(p *Planner) {
			enter(p, rc.FreeSpinTurns, "", "980", "bus", "75")
			enterDuty(p, "18", "72", slow)
			enterDuty(p, "28", "70", "74")
		})
		assert.Regexp(t, "^The fitoverFrom (18|28) km/h on, more duty was read than the plan has after the fit", fit, "the danger first")
		assert.Contains(t, fit, "do not ride there until it is explained")
		assert.Equal(t, scale, strings.Contains(fit, "times as far off as their uncertainties say"), "and the rest after it")
		assert.Contains(t, fit, "28.0 km/h, %More duty than the plan has after the fit.")
		assert.Contains(t, fit, "Nothing can be put in: more duty was read than the fit has")
		assert.Nil(t, find(show(t, p), attribute("name", "ride-put")))
		before := p.Link()
		p.PutFit()
		assert.Equal(t, before, p.Link(), "nor without the button")
	}
}

// TestTheDangerIsNotHiddenByTheScale: a scale of a little over its limit is the milder thing to say.
func TestTheDangerIsNotHiddenByTheScale(t *testing.T) {
	_, fit := fittedTo(t, func(p *Planner) {
		enter(p, rc.FreeSpin, "", "52", "bus", "75")
		enterDuty(p, "18", "72", "42")
		enterDuty(p, "28", "70", "66")
		enter(p, rc.LoadedVolts, "", "64.5", "rest", "70.2", "amps", "40")
		enter(p, rc.PackResistance, "", "92", "rest", "70.2")
	})
	assert.Contains(t, fit, "From 18 km/h on, more duty was read than the plan has after the fit (2 readings)")
	assert.Contains(t, fit, "Nothing can be put in: more duty was read than the fit has")
}

// TestWhyNothingIsPutIn: no button without a word.
func TestWhyNothingIsPutIn(t *testing.T) {
	p, fit := fittedTo(t, func(p *Planner) {
		for _, ohm := range []string{"60", "70", "80", "90", "130"} {
			enter(p, rc.LeadsOhm, "", ohm, "celsius", "20")
		}
	})
	require.True(t, p.fitted().work.Fit().Scale > 3)
	assert.Contains(t, fit, "Nothing can be put in: the measurements are too far from one another")
	assert.Nil(t, find(show(t, p), attribute("name", "ride-put")))
	_, fit = fittedTo(t, func(p *Planner) { enter(p, rc.LeadsOhm, "", "80", "celsius", "20") })
	assert.Contains(t, fit, "Nothing to put in: no input of the build is other than it was.")
}

// TestOnlyWhatWasMeasuredIsPutIn: the button counts and puts in what the card names as measured, and nothing that it names as left.
func TestOnlyWhatWasMeasuredIsPutIn(t *testing.T) {
	p, fit := fittedTo(t, func(p *Planner) { enter(p, rc.FreeSpin, "", "54", "bus", "75") })
	assert.Contains(t, fit, "Hardly measured, and so left as they were: tire radius")
	assert.Equal(t, "Put 1 fitted input into the build", tidy(find(show(t, p), attribute("name", "ride-put"))))
	before := p.Build
	p.Type("tirer", "14x") // not yet a number: it stays as it was typed
	p.FitRide()
	work(p)
	p.PutFit()
	for i := range build.Fields {
		if f := &build.Fields[i]; f.Key != "kv" {
			assert.Equal(t, f.Text(&before), f.Text(&p.Build), f.Key)
		}
	}
	assert.NotEqual(t, before, p.Build)
	assert.Equal(t, "14x", p.drafts["tirer"].text)
}

// TestWhatWasPutInIsSaidOnlyWhileItIsThere: undo takes the word back with the values, redo brings both.
func TestWhatWasPutInIsSaidOnlyWhileItIsThere(t *testing.T) {
	p, _ := fittedTo(t, func(p *Planner) { enter(p, rc.FreeSpin, "", "54", "bus", "75") })
	c := &RideCheck{P: p}
	said := func() string { return tidy(find(show(t, p), attribute("id", "ride-said"))) }
	p.PutFit()
	assert.Contains(t, said(), "The build now holds the fitted values")
	shown := c.Build(nil).Out[0]
	p.Undo()
	assert.NotSame(t, shown, c.Build(nil).Out[0], "the card is built anew")
	assert.Empty(t, said())
	p.Redo()
	assert.Contains(t, said(), "The build now holds the fitted values")
	p.Slide("s", "19")
	assert.Empty(t, said(), "nor of a build that was changed since")
	p.RemoveMeasurement(p.ride.lastID)
	assert.Equal(t, "The measurement is gone; undo brings it back.", said(), "what holds for any build stays")
}

// TestARowSaysWhatItMeansForTheRider: the direction stands beside the reading, inside the band and outside.
func TestARowSaysWhatItMeansForTheRider(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen(rideCheckID, true)
	row := func(value string) string {
		p.ride.rows = nil
		enterDuty(p, "28", "70", value)
		work(p)
		return tidy(find(show(t, p), carries("data-outcome")))
	}
	const stop = "Stop: the board has less in reserve than planned. Do not ride on until this is explained."
	assert.Regexp(t, "^insideInside, but with less in reserve than planned.The plan says", row("62.5"))
	assert.Regexp(t, "^outside"+stop+"The plan says", row("70"))
	assert.Regexp(t, "^outside"+stop+"The plan says", row("88"))
	for _, value := range []string{"58.1", "54", "40"} {
		assert.NotContains(t, row(value), "less in reserve", value)
	}
}

// TestOpenRowsAreNotMeasured: a row without a usable value is open.
func TestOpenRowsAreNotMeasured(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen(rideCheckID, true)
	brief := func() string { return (&RideCheckBody{P: p}).brief() }
	assert.Equal(t, "nothing measured yet", brief())
	enter(p, rc.BoardMass)
	assert.Equal(t, "1 open", brief())
	enter(p, rc.Rollout, "", "900")
	enter(p, rc.Rollout, "", "abc")
	enter(p, rc.LeadsOhm, "", "80")
	assert.Equal(t, "1 measured, 3 open", brief())
	p.TypeMeasured(p.ride.lastID, "celsius", "20")
	assert.Equal(t, "2 measured, 2 open", brief())
	p.ride.logged = make([]rc.Measurement, 7)
	assert.Equal(t, "9 measured, 2 open", brief())
}
