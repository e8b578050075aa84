package ui

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"headroom/core/build"
	rc "headroom/core/ridecheck"
)

// rideCheck is what was measured on the finished board, and what has been made of it. The measurements stand outside the link: they are of one
// board, and the link is of its plan.
type rideCheck struct {
	rows     []measured
	lastID   int
	adding   rc.Kind          // chosen in the list of kinds
	logged   []rc.Measurement // by a ride log, none that is kept
	loggedOf string           // its name
	loggedOn onBoard          // the board it was read for; the empty one fits any
	others   []string         // lines kept on the device that nobody here understands; written back

	rev     int // counts every change of what the card shows
	asked   int // counts every change of the measurements
	work    *checking
	checks  map[int]rc.Check // by row
	of      build.Build      // that checks are for
	fitting *fitting
	said    string       // what the last action did
	holds   *build.Build // of which alone that is true; nil where it is of any
	trouble string       // why the measurements are not kept; "" when they are
}

// measured is one measurement as entered. Texts are by the entry's id, in one unit system.
type measured struct {
	id       int
	kind     *rc.KindInfo
	texts    map[string]string
	units    Units
	weakened bool
	on       onBoard // the board that it was taken on
}

// checking is the check of one build, as far as it is.
type checking struct {
	of    build.Build
	asked int
	rows  []int
	work  *rc.Checking // nil where a fault ended it
}

// fitting is the fit of one build.
type fitting struct {
	of    build.Build
	asked int
	work  *rc.Fitting
}

const rideCheckID = "out-ride-check"

func (p *Planner) rowAt(id int) *measured {
	at := slices.IndexFunc(p.ride.rows, func(m measured) bool { return m.id == id })
	if at < 0 {
		return nil
	}
	return &p.ride.rows[at]
}

// text is what stands in one field of a row, in the units of the page.
func (m *measured) text(e *rc.Entry, u Units) string {
	text := m.texts[e.ID]
	if m.units == u || text == "" {
		return text
	}
	v, err := build.ParseNumber(text)
	if err != nil {
		return text // as it was typed: it is not to be lost
	}
	return shortest(u.of(e.Unit).shown(m.units.of(e.Unit).metric(v)), 3)
}

// entries is the value and the conditions of a kind.
func (m *measured) entries() []rc.Entry {
	value := m.kind.Value
	value.Label = "Measured"
	return append([]rc.Entry{value}, m.kind.At...)
}

// refusal says what is wrong with one field, in the units of the page; "" where nothing is.
func (m *measured) refusal(e *rc.Entry, u Units) string {
	text := strings.TrimSpace(m.texts[e.ID])
	if text == "" {
		return ""
	}
	v, err := build.ParseNumber(text)
	if err != nil {
		return "That is not a number."
	}
	if metric := m.units.of(e.Unit).metric(v); metric < e.Min-1e-9 || metric > e.Max+1e-9 {
		x := u.of(e.Unit)
		return e.Label + " must be between " + shortest(x.shown(e.Min), 2) + " and " + shortest(x.shown(e.Max), 2) + " " + x.name + "."
	}
	return ""
}

// measurement is what a row says; open names what it still lacks, "" where it is complete.
func (m *measured) measurement() (k rc.Measurement, open string) {
	k.Kind, k.At.Weakened = m.kind.ID, m.weakened
	for _, e := range m.entries() {
		text := strings.TrimSpace(m.texts[e.ID])
		switch {
		case m.refusal(&e, m.units) != "":
			return k, "One of the entries cannot be used."
		case text != "":
			v, _ := build.ParseNumber(text)
			e.Set(&k, m.units.of(e.Unit).metric(v))
		case e.ID == "":
			return k, "Enter what was measured."
		case e.ID == "celsius": // 0 °C is a temperature, nothing is none
			return k, e.Label + " is needed."
		}
	}
	return k, k.Missing()
}

// say tells what was done, whatever becomes of the build.
func (r *rideCheck) say(text string) { r.said, r.holds = text, nil }

// saying is what is still true of what was done.
func (p *Planner) saying() string {
	if r := &p.ride; r.holds == nil || *r.holds == p.Build {
		return r.said
	}
	return ""
}

// changedRide is called after every change of the measurements.
func (p *Planner) changedRide() {
	r := &p.ride
	r.asked++
	r.rev++
	r.say("")
	r.trouble, r.fitting = "", nil
	if err := p.keep(KeepRide, r.written()); err != nil {
		r.trouble = notKept + " The measurements are gone when this page is closed."
	}
}

// AddMeasurement adds an empty row of the chosen kind.
func (p *Planner) AddMeasurement() {
	r := &p.ride
	k := r.adding.Info()
	if k == nil {
		k = &rc.Kinds[0]
	}
	if len(r.rows) >= rc.MaxMeasurements {
		r.say("No more than " + strconv.Itoa(rc.MaxMeasurements) + " measurements are taken.")
		r.rev++
		return
	}
	r.lastID++
	r.rows = append(r.rows, measured{id: r.lastID, kind: k, texts: map[string]string{}, units: p.Units, on: p.board()})
	p.changedRide()
	p.Focus = measuredID(r.lastID, "")
}

// ChooseMeasurement takes the kind that is to be added next.
func (p *Planner) ChooseMeasurement(id string) { p.ride.adding, p.ride.rev = rc.Kind(id), p.ride.rev+1 }

// RemoveMeasurement takes a row away.
func (p *Planner) RemoveMeasurement(id int) {
	p.takeAway(func(m *measured) bool { return m.id == id })
	p.ride.say("The measurement is gone; undo brings it back.")
	p.Focus = "ride-said"
}

// TypeMeasured takes the text of one field of a row.
func (p *Planner) TypeMeasured(id int, entry, text string) {
	m := p.rowAt(id)
	if m == nil {
		return
	}
	if m.units != p.Units { // the others are read in the units of the page from now on too
		for _, e := range m.entries() {
			m.texts[e.ID] = m.text(&e, p.Units)
		}
		m.units = p.Units
	}
	m.texts[entry] = text
	p.changedRide()
}

// ForgetLogged takes the measurements of a ride log away.
func (p *Planner) ForgetLogged() {
	r := &p.ride
	r.logged, r.loggedOf, r.fitting = nil, "", nil
	r.asked++
	r.rev++
	r.say("The log's measurements are gone from the fit.")
	p.Focus = "ride-said"
}

// SetWeakened says whether a free spin was with field weakening.
func (p *Planner) SetWeakened(id int, on bool) {
	if m := p.rowAt(id); m != nil {
		m.weakened = on
		p.changedRide()
	}
}

// taken is the measurements of this board that are complete, and their rows.
func (p *Planner) taken() (list []rc.Measurement, rows []int) {
	r := &p.ride
	now := p.board()
	for i := range r.rows {
		if r.rows[i].on != now {
			continue
		}
		if k, open := r.rows[i].measurement(); open == "" {
			list, rows = append(list, k), append(rows, r.rows[i].id)
		}
	}
	return list, rows
}

// FitRide begins to fit the build to what was measured.
func (p *Planner) FitRide() {
	r := &p.ride
	list, _ := p.taken()
	list = append(list, r.logged[:p.logUsed()]...)
	r.fitting = &fitting{p.Build, r.asked, rc.NewFitting(p.Build, list)}
	r.say("")
	r.rev++
	p.Focus = "ride-fit"
}

// fitted is the fit of this build to these measurements, nil where there is none.
func (p *Planner) fitted() *fitting {
	if f := p.ride.fitting; f != nil && f.of == p.Build && f.asked == p.ride.asked {
		return f
	}
	return nil
}

// PutFit puts the fitted values into the build. That is one step of undo.
func (p *Planner) PutFit() {
	f := p.fitted()
	if f == nil || !f.work.Done() || f.work.Fit().Failed != "" || (&RideCheckBody{P: p}).putting() == "" {
		return
	}
	fit := f.work.Fit()
	for _, c := range fit.Changes {
		if !c.Left {
			delete(p.drafts, c.Key)
		}
	}
	p.Build = fit.Build()
	p.edited()
	held := p.Build
	p.ride.said, p.ride.holds = "The build now holds the fitted values; undo brings back what was there.", &held
	p.ride.rev++
	p.Focus = "ride-said"
}

// hasRideWork tells whether the card is open and does not yet show what belongs to this build.
func (p *Planner) hasRideWork() bool {
	if f := p.fitted(); f != nil && !f.work.Done() {
		return true
	}
	r := &p.ride
	if !p.IsOpen(rideCheckID) || len(r.rows) == 0 {
		return false
	}
	return !r.work.is(p.Build, r.asked) || r.work.work != nil && !r.work.work.Done()
}

// is tells whether a check is of a build and of the measurements as they are.
func (k *checking) is(b build.Build, asked int) bool {
	return k != nil && k.of == b && k.asked == asked
}

// giveUpRide leaves this build unchecked after a fault; what was entered stays.
func (p *Planner) giveUpRide() {
	p.ride.fitting, p.ride.work = nil, &checking{of: p.Build, asked: p.ride.asked}
}

// rideWork does one piece of it; false where there was none.
func (p *Planner) rideWork() bool {
	r := &p.ride
	if f := p.fitted(); f != nil && !f.work.Done() {
		f.work.Step()
		if f.work.Done() {
			r.rev++
		}
		return true
	}
	if !p.hasRideWork() {
		return false
	}
	if !r.work.is(p.Build, r.asked) {
		list, rows := p.taken()
		r.work = &checking{p.Build, r.asked, rows, rc.NewChecking(p.Build, list)}
	} else {
		r.work.work.Step()
	}
	if r.work.work.Done() {
		r.checks, r.of = map[int]rc.Check{}, p.Build
		for i, c := range r.work.work.Checks() {
			r.checks[r.work.rows[i]] = c
		}
		r.rev++
	}
	return true
}

// written is the measurements as they are kept: one line each, texts as typed.
func (r *rideCheck) written() string {
	var lines []string
	for i := range r.rows {
		m := &r.rows[i]
		v := url.Values{"kind": {string(m.kind.ID)}}
		if m.units == US {
			v.Set("units", "us")
		}
		if m.weakened {
			v.Set("weakened", "yes")
		}
		if text := m.on.text(); text != "" {
			v.Set("board", text)
		}
		for _, e := range m.entries() {
			if text := m.texts[e.ID]; text != "" {
				v.Set("at-"+e.ID, text)
			}
		}
		lines = append(lines, v.Encode())
	}
	return strings.Join(append(lines, r.others...), "\n")
}

// recallRide takes the measurements as kept. Lines of another time are left as they are.
func (p *Planner) recallRide(text string) {
	r := &p.ride
	r.rows, r.others = nil, nil
	for _, line := range strings.Split(text, "\n") {
		if line == "" {
			continue
		}
		v, err := url.ParseQuery(line)
		k := rc.Kind(v.Get("kind")).Info()
		if err != nil || k == nil || len(r.rows) >= rc.MaxMeasurements {
			r.others = append(r.others, line)
			continue
		}
		r.lastID++
		m := measured{id: r.lastID, kind: k, texts: map[string]string{}, weakened: v.Get("weakened") != "", on: readBoard(v.Get("board"))}
		if v.Get("units") == "us" {
			m.units = US
		}
		for _, e := range m.entries() {
			if text := v.Get("at-" + e.ID); text != "" {
				m.texts[e.ID] = text
			}
		}
		r.rows = append(r.rows, m)
	}
	r.asked++
	r.rev++
}

func measuredID(id int, entry string) string {
	return "measured-" + strconv.Itoa(id) + "-" + entry
}
