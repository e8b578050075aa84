package ui

import (
	"slices"
	"strconv"
	"strings"

	"headroom/core/price"
)

const (
	pricesID  = "out-prices"
	maxPriced = 40 // rows of the table at once
)

// prices is the price list and what is being done to it.
type prices struct {
	list    price.List
	touched bool   // something was done before the device told what it kept
	pasted  string // text being pasted, or what could not be taken of one
	find    string // what the table is narrowed to

	editing string            // id of the row being edited; "" for none
	adding  bool              // a new row is being edited
	form    map[string]string // by column, as typed
	wrong   string            // what is wrong with the form
	column  string            // where

	message string
	lines   []string
	trouble string // why the list is not kept
	before  price.List
	undoing bool
}

// change begins an action that can be taken back.
func (s *prices) change(message string) {
	s.before, s.undoing, s.message, s.lines = s.list, true, message, nil
}

func (p *Planner) storePrices() {
	p.prices.touched = true
	text := ""
	if len(p.prices.list) > 0 {
		text = string(p.prices.list.JSON())
	}
	p.put(StorePrices, text, &p.prices.trouble)
}

// recallPrices takes the list as kept on the device. What cannot be read of it stands in the text field, to be mended there.
func (p *Planner) recallPrices(text, failure string) {
	s := &p.prices
	if failure != "" {
		s.trouble = "The price list of this device could not be read: " + failure
		return
	}
	r := price.Read(text)
	if s.touched {
		// Somebody was quicker than the device: both lists count, and the newer rows win.
		merged := r.Items
		for _, it := range s.list {
			merged, _ = merged.Put(it)
		}
		s.touched, s.list = false, merged
		p.storePrices()
	} else {
		s.list = r.Items
	}
	if r.Rest != "" {
		s.pasted, s.lines = r.Rest, spoken(r.Problems)
		s.message = "Not all of the kept list could be read. The rest stands in the text field below."
	}
}

// Restored takes the list over after another window has changed it.
func (p *Planner) Restored(name, text string) {
	if name == StorePrices {
		p.prices.touched, p.prices.undoing = false, false
	}
	p.Stored(name, text, "")
}

func spoken(problems []price.Problem) (lines []string) {
	for _, problem := range problems {
		lines = append(lines, problem.String())
	}
	return cut(lines)
}

// ReadPrices adds the items of a text to the list. An item whose id is there already takes that one's place. What could not be taken goes into the
// text field, behind what may stand there, to be mended and read again.
func (p *Planner) ReadPrices(text string) {
	s := &p.prices
	r := price.Read(text)
	s.change("")
	added, changed, full := 0, 0, 0
	list := s.list
	for _, it := range r.Items {
		old := list.Find(it.ID)
		if old != nil && *old == it {
			continue
		}
		var noRoom bool
		if list, noRoom = list.Put(it); noRoom {
			full++
		} else if old != nil {
			changed++
		} else {
			added++
		}
	}
	s.list, s.lines = list, spoken(r.Problems)
	if r.Rest != "" && s.pasted != "" {
		s.pasted += "\n"
	}
	s.pasted += r.Rest
	if full > 0 {
		s.lines = append(s.lines, counted(full, "item")+" found no place: the list holds "+strconv.Itoa(price.MaxItems)+".")
	}
	switch {
	case len(r.Items) == 0 && len(r.Problems) == 0:
		s.message, s.undoing = "There are no items in it.", false
		return
	case len(r.Items) == 0:
		s.message, s.undoing = "Nothing was taken.", false
		return
	}
	s.message = counted(len(r.Items), "item") + " read: " + strconv.Itoa(added) + " new, " + strconv.Itoa(changed) + " changed."
	if r.Rest != "" {
		s.message += " What could not be taken stands in the text field below: mend it there and read it again."
		p.SetOpen(pasteID, true)
	}
	if s.undoing = added+changed > 0; s.undoing {
		p.storePrices()
	}
}

// pasteID is the fold with the text field.
const pasteID = "out-prices-paste"

// ReadPasted reads the text field.
func (p *Planner) ReadPasted() {
	text := p.prices.pasted
	p.prices.pasted = ""
	p.ReadPrices(text)
}

// TypePrices takes what is being pasted; FindPrice what the table is narrowed to.
func (p *Planner) TypePrices(text string) { p.prices.pasted = text }

// FindPrice narrows the table.
func (p *Planner) FindPrice(text string) { p.prices.find = text }

// PickPrices has a person pick a file.
func (p *Planner) PickPrices() {
	if p.OnPick == nil {
		return
	}
	p.OnPick(Pick{Accept: ".csv,.tsv,.txt,.json,text/csv,text/plain,application/json", MaxBytes: price.MaxBytes, Done: func(_, text, failure string) { p.takePrices(text, failure) }})
}

// takePrices takes the text of a file, or says why there is none.
func (p *Planner) takePrices(text, failure string) {
	if failure != "" {
		s := &p.prices
		s.message, s.undoing, s.lines = "", false, []string{"The file could not be read: " + failure}
		return
	}
	p.ReadPrices(text)
}

// DemoPrices adds the invented list.
func (p *Planner) DemoPrices() {
	p.ReadPrices(string(price.Demo().JSON()))
	p.prices.message = "An invented list is loaded. Its prices mean nothing; every quote made with them says so."
}

// SavePrices hands the list over as a file, CSV or JSON.
func (p *Planner) SavePrices(kind string) {
	if p.OnSave == nil {
		return
	}
	if kind == "json" {
		p.OnSave("headroom-prices.json", "application/json", p.prices.list.JSON())
		return
	}
	p.OnSave("headroom-prices.csv", "text/csv", p.prices.list.CSV())
}

// EditPrice begins to edit the item with an id, AddPrice a new one.
func (p *Planner) EditPrice(id string) {
	s := &p.prices
	it := s.list.Find(id)
	if it == nil {
		return
	}
	s.editing, s.adding, s.wrong, s.column = id, false, "", ""
	s.form = map[string]string{"id": it.ID, "name": it.Name, "for": it.For, "price": it.Price.String(), "unit": it.Unit, "note": it.Note}
	p.Focus = "price-name"
}

// AddPrice begins a new item.
func (p *Planner) AddPrice() {
	s := &p.prices
	s.editing, s.adding, s.wrong, s.column, s.form = "", true, "", "", map[string]string{}
	p.Focus = "price-name"
}

// TypePrice takes what is being typed into the form.
func (p *Planner) TypePrice(column, text string) { p.prices.form[column] = text }

// PriceKey handles the keys of the form: Enter takes it, Escape drops it.
func (p *Planner) PriceKey(key string) {
	if key == "Enter" || key == "Escape" {
		p.EndPrice(key == "Enter")
	}
}

// EndPrice takes the form, or drops it. A form that cannot be taken stays, and says why.
func (p *Planner) EndPrice(take bool) {
	s := &p.prices
	if take {
		it, column, wrong := price.Of(s.form)
		if wrong == "" && it.ID != s.editing && s.list.Find(it.ID) != nil {
			column, wrong = "id", "“"+it.ID+"” is another item's id."
		}
		if wrong != "" {
			s.column, s.wrong, p.Focus = column, wrong, "price-"+column
			return
		}
		s.change("“" + it.Name + "” is in the list.")
		list := s.list
		if old := list.Find(s.editing); old != nil && old.Price == it.Price {
			it.Invented = old.Invented // a new price is one's own
		}
		if s.editing != "" && s.editing != it.ID {
			list = slices.Clone(list)
			list.Find(s.editing).ID = it.ID
		}
		var full bool
		if s.list, full = list.Put(it); full {
			s.lines, s.undoing = []string{"There is no place: the list holds " + strconv.Itoa(price.MaxItems) + "."}, false
			return
		}
		p.storePrices()
	}
	s.editing, s.adding, s.form, s.wrong, s.column = "", false, nil, "", ""
	p.Focus = "prices-said"
}

// DropPrice takes an item off the list, ClearPrices all of them; both can be taken back.
func (p *Planner) DropPrice(id string) {
	s := &p.prices
	i := slices.IndexFunc(s.list, func(it price.Item) bool { return it.ID == id })
	if i < 0 {
		return
	}
	s.change("“" + s.list[i].Name + "” is deleted.")
	s.list = slices.Delete(slices.Clone(s.list), i, i+1)
	s.editing, s.adding, s.form = "", false, nil
	p.Focus = "prices-back"
	p.storePrices()
}

// ClearPrices empties the list.
func (p *Planner) ClearPrices() {
	p.prices.change("The list is empty.")
	p.prices.list = nil
	p.Focus = "prices-back"
	p.storePrices()
}

// TakePricesBack undoes the last change of the list.
func (p *Planner) TakePricesBack() {
	s := &p.prices
	if !s.undoing {
		return
	}
	s.list, s.before, s.undoing, s.lines, s.message = s.before, nil, false, nil, "The list is as it was before."
	p.Focus = "prices-said"
	p.storePrices()
}

// PriceList is the card of the shop's price list.
type PriceList struct {
	P    *Planner
	rows []*price.Item
	more int
}

// Compute is called by vugu before each build. The table is made only while someone looks.
func (c *PriceList) Compute() {
	c.rows, c.more = c.rows[:0], 0
	if !c.P.IsOpen(pricesID) {
		return
	}
	words := strings.Fields(strings.ToLower(c.s().find))
	for i := range c.s().list {
		it := &c.s().list[i]
		text := strings.ToLower(it.ID + " " + it.Name + " " + it.For + " " + it.Note)
		if it.ID != c.s().editing && slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(text, w) }) {
			continue
		}
		if len(c.rows) == maxPriced && it.ID != c.s().editing {
			c.more++
			continue
		}
		c.rows = append(c.rows, it)
	}
}

func (c *PriceList) s() *prices { return &c.P.prices }

func (c *PriceList) brief() string {
	n := len(c.s().list)
	switch {
	case n == 0:
		return "none yet"
	case c.s().list.Invented():
		return counted(n, "item") + ", invented"
	}
	return counted(n, "item")
}

func (c *PriceList) about(it *price.Item) string {
	words := ""
	kind, part := it.Kind()
	if k := price.KindFor(kind); k != nil {
		words = k.Name
		if part != "" {
			words += ", " + part
		}
	}
	for _, more := range []string{it.ID, it.Note} {
		if more != "" && more != it.Name {
			words += " · " + more
		}
	}
	return strings.TrimPrefix(words, " · ")
}

func (c *PriceList) cost(it *price.Item) string { return c.P.Price(c.P.currency(), it.Price) }

// formField is one column of the form.
type formField struct{ Column, Label, Help, Mode string }

var formFields = []formField{
	{"name", "Name", "", "text"},
	{"price", "Price of one, without tax", "", "decimal"},
	{"unit", "Unit", "piece, pair, set, m, ft, kg, g, m2 … Empty: the usual one.", "text"},
	{"for", "For", "A kind of part, or a kind, a colon and a part: lead:awg-10. Empty: for nothing that a build tells.", "text"},
	{"id", "Id", "Your own number. Empty: the name.", "text"},
	{"note", "Note", "Supplier, order number. No customer sees it.", "text"},
}

func (c *PriceList) fields() []formField        { return formFields }
func (c *PriceList) kinds() []price.Kind        { return price.Kinds }
func (c *PriceList) fieldID(f formField) string { return "price-" + f.Column }
func (c *PriceList) typed(f formField) string   { return c.s().form[f.Column] }
func (c *PriceList) wrong(f formField) string {
	if f.Column == c.s().column {
		return c.s().wrong
	}
	return ""
}

func (c *PriceList) invalid(f formField) string { return strconv.FormatBool(c.wrong(f) != "") }

func (c *PriceList) formTitle() string {
	if c.s().adding {
		return "A new item"
	}
	return "Edit “" + c.s().editing + "”"
}

func (c *PriceList) formOpen() bool { return c.s().adding || c.s().editing != "" }
