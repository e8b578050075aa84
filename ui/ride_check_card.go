package ui

import (
	"math"
	"strconv"
	"strings"

	"github.com/vugu/vugu"

	"headroom/core/limit"
	rc "headroom/core/ridecheck"
)

// RideCheck holds what was measured on the finished board against the plan.
type RideCheck struct {
	P    *Planner
	kept kept[rideShown]
}

// rideShown is all that the card is made of.
type rideShown struct {
	open  bool
	units Units
	rev   int
	fresh bool // a fit of this build is there
	old   bool // the checks are of another build
	said  string

	on    onBoard // while it is open and there is a reading
	other int     // readings of another board, with those of the log
}

// Build is called by vugu.
func (c *RideCheck) Build(in *vugu.BuildIn) *vugu.BuildOut {
	r := &c.P.ride
	of := rideShown{open: c.P.IsOpen(rideCheckID), units: c.P.Units, rev: r.rev}
	if len(r.rows) > 0 || r.loggedOn.known() {
		of.other = len(c.P.foreign()) + len(r.logged) - c.P.logUsed()
	}
	if of.open {
		if of.other > 0 {
			of.on = c.P.board()
		}
		of.fresh, of.said = c.P.fitted() != nil, c.P.saying()
		of.old = r.checks != nil && r.of != c.P.Build
	}
	return c.kept.build(of, func() *vugu.BuildOut { return (&RideCheckBody{P: c.P}).Build(in) })
}

// RideCheckBody is what it shows.
type RideCheckBody struct{ P *Planner }

func (c *RideCheckBody) r() *rideCheck { return &c.P.ride }

func (c *RideCheckBody) brief() string {
	taken, _ := c.P.taken()
	n, other := len(taken)+c.P.logUsed(), len(c.P.foreign())
	var words []string
	if n > 0 {
		words = append(words, strconv.Itoa(n)+" measured")
	}
	if open := len(c.r().rows) - len(taken) - other; open > 0 {
		words = append(words, strconv.Itoa(open)+" open")
	}
	if other > 0 {
		words = append(words, strconv.Itoa(other)+" of another board")
	}
	if words == nil {
		return "nothing measured yet"
	}
	return strings.Join(words, ", ")
}

func (c *RideCheckBody) open() bool            { return c.P.IsOpen(rideCheckID) }
func (c *RideCheckBody) kinds() []rc.KindInfo  { return rc.Kinds }
func (c *RideCheckBody) row(i int) *measured   { return &c.r().rows[i] }
func (c *RideCheckBody) key(i int) string      { return "measured-" + strconv.Itoa(c.row(i).id) }
func (c *RideCheckBody) entries(i int) []entry { return c.P.entriesOf(c.row(i)) }

func (c *RideCheckBody) adding() string {
	if c.r().adding.Info() == nil {
		return string(rc.Kinds[0].ID)
	}
	return string(c.r().adding)
}

// name sets one of two rows of the same kind apart for who does not see them.
func (c *RideCheckBody) name(i int) string { return strconv.Itoa(i+1) + ", " + c.row(i).kind.Label }

// entry is one field of a measurement.
type entry struct {
	*rc.Entry
	id, name, label, unit, text, message, placeholder, help string
}

func (e *entry) invalid() string { return strconv.FormatBool(e.message != "") }

func (p *Planner) entriesOf(m *measured) []entry {
	list := m.entries()
	out := make([]entry, len(list))
	for i := range list {
		e := &list[i]
		o := entry{
			Entry: e, help: p.Units.cite(e.Help), id: measuredID(m.id, e.ID), label: e.Label, unit: p.Units.of(e.Unit).name, text: m.text(e, p.Units), message: m.refusal(e, p.Units),
		}
		o.name = o.id
		if e.Optional && o.text == "" {
			o.placeholder = "–"
		}
		out[i] = o
	}
	return out
}

// check is what the plan says to a row, nil while it does not and where the row is of another board.
func (c *RideCheckBody) check(i int) *rc.Check {
	if c.P.isForeign(c.row(i)) {
		return nil
	}
	k, ok := c.r().checks[c.row(i).id]
	if now, open := c.row(i).measurement(); !ok || open != "" || now != k.Measurement {
		return nil
	}
	return &k
}

// lacks is what a row still needs.
func (c *RideCheckBody) lacks(i int) string {
	if k := c.check(i); k != nil {
		return k.Skipped
	}
	_, open := c.row(i).measurement()
	if open == "" && c.P.isForeign(c.row(i)) {
		return "Of another board: held against nothing here."
	}
	return open
}

func (c *RideCheckBody) judged(i int) bool {
	k := c.check(i)
	return k != nil && k.Skipped == ""
}

var verdicts = map[limit.Status]string{limit.Clear: "inside", limit.Tight: "doubtful", limit.Over: "outside"}

// judgment is over wherever the row says Stop: no finding that is milder looks worse.
func (c *RideCheckBody) judgment(i int) limit.Status {
	k := c.check(i)
	if k.Less && k.Status != limit.Clear {
		return limit.Over
	}
	return k.Status
}

func (c *RideCheckBody) status(i int) string  { return string(c.judgment(i)) }
func (c *RideCheckBody) shape(i int) string   { return shapeAt(c.judgment(i), 0, 0) }
func (c *RideCheckBody) verdict(i int) string { return verdicts[c.judgment(i)] }
func (c *RideCheckBody) means(i int) string   { return c.P.Units.say(c.check(i).Means) }
func (c *RideCheckBody) help(i int) string    { return c.P.Units.cite(c.row(i).kind.Help) }
func (c *RideCheckBody) said() string         { return c.P.saying() }

// warns says beside a reading what it means for who rides: a rider looks at the row, and not at what stands above them all.
func (c *RideCheckBody) warns(i int) string {
	switch k := c.check(i); {
	case !k.Less:
		return ""
	case k.Status == limit.Clear:
		return "Inside, but with less in reserve than planned."
	default:
		return "Stop: the board has less in reserve than planned. Do not ride on until this is explained."
	}
}

// says holds the measurement against the plan in figures.
func (c *RideCheckBody) says(i int) string {
	k := c.check(i)
	value := &c.row(i).kind.Value
	text := "The plan says " + c.P.figureOf(value, k.Predicted, k.Band()) + " ± " + c.P.amount(value, k.Band()) + ". Measured is "
	off := k.Value - k.Predicted
	word := " more"
	if off < 0 {
		word = " less"
	}
	text += c.P.difference(value, math.Abs(off)) + word
	if k.Predicted != 0 && value.Unit != "%" {
		text += " (" + sized(100*math.Abs(off/k.Predicted), 2) + " %)"
	}
	return text + "."
}

// amount is the size of an SI difference of an entry's kind in the units of the page, without its unit where that stands right before; one
// of two percentages is in points, lest it be taken for a share of either.
func (p *Planner) amount(e *rc.Entry, v float64) string {
	if e.Unit == "%" {
		return p.difference(e, v)
	}
	return sized(p.Units.of(e.Unit).factor*v/e.Scale, 2)
}

// difference is amount with its unit.
func (p *Planner) difference(e *rc.Entry, v float64) string {
	x := p.Units.of(e.Unit)
	name := x.name
	if e.Unit == "%" {
		name = points
	}
	return strings.TrimSpace(sized(x.factor*v/e.Scale, 2) + " " + name)
}

// points is what differences of percentages are counted in.
const points = "points"

// figureOf is an SI value of an entry's kind in the units of the page, with as many digits as an uncertainty bears.
func (p *Planner) figureOf(e *rc.Entry, v, unsure float64) string {
	x := p.Units.of(e.Unit)
	return strings.TrimSpace(borne(x.shown(v/e.Scale), x.factor*unsure/e.Scale) + " " + x.name)
}

// borne formats a value to the second digit of its uncertainty, and to no more than six of its own.
func borne(v, unsure float64) string {
	if unsure = math.Abs(unsure); !(unsure > 0) || math.IsInf(unsure, 0) || v == 0 {
		return sized(v, 4)
	}
	digits := 1 - int(math.Floor(math.Log10(unsure)))
	return decimal(v, max(0, min(digits, 5-int(math.Floor(math.Log10(math.Abs(v)))))))
}

// sized formats with so many digits that count.
func sized(v float64, digits int) string {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return "0"
	}
	return decimal(v, max(0, digits-1-int(math.Floor(math.Log10(math.Abs(v))))))
}

// ready tells that there is something to fit to.
func (c *RideCheckBody) ready() bool {
	list, _ := c.P.taken()
	return len(list) > 0 || c.P.logUsed() > 0
}

func (c *RideCheckBody) fitting() *fitting { return c.P.fitted() }

func (c *RideCheckBody) fit() *rc.Fit {
	f := c.fitting().work.Fit()
	return &f
}

func (c *RideCheckBody) done() bool {
	f := c.fitting()
	return f != nil && f.work.Done() && f.work.Fit().Failed == ""
}

// headline says how the fit went.
func (c *RideCheckBody) headline() string {
	f := c.fitting()
	switch {
	case f == nil:
		return ""
	case !f.work.Done():
		return "Fitting…"
	case c.fit().Failed != "":
		return c.fit().Failed
	}
	words := ""
	if c.fit().Scale > 1.5 {
		words = "The measurements stay " + sized(c.fit().Scale, 2) + " times as far off as their uncertainties say: look for a wrong reading, or for a difference that no input here stands for."
	}
	if danger := c.demanding(); danger != "" {
		return strings.TrimSpace(danger + " " + words)
	}
	if words != "" {
		return words
	}
	if n := c.leftOut(); n > 0 {
		return "The plan can be made to agree with all but " + strconv.Itoa(n) + " of the measurements. Measure again what was left out before anything is put in: it may be the one that is right."
	}
	return "The plan can be made to agree with what was measured."
}

func (c *RideCheckBody) overShape() string { return shapeAt(limit.Over, 0, 0) }

// leftOut counts the measurements that have little or no part in the fit, though they were complete.
func (c *RideCheckBody) leftOut() (n int) {
	for _, r := range c.fit().Rows {
		if r.Skipped == "" && r.Weight < doubted {
			n++
		}
	}
	return n
}

// demanding warns where the board needs more duty than the plan that was fitted, whether the fit left those readings out or stays away from
// them all. They are the ones next to a fall, so the plan is not to be taken for what the board can do.
func (c *RideCheckBody) demanding() string {
	if !c.done() {
		return ""
	}
	n, from := 0, math.Inf(1)
	for _, r := range c.fit().Rows {
		if r.Demanding() {
			n++
			from = math.Min(from, r.At.Speed)
		}
	}
	if n == 0 {
		return ""
	}
	number, unit := c.P.Units.Figure(from*3.6, "km/h", 0)
	return "From " + number + " " + unit + " on, more duty was read than the plan has after the fit (" + counted(n, "reading") + "). " +
		"Such a board runs out of torque sooner than planned. Measure again, and do not ride there until it is explained; nothing can be put in so long."
}

// doubted is the weight below which a measurement has little part in the fit.
const doubted = 0.5
