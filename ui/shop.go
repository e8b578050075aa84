package ui

// shop is what belongs to whoever builds boards for others: the price list, and what a quote is made with. All of it stays on the device.
type shop struct {
	prices    prices
	quoting   quoting
	offered   *offered // the preview that is shown instead of the planner; nil for none
	lastOffer *offered // the one that the planner was opened from, to go back to; nil for none
	Today     string   // as 2026-12-31, for what has passed; "" where nobody has told

	// OnStore writes a text on the device under one of the Store names. done is called once it is kept, or with why it is not; the page is
	// drawn anew after it.
	OnStore func(name, text string, done func(failure string))
	// OnMoney writes an amount, given in plain digits, with so many of them after the point, as the reader's language does; "" where nothing
	// knows how. It adds no currency.
	OnMoney func(plain string, digits int) string
	// OnCopyOffer puts the address of a preview on the clipboard.
	OnCopyOffer func(fragment string, done func(address string, ok bool))
}

// What is stored on the device, apart from the small texts of desk.go: a price list may be large.
const (
	StorePrices   = "prices"
	StoreQuote    = "quote"
	notStored     = "This device does not keep it: "
	goneWhenClose = " Save it as a file, or it is gone when this page is closed."
)

// Stored brings back what the device kept under a Store name, "" where there was nothing; failure says why it could not be read.
func (p *Planner) Stored(name, text, failure string) {
	switch name {
	case StorePrices:
		p.recallPrices(text, failure)
	case StoreQuote:
		p.recallQuote(text, failure)
	}
}

func (p *Planner) put(name, text string, trouble *string) {
	*trouble = ""
	if p.OnStore == nil {
		return
	}
	p.OnStore(name, text, func(failure string) {
		if *trouble = ""; failure != "" {
			*trouble = notStored + failure + goneWhenClose
		}
	})
}
