package ui

import (
	"slices"
	"sort"
	"strconv"
	"strings"

	"github.com/vugu/vugu"

	"headroom/core/build"
	finds "headroom/core/find"
)

// FindBuilds is the card that looks for builds.
type FindBuilds struct {
	P    *Planner
	kept kept[findOf]
}

// findOf is all that the card is made of.
type findOf struct {
	open, parts, out bool
	units            Units
	plans, turns     int
	priced           bool // there is a price list, which brings a wish and a column
	currency         string
}

// Build is called by vugu. A folded card says what it would say whatever the build.
func (c *FindBuilds) Build(in *vugu.BuildIn) *vugu.BuildOut {
	of := findOf{turns: c.P.finds.turns}
	if c.P.IsOpen(findID) {
		of = findOf{true, c.P.IsOpen(findPartsID), c.P.IsOpen(findOutID), c.P.Units, c.P.plans, c.P.finds.turns, len(c.P.prices.list) > 0, c.P.currency().Code}
	}
	return c.kept.build(of, func() *vugu.BuildOut {
		body := &FindBuildsBody{P: c.P}
		body.prepare()
		return body.Build(in)
	})
}

const (
	findPartsID = findID + "-parts"
	findOutID   = findID + "-why"
)

// FindBuildsBody is what it shows.
type FindBuildsBody struct {
	P    *Planner
	list []finds.Found // in the table's order
	plot *Plot
}

func (c *FindBuildsBody) prepare() {
	if !c.P.IsOpen(findID) || c.P.finds.run == nil {
		return
	}
	c.list = slices.Clone(c.P.finds.run.result().Found)
	k := &findColumns[c.column()]
	sort.SliceStable(c.list, func(i, j int) bool {
		a, b := &c.list[i], &c.list[j]
		if a.Status != b.Status {
			return b.Status.Worse(a.Status)
		}
		return k.before(a, b)
	})
	c.plot = c.P.findPlot()
	if c.plot != nil {
		c.plot.draw()
	}
}

func (c *FindBuildsBody) f() *finding { return &c.P.finds }

func (c *FindBuildsBody) brief() string {
	r := c.f().run
	switch {
	case r == nil:
		return "say what you want"
	case !r.ended:
		return c.percent() + " %"
	}
	return counted(len(r.result().Found), "build") + " found"
}

func (c *FindBuildsBody) percent() string {
	done, all := c.f().run.tally()
	return strconv.FormatInt(100*done/max(all, 1), 10)
}

func (c *FindBuildsBody) share() string {
	done, all := c.f().run.tally()
	return shortest(float64(done)/float64(max(all, 1)), 4)
}

// findEntry is one wish, or one axis of numbers, as shown.
type findEntry struct{ Key, ID, Label, Unit, Text, Hint, Help, Message string }

func (e *findEntry) bad() string {
	if e.Message != "" {
		return "field bad"
	}
	return "field"
}

func (e *findEntry) invalid() string { return strconv.FormatBool(e.Message != "") }

func (c *FindBuildsBody) entry(key, help, hint string) findEntry {
	x := c.P.Units.of(findUnit(key))
	e := findEntry{Key: key, ID: "find-" + key, Label: findLabel(key), Unit: x.name, Help: help, Hint: c.P.findShown(key, hint), Text: c.P.findShown(key, c.f().given[key])}
	if d, ok := c.f().typed[key]; ok {
		e.Text, e.Message = d.text, d.message
	}
	return e
}

func (c *FindBuildsBody) wishes() []findEntry {
	var list []findEntry
	for i := range finds.Wishes {
		w := &finds.Wishes[i]
		hint := ""
		switch finds.Wish(i) {
		case finds.Clear:
			continue // to be ticked
		case finds.Cells:
			hint = "24+16"
		case finds.Price:
			if c.P.pricer() == nil {
				continue // there is nothing to hold it against
			}
		}
		e := c.entry(w.Key, w.Help, hint)
		if finds.Wish(i) == finds.Price {
			e.Unit = c.P.currency().Code
		}
		list = append(list, e)
	}
	return list
}

func (c *FindBuildsBody) clear() *finds.WishRow { return &finds.Wishes[finds.Clear] }
func (c *FindBuildsBody) clearOnly() bool       { return c.f().given[c.clear().Key] == build.On }

// spans are the axes that numbers are entered for.
func (c *FindBuildsBody) spans() []findEntry {
	whole := finds.Whole(&c.P.Build)
	var list []findEntry
	for i, key := range finds.Axes {
		if f := build.FieldFor(key); f.Kind != build.Choice {
			help := "As 16-24 or 18,20; else all."
			if f.Kind == build.Number {
				help = "As 100-160/20, in steps of 20, or 0,40; else as in the build."
			}
			list = append(list, c.entry(key, help, whole.AxisText(i)))
		}
	}
	return list
}

// findChoice is one kind of part that may be chosen.
type findChoice struct {
	Key, Label, Message string
	Options             []build.Option
}

func (c *FindBuildsBody) choices() []findChoice {
	var list []findChoice
	for _, key := range finds.Axes {
		if f := build.FieldFor(key); f.Kind == build.Choice {
			list = append(list, findChoice{key, f.Label, c.f().typed[key].message, f.Options()})
		}
	}
	return list
}

// allows says how many parts of each kind may be chosen.
func (c *FindBuildsBody) allows() string {
	var words []string
	for _, k := range c.choices() {
		n := 0
		for _, o := range k.Options {
			if c.P.allowed(k.Key, o.ID) {
				n++
			}
		}
		words = append(words, counted(n, strings.ToLower(k.Label)))
	}
	return "Parts allowed: " + strings.Join(words, ", ")
}

// size says how much there is to look through, and what stays however a part is chosen.
func (c *FindBuildsBody) size() string {
	t, _ := c.P.findTask()
	words := grouped(t.Space.Size()) + " builds to look through."
	var given []string
	for i := range build.Fields {
		if f := &build.Fields[i]; f.Optional && f.Given(&c.P.Build) {
			given = append(given, strings.ToLower(f.Label[:1])+f.Label[1:])
		}
	}
	if len(given) > 0 {
		words += " Entered by hand, and so the same whatever part is chosen: " + strings.Join(given, ", ") + "."
	}
	return words
}

func (c *FindBuildsBody) startWord() string {
	if c.P.Searching() {
		return "Start anew"
	}
	return "Find builds"
}

func (c *FindBuildsBody) moreWord() string {
	return "Show " + counted(min(findFirst, c.left()), "more build") + " of " + counted(len(c.list), "build")
}

// ended is told to a screen reader once; how far the search is would never stop talking.
func (c *FindBuildsBody) ended() string {
	if c.P.Searching() {
		return ""
	}
	return c.P.findWords() + "."
}

func (c *FindBuildsBody) state() string {
	if c.P.Searching() {
		return "searching"
	}
	return "done"
}

func (c *FindBuildsBody) sorted(key string) string {
	k := &findColumns[c.column()]
	switch {
	case k.key != key:
		return "none"
	case k.most:
		return "descending"
	}
	return "ascending"
}
