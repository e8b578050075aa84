package ui

import (
	"net/url"
	"slices"
	"strings"

	"headroom/core/build"
	finds "headroom/core/find"
)

const findID = "out-find"

// KeepFind is what was last wished for, as the command line would read it.
const KeepFind = "find"

// finding is the card that looks for builds: what is wished for, and the search.
type finding struct {
	given  map[string]string // wishes and axes by their keys, metric, as core/find writes them; what is not there is as it comes
	typed  map[string]draft
	refuse string // why there is no search, in words
	run    *findRun
	sort   string // by what the table is ordered: a key of findColumns
	rows   int    // how many of it are shown
	at     int    // which build is read off the picture, in order of range
	turns  int    // changes with everything above, so that the card knows when to be drawn anew
}

// findFirst is how many rows of the table are shown at first, and how many come with each wish for more.
const findFirst = 12

func (f *finding) turned() { f.turns++ }

// text is the wishes and axes in the form of a link.
func (f *finding) text() string {
	var parts []string
	for _, key := range findKeys() {
		if value, ok := f.given[key]; ok {
			parts = append(parts, key+"="+url.QueryEscape(value))
		}
	}
	return strings.Join(parts, "&")
}

// findKeys are all that can be given, wishes first.
func findKeys() []string {
	var keys []string
	for i := range finds.Wishes {
		keys = append(keys, finds.Wishes[i].Key)
	}
	return append(keys, finds.Axes[:]...)
}

// task is what is to be looked for around the build as it is.
func (p *Planner) findTask() (finds.Task, []build.Problem) {
	t, problems := finds.Read(p.Build, p.finds.text())
	t.Price = p.pricer()
	return t, problems
}

// recallFind brings the wishes back; what cannot be used any more is left out.
func (p *Planner) recallFind(text string) {
	p.finds.given = map[string]string{}
	values, err := url.ParseQuery(text)
	if err != nil {
		return
	}
	for _, key := range findKeys() {
		if values.Has(key) {
			p.setFind(key, values.Get(key))
		}
	}
}

// setFind takes a metric text for one key and says what is wrong with it; "" is as it comes.
func (p *Planner) setFind(key, text string) *build.Problem {
	f := &p.finds
	if f.given == nil {
		f.given = map[string]string{}
	}
	t := finds.New(p.Build)
	if text == "" {
		delete(f.given, key)
		return nil
	}
	if i := slices.Index(finds.Axes[:], key); i >= 0 {
		// The other axes count too: the whole must stay within bounds.
		t, _ = finds.Read(p.Build, f.text())
		if problem := t.Space.SetAxis(i, text); problem != nil {
			return problem
		}
		f.given[key] = t.Space.AxisText(i)
		return nil
	}
	for w := range finds.Wishes {
		if finds.Wishes[w].Key != key {
			continue
		}
		if problem := t.SetWish(finds.Wish(w), text); problem != nil {
			return problem
		}
		f.given[key] = t.WishText(finds.Wish(w))
	}
	return nil
}

// TypeFind takes a wish or the values of an axis as they are typed, in the units of the page. What cannot be used gets its message, and what
// was wished for before stays.
func (p *Planner) TypeFind(key, text string) {
	f := &p.finds
	f.turned()
	if f.typed == nil {
		f.typed = map[string]draft{}
	}
	f.refuse = ""
	message := ""
	if problem := p.setFind(key, p.findMetric(key, strings.TrimSpace(text))); problem != nil {
		message = problem.Text
		if x := p.Units.of(findUnit(key)); x.factor != 1 {
			message = findLabel(key) + ": “" + build.Foreign(text) + "” is no value that can be used here, in " + x.name + "."
		}
	}
	f.typed[key] = draft{text, message}
	p.keepFind()
}

// LeaveFind ends typing, as Leave does.
func (p *Planner) LeaveFind(key string) {
	if d, ok := p.finds.typed[key]; ok && d.message == "" {
		delete(p.finds.typed, key)
		p.finds.turned()
	}
}

func (p *Planner) keepFind() { _ = p.keep(KeepFind, p.finds.text()) } // wishes are soon typed again

// TickFind takes a wish that is a yes or a no.
func (p *Planner) TickFind(key string, on bool) {
	text := ""
	if on {
		text = build.On
	}
	p.TypeFind(key, text)
	p.LeaveFind(key)
}

// AllowPart lets a part be chosen in the search, or not.
func (p *Planner) AllowPart(key, id string, on bool) {
	f := &p.finds
	f.turned()
	field := build.FieldFor(key)
	var ids []string
	for _, o := range field.Options() {
		if o.ID == id && on || o.ID != id && p.allowed(key, o.ID) {
			ids = append(ids, o.ID)
		}
	}
	if f.typed == nil {
		f.typed = map[string]draft{}
	}
	delete(f.typed, key)
	f.refuse = ""
	switch len(ids) {
	case 0:
		f.typed[key] = draft{"none", field.Label + ": allow at least one."}
		return
	case len(field.Options()):
		delete(f.given, key)
	default:
		f.given[key] = strings.Join(ids, ",")
	}
	p.keepFind()
}

// allowed tells whether a part may be chosen.
func (p *Planner) allowed(key, id string) bool {
	if d, ok := p.finds.typed[key]; ok && d.text == "none" {
		return false
	}
	text, ok := p.finds.given[key]
	return !ok || slices.Contains(strings.Split(text, ","), id)
}

func findUnit(key string) string {
	for i := range finds.Wishes {
		if finds.Wishes[i].Key == key {
			return finds.Wishes[i].Unit
		}
	}
	return build.FieldFor(key).Unit
}

func findLabel(key string) string {
	for i := range finds.Wishes {
		if finds.Wishes[i].Key == key {
			return finds.Wishes[i].Label
		}
	}
	return build.FieldFor(key).Label
}

// findMetric turns every number of a text from the shown unit into the metric one, findShown back. What is no number stays as it is.
func (p *Planner) findMetric(key, text string) string {
	x := p.Units.of(findUnit(key))
	return eachNumber(text, x, func(v float64) float64 {
		want := shortest(v, 3)
		for digits := range 6 { // the shortest that is shown the same
			if r := rounded(x.metric(v), digits); shortest(x.shown(r), 3) == want {
				return r
			}
		}
		return x.metric(v)
	})
}

func (p *Planner) findShown(key, text string) string {
	x := p.Units.of(findUnit(key))
	return eachNumber(text, x, func(v float64) float64 { return rounded(x.shown(v), 3) })
}

func eachNumber(text string, x unit, f func(float64) float64) string {
	if x.factor == 1 {
		return text
	}
	return build.EachNumber(text, "-/,", f)
}
