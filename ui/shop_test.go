package ui

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vugu/html"

	"headroom/core/money"
	"headroom/core/preview"
	"headroom/core/price"
	"headroom/core/quote"
)

// page renders what the program draws, the planner or a preview.
func page(t require.TestingT, p *Planner) *html.Node {
	return draw(t, &Page{P: p})
}

// shopping is a planner whose device keeps what it is given.
func shopping(t *testing.T) (*Planner, map[string]string) {
	t.Helper()
	stored := map[string]string{}
	p := opened(t, "v=1")
	p.OnStore = func(name, text string, done func(string)) {
		stored[name] = text
		done("")
	}
	return p, stored
}

func recalledShop(t *testing.T, stored map[string]string) *Planner {
	t.Helper()
	p := opened(t, "v=1")
	for _, name := range []string{StorePrices, StoreQuote} {
		p.Stored(name, stored[name], "")
	}
	return p
}

const table = "name;price;for;unit\nGood cell;3,85;cell;piece\nBad cell;three;cell;piece\nLead;12,90;lead;m\n"

func TestBadRowsStandInTheTextField(t *testing.T) {
	p, stored := shopping(t)
	p.SetOpen(pricesID, true)
	p.TypePrices(table)
	p.ReadPasted()
	assert.Len(t, p.prices.list, 2)
	assert.True(t, p.IsOpen(pasteID), "the field with the rest is unfolded")
	assert.Equal(t, "name;price;for;unit\nBad cell;three;cell;piece\n", p.prices.pasted)
	n := show(t, p)
	assert.Contains(t, tidy(find(n, attribute("data-message", "prices-lines"))), "Line 3, column “price”: “three” is not a number.")
	assert.Contains(t, tidy(find(n, attribute("data-message", "prices"))), "2 items read: 2 new, 0 changed.")
	assert.Equal(t, p.prices.list, recalledShop(t, stored).prices.list)

	p.ReadPrices("name,price\nFrom a file,x\n")
	assert.Equal(t, "name;price;for;unit\nBad cell;three;cell;piece\n\nname,price\nFrom a file,x\n", p.prices.pasted, "what waits to be mended stays")
	p.TypePrices("name;price;for;unit\nBad cell;three;cell;piece\n")
	p.TypePrices(strings.Replace(p.prices.pasted, "three", "3", 1))
	p.ReadPasted()
	assert.Len(t, p.prices.list, 3)
	assert.Empty(t, p.prices.pasted)
	assert.Empty(t, p.prices.lines)
	p.ReadPrices("name,price\nLead,13\n")
	assert.Contains(t, p.prices.message, "0 new, 1 changed")
	assert.Equal(t, 13*money.One, p.prices.list.Find("Lead").Price)
	p.TakePricesBack()
	assert.Equal(t, "12.9", p.prices.list.Find("Lead").Price.String())
	before := p.prices.list
	p.TypePrices("hello")
	p.ReadPasted()
	assert.Equal(t, "hello", p.prices.pasted)
	assert.Equal(t, before, p.prices.list)
	p.ReadPrices("")
	assert.Contains(t, p.prices.message, "no items")
	assert.Equal(t, p.prices.list, recalledShop(t, stored).prices.list)
}

func TestPricesAreEdited(t *testing.T) {
	p, stored := shopping(t)
	p.AddPrice()
	p.TypePrice("price", "1,50")
	p.PriceKey("Enter")
	assert.Equal(t, "price-name", p.Focus, "a form that cannot be taken stays")
	assert.Equal(t, "1,50", p.prices.form["price"], "and nothing typed is lost")
	p.TypePrice("name", "Bolt <M5>")
	p.TypePrice("for", "wheelbarrow")
	p.EndPrice(true)
	p.SetOpen(pricesID, true)
	assert.Contains(t, tidy(find(show(t, p), attribute("id", "price-for-msg"))), "no kind of part known here")
	p.TypePrice("for", "fastener")
	p.EndPrice(true)
	require.Len(t, p.prices.list, 1)
	assert.Equal(t, price.Item{ID: "Bolt <M5>", Name: "Bolt <M5>", For: "fastener", Price: 1_500_000, Unit: "set"}, p.prices.list[0])

	p.EditPrice("Bolt <M5>")
	p.TypePrice("id", "b1")
	p.TypePrice("price", "1,234")
	p.EndPrice(true)
	assert.Contains(t, p.prices.wrong, "could be a fraction or thousands")
	p.TypePrice("price", "2")
	p.EndPrice(true)
	require.Len(t, p.prices.list, 1, "an id can be changed")
	assert.Equal(t, "b1", p.prices.list[0].ID)
	p.AddPrice()
	p.TypePrice("name", "Other")
	p.TypePrice("price", "1")
	p.TypePrice("id", "b1")
	p.EndPrice(true)
	assert.Contains(t, p.prices.wrong, "another item")
	p.PriceKey("Escape")
	assert.Len(t, p.prices.list, 1)
	p.DropPrice("b1")
	assert.Empty(t, p.prices.list)
	p.TakePricesBack()
	assert.Len(t, p.prices.list, 1)
	assert.Equal(t, p.prices.list, recalledShop(t, stored).prices.list)
	p.ClearPrices()
	assert.Empty(t, stored[StorePrices])
	p.TakePricesBack()
	assert.Len(t, p.prices.list, 1)
	p.EditPrice("gone")
	p.DropPrice("gone")
	p.prices.list[0].Invented = true
	p.EditPrice("b1")
	p.TypePrice("name", "Bolt")
	p.EndPrice(true)
	assert.True(t, p.prices.list[0].Invented, "the price is still the invented one")
	p.EditPrice("b1")
	p.TypePrice("price", "3")
	p.EndPrice(true)
	assert.False(t, p.prices.list[0].Invented)

	var files []string
	p.OnSave = func(name, mime string, content []byte) { files = append(files, name, mime, string(content)) }
	p.SavePrices("csv")
	p.SavePrices("json")
	assert.Equal(t, p.prices.list, price.Read(files[2]).Items)
	assert.Equal(t, p.prices.list, price.Read(files[5]).Items)
	assert.Equal(t, "headroom-prices.csv text/csv headroom-prices.json application/json", strings.Join([]string{files[0], files[1], files[3], files[4]}, " "))
}

func TestAPriceListThatIsNotKeptIsSaid(t *testing.T) {
	p, _ := shopping(t)
	p.OnStore = func(_, _ string, done func(string)) { done("its storage is full.") }
	p.DemoPrices()
	p.SetQuote("shop", "A shop")
	p.SetOpen(pricesID, true)
	p.SetOpen(quoteID, true)
	n := show(t, p)
	assert.Contains(t, tidy(find(n, attribute("data-message", "prices-trouble"))), "does not keep it: its storage is full.")
	assert.Contains(t, tidy(find(n, attribute("data-message", "quote-trouble"))), "its storage is full.")
	assert.NotEmpty(t, p.prices.list)
	p.OnStore = func(_, _ string, done func(string)) { done("") }
	p.TakePricesBack()
	assert.Empty(t, p.prices.trouble)

	q := opened(t, "v=1")
	q.Stored(StorePrices, "", "it does not open.")
	q.Stored(StoreQuote, "{", "")
	assert.Contains(t, q.prices.trouble, "it does not open.")
	assert.Contains(t, q.quoting.trouble, "could not be read")
}

// What was done before the device told what it kept is not lost, and neither is that.
func TestASlowDevice(t *testing.T) {
	p, stored := shopping(t)
	p.ReadPrices("name,price\nNew,1\nBoth,2\n")
	p.SetQuote("shop", "New shop")
	p.Stored(StorePrices, string(price.List{{ID: "Old", Name: "Old", Price: 5, Unit: "m"}, {ID: "Both", Name: "Both", Price: 5, Unit: "m"}}.JSON()), "")
	p.Stored(StoreQuote, `{"shop":"Old shop"}`, "")
	assert.Len(t, p.prices.list, 3)
	assert.Equal(t, 2*money.One, p.prices.list.Find("Both").Price)
	assert.Equal(t, "New shop", p.quoting.now().Shop)
	assert.Equal(t, p.prices.list, recalledShop(t, stored).prices.list)
	p.Restored(StorePrices, "")
	assert.Empty(t, p.prices.list, "another window has emptied it")

	q := opened(t, "v=1")
	q.Stored(StorePrices, `{"format":"headroom-prices","version":1,"items":[{"id":"a","name":"A","price":"x","unit":"m"}]}`, "")
	assert.Contains(t, q.prices.pasted, `"x"`, "what cannot be read of it can be mended")
}

func TestInventedPricesAreMarkedWhereverTheyShow(t *testing.T) {
	p, _ := shopping(t)
	p.DemoPrices()
	p.SetOpen(pricesID, true)
	p.SetOpen(quoteID, true)
	n := show(t, p)
	for _, name := range []string{"prices-invented", "quote-invented"} {
		assert.Contains(t, tidy(find(n, attribute("data-message", name))), "invented")
	}
	p.ShowOffer()
	assert.Contains(t, tidy(find(page(t, p), attribute("data-message", "invented"))), "invented prices")
}

func TestQuoteSettings(t *testing.T) {
	p, stored := shopping(t)
	for _, c := range []struct{ key, text, wrong string }{
		{"markup", "12,5", ""}, {"markup", "lots", "is not a number"}, {"markup", "1001", "Allowed is 0 to 1000."}, {"tax", "19", ""}, {"tax", "-1", "Allowed is"},
		{"discount", "101", "Allowed is 0 to 100."}, {"rate", "62.50", ""}, {"currency", "eur", ""}, {"currency", "Euro", "Not a currency"}, {"currency", "kwd", ""},
		{"valid", "2027-02-29", "Not a day"}, {"valid", "2028-02-29", ""}, {"valid", "", ""}, {"shop", " My \n shop ", ""}, {"shop", strings.Repeat("x", 81), "Longer than 80"}, {"spare", "", ""},
	} {
		p.SetQuote(c.key, c.text)
		d, wrong := p.quoting.drafts[c.key]
		assert.Equal(t, c.wrong != "", wrong, "%+v", c)
		assert.Contains(t, d.message, c.wrong)
		if wrong {
			assert.Equal(t, c.text, d.text, "nothing typed is lost")
		}
	}
	s := p.quoting.now()
	assert.Equal(t, "12.5 19 62.5 KWD My shop", strings.Join([]string{s.Markup.String(), s.Tax.String(), s.Rate.String(), s.Currency, s.Shop}, " "))
	assert.Zero(t, s.Spare)
	p.SetQuote("nonsense", "1")

	p.SetHours(0, "2,5")
	p.SetHours(1, "x")
	p.SetStep(1, " Other\nname ")
	p.AddStep()
	p.SetTerms("One\r\nTwo\n")
	s = p.quoting.now()
	assert.Equal(t, quote.Step{Name: "Sort and test cells", Hours: 2_500_000}, s.Steps[0])
	assert.Equal(t, "Other name", s.Steps[1].Name)
	assert.Len(t, s.Steps, 6)
	assert.Equal(t, "One\nTwo", s.Terms)
	_, err := p.offer()
	assert.ErrorContains(t, err, "mend it first", "with a field in error nothing goes out")
	p.SetTerms(strings.Repeat("x", quote.MaxTerms+1))
	assert.Contains(t, p.quoting.drafts["terms"].message, "Longer")
	p.DropStep(1)
	assert.Len(t, p.quoting.now().Steps, 5)
	p.DropStep(99)
	p.SetHours(99, "1")
	for range 40 {
		p.AddStep()
	}
	assert.Len(t, p.quoting.now().Steps, quote.MaxSteps)
	assert.Equal(t, p.quoting.now(), recalledShop(t, stored).quoting.now())
	assert.NotContains(t, p.Link(), "shop", "the build's link holds none of it")
}

// priced is a planner with a list and settings whose private parts can be told.
func priced(t *testing.T) *Planner {
	p, _ := shopping(t)
	list := price.Demo()
	for i := range list {
		list[i].ID, list[i].Note, list[i].Name = "PRIVATE-ID", "PRIVATE-NOTE", "PRIVATE-NAME"
		list[i].ID += list[i].For
	}
	p.ReadPrices(string(list.JSON()))
	for key, text := range map[string]string{"shop": "A & B <boards>", "customer": "“C”", "markup": "17.317", "discount": "3.713", "tax": "19", "rate": "61.37", "valid": "2027-01-31"} {
		p.SetQuote(key, text)
	}
	p.SetTerms("Half in advance.\n<script>alert(1)</script>")
	p.SetHours(0, "2.317")
	return p
}

func TestCustomersViewHasTheTotalsAndNothingPrivate(t *testing.T) {
	p := priced(t)
	p.SetOpen(quoteID, true)
	n := show(t, p)
	list, _ := p.quotes(nil)
	q := list[0].quote
	require.NoError(t, list[0].err)
	assert.Equal(t, p.quoting.now().Money().Text(q.Total), value(find(n, attribute("data-sum", "total")), "data-value"))
	assert.Equal(t, p.quoting.now().Money().Text(q.Cost), value(find(n, attribute("data-sum", "cost")), "data-value"))

	var address string
	p.OnCopyOffer = func(fragment string, done func(string, bool)) {
		address = "https://shop.example/#" + fragment
		done(address, true)
	}
	p.CopyOffer()
	assert.Contains(t, p.quoting.message, "is copied")
	text, ok := preview.In(address)
	require.True(t, ok)
	customer := opened(t, "v=1")
	customer.OpenOffer(text)
	require.True(t, customer.Offered())
	n = page(t, customer)
	for key, a := range map[string]money.Amount{"net": q.Net, "tax": q.Tax, "total": q.Total} {
		assert.Equal(t, p.quoting.now().Money().Text(a), value(find(n, attribute("data-sum", key)), "data-value"), key)
	}
	whole := text + render(t, n)
	for _, private := range []string{"PRIVATE", "17.317", "3.713", "61.37", "2.317", p.quoting.now().Money().Text(q.Cost), p.quoting.now().Money().Text(q.Markup)} {
		assert.NotContains(t, whole, private)
	}
	assert.Nil(t, find(n, element("script")))
	assert.Contains(t, tidy(n), "A & B <boards>")
	assert.Contains(t, tidy(n), "<script>alert(1)</script>", "as words")
	assert.Contains(t, tidy(n), "A preview is not a contract")
	assert.Nil(t, find(n, element("textarea")), "nothing can be entered")
	for _, note := range customer.offered.plans[0].report.Notes {
		assert.Contains(t, tidy(n), strings.Join(strings.Fields(note.Text), " "), "everything to know is told")
	}
	assert.Nil(t, find(n, attribute("data-message", "passed")))
	customer.Today = "2027-02-01"
	assert.NotNil(t, find(page(t, customer), attribute("data-message", "passed")))
	customer.Today = "2027-01-31"
	assert.Nil(t, find(page(t, customer), attribute("data-message", "passed")), "the last day counts")

	p.OnCopyOffer = func(fragment string, done func(string, bool)) { done("x", false) }
	p.CopyOffer()
	assert.Equal(t, "x", p.quoting.address)
}

// render is a tree as text, attributes included.
func render(t *testing.T, n *html.Node) string {
	var out bytes.Buffer
	require.NoError(t, html.Render(&out, n))
	return out.String()
}

func TestDamagedPreviewShowsNothing(t *testing.T) {
	p := priced(t)
	text, err := p.offer()
	require.NoError(t, err)
	customer := opened(t, "v=1")
	for _, bad := range []string{"", text[:len(text)/2], strings.Replace(text, text[40:41], "A", 1)[:len(text)-1], "<script>"} {
		customer.OpenOffer(bad)
		n := page(t, customer)
		assert.Contains(t, tidy(find(n, attribute("data-message", "offer"))), "cut off or changed")
		assert.Nil(t, find(n, element("table")))
		assert.NotContains(t, tidy(n), "A & B")
		customer.CloseOffer()
		assert.False(t, customer.Offered())
	}
	customer.OpenOffer("x")
	customer.PlayOffer()
	assert.False(t, customer.Offered())
	assert.Equal(t, "v=1", customer.Link())
}

func TestOptionsSideBySide(t *testing.T) {
	p := priced(t)
	p.TypeName("Tall")
	p.Slide("s", "20")
	p.SaveBuild()
	p.TogglePin()
	p.Slide("p", "3")
	p.TogglePinnedOption()
	p.ToggleOption(p.shelf.list[0].ID)
	text, err := p.offer()
	require.NoError(t, err)
	o, err := preview.Decode(text)
	require.NoError(t, err)
	require.Len(t, o.Options, 3)
	assert.Equal(t, []string{"v=1&s=20&p=3", "v=1&s=20", "v=1&s=20"}, []string{o.Options[0].Link, o.Options[1].Link, o.Options[2].Link})
	assert.Equal(t, "Tall", o.Options[2].Name)
	assert.Equal(t, o.Options[1].Total, o.Options[2].Total)
	assert.Greater(t, o.Options[0].Total, o.Options[1].Total, "twenty cells more")

	p.ShowOffer()
	assert.True(t, p.Offered())
	p.ChooseOffer(1)
	p.ChooseOffer(7)
	n := page(t, p)
	assert.Equal(t, o.Currency.Text(o.Options[1].Total), value(find(n, attribute("data-sum", "total")), "data-value"))
	p.PrintOffer()
	assert.NotNil(t, find(page(t, p), class("print-quote")))
	p.Printing = ""
	p.CloseOffer()
	assert.Equal(t, "v=1&s=20&p=3", p.Link(), "the shop's build is as it was")
	p.ShowOffer()
	p.ChooseOffer(1)
	p.PlayOffer()
	assert.Equal(t, "v=1&s=20", p.Link())
	p.Undo()
	assert.Equal(t, "v=1&s=20&p=3", p.Link())

	for i := range 5 {
		p.TypeName("more " + strings.Repeat("i", i))
		p.SaveBuild()
		p.ToggleOption(p.shelf.list[i+1].ID)
	}
	p.SetOpen(quoteID, true)
	assert.NotNil(t, find(show(t, p), attribute("data-message", "options")), "a fifth is not left out in silence")
	p.ToggleOption(p.shelf.list[0].ID)
}

func TestUnpricedLinesAreShownAsSuch(t *testing.T) {
	p, _ := shopping(t)
	p.ReadPrices("name,price,for\nCell,4,cell\nLead,3,lead\n")
	for _, id := range []string{quoteID, "out-quote-lines"} {
		p.SetOpen(id, true)
	}
	n := show(t, p)
	assert.Contains(t, tidy(find(n, attribute("data-line", "motor"))), "no price")
	assert.NotContains(t, tidy(find(n, attribute("data-line", "cell"))), "no price")
	assert.Contains(t, tidy(find(n, attribute("data-sum", "total"))), "incomplete")
	assert.Contains(t, tidy(find(n, attribute("data-line", "sense"))), "An allowance")
	p.ReadPrices("name,price\nAny motor,100\n")
	p.PickItem("motor:hub6-wide", "Any motor")
	assert.NotContains(t, tidy(find(show(t, p), attribute("data-line", "motor"))), "no price")
	p.ShowOffer()
	n = page(t, p)
	assert.Contains(t, tidy(n), "no price yet")
	assert.NotNil(t, find(n, attribute("data-message", "open")))
}

// A folded card costs nothing: nothing is priced, and nothing of the list is drawn.
func TestFoldedCardsCostNothing(t *testing.T) {
	p := priced(t)
	var c QuoteCard
	c.P = p
	c.Compute()
	assert.Empty(t, c.options)
	l := PriceList{P: p}
	l.Compute()
	assert.Empty(t, l.rows)
	n := show(t, p)
	assert.Nil(t, find(n, attribute("data-item", "PRIVATE-IDcell")))
	assert.Nil(t, find(n, attribute("data-sum", "total")))
}

func TestALongListIsFound(t *testing.T) {
	p, _ := shopping(t)
	var text strings.Builder
	text.WriteString("id,name,price\n")
	for range 3 {
		for c := 'a'; c <= 'z'; c++ {
			text.WriteString(strings.Repeat(string(c), text.Len()%7+1) + string(c) + ",Thing " + string(c) + ",1\n")
		}
	}
	p.ReadPrices(text.String())
	p.SetOpen(pricesID, true)
	l := PriceList{P: p}
	l.Compute()
	assert.Len(t, l.rows, maxPriced)
	assert.Equal(t, len(p.prices.list)-maxPriced, l.more)
	p.FindPrice("thing Q")
	l.Compute()
	require.NotEmpty(t, l.rows)
	for _, it := range l.rows {
		assert.Equal(t, "Thing q", it.Name)
	}
	assert.Zero(t, l.more)
}

func TestNoSumsOfNothing(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen(quoteID, true)
	root := show(t, p)
	assert.Empty(t, all(root, carries("data-sum")))
	assert.NotNil(t, find(root, attribute("data-message", "quote-unlisted")))
	p.DemoPrices()
	root = show(t, p)
	assert.NotEmpty(t, all(root, carries("data-sum")))
	assert.Nil(t, find(root, attribute("data-message", "quote-unlisted")))
}
