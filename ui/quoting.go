package ui

import (
	"errors"
	"slices"
	"strconv"

	"headroom/core/money"
	"headroom/core/plain"
	"headroom/core/preview"
	"headroom/core/quote"
)

const quoteID = "out-quote"

// quoting is what a quote is made with, and what is being done to it.
type quoting struct {
	settings *quote.Settings  // nil before anything was entered; see now
	drafts   map[string]draft // texts that cannot be used, by setting
	pinned   bool             // the pinned build is an option
	saved    []int            // and so are these of the saved builds, by ID

	whole string // the line of the bill whose picker shows the whole list

	touched bool // something was entered before the device told what it kept
	trouble string
	message string
	address string // of the preview, for copying by hand where the clipboard is closed
}

// now is the settings as they are. They are not to be changed in place.
func (q *quoting) now() *quote.Settings {
	if q.settings == nil {
		s := quote.Standard()
		q.settings = &s
	}
	return q.settings
}

func (p *Planner) recallQuote(text, failure string) {
	q := &p.quoting
	if failure != "" {
		q.trouble = "The quote's settings could not be read on this device: " + failure
		return
	}
	if text == "" || q.touched {
		return
	}
	s, ok := quote.ReadSettings(text)
	if !ok {
		q.trouble = "The quote's settings on this device could not be read; the standard ones are shown."
		return
	}
	q.settings = &s
}

// setQuote changes the settings and keeps them.
func (p *Planner) setQuote(change func(*quote.Settings)) {
	s := p.quoting.now().Clone()
	change(&s)
	p.quoting.settings, p.quoting.touched, p.quoting.message, p.quoting.address = &s, true, "", ""
	p.put(StoreQuote, s.Text(), &p.quoting.trouble)
}

// quoteField is one setting of a quote.
type quoteField struct {
	Key, Label, Unit, Help string
	most                   money.Decimal
	number                 func(*quote.Settings) *money.Decimal
	text                   func(*quote.Settings) *string
}

var quoteFields = []quoteField{
	{Key: "shop", Label: "Shop", Help: "As the customer sees it.", text: func(s *quote.Settings) *string { return &s.Shop }},
	{Key: "customer", Label: "Customer", text: func(s *quote.Settings) *string { return &s.Customer }},
	{Key: "valid", Label: "Valid until", Help: "Year, month, day: 2027-03-31.", text: func(s *quote.Settings) *string { return &s.Valid }},
	{Key: "currency", Label: "Currency", Help: "Three letters of ISO 4217. Nothing is converted.", text: func(s *quote.Settings) *string { return &s.Currency }},
	{Key: "markup", Label: "Markup on parts", Unit: "%", Help: "No customer sees it.", most: quote.MaxMarkup * money.One, number: func(s *quote.Settings) *money.Decimal { return &s.Markup }},
	{Key: "rate", Label: "Labor, one hour", Help: "No customer sees it.", most: money.MaxDecimal, number: func(s *quote.Settings) *money.Decimal { return &s.Rate }},
	{Key: "discount", Label: "Discount", Unit: "%", Help: "On parts and labor. The customer sees the amount.", most: 100 * money.One, number: func(s *quote.Settings) *money.Decimal { return &s.Discount }},
	{Key: "tax", Label: "Tax", Unit: "%", Help: "On the net sum. What applies is for you to know.", most: 100 * money.One, number: func(s *quote.Settings) *money.Decimal { return &s.Tax }},
	{Key: "spare", Label: "Spare cells", Unit: "%", Help: "Rounded up to whole ones.", most: 100 * money.One, number: func(s *quote.Settings) *money.Decimal { return &s.Spare }},
	{Key: "waste", Label: "Waste of leads, links, sheet", Unit: "%", most: 100 * money.One, number: func(s *quote.Settings) *money.Decimal { return &s.Waste }},
}

func quoteFieldFor(key string) *quoteField {
	for i := range quoteFields {
		if quoteFields[i].Key == key {
			return &quoteFields[i]
		}
	}
	return nil
}

// SetQuote takes a setting as typed. What cannot be used stays in its field with a message, and the setting as it was.
func (p *Planner) SetQuote(key, text string) {
	f := quoteFieldFor(key)
	if f == nil {
		return
	}
	if p.quoting.drafts == nil {
		p.quoting.drafts = map[string]draft{}
	}
	delete(p.quoting.drafts, key)
	refuse := func(why string) { p.quoting.drafts[key] = draft{text, why} }
	if f.number != nil {
		v, wrong := quantity(text, f.most)
		if wrong != "" {
			refuse(wrong)
			return
		}
		p.setQuote(func(s *quote.Settings) { *f.number(s) = v })
		return
	}
	line := plain.Line(text)
	switch {
	case key == "valid" && !quote.Day(line):
		refuse("Not a day: write year, month and day as 2027-03-31, or nothing.")
		return
	case key == "currency":
		c, ok := money.CurrencyFor(line)
		if !ok {
			refuse("Not a currency of ISO 4217: write three letters, as EUR.")
			return
		}
		line = c.Code
	case !plain.Fits(line, quote.MaxName):
		refuse("Longer than " + strconv.Itoa(quote.MaxName) + " characters.")
		return
	}
	p.setQuote(func(s *quote.Settings) { *f.text(s) = line })
}

// quantity reads a number ≥ 0 as typed; nothing is 0. wrong says why it cannot be used.
func quantity(text string, most money.Decimal) (v money.Decimal, wrong string) {
	if plain.Line(text) == "" {
		return 0, ""
	}
	v, err := money.Read(text, money.Point)
	switch {
	case err != nil:
		return 0, "It " + err.Error() + "."
	case v < 0 || v > most:
		return 0, "Allowed is 0 to " + most.String() + "."
	}
	return v, ""
}

// SetTerms takes the terms as typed; what is too long stays with a message.
func (p *Planner) SetTerms(text string) {
	if p.quoting.drafts == nil {
		p.quoting.drafts = map[string]draft{}
	}
	delete(p.quoting.drafts, "terms")
	lines := plain.Lines(text)
	if !plain.FitsLines(lines, quote.MaxTerms) {
		p.quoting.drafts["terms"] = draft{text, "Longer than " + strconv.Itoa(quote.MaxTerms) + " characters."}
		return
	}
	p.setQuote(func(s *quote.Settings) { s.Terms = lines })
}

func stepKey(i int, part string) string { return "step-" + part + "-" + strconv.Itoa(i) }

// SetStep takes the name of a step of the work, SetHours its hours.
func (p *Planner) SetStep(i int, name string) {
	p.setQuote(func(s *quote.Settings) {
		if i < len(s.Steps) {
			s.Steps[i].Name = plain.Cut(plain.Line(name), quote.MaxName)
		}
	})
}

// SetHours takes the hours of a step as typed.
func (p *Planner) SetHours(i int, text string) {
	if p.quoting.drafts == nil {
		p.quoting.drafts = map[string]draft{}
	}
	key := stepKey(i, "hours")
	delete(p.quoting.drafts, key)
	v, wrong := quantity(text, quote.MaxHours*money.One)
	if wrong != "" {
		p.quoting.drafts[key] = draft{text, wrong}
		return
	}
	p.setQuote(func(s *quote.Settings) {
		if i < len(s.Steps) {
			s.Steps[i].Hours = v
		}
	})
}

// AddStep adds a step of the work, DropStep takes one away.
func (p *Planner) AddStep() {
	if n := len(p.quoting.now().Steps); n < quote.MaxSteps {
		p.setQuote(func(s *quote.Settings) { s.Steps = append(s.Steps, quote.Step{}) })
		p.Focus = stepKey(n, "name")
	}
}

// DropStep takes a step away.
func (p *Planner) DropStep(i int) {
	if i >= len(p.quoting.now().Steps) {
		return
	}
	clear(p.quoting.drafts) // they are by place
	p.setQuote(func(s *quote.Settings) { s.Steps = slices.Delete(s.Steps, i, i+1) })
	p.Focus = "quote-steps"
}

// PickItem has the lines that are for one thing take an item of the list, "" for the one that fits best.
func (p *Planner) PickItem(what, id string) {
	p.setQuote(func(s *quote.Settings) { s.Pick(what, id) })
}

// TogglePinnedOption takes the pinned build into the quote or out of it, ToggleOption a saved one.
func (p *Planner) TogglePinnedOption() {
	p.quoting.pinned = !p.quoting.pinned
	p.quoting.message, p.quoting.address = "", ""
}

// ToggleOption takes a saved build into the quote or out of it.
func (p *Planner) ToggleOption(id int) {
	q := &p.quoting
	q.message, q.address = "", ""
	if i := slices.Index(q.saved, id); i >= 0 {
		q.saved = slices.Delete(q.saved, i, i+1)
		return
	}
	q.saved = append(q.saved, id)
}

// quotable is a build that is quoted.
type quotable struct {
	name string
	*aside
	quote quote.Quote
	err   error
}

// quotes prices the build in hand and the other options, at most as many as a preview holds. plans holds reports that have been made before.
func (p *Planner) quotes(plans map[string]*aside) (list []quotable, now map[string]*aside) {
	now = map[string]*aside{}
	list = append(list, quotable{name: suggested(&p.Build), aside: p.asideNow()})
	if p.quoting.pinned && p.pinned != nil {
		list = append(list, quotable{name: suggested(&p.pinned.build), aside: p.pinned})
	}
	for _, s := range p.shelf.list {
		if !slices.Contains(p.quoting.saved, s.ID) || len(list) == preview.MaxOptions {
			continue
		}
		a := plans[s.Link]
		if a == nil {
			var err error
			if a, err = planAside(s.Link); err != nil {
				p.Fail(err)
				continue
			}
		}
		now[s.Link] = a
		list = append(list, quotable{name: s.Name, aside: a})
	}
	s := p.quoting.now()
	for i := range list {
		o := &list[i]
		o.quote, o.err = quote.Make(o.report.Bill(s.Allowances()), p.prices.list, s)
		o.quote.Name, o.quote.Link = o.name, o.link
	}
	return list, now
}

// offer is the preview of what is quoted, as the text of a fragment.
func (p *Planner) offer() (text string, err error) {
	if len(p.quoting.drafts) > 0 {
		return "", errors.New("a field above holds what cannot be used: mend it first")
	}
	list, _ := p.quotes(nil)
	var quotes []quote.Quote
	for i := range list {
		if list[i].err != nil {
			return "", list[i].err
		}
		quotes = append(quotes, list[i].quote)
	}
	o, err := preview.Make(p.quoting.now(), quotes)
	if err != nil {
		return "", err
	}
	return o.Encode()
}

// ShowOffer shows what the customer would see.
func (p *Planner) ShowOffer() {
	text, err := p.offer()
	if err != nil {
		p.quoting.message = upperFirst(err.Error()) + "."
		return
	}
	p.OpenOffer(text)
	p.offered.own, p.offered.address = true, ""
	p.Focus = "offer-head" // the view begins at its top, wherever the card was
}

// longAddress is where messengers begin to cut addresses.
const longAddress = 2000

// CopyOffer puts the address of the preview on the clipboard.
func (p *Planner) CopyOffer() {
	q := &p.quoting
	text, err := p.offer()
	if err != nil {
		q.message = upperFirst(err.Error()) + "."
		return
	}
	if p.OnCopyOffer == nil {
		return
	}
	p.OnCopyOffer(preview.Key+"="+text, func(address string, ok bool) {
		q.message, q.address = "The preview's link is copied, "+counted(len(address), "character")+". Open it yourself before you send it.", ""
		if !ok {
			q.message, q.address = "Copy the preview's link by hand, "+counted(len(address), "character")+":", address
		}
		if quote.Passed(p.quoting.now().Valid, p.Today) {
			q.message += " Its last day has passed."
		}
		if len(address) > longAddress {
			q.message += " Some messengers cut addresses of more than 2000 characters: the page then says that it is damaged. Send it by mail, or with fewer options."
		}
	})
}
