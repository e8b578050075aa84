package ui

import (
	"strconv"
	"unicode/utf8"

	"headroom/core/limit"
	"headroom/core/money"
	"headroom/core/price"
	"headroom/core/quote"
)

// QuoteCard is the shop's own view of a quote: with cost and markup.
type QuoteCard struct {
	P       *Planner
	options []quotable
	plans   map[string]*aside
}

// Compute is called by vugu before each build. Nothing is priced while nobody looks.
func (c *QuoteCard) Compute() {
	c.options = nil
	if c.P.IsOpen(quoteID) {
		c.options, c.plans = c.P.quotes(c.plans)
	}
}

func (c *QuoteCard) q() *quoting          { return &c.P.quoting }
func (c *QuoteCard) s() *quote.Settings   { return c.P.quoting.now() }
func (c *QuoteCard) first() *quotable     { return &c.options[0] }
func (c *QuoteCard) fields() []quoteField { return quoteFields }
func (c *QuoteCard) rounding() string     { return quote.Rounding }

// listed tells whether there is a price list at all: sums of nothing would look like a gift.
func (c *QuoteCard) listed() bool { return len(c.P.prices.list) > 0 }

func (c *QuoteCard) brief() string {
	if len(c.P.prices.list) == 0 {
		return "needs a price list"
	}
	return "this build and others, priced"
}

func (c *QuoteCard) money(a money.Amount) string { return c.P.Money(c.s().Money(), a) }

func (c *QuoteCard) id(key string) string { return "quote-" + key }

func (c *QuoteCard) typed(f quoteField) string {
	if d, ok := c.q().drafts[f.Key]; ok {
		return d.text
	}
	if f.number == nil {
		return *f.text(c.s())
	}
	if v := *f.number(c.s()); v != 0 {
		return v.String()
	}
	return ""
}

func (c *QuoteCard) unit(f quoteField) string {
	if f.Key == "rate" {
		return c.s().Money().Code
	}
	return f.Unit
}

func (c *QuoteCard) holder(f quoteField) string {
	if f.number != nil {
		return "0"
	}
	return ""
}

func (c *QuoteCard) mode(f quoteField) string {
	if f.number != nil {
		return "decimal"
	}
	return "text"
}

func (c *QuoteCard) wrong(key string) string { return c.q().drafts[key].message }

// warned is what is worth a second look in a field that can be used, "" where nothing is.
func (c *QuoteCard) warned(key string) string {
	if key == "valid" && c.wrong(key) == "" && quote.Passed(c.s().Valid, c.P.Today) {
		return "This day has passed."
	}
	return ""
}

// describes lists what is said about a field.
func (c *QuoteCard) describes(key string) string {
	ids := c.id(key) + "-msg " + c.id(key) + "-help"
	if c.warned(key) != "" {
		ids += " " + c.id(key) + "-warn"
	}
	return ids
}

func (c *QuoteCard) invalid(key string) string { return strconv.FormatBool(c.wrong(key) != "") }

func (c *QuoteCard) terms() string {
	if d, ok := c.q().drafts["terms"]; ok {
		return d.text
	}
	return c.s().Terms
}

func (c *QuoteCard) stepID(i int, part string) string { return stepKey(i, part) }
func (c *QuoteCard) optionKey(i int) string           { return "option-" + strconv.Itoa(c.P.shelf.list[i].ID) }
func (c *QuoteCard) stepLabel(i int) string           { return "Name of step " + strconv.Itoa(i+1) }
func (c *QuoteCard) stepName(i int) string {
	if name := c.s().Steps[i].Name; name != "" {
		return name
	}
	return "step " + strconv.Itoa(i+1)
}

// stepRows is how many lines the name of a step takes on a phone, so that all of it is seen; style.css fits it to its text where a browser can.
func (c *QuoteCard) stepRows(i int) string {
	const letters = 20
	return strconv.Itoa(1 + utf8.RuneCountInString(c.s().Steps[i].Name)/letters)
}

func (c *QuoteCard) hours(i int) string {
	if d, ok := c.q().drafts[stepKey(i, "hours")]; ok {
		return d.text
	}
	if h := c.s().Steps[i].Hours; h != 0 {
		return h.String()
	}
	return ""
}

func (c *QuoteCard) addable() bool { return len(c.s().Steps) < quote.MaxSteps }

// chosen tells whether a saved build is among the options.
func (c *QuoteCard) chosen(id int) string {
	for _, s := range c.q().saved {
		if s == id {
			return "true"
		}
	}
	return "false"
}

func (c *QuoteCard) pinned() string { return strconv.FormatBool(c.q().pinned) }

func (c *QuoteCard) others() bool { return c.P.pinned != nil || len(c.P.shelf.list) > 0 }

// full tells that more builds are ticked than a quote holds.
func (c *QuoteCard) full() bool {
	n := 1 + len(c.q().saved)
	if c.q().pinned && c.P.pinned != nil {
		n++
	}
	return n > len(c.options)
}

// sum is one row of the sums, for each option.
type sum struct {
	label, key string
	own        bool // for the shop's eyes alone
	of         func(*quote.Quote) money.Amount
}

var quoteSums = []sum{
	{"Cost of parts", "cost", true, func(q *quote.Quote) money.Amount { return q.Cost }},
	{"Markup", "markup", true, func(q *quote.Quote) money.Amount { return q.Markup }},
	{"Parts", "parts", false, func(q *quote.Quote) money.Amount { return q.Parts }},
	{"Labor", "labor", false, func(q *quote.Quote) money.Amount { return q.Work }},
	{"Discount", "discount", false, func(q *quote.Quote) money.Amount { return -q.Discount }},
	{"Net", "net", false, func(q *quote.Quote) money.Amount { return q.Net }},
	{"Tax", "tax", false, func(q *quote.Quote) money.Amount { return q.Tax }},
	{"Total", "total", false, func(q *quote.Quote) money.Amount { return q.Total }},
}

func (c *QuoteCard) sums() []sum { return quoteSums }

// cell is a sum of an option; a total that something is missing from says so.
func (c *QuoteCard) cell(s sum, o *quotable) string {
	if o.err != nil {
		return "–"
	}
	return c.money(s.of(&o.quote))
}

func (c *QuoteCard) plain(s sum, o *quotable) string {
	if o.err != nil {
		return ""
	}
	return c.s().Money().Text(s.of(&o.quote))
}

func (c *QuoteCard) missing(s sum, o *quotable) string {
	if s.key != "total" || o.err != nil || o.quote.Complete() {
		return ""
	}
	return "incomplete: " + counted(len(o.quote.Open), "line") + " without a price"
}

// troubles are the options that could not be summed.
func (c *QuoteCard) troubles() (lines []string) {
	for i := range c.options {
		if o := &c.options[i]; o.err != nil {
			lines = append(lines, o.name+": "+o.err.Error()+".")
		}
	}
	return lines
}

func (c *QuoteCard) invented() bool {
	for i := range c.options {
		if c.options[i].quote.Invented {
			return true
		}
	}
	return false
}

func (c *QuoteCard) quantity(l *quote.Priced) string { return quote.Counted(l.Quantity, l.Unit) }
func (c *QuoteCard) line(i int) *quote.Priced        { return &c.first().quote.Lines[i] }

func (c *QuoteCard) from(l *quote.Priced) string {
	if l.Allowance {
		return l.From + " An allowance: it does not follow from the build."
	}
	return l.From
}

// picked is the id of the item that a shop has picked for a line, "" where the first that fits is taken.
func (c *QuoteCard) picked(l *quote.Priced) string {
	if it := c.s().Picked(&l.Line, c.P.prices.list); it != nil {
		return it.ID
	}
	return ""
}

// pick has every line that is for the same thing take an item.
func (c *QuoteCard) pick(i int, id string) {
	if id == wholeList {
		c.q().whole = c.line(i).Key
		return
	}
	c.P.PickItem(c.line(i).For(), id)
}

// choice is an item that a line could take, choices those of one kind under their heading.
type (
	choice  struct{ ID, Name string }
	choices struct {
		Heading string
		List    []choice
	}
)

// mostChoices is how many items a picker holds that fit less well, unless it was asked for all of them: every line has a picker, and a list
// may have two thousand items.
const mostChoices = 40

// wholeList is picked to be shown all of them. No item's id begins with a blank.
const wholeList = " all"

// best is what is taken where nothing is picked.
func (c *QuoteCard) best(l *quote.Priced) string {
	if f := quote.ChoicesFor(&l.Line, c.P.prices.list).Fitting; len(f) > 0 {
		return "First that fits: " + f[0].Name
	}
	return "First that fits: nothing fits"
}

// choices are what a line could take, what fits best first.
func (c *QuoteCard) choices(l *quote.Priced) (groups []choices) {
	of := quote.ChoicesFor(&l.Line, c.P.prices.list)
	picked, room, left := c.picked(l), mostChoices, 0
	if c.q().whole == l.Key {
		room = price.MaxItems
	}
	add := func(heading string, items []*price.Item, all bool) {
		g := choices{Heading: heading}
		for _, it := range items {
			if !all && room == 0 && it.ID != picked {
				left++
				continue
			}
			if !all && it.ID != picked {
				room--
			}
			g.List = append(g.List, choice{it.ID, it.Name + ", " + c.P.Price(c.s().Money(), it.Price) + " a " + it.Unit})
		}
		if len(g.List) > 0 {
			groups = append(groups, g)
		}
	}
	add("For this part", of.Fitting, true)
	add("Another of its kind", of.Kin, false)
	add("For something else, sold by the same unit", of.Others, false)
	if left > 0 {
		groups = append(groups, choices{"Not shown", []choice{{wholeList, "Show " + counted(left, "more item") + " of the list"}}})
	}
	return groups
}

func (c *QuoteCard) shape() string { return shapeAt(limit.Tight, 0, 0) }
