package ui

import (
	"math"
	"strings"

	"headroom/core/build"
)

// Entry is one input as shown: what its control needs, in the unit system of the page.
type Entry struct {
	Field       *build.Field
	ID          string // of the control, for its label
	Unit        string
	Text        string // in the text field
	Placeholder string // the class value of an optional field
	Value       string // of the slider
	Min         string
	Max         string
	Step        string
	Spoken      string // value with unit, for screen readers
	Message     string // what is wrong with what was typed; "" when nothing is
	Name        string // of the chosen option
	Note        string // where the chosen option's values come from
	Help        string
}

// Entry describes the input with a link key.
func (p *Planner) Entry(key string) Entry {
	f := build.FieldFor(key)
	if f.Kind == build.Rows {
		return p.rowsEntry(f)
	}
	now := madeEntry{raw: f.ValueIn(&p.Build, &p.parts), given: f.Given(&p.Build), units: p.Units}
	if len(p.drafts) > 0 {
		now.draft, now.typed = p.drafts[key]
	}
	made := &p.entries[f.Place()]
	if now.Entry = made.Entry; *made == now {
		return made.Entry
	}
	if f.Kind == build.Choice {
		now.Entry = p.choiceEntry(f)
	} else {
		now.Entry = p.numberEntry(f, &now)
	}
	now.Entry.Help, now.Entry.Note = p.Units.cite(f.Help), p.Units.cite(now.Entry.Note)
	*made = now
	return now.Entry
}

// madeEntry is an entry with all that it was made of. Numbers are put into words only when one of those has changed.
type madeEntry struct {
	Entry
	raw   float64
	given bool
	units Units
	draft draft
	typed bool
}

func (p *Planner) choiceEntry(f *build.Field) Entry {
	options := f.Options()
	i := f.Index(&p.Build)
	o := &options[i]
	return Entry{Field: f, ID: "in-" + f.Key, Text: o.ID, Name: o.Name, Note: o.Note, Spoken: o.Name,
		Value: shortest(float64(i), 0), Min: "0", Max: shortest(float64(len(options)-1), 0), Step: "1"}
}

func (p *Planner) rowsEntry(f *build.Field) Entry {
	e := Entry{Field: f, ID: "in-" + f.Key, Text: strings.NewReplacer("_", "\n", "~", " ").Replace(f.Text(&p.Build)), Help: f.Help}
	if p.Units == US { // rows are written as they stand in the link
		e.Help += " Metric here too: 1 mph is 1.61 km/h, 1 mile is 1609 m."
	}
	if d, ok := p.drafts[f.Key]; ok {
		e.Text, e.Message = d.text, d.message
	}
	return e
}

// classDigits is with how many digits a class value is said: a gauge's cross-section has no end of them, and nobody measures more.
const classDigits = 5

func (p *Planner) numberEntry(f *build.Field, of *madeEntry) Entry {
	e := Entry{Field: f, ID: "in-" + f.Key}
	x := p.Units.of(f.Unit)
	lo, hi, step := p.travel(f, x)
	digits := p.digits(f, x)
	now := x.shown(of.raw)
	e.Unit = x.name
	e.Value, e.Min, e.Max, e.Step = shortest(now, digits), shortest(lo, digits), shortest(hi, digits), shortest(step, 6)
	e.Text = e.Value
	said := e.Value
	if !of.given {
		said = shortest(now, min(digits, classDigits-1-int(math.Floor(math.Log10(max(math.Abs(now), 1))))))
		e.Text, e.Placeholder = "", said
	}
	e.Spoken = strings.TrimSpace(said + " " + x.name)
	if of.typed {
		e.Text, e.Message = of.draft.text, of.draft.message
	}
	return e
}

// travel returns a slider's ends and step in the shown unit; the ends are whole steps inside the allowed range.
func (p *Planner) travel(f *build.Field, x unit) (lo, hi, step float64) {
	lo, hi, step = f.Min, f.Max, f.Step
	if x.factor == 1 {
		return lo, hi, step
	}
	lo, hi = x.shown(lo), x.shown(hi)
	step = x.step(step)
	return math.Ceil(lo/step-1e-9) * step, math.Floor(hi/step+1e-9) * step, step
}

// digits returns how many digits after the point the field's values need in the shown unit.
func (p *Planner) digits(f *build.Field, x unit) int {
	if x.factor == 1 {
		return 6
	}
	if x.step(f.Step) < 0.04 { // or values between two steps would look like one of them
		return 3
	}
	return max(2, x.digits)
}

// Slide takes a slider's value, in the shown unit. A motor slider's value is the index of the choice.
func (p *Planner) Slide(key, value string) {
	v, err := build.ParseNumber(value)
	if err != nil {
		return // a native slider sends nothing else
	}
	p.set(build.FieldFor(key), v)
}

// Nudge moves a field by whole steps, to the next round value in that direction.
func (p *Planner) Nudge(key string, steps float64) {
	f := build.FieldFor(key)
	if f.Kind == build.Rows {
		return
	}
	if f.Kind == build.Choice {
		p.set(f, float64(f.Index(&p.Build))+steps)
		return
	}
	x := p.Units.of(f.Unit)
	_, _, step := p.travel(f, x)
	now := rounded(x.shown(f.Value(&p.Build)), p.digits(f, x)) // as it is shown
	// From between two steps the next one is less than a whole step away. The tolerance is that of binary fractions.
	at := math.Ceil(now/step - 1e-6)
	if steps > 0 {
		at = math.Floor(now/step + 1e-6)
	}
	p.set(f, (at+steps)*step)
}

// set stores a shown value, moved to the nearest allowed one.
func (p *Planner) set(f *build.Field, shown float64) {
	delete(p.drafts, f.Key)
	f.SetValue(&p.Build, p.toMetric(f, shown))
	p.editedBy(f.Key)
}

// toMetric converts a shown value to the shortest metric one that is shown the same, so that links stay short.
func (p *Planner) toMetric(f *build.Field, shown float64) float64 {
	x := p.Units.of(f.Unit)
	if f.Kind == build.Choice || x.factor == 1 {
		return shown
	}
	most := p.digits(f, x)
	want := shortest(shown, most)
	exact := x.metric(shown)
	for digits := range 9 {
		if r := rounded(exact, digits); shortest(x.shown(r), most) == want {
			return r
		}
	}
	return exact
}

// Type takes the text of a field while it is being typed. A text that can be used is used at once; one that cannot gets its
// message beside the field, and everything else stays as it was.
func (p *Planner) Type(key, text string) {
	f := build.FieldFor(key)
	if f.Kind == build.Rows {
		p.typeRows(f, text)
		return
	}
	message := p.refuse(f, text)
	p.drafts[key] = draft{text, message}
	if message != "" {
		return
	}
	switch e := p.Entry(key); {
	case strings.TrimSpace(text) == "":
		f.Clear(&p.Build)
	case f.Given(&p.Build) && sameNumber(text, e.Value):
		return // what is shown already, perhaps with more digits behind it
	default:
		v, _ := build.ParseNumber(text)
		f.SetValue(&p.Build, p.toMetric(f, v))
	}
	p.editedBy(key)
}

// typeRows takes the rows that can be used and says which cannot.
func (p *Planner) typeRows(f *build.Field, text string) {
	message := ""
	if problem := f.Set(&p.Build, text); problem != nil {
		message = problem.Text
	}
	p.drafts[f.Key] = draft{text, message}
	p.editedBy(f.Key)
}

func sameNumber(a, b string) bool {
	x, err := build.ParseNumber(a)
	y, err2 := build.ParseNumber(b)
	return err == nil && err2 == nil && x == y
}

// Leave ends typing: a text that was used is shown tidied, one that was not stays with its message.
func (p *Planner) Leave(key string) {
	if d, ok := p.drafts[key]; ok && d.message == "" {
		delete(p.drafts, key)
	}
}

// Revert drops what was typed and shows the value in use.
func (p *Planner) Revert(key string) { delete(p.drafts, key) }

// Choose takes a choice's id.
func (p *Planner) Choose(key, id string) {
	f := build.FieldFor(key)
	f.Set(&p.Build, id)
	p.editedBy(key)
}

// refuse says what is wrong with a typed text, in the units of the page; "" if nothing is.
func (p *Planner) refuse(f *build.Field, text string) string {
	if strings.TrimSpace(text) == "" {
		if f.Optional {
			return ""
		}
		return f.Label + " needs a value; still using " + p.spokenValue(f) + "."
	}
	v, err := build.ParseNumber(text)
	if err != nil {
		return "That is not a number; still using " + p.spokenValue(f) + "."
	}
	metric := p.toMetric(f, v)
	x := p.Units.of(f.Unit)
	whole := ""
	if f.Kind == build.Whole {
		whole = "a whole number "
	}
	if near := f.Nearest(metric); math.Abs(near-metric) > 1e-9*(1+math.Abs(near)) {
		digits := p.digits(f, x)
		return strings.TrimSpace(f.Label+" must be "+whole+"between "+shortest(x.shown(f.Min), digits)+" and "+
			shortest(x.shown(f.Max), digits)+" "+x.name) + "; still using " + p.spokenValue(f) + "."
	}
	return ""
}

func (p *Planner) spokenValue(f *build.Field) string {
	x := p.Units.of(f.Unit)
	return strings.TrimSpace(shortest(x.shown(f.Value(&p.Build)), p.digits(f, x)) + " " + x.name)
}

// Inputs lists the link keys of a group, those of the main sliders left out.
func Inputs(g build.Group, rare bool) []string { return inputsByGroup[inputsKey{g, rare}] }

type inputsKey struct {
	group build.Group
	rare  bool
}

var inputsByGroup = func() map[inputsKey][]string {
	m := map[inputsKey][]string{}
	for i := range build.Fields {
		f := &build.Fields[i]
		if isMain(f.Key) {
			continue
		}
		k := inputsKey{f.Group, f.Rare}
		m[k] = append(m[k], f.Key)
	}
	return m
}()

func isMain(key string) bool {
	for _, k := range build.Main {
		if k == key {
			return true
		}
	}
	return false
}
