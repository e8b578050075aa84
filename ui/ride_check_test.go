package ui

import (
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core/build"
	"headroom/core/link"
	rc "headroom/core/ridecheck"
)

// enter adds a measurement and types its fields: pairs of entry id and text.
func enter(p *Planner, kind rc.Kind, pairs ...string) int {
	p.ChooseMeasurement(string(kind))
	p.AddMeasurement()
	id := p.ride.lastID
	for i := 0; i < len(pairs); i += 2 {
		p.TypeMeasured(id, pairs[i], pairs[i+1])
	}
	return id
}

// altered returns a planner with the card open, and measurements in it that a board with other inputs would show, to four digits.
func altered(t *testing.T, truth string) *Planner {
	t.Helper()
	p := opened(t, "v=1&board=17")
	p.SetOpen(rideCheckID, true)
	b := link.Decode(truth).Build
	for _, m := range []struct {
		k     rc.Measurement
		pairs []string
	}{
		{rc.Measurement{Kind: rc.Rollout}, nil},
		{rc.Measurement{Kind: rc.FreeSpinTurns, At: rc.At{BusV: 72}}, []string{"bus", "72"}},
		{rc.Measurement{Kind: rc.PackResistance, At: rc.At{Charge: 0.7}}, []string{"charge", "70"}},
		{rc.Measurement{Kind: rc.Duty, At: rc.At{BusV: 68, Speed: 20 / 3.6}}, []string{"bus", "68", "speed", "20"}},
		{rc.Measurement{Kind: rc.BoardMass}, nil},
	} {
		k := rc.CheckAll(b, []rc.Measurement{m.k})[0]
		require.Empty(t, k.Skipped)
		e := m.k.Kind.Info().Value
		enter(p, m.k.Kind, append(m.pairs, "", sized(k.Predicted/e.Scale, 4))...)
	}
	return p
}

func TestRideCheckFromEntryToBuild(t *testing.T) {
	p := altered(t, "v=1&kv=16.2&cellr=24&tirer=140&board=17")
	assert.True(t, p.HasWork())
	work(p)
	page := show(t, p)
	rows := all(page, carries("data-measured"))
	require.Len(t, rows, 5)
	spin := tidy(find(page, attribute("data-measured", "free-spin-turns")))
	assert.Contains(t, spin, "doubtful", "a fifth above a Kv that is stated to 8 %%")
	assert.Contains(t, spin, "Most likely the motor Kv")
	assert.Contains(t, spin, "The plan says 921 rpm ± 148")
	assert.Contains(t, spin, "rpm more (2")
	assert.Contains(t, tidy(find(page, attribute("data-measured", "board-mass"))), "inside")

	p.FitRide()
	assert.Equal(t, "ride-fit", p.Focus)
	work(p)
	page = show(t, p)
	changes := find(page, class("fit-changes"))
	require.NotNil(t, changes)
	kv := tidy(find(changes, attribute("data-change", "kv")))
	assert.Regexp(t, `^Motor Kv, rpm/V13\.516\.[12]\d0\.2\d$`, kv)
	assert.Equal(t, "v=1&board=17", p.Link(), "nothing is put in before it is asked for")
	steps := len(p.steps.past)
	p.PutFit()
	assert.Len(t, p.steps.past, steps+1, "one step of undo")
	assert.InDelta(t, 16.2, build.FieldFor("kv").Value(&p.Build), 0.15)
	assert.InDelta(t, 24, build.FieldFor("cellr").Value(&p.Build), 1.5)
	assert.InDelta(t, 140, build.FieldFor("tirer").Value(&p.Build), 0.7)
	assert.Contains(t, p.Link(), "kv=16")
	work(p)
	page = show(t, p)
	for _, row := range all(page, carries("data-measured")) {
		assert.Contains(t, tidy(row), "inside")
	}
	assert.Contains(t, tidy(find(page, attribute("id", "ride-said"))), "undo brings back")
	p.Undo()
	assert.Equal(t, "v=1&board=17", p.Link())
	assert.Len(t, p.ride.rows, 5, "what was measured stays")
}

// TestAReadingThatIsLeftOutIsSaid: one that the others cannot be right with must not vanish in silence, for it may be the right one.
func TestAReadingThatIsLeftOutIsSaid(t *testing.T) {
	p := altered(t, "v=1&board=17")
	headline := func() string {
		p.FitRide()
		work(p)
		return tidy(find(show(t, p), class("fit"), element("div")))
	}
	assert.Contains(t, headline(), "agree with what was measured")
	for _, m := range p.ride.rows {
		if m.kind.ID == rc.Duty {
			p.TypeMeasured(m.id, "", "75")
		}
	}
	got := headline()
	assert.Contains(t, got, "From 20 km/h on, more duty was read than the plan has after the fit (1 reading)")
	assert.Nil(t, find(show(t, p), attribute("name", "ride-put")), "a danger is not fitted away")
	assert.Contains(t, got, "Left out: the others cannot be right with it.")
}

func TestRideCheckKeepsWhatIsTyped(t *testing.T) {
	kept := map[string]string{}
	p := opened(t, "v=1")
	p.OnKeep = func(name, text string) error { kept[name] = text; return nil }
	p.SetOpen(rideCheckID, true)
	id := enter(p, rc.FreeSpin, "", "4o", "bus", "72")
	p.SetWeakened(id, true)
	enter(p, rc.LeadsOhm, "", "82")
	page := show(t, p)
	assert.Contains(t, tidy(find(page, attribute("data-measured", "free-spin"))), "That is not a number.")
	assert.Contains(t, tidy(find(page, attribute("data-measured", "leads-ohm"))), "Winding temperature is needed.")
	assert.NotContains(t, p.Link(), "72")

	again := opened(t, "v=1")
	again.Recall(func(name string) string { return kept[name] })
	again.SetOpen(rideCheckID, true)
	require.Len(t, again.ride.rows, 2)
	assert.Equal(t, "4o", again.ride.rows[0].texts[""], "also what cannot be used")
	assert.True(t, again.ride.rows[0].weakened)
	assert.Equal(t, kept[KeepRide], again.ride.written())

	// Lines of another time stay in the memory.
	again.recallRide("kind=later&at-=3\n%zz\nkind=rollout&at-=870")
	require.Len(t, again.ride.rows, 1)
	again.OnKeep = p.OnKeep
	again.TypeMeasured(again.ride.rows[0].id, "", "871")
	assert.Equal(t, "at-=871&kind=rollout\nkind=later&at-=3\n%zz", kept[KeepRide])
	again.RemoveMeasurement(again.ride.rows[0].id)
	assert.Equal(t, "kind=later&at-=3\n%zz", kept[KeepRide])
	assert.Equal(t, "ride-said", again.Focus)
}

func TestRideCheckFollowsTheUnits(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen(rideCheckID, true)
	id := enter(p, rc.FreeSpin, "", "50", "bus", "72")
	p.SetUnits(US)
	m := p.rowAt(id)
	k, _ := m.measurement()
	assert.InDelta(t, 50/3.6, k.Value, 1e-12)
	page := show(t, p)
	assert.Contains(t, text(find(page, attribute("data-measured", "free-spin"))), "mph")
	p.TypeMeasured(id, "", "40")
	k, _ = m.measurement()
	assert.InDelta(t, 40*1.609344/3.6, k.Value, 1e-9)
	assert.Equal(t, 72.0, k.At.BusV)
	assert.Contains(t, p.ride.written(), "units=us")
	p.SetUnits(Metric)
	assert.Equal(t, "64.374", m.text(&m.entries()[0], Metric))
	p.TypeMeasured(id, "", "5000")
	assert.Equal(t, "Measured must be between 3 and 300 km/h.", strings.TrimSpace(m.refusal(&m.entries()[0], Metric)))

	cold := enter(p, rc.LeadsOhm, "", "80", "celsius", "0")
	k, open := p.rowAt(cold).measurement()
	assert.Empty(t, open)
	assert.Zero(t, k.At.Celsius)
	p.SetUnits(US)
	p.TypeMeasured(cold, "celsius", "212")
	k, _ = p.rowAt(cold).measurement()
	assert.InDelta(t, 100, k.At.Celsius, 1e-9)
}

// TestFoldedRideCheckCostsNothing: no work, and the same nodes for every build.
func TestFoldedRideCheckCostsNothing(t *testing.T) {
	p := altered(t, "v=1&kv=14")
	work(p)
	p.SetOpen(rideCheckID, false)
	c := &RideCheck{P: p}
	first := c.Build(nil)
	p.Slide("kpa", "120")
	assert.False(t, p.hasRideWork())
	second := c.Build(nil)
	assert.Same(t, first.Out[0], second.Out[0])
	p.Slide("s", "20")
	third := c.Build(nil)
	assert.NotSame(t, first.Out[0], third.Out[0], "now it says that they are of another board")
	p.Slide("s", "21")
	assert.Same(t, third.Out[0], c.Build(nil).Out[0])
	p.Slide("s", "18")
	p.SetOpen(rideCheckID, true)
	assert.True(t, p.hasRideWork())
}

func TestRideCheckSaysWhatIsNotKept(t *testing.T) {
	p := opened(t, "v=1")
	p.OnKeep = func(string, string) error { return assert.AnError }
	p.SetOpen(rideCheckID, true)
	enter(p, rc.BoardMass, "", "17")
	assert.Contains(t, text(find(show(t, p), class("ridecheck"))), "keeps nothing here")
}

// TestAFaultInTheRideCheckEnds: a fault is said once, what was typed stays, and the work does not begin again by itself.
func TestAFaultInTheRideCheckEnds(t *testing.T) {
	p := altered(t, "v=1&kv=14")
	p.ride.work = &checking{of: p.Build, asked: p.ride.asked, work: &rc.Checking{}}
	p.giveUpRide()
	assert.False(t, p.hasRideWork())
	assert.Len(t, p.ride.rows, 5)
	p.Slide("s", "20")
	assert.True(t, p.hasRideWork(), "another build may do better")
}

func TestSized(t *testing.T) {
	for v, want := range map[float64]string{0: "0", 12.345: "12.3", 0.012345: "0.0123", 1234.5: "1234", 99.96: "100.0", -3.14159: "-3.14"} {
		assert.Equal(t, want, sized(v, 3), v)
	}
}

// TestAnyMemoryCanBeRead: whatever lies in the device's memory, the card shows, and what was not understood is written back.
func TestAnyMemoryCanBeRead(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen(rideCheckID, true)
	rapid.Check(t, func(t *rapid.T) {
		lines := rapid.SliceOfN(rapid.OneOf(
			rapid.String(),
			rapid.Map(rapid.String(), func(s string) string {
				return "kind=duty&at-=" + url.QueryEscape(s) + "&at-bus=72&at-speed=20&units=us"
			}),
			rapid.Just("kind=capacity&at-=NaN&at-rest=1e9&at-endv=-3"),
		), 0, 6).Draw(t, "lines")
		p.recallRide(strings.Join(lines, "\n"))
		first := p.ride.written()
		work(p)
		show(t, p)
		p.recallRide(first)
		require.Equal(t, first, p.ride.written(), "reading what was written changes nothing")
	})
}

// TestDifferencesOfPercentagesArePoints: "9 % more" of 40 % could be 43.6 or 49.
func TestDifferencesOfPercentagesArePoints(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen(rideCheckID, true)
	m := rc.Measurement{Kind: rc.Duty, At: rc.At{BusV: 68, Speed: 20 / 3.6}}
	at := rc.CheckAll(p.Build, []rc.Measurement{m})[0].Predicted
	enter(p, rc.Duty, "bus", "68", "speed", "20", "", decimal(100*at+9, 2))
	work(p)
	row := tidy(find(show(t, p), attribute("data-measured", "duty")))
	assert.Regexp(t, `The plan says \d\d\.\d % ± \d\.\d points\. Measured is 9\.0 points more\.`, row)
	p.TypeMeasured(p.ride.lastID, "", decimal(100*at-1, 2))
	work(p)
	assert.Contains(t, tidy(find(show(t, p), attribute("data-measured", "duty"))), "Measured is 1.0 points less.")

	p.ride.logged = []rc.Measurement{m, m, {Kind: rc.PackResistance, Value: 0.15, At: rc.At{Charge: 0.6}}}
	p.ride.logged[0].Value, p.ride.logged[1].Value = at+0.01, at-0.01
	enter(p, rc.Capacity, "", "8", "charge", "100", "endz", "2")
	p.FitRide()
	work(p)
	fit := find(show(t, p), class("fit"))
	assert.Regexp(t, `Duty at a steady speed2 in the log1\.0 points off[\d.]+ points off`, tidy(find(fit, class("fit-rows"))))
	assert.Regexp(t, `Pack resistance1 in the log\d+ mΩ off`, tidy(find(fit, class("fit-rows"))))
	assert.Regexp(t, `^State of health, %100[\d.]+ points$`, tidy(find(fit, attribute("data-change", "soh"))))
}

// TestWhatNoInputHoldsStandsApart: a center of mass is found, and the button says that it is not among what it puts in.
func TestWhatNoInputHoldsStandsApart(t *testing.T) {
	p := opened(t, "v=1&board=17")
	p.SetOpen(rideCheckID, true)
	b := link.Decode("v=1&board=17.2").Build
	for _, kind := range []rc.Kind{rc.NoseMass, rc.TailMass} {
		at := rc.CheckAll(b, []rc.Measurement{{Kind: kind}})[0].Predicted
		if kind == rc.NoseMass {
			at -= 0.8
		} else {
			at += 0.8
		}
		enter(p, kind, "", sized(at, 4))
	}
	fit := func() string {
		p.FitRide()
		work(p)
		return tidy(find(show(t, p), class("fit")))
	}
	text := fit()
	assert.Contains(t, text, "No input of the build holds this, so it is not put in.Center of mass: ")
	assert.Regexp(t, `Center of mass: \d+\.?\d* mm ± \d\.?\d* further back than the parts make it\.`, text)
	assert.NotContains(t, tidy(find(show(t, p), class("fit-changes"))), "Center of mass")
	for _, m := range p.ride.rows {
		k := rc.CheckAll(b, []rc.Measurement{{Kind: m.kind.ID}})[0]
		p.TypeMeasured(m.id, "", sized(k.Predicted, 4))
	}
	assert.Regexp(t, `Center of mass: where the parts make it, to ± \d\.?\d* mm\.`, fit())
	assert.Equal(t, "Put 1 fitted input into the build", tidy(find(show(t, p), attribute("name", "ride-put"))))
	before := p.Build
	p.PutFit()
	for i := range build.Fields {
		if f := &build.Fields[i]; f.Key != "board" {
			assert.Equal(t, f.Text(&before), f.Text(&p.Build), f.Key)
		}
	}

	// As planned to the last digit: there is nothing to put in.
	p = opened(t, "v=1&board=17")
	p.SetOpen(rideCheckID, true)
	enter(p, rc.BoardMass, "", "17")
	text = fit()
	assert.NotContains(t, text, "Found besides")
	assert.Nil(t, find(show(t, p), attribute("name", "ride-put")))
}

// TestFiguresOfAFitHaveTheirDigits: what was typed stands as typed; what is computed has what the reading's uncertainty bears.
func TestFiguresOfAFitHaveTheirDigits(t *testing.T) {
	p := opened(t, "v=1&board=17")
	p.SetOpen(rideCheckID, true)
	enter(p, rc.LeadsOhm, "", "82", "celsius", "20")
	enter(p, rc.BoardMass, "", "17.40")
	enter(p, rc.Rollout, "", "9e2")
	p.FitRide()
	work(p)
	rows := func() string { return tidy(find(show(t, p), class("fit-rows"))) }
	// ±2.5 mΩ: one digit behind the point; ±0.13 kg: two; ±3.6 mm: one.
	assert.Regexp(t, `motor leads, mΩ8280\.08\d\.\d`, rows())
	assert.Regexp(t, `scale, kg17\.4017\.0017\.\d\d`, rows())
	assert.Regexp(t, `wheel, mm9e2\d\d\d\.\d\d\d\d\.\d$`, rows())
	p.SetUnits(US)
	assert.Regexp(t, `scale, lb38\.3637\.4838\.\d\d`, rows(), "converted, it has what the scale bears")
	assert.Contains(t, tidy(find(show(t, p), attribute("data-change", "board"))), "Board mass, lb37.4838.")

	for _, c := range []struct {
		v, unsure float64
		want      string
	}{
		{921.4, 148, "921"}, {921.4, 9.6, "921.4"}, {0.012345, 0.0007, "0.01235"}, {13.4567, 0, "13.46"}, {13.4567, 1e-9, "13.4567"},
		{1234567, 0.001, "1234567"}, {0, 0.1, "0"}, {-3.456, 0.2, "-3.46"},
	} {
		assert.Equal(t, c.want, borne(c.v, c.unsure), "%g ± %g", c.v, c.unsure)
	}
	for v, want := range map[float64]string{13.5: "13.5", 0: "0", 9: "9", 19.40: "19.4", 0.0123456: "0.01235", 123456: "123456", -2.5: "-2.5"} {
		assert.Equal(t, want, fourDigits(v))
	}
}

// Readings next to the limit that need more duty than the plan must not vanish behind those that agree.
func TestReadingsThatNeedMoreDutyAreNotLeftOutInSilence(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen(rideCheckID, true)
	log := func(above float64) {
		p.ride.logged = nil
		for i := range 30 {
			kmh := 12 + 0.6*float64(i)
			m := rc.Measurement{Kind: rc.Duty, At: rc.At{BusV: 68, Speed: kmh / 3.6}, Sigma: 0.01}
			m.Value = rc.CheckAll(p.Build, []rc.Measurement{m})[0].Predicted
			if i >= 25 {
				m.Value += above
			}
			p.ride.logged = append(p.ride.logged, m)
		}
		p.FitRide()
		work(p)
	}
	log(0)
	assert.Contains(t, tidy(find(show(t, p), class("fit"), element("div"))), "agree with what was measured")
	log(0.15)
	got := tidy(find(show(t, p), class("fit"), element("div")))
	assert.Contains(t, got, "From 27 km/h on, more duty was read than the plan has after the fit (5 readings)")
	assert.Contains(t, got, "do not ride there")
	assert.Contains(t, got, "5 with more duty than the plan has after the fit. 5 left out")
}
