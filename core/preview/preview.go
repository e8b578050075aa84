// Package preview is what a customer may see of a quote, as a text for the fragment of an address: offer=… It holds lines with the
// customer's prices, and neither cost nor markup, nor items, notes, hours, rates and how a discount came about: what is not in Offer cannot
// be in the link.
//
// # Form
//
// base64url without padding (RFC 4648, section 5) of
//
//	version   one byte, 1
//	offer     shop customer valid terms currency, flags, number of options, the options
//	option    name link, number of lines, the lines, discount, tax rate, total
//	line      name unit quantity, amount + 1 or 0 where there is no price
//	checksum  CRC-32 of all before it (ISO-HDLC, as in gzip and zlib), four bytes, the highest first
//
// Numbers are unsigned LEB128. A text is twice its length in bytes and then its bytes, or, where the same text stood before, twice the place
// that it had among the different ones and one more. A quantity is its digits times eight, and the number of zeros that they lack to millionths.
// Every offer has exactly one text; any other is refused.
//
// The checksum finds what a messenger or a hand has damaged or changed. It is no signature: who makes a new one has made another offer.
// Only the shop can say what it has offered.
//
// A text made today opens as the same offer for ever: another form is another version.
package preview

import (
	"errors"
	"strings"

	"headroom/core/link"
	"headroom/core/money"
	"headroom/core/plain"
	"headroom/core/price"
	"headroom/core/quote"
)

// Key is the key of the fragment.
const Key = "offer"

// Bounds of an offer.
const (
	Version    = 1
	MaxText    = 24 << 10 // characters
	MaxOptions = 4
	MaxLines   = 60
	maxNameAt  = 120 // characters of a line's or an option's name
)

// Offer is what the customer sees. Texts are as package plain leaves them.
type Offer struct {
	Shop     string
	Customer string
	Valid    string // last day, as 2026-12-31; "" for none
	Terms    string // several lines
	Currency money.Currency
	Invented bool // some prices are made up, to try things out
	Options  []Option
}

// Option is one build with its price.
type Option struct {
	Name     string
	Link     string // of the build, canonical
	Lines    []Line
	Discount money.Amount // ≥ 0, taken off
	TaxRate  money.Decimal
	Sums     // not all of it is in the text: what follows is computed
}

// Sums are the sums of an option.
type Sums struct {
	Subtotal money.Amount // Σ lines
	Net      money.Amount // less discount
	Tax      money.Amount
	Total    money.Amount
	Open     int // lines without a price
}

// Line is one part, or one step of the work.
type Line struct {
	Name     string
	Quantity money.Decimal // 0 where it is not counted
	Unit     string
	Amount   money.Amount // ≥ 0
	Open     bool         // no price
}

// What can be wrong with a text.
var (
	ErrDamaged = errors.New("this preview was cut off or changed on its way, so nothing of it is shown; ask the shop for the link again")
	ErrNewer   = errors.New("this preview was made by a newer version of the planner; load this page again with a connection, or ask the shop")
	ErrBounds  = errors.New("this quote does not fit a preview")
)

// Make is the offer that is made of a shop's quotes. Option names are shown; the rest of what a quote knows is left behind.
func Make(s *quote.Settings, quotes []quote.Quote) (Offer, error) {
	o := Offer{Shop: s.Shop, Customer: s.Customer, Valid: s.Valid, Terms: s.Terms, Currency: s.Money()}
	for i := range quotes {
		q := &quotes[i]
		o.Invented = o.Invented || q.Invented
		option := Option{Name: plain.Cut(plain.Line(q.Name), maxNameAt), Link: bare(q.Link), Discount: q.Discount, TaxRate: s.Tax}
		for j := range q.Lines {
			l := &q.Lines[j]
			m := l.Measures[0]
			option.Lines = append(option.Lines, Line{plain.Cut(l.Name, maxNameAt), m.Quantity, m.Unit, l.Amount, l.Item == nil})
		}
		for _, w := range q.Labor {
			option.Lines = append(option.Lines, Line{Name: w.Name, Amount: w.Amount, Open: s.Rate == 0})
		}
		if err := option.sum(); err != nil || option.Total != q.Total {
			return Offer{}, ErrBounds
		}
		o.Options = append(o.Options, option)
	}
	if !o.valid() {
		return Offer{}, ErrBounds
	}
	return o, nil
}

// bare is a link without the keys that nobody here knows: they could hold anything.
func bare(text string) string {
	l := link.Decode(text)
	return link.Encode(&l.Build, nil)
}

// sum computes the sums of an option.
func (o *Option) sum() (err error) {
	o.Sums = Sums{}
	for i := range o.Lines {
		if o.Lines[i].Open {
			o.Open++
			continue
		}
		if o.Subtotal, err = money.Add(o.Subtotal, o.Lines[i].Amount); err != nil {
			return err
		}
	}
	if o.Net, err = money.Add(o.Subtotal, -o.Discount); err != nil {
		return err
	}
	if o.Tax, err = money.Percent(o.Net, o.TaxRate); err != nil {
		return err
	}
	o.Total, err = money.Add(o.Net, o.Tax)
	return err
}

// valid reports whether an offer is within the bounds.
func (o *Offer) valid() bool {
	if c, ok := money.CurrencyFor(o.Currency.Code); !ok || c != o.Currency {
		return false
	}
	if !plain.Fits(o.Shop, quote.MaxName) || !plain.Fits(o.Customer, quote.MaxName) || !plain.FitsLines(o.Terms, quote.MaxTerms) || !quote.Day(o.Valid) {
		return false
	}
	if len(o.Options) == 0 || len(o.Options) > MaxOptions {
		return false
	}
	for i := range o.Options {
		if !o.Options[i].valid() {
			return false
		}
	}
	return true
}

func (o *Option) valid() bool {
	if o.Name == "" || !plain.Fits(o.Name, maxNameAt) || len(o.Lines) > MaxLines || o.Discount < 0 || o.Discount > o.Subtotal ||
		o.TaxRate < 0 || o.TaxRate > 100*money.One {
		return false
	}
	for _, l := range o.Lines {
		if !plain.Fits(l.Name, maxNameAt) || !plain.Fits(l.Unit, price.MaxUnit) || l.Quantity < 0 || l.Quantity > money.MaxDecimal || l.Amount < 0 ||
			l.Open && l.Amount != 0 {
			return false
		}
	}
	return len(o.Link) <= link.MaxLength
}

// known reports whether every build of an offer is one that this program understands to the last key.
func (o *Offer) known() bool {
	for i := range o.Options {
		if l := link.Decode(o.Options[i].Link); !l.Holds || len(l.Problems) > 0 || len(l.Unknown) > 0 || link.Encode(&l.Build, nil) != o.Options[i].Link {
			return false
		}
	}
	return true
}

// In returns the text of an offer that a fragment or a whole address holds; ok is false where it holds none.
func In(address string) (text string, ok bool) {
	if _, fragment, found := strings.Cut(address, "#"); found {
		address = fragment
	}
	return strings.CutPrefix(address, Key+"=")
}
