package ui

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/preview"
	"headroom/core/price"
)

// offering is a customer's page with a preview of two builds open, and its text.
func offering(t *testing.T) (customer *Planner, text string) {
	t.Helper()
	shop := opened(t, "v=1&s=16")
	shop.DemoPrices()
	shop.SetQuote("shop", "A <shop>")
	shop.SaveBuild()
	shop.Open("v=1&s=20")
	shop.ToggleOption(shop.shelf.list[0].ID)
	text, err := shop.offer()
	require.NoError(t, err)
	customer = opened(t, "v=1")
	customer.OpenOffer(text)
	require.Len(t, customer.offered.plans, 2)
	return customer, text
}

// Whoever opens a quoted build to play with is one press from the quote, as it was left, and is told of undo only where there is any.
func TestTheWayBackToTheQuote(t *testing.T) {
	p, text := offering(t)
	assert.Equal(t, preview.Key+"="+text, p.OfferAddress())
	p.ChooseOffer(1)
	p.PlayOffer()
	assert.False(t, p.Offered())
	assert.Empty(t, p.OfferAddress())
	assert.Equal(t, "v=1&s=16", p.Link())
	assert.Equal(t, "offer-back", p.Focus)
	assert.Contains(t, p.Note, "Undo brings back")
	back := find(page(t, p), attribute("data-message", "offer-left"))
	require.NotNil(t, back)
	assert.Contains(t, tidy(back), "“A <shop>”", "as text")
	p.Slide("s", "18")
	p.BackToOffer()
	require.True(t, p.Offered())
	assert.Equal(t, 1, p.offered.option, "as it was left")
	assert.Equal(t, "offer-head", p.Focus)
	assert.Empty(t, p.Note)
	assert.NotNil(t, find(page(t, p), class("promises")))

	p.PlayOffer()
	p.ForgetOffer()
	assert.Nil(t, find(page(t, p), attribute("data-message", "offer-left")))
	p.BackToOffer()
	assert.False(t, p.Offered(), "nowhere to go back to")

	// The browser's forward leaves a preview too.
	p.OpenOffer(text)
	p.CloseOffer()
	assert.NotNil(t, find(page(t, p), attribute("name", "offer-back")))
	p.OpenOffer(text[:len(text)/2])
	p.CloseOffer()
	assert.Nil(t, find(page(t, p), attribute("name", "offer-back")), "nothing was shown")
}

// A build that is open already is no step, so nothing is said of undo.
func TestUndoIsOnlyPromisedWhereItIs(t *testing.T) {
	p, _ := offering(t)
	p.Open("v=1&s=20")
	before := len(p.steps.past)
	p.PlayOffer()
	assert.Equal(t, "v=1&s=20", p.Link())
	assert.Len(t, p.steps.past, before)
	assert.Contains(t, p.Note, "is open.")
	assert.NotContains(t, p.Note, "Undo")
}

// A shop's own view is made anew, and its address is that of the build.
func TestTheShopsOwnViewHasNoAddress(t *testing.T) {
	p := opened(t, "v=1")
	p.DemoPrices()
	p.ShowOffer()
	require.True(t, p.Offered())
	assert.Empty(t, p.OfferAddress())
	p.PlayOffer()
	assert.Contains(t, tidy(find(page(t, p), attribute("data-message", "offer-left"))), "your own quote")
	p.BackToOffer()
	p.CloseOffer()
	assert.Equal(t, "quote-said", p.Focus)
	assert.Nil(t, find(page(t, p), attribute("name", "offer-back")))
}

// A picker offers what fits first, then the rest of its kind, then what else is counted alike; a long rest stands behind one more choice.
func TestPickersOfferWhatFitsFirst(t *testing.T) {
	p := opened(t, "v=1")
	p.DemoPrices()
	table := "id;name;for;price;unit\nother;Another cell;cell:18650-iron;2.05;piece\nroll;Wire by the roll;lead;9.05;roll\n"
	for i := range 60 {
		table += "x" + string(rune('A'+i%26)) + string(rune('a'+i/26)) + ";Thing;;1.05;piece\n"
	}
	p.ReadPrices(table)
	p.SetOpen("out-quote-lines", true)
	c := &QuoteCard{P: p}
	p.SetOpen(quoteID, true)
	c.Compute()
	cells := c.line(0)
	require.Equal(t, "cell", cells.Kind)
	groups := c.choices(cells)
	var headings []string
	count := 0
	for _, g := range groups {
		headings = append(headings, g.Heading)
		count += len(g.List)
	}
	assert.Equal(t, []string{"For this part", "Another of its kind", "For something else, sold by the same unit", "Not shown"}, headings)
	for _, x := range groups[0].List {
		kind, part := p.prices.list.Find(x.ID).Kind()
		assert.Equal(t, "cell", kind)
		assert.Contains(t, []string{"", cells.Part}, part)
	}
	others := map[string]bool{}
	for _, x := range groups[1].List {
		kind, _ := p.prices.list.Find(x.ID).Kind()
		assert.Equal(t, "cell", kind)
		others[x.ID] = true
	}
	assert.True(t, others["other"])
	assert.Regexp(t, `^Show \d+ more items of the list$`, groups[3].List[0].Name)
	assert.LessOrEqual(t, count, len(groups[0].List)+mostChoices+1)

	was := cells.Item.ID
	c.pick(0, wholeList)
	c.Compute()
	assert.Equal(t, was, c.line(0).Item.ID, "that picks nothing")
	seen := map[string]bool{}
	for _, g := range c.choices(c.line(0)) {
		for _, x := range g.List {
			seen[x.ID] = true
		}
	}
	for _, it := range p.prices.list {
		base, _ := price.Unit(it.Unit)
		assert.Equal(t, base == "piece", seen[it.ID], "every item that can be counted in pieces, and no other: %s", it.ID)
	}
	c.pick(0, "xAa")
	c.Compute()
	assert.Equal(t, "xAa", c.line(0).Item.ID)
	p.quoting.whole = ""
	assert.Contains(t, strings.Join(idsOf(c.choices(c.line(0))), " "), "xAa", "what is picked is always there")
	n := find(page(t, p), attribute("id", "item-"+cells.Key))
	require.NotNil(t, n)
	assert.Len(t, all(n, element("optgroup")), 4)
}

func idsOf(groups []choices) (ids []string) {
	for _, g := range groups {
		for _, x := range g.List {
			ids = append(ids, x.ID)
		}
	}
	return ids
}

// The reserve that a speed is promised with is the build's own field, as a number, in the units of the page.
func TestThePromiseNamesItsReserve(t *testing.T) {
	p := opened(t, "v=1")
	for _, c := range []struct {
		link, says, inches string
	}{
		{"v=1", "that this build was planned for, 25 mm that your weight may move forward, also", ", 0.98 in that"},
		{"v=1&shift=40", "Up to ", ", 1.57 in that"},
		{"v=1&shift=100", "At no speed it keeps the reserve to balance with that this build was planned for, 100 mm that", ", 3.94 in that"}, // 100/25.4
	} {
		shop := opened(t, c.link)
		shop.DemoPrices()
		text, err := shop.offer()
		require.NoError(t, err)
		p.OpenOffer(text)
		p.SetUnits(Metric)
		said := func() string { return tidy(find(page(t, p), attribute("data-promise", "speed"))) }
		assert.Contains(t, said(), c.says, c.link)
		p.SetUnits(US)
		assert.Contains(t, said(), c.inches, c.link)
	}
}

// A range is said with the ride that it is of: the hills' mean is far below their top. The mean is distance over time of one round.
func TestTheRangeNamesItsRide(t *testing.T) {
	const hills = "v=1&s=24&p=3&motor=hub65-wide&kpa=150&ctrl=c130&tire=slick-65&rider=95&cruise=32&profile=hills"
	for link, want := range map[string][2]string{
		hills:         {" km on the ride “Hills”, up to 32 km/h and 25 on average; between ", " mi on the ride “Hills”, up to 20 mph and 15 on average"},
		"v=1":         {" km at a steady 24 km/h; between ", " mi at a steady 15 mph; between "},
		"v=1&grade=2": {" km at a steady 24 km/h up a grade of 2 %", " mi at a steady 15 mph up a grade of 2 %"},
		"v=1&profile=own&own=1000~20~0_1000~10~0": {" on a ride of the shop's own, up to 20 km/h and 13 on average", "up to 12 mph and 8 on average"},
		"v=1&grade=-9": {"No range can be stated for this ride at a steady 24 km/h down a grade of 9 %.", ""},
	} {
		shop := opened(t, link)
		shop.DemoPrices()
		text, err := shop.offer()
		require.NoError(t, err)
		p := opened(t, "v=1")
		p.OpenOffer(text)
		said := func() string { return tidy(find(page(t, p), attribute("data-promise", "range"))) }
		assert.Contains(t, said(), want[0], link)
		p.SetUnits(US)
		assert.Contains(t, said(), want[1], link)
	}
}

// A customer who is billed for more cells than the battery holds sees which are spare.
func TestSpareCellsAreNamedToTheCustomer(t *testing.T) {
	shop := opened(t, "v=1") // 18s2p
	shop.DemoPrices()
	text, err := shop.offer()
	require.NoError(t, err)
	customer := opened(t, "v=1")
	customer.OpenOffer(text)
	n := page(t, customer)
	assert.Contains(t, tidy(find(n, class("bill"))), ": 36 and 2 spare 38 pieces")
	assert.Contains(t, tidy(find(n, attribute("data-promise", "pack"))), "36 cells")
	shop.SetQuote("spare", "0")
	text, err = shop.offer()
	require.NoError(t, err)
	customer.OpenOffer(text)
	assert.NotContains(t, tidy(page(t, customer)), " spare")
}

// A last day that is over is taken, with a word beside the field and with the link; the customer is told too.
func TestLastDaysThatAreOverAreTold(t *testing.T) {
	p := opened(t, "v=1")
	p.DemoPrices()
	p.Today = "2027-02-01"
	p.SetOpen(quoteID, true)
	p.SetOpen("out-quote-set", true)
	warned := func() string {
		n := show(t, p)
		w := find(n, attribute("data-message", "quote-valid-warn"))
		described := value(find(n, attribute("name", "quote-valid")), "aria-describedby")
		assert.Equal(t, w != nil, strings.Contains(described, "quote-valid-warn"))
		if w == nil {
			return ""
		}
		return tidy(w)
	}
	p.OnCopyOffer = func(fragment string, done func(string, bool)) { done("x", true) }
	for valid, over := range map[string]bool{"2027-01-31": true, "2027-02-01": false, "": false} {
		p.SetQuote("valid", valid)
		assert.Equal(t, valid, p.quoting.now().Valid, "it is taken")
		assert.Equal(t, over, strings.Contains(warned(), "has passed"), valid)
		p.CopyOffer()
		assert.Equal(t, over, strings.Contains(p.quoting.message, "has passed"), valid)
		p.ShowOffer()
		told := find(page(t, p), attribute("data-message", "passed"))
		assert.Equal(t, over, told != nil)
		if over {
			assert.Contains(t, tidy(told), "last day is over")
		}
		p.CloseOffer()
	}
	p.SetQuote("valid", "2027-01-31")
	p.SetQuote("valid", "soon")
	assert.Empty(t, warned(), "a field in error says one thing")
}
