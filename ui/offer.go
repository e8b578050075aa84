package ui

import (
	"strconv"

	"github.com/vugu/vugu"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/money"
	"headroom/core/preview"
	"headroom/core/quote"
)

// offered is a preview that is shown instead of the planner.
type offered struct {
	offer   preview.Offer
	failure string // why nothing is shown; "" where something is
	own     bool   // the shop looks at its own
	address string // the fragment that opens it; "" for one's own, which no address holds
	option  int    // the one that is shown
	plans   []*aside
}

// OpenOffer shows the preview in a text instead of the planner. A text that is damaged shows that it is, and nothing else.
func (p *Planner) OpenOffer(text string) {
	o := &offered{address: preview.Key + "=" + text}
	p.offered, p.lastOffer, p.Asked, p.Printing = o, nil, "", ""
	var err error
	if o.offer, err = preview.Decode(text); err != nil {
		o.failure = upperFirst(err.Error()) + "."
		return
	}
	for i := range o.offer.Options {
		a, err := planAside(o.offer.Options[i].Link)
		if err != nil {
			o.offer, o.failure = preview.Offer{}, "Something went wrong inside: "+err.Error()+". Nothing of the preview is shown."
			return
		}
		o.plans = append(o.plans, a)
	}
}

// Offered tells whether a preview is shown instead of the planner.
func (p *Planner) Offered() bool { return p.offered != nil }

// OfferAddress is the fragment that opens the preview that is shown, "" where none is or where no address holds it.
func (p *Planner) OfferAddress() string {
	if p.offered == nil {
		return ""
	}
	return p.offered.address
}

// CloseOffer goes back to the planner as it was. A customer can come back; a shop makes its own view anew.
func (p *Planner) CloseOffer() {
	o := p.offered
	if o == nil {
		return
	}
	p.offered, p.lastOffer = nil, nil
	switch {
	case o.own:
		p.Focus = "quote-said"
	case o.failure == "":
		p.lastOffer = o
	}
}

// PlayOffer opens the build of the option that is shown in the planner, from where BackToOffer leads back.
func (p *Planner) PlayOffer() {
	o := p.offered
	if o == nil {
		return
	}
	p.offered = nil
	if o.failure == "" {
		p.openAside(o.plans[o.option].link, "“"+o.offer.Options[o.option].Name+"”")
		p.lastOffer, p.Focus = o, "offer-back" // where the page begins
	}
}

// BackToOffer shows the preview again that the planner was opened from, ForgetOffer takes the way back off the page.
func (p *Planner) BackToOffer() {
	if p.lastOffer == nil {
		return
	}
	p.offered, p.lastOffer = p.lastOffer, nil
	p.Asked, p.Printing, p.Note, p.LinkText = "", "", "", ""
	p.Focus = "offer-head"
}

// ForgetOffer ends playing with the build of a quote.
func (p *Planner) ForgetOffer() { p.lastOffer = nil }

// ChooseOffer shows an option of the preview.
func (p *Planner) ChooseOffer(i int) {
	if o := p.offered; o != nil && i >= 0 && i < len(o.offer.Options) {
		o.option = i
	}
}

// PrintOffer prints what is shown.
func (p *Planner) PrintOffer() { p.Printing = "quote" }

// Page is all that the program draws: the planner, or a preview instead of it.
type Page struct {
	P     *Planner
	root  Root
	offer OfferView
}

// Build is called by vugu.
func (c *Page) Build(in *vugu.BuildIn) *vugu.BuildOut {
	if c.P.Offered() {
		c.offer.P = c.P
		return c.offer.Build(in)
	}
	c.root.P = c.P
	return c.root.Build(in)
}

// OfferView is what a customer sees of a quote.
type OfferView struct{ P *Planner }

func (c *OfferView) o() *offered             { return c.P.offered }
func (c *OfferView) failed() bool            { return c.o().failure != "" }
func (c *OfferView) all() []preview.Option   { return c.o().offer.Options }
func (c *OfferView) option() *preview.Option { return &c.o().offer.Options[c.o().option] }
func (c *OfferView) report() *core.Report    { return &c.o().plans[c.o().option].report }
func (c *OfferView) build() *build.Build     { return &c.o().plans[c.o().option].build }
func (c *OfferView) rounding() string        { return quote.Rounding }

func (c *OfferView) mode() string { return (&Root{P: c.P}).mode() }

func (c *OfferView) title() string {
	if c.o().offer.Shop == "" {
		return "A quote"
	}
	return c.o().offer.Shop
}

// about says for whom and how long.
func (c *OfferView) about() string {
	o := &c.o().offer
	words := "Preview of a quote"
	if o.Customer != "" {
		words += " for " + o.Customer
	}
	if o.Valid != "" {
		words += ", valid until " + o.Valid
	}
	return words
}

// passed tells that its last day is over, by this device's calendar.
func (c *OfferView) passed() bool { return quote.Passed(c.o().offer.Valid, c.P.Today) }

func (c *OfferView) money(a money.Amount) string { return c.P.Money(c.o().offer.Currency, a) }
func (c *OfferView) plain(a money.Amount) string { return c.o().offer.Currency.Text(a) }

func (c *OfferView) quantity(l preview.Line) string {
	if l.Quantity == 0 {
		return ""
	}
	return quote.Counted(l.Quantity, l.Unit)
}

func (c *OfferView) optionID(i int) string { return "option-" + strconv.Itoa(i) }
func (c *OfferView) shown(i int) bool      { return c.o().option == i }

func (c *OfferView) taxLabel() string { return "Tax, " + c.option().TaxRate.String() + " %" }

func (c *OfferView) totalLabel() string {
	if n := c.option().Open; n > 0 {
		return "Total without " + counted(n, "line")
	}
	return "Total"
}

// promise is one thing that the customer gets, with the bar that it belongs to.
type promise struct {
	Key, Title, Text string
	Status           limit.Status
}

// promises are the leading figures in plain words.
func (c *OfferView) promises() []promise {
	r, u := c.report(), c.P.Units
	figure := func(v float64, unit string, digits int) string {
		n, name := u.Figure(v, unit, digits)
		return n + " " + name
	}
	status := func(key string) limit.Status {
		if bar := r.Bar(key); bar != nil {
			return bar.Status
		}
		return ""
	}
	reserve := "the reserve to balance with that this build was planned for, " + figure(c.build().Shift*1e3, "mm", 0) + " that your weight may move forward"
	speed := "At no speed it keeps " + reserve + ": do not ride it as it is."
	if r.Speed.CruiseCeilingKmh.Low >= 1 {
		speed = "Up to " + figure(r.Speed.CruiseCeilingKmh.Low, "km/h", 0) + " on level ground it keeps " + reserve + ", also when the charge is low. Faster than that, a bump can throw you."
	}
	list := []promise{{"speed", "Speed", speed, status("speed.cruise_ceiling_kmh.low")}}
	ride := c.ride()
	if r.Range.Km == nil {
		list = append(list, promise{"range", "Range", "No range can be stated for this ride" + ride + ".", status("range.km")})
	} else {
		text := "About " + figure(*r.Range.Km, "km", 0) + ride
		if r.Range.LowKm != nil && r.Range.HighKm != nil {
			text += "; between " + figure(*r.Range.LowKm, "km", 0) + " and " + figure(*r.Range.HighKm, "km", 0) + " with wind, weight and ground against or for you"
		}
		list = append(list, promise{"range", "Range", text + ".", status("range.km")})
	}
	return append(list,
		promise{"charge", "Charging", "About " + decimal(r.Charge.Minutes, 0) + " minutes from " + decimal(100*c.build().ChargeFrom, 0) + " to " + decimal(r.Charge.EndPct, 0) + " % with the charger of this quote.", status("charge.c_rate")},
		promise{"weight", "Weight", "About " + figure(r.Weight.BoardKg, "kg", 1) + " without a rider; computed for a rider of " + figure(c.build().Rider, "kg", 0) + ".", ""},
		promise{"pack", "Battery", decimal(r.Pack.EnergyWh, 0) + " Wh, " + decimal(r.Pack.FullV, 1) + " V when full, " + counted(r.Pack.Cells, "cell") + ".", status("pack.full_v")})
}

// ride is the ride that the range is computed for: on most its highest speed is far from its mean.
func (c *OfferView) ride() string {
	b, r := c.build(), &c.report().Ride
	most, unit := c.P.Units.Figure(r.SpeedKmh, "km/h", 0)
	if b.Profile == "steady" {
		words := " at a steady " + most + " " + unit
		switch {
		case b.Grade > 0:
			words += " up a grade of " + shortest(100*b.Grade, 1) + " %"
		case b.Grade < 0:
			words += " down a grade of " + shortest(-100*b.Grade, 1) + " %"
		}
		return words
	}
	mean, _ := c.P.Units.Figure(3.6*r.RoundM/r.RoundS, "km/h", 0)
	words := "the ride “" + classNamed("profile", b.Profile) + "”"
	if b.Profile == "own" {
		words = "a ride of the shop's own"
	}
	return " on " + words + ", up to " + most + " " + unit + " and " + mean + " on average"
}

// worst is the first thing that is over or tight; it stands before all that is promised.
func (c *OfferView) worst() core.Note {
	if list := c.troubles(); len(list) > 0 {
		return list[0]
	}
	return core.Note{}
}

// troubles are everything of this build that is tight or over, worst first; cautions what is true of every one.
func (c *OfferView) troubles() []core.Note { return c.notes(true) }
func (c *OfferView) cautions() []core.Note { return c.notes(false) }

func (c *OfferView) notes(troubles bool) (list []core.Note) {
	for _, n := range c.report().Notes {
		if (n.Status != limit.Clear) == troubles {
			list = append(list, c.P.Units.note(n))
		}
	}
	return list
}
