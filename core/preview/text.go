package preview

import (
	"encoding/base64"

	"headroom/core/money"
)

var alphabet = base64.RawURLEncoding.Strict()

// Encode is the offer as text, to stand behind Key and "=" in a fragment.
func (o *Offer) Encode() (string, error) {
	w := writer{places: map[string]uint64{}}
	w.out = append(w.out, Version)
	w.offer(o)
	sum := checksum(w.out)
	w.out = append(w.out, byte(sum>>24), byte(sum>>16), byte(sum>>8), byte(sum))
	text := alphabet.EncodeToString(w.out)
	if len(text) > MaxText {
		return "", ErrBounds
	}
	return text, nil
}

// Decode reads what Encode wrote. Whatever is wrong with a text, nothing of it comes back.
func Decode(text string) (Offer, error) {
	if len(text) > MaxText {
		return Offer{}, ErrDamaged
	}
	data, err := alphabet.DecodeString(text)
	if err != nil || len(data) < 6 {
		return Offer{}, ErrDamaged
	}
	body, tail := data[:len(data)-4], data[len(data)-4:]
	if checksum(body) != uint32(tail[0])<<24|uint32(tail[1])<<16|uint32(tail[2])<<8|uint32(tail[3]) {
		return Offer{}, ErrDamaged
	}
	if body[0] > Version {
		return Offer{}, ErrNewer
	}
	r := reader{data: body[1:]}
	o := r.offer()
	if r.failed || len(r.data) > 0 || body[0] != Version || !o.valid() {
		return Offer{}, ErrDamaged
	}
	if again, err := o.Encode(); err != nil || again != text {
		return Offer{}, ErrDamaged
	}
	if !o.known() {
		return Offer{}, ErrNewer
	}
	return o, nil
}

// checksum is CRC-32 bit by bit: an offer is short, and a table is not.
func checksum(data []byte) uint32 {
	crc := ^uint32(0)
	for _, b := range data {
		crc ^= uint32(b)
		for range 8 {
			crc = crc>>1 ^ 0xedb88320&-(crc&1)
		}
	}
	return ^crc
}

type writer struct {
	out    []byte
	places map[string]uint64 // of texts that have been written
}

func (w *writer) number(v uint64) {
	for ; v > 127; v >>= 7 {
		w.out = append(w.out, byte(v)|128)
	}
	w.out = append(w.out, byte(v))
}

func (w *writer) text(s string) {
	if at, ok := w.places[s]; ok {
		w.number(2*at + 1)
		return
	}
	w.places[s] = uint64(len(w.places))
	w.number(2 * uint64(len(s)))
	w.out = append(w.out, s...)
}

func (w *writer) decimal(d money.Decimal) {
	zeros := uint64(0)
	for ; zeros < money.Digits && d%10 == 0; zeros++ {
		d /= 10
	}
	w.number(8*uint64(d) + zeros)
}

func (w *writer) offer(o *Offer) {
	for _, s := range []string{o.Shop, o.Customer, o.Valid, o.Terms, o.Currency.Code} {
		w.text(s)
	}
	flags := uint64(0)
	if o.Invented {
		flags = 1
	}
	w.number(flags)
	w.number(uint64(len(o.Options)))
	for i := range o.Options {
		option := &o.Options[i]
		w.text(option.Name)
		w.text(option.Link)
		w.number(uint64(len(option.Lines)))
		for _, l := range option.Lines {
			w.text(l.Name)
			w.text(l.Unit)
			w.decimal(l.Quantity)
			if l.Open {
				w.number(0)
			} else {
				w.number(uint64(l.Amount) + 1)
			}
		}
		w.number(uint64(option.Discount))
		w.decimal(option.TaxRate)
		w.number(uint64(option.Total))
	}
}

// reader reads what writer writes. After a failure it gives empty values.
type reader struct {
	data   []byte
	texts  []string
	failed bool
}

func (r *reader) fail() {
	r.data, r.failed = nil, true
}

// number reads at most 56 bits: more than any number in an offer has.
func (r *reader) number() (v uint64) {
	for shift := 0; shift < 56; shift += 7 {
		if len(r.data) == 0 {
			break
		}
		b := r.data[0]
		r.data = r.data[1:]
		v |= uint64(b&127) << shift
		if b < 128 {
			return v
		}
	}
	r.fail()
	return 0
}

// count reads how many things follow, each of which takes a byte at least.
func (r *reader) count(most int) int {
	n := r.number()
	if n > uint64(min(most, len(r.data))) {
		r.fail()
		return 0
	}
	return int(n)
}

func (r *reader) text() string {
	n := r.number()
	switch at := n / 2; {
	case n%2 == 1 && at < uint64(len(r.texts)):
		return r.texts[at]
	case n%2 == 0 && at <= uint64(len(r.data)):
		s := string(r.data[:at])
		r.data = r.data[at:]
		r.texts = append(r.texts, s)
		return s
	}
	r.fail()
	return ""
}

func (r *reader) decimal() money.Decimal {
	n := r.number()
	d, zeros := n/8, n%8
	if zeros > money.Digits || d > uint64(money.MaxDecimal) {
		r.fail()
		return 0
	}
	for range zeros {
		if d *= 10; d > uint64(money.MaxDecimal) {
			r.fail()
			return 0
		}
	}
	return money.Decimal(d)
}

func (r *reader) amount() money.Amount {
	n := r.number()
	if n > uint64(money.MaxAmount) {
		r.fail()
		return 0
	}
	return money.Amount(n)
}

func (r *reader) offer() (o Offer) {
	for _, to := range []*string{&o.Shop, &o.Customer, &o.Valid, &o.Terms} {
		*to = r.text()
	}
	o.Currency, _ = money.CurrencyFor(r.text())
	flags := r.number()
	if flags > 1 {
		r.fail()
	}
	o.Invented = flags == 1
	for range r.count(MaxOptions) {
		var option Option
		option.Name, option.Link = r.text(), r.text()
		for range r.count(MaxLines) {
			l := Line{Name: r.text(), Unit: r.text(), Quantity: r.decimal()}
			if n := r.number(); n == 0 {
				l.Open = true
			} else if l.Amount = money.Amount(n - 1); l.Amount > money.MaxAmount {
				r.fail()
			}
			option.Lines = append(option.Lines, l)
		}
		option.Discount, option.TaxRate = r.amount(), r.decimal()
		total := r.amount()
		if option.sum() != nil || option.Total != total {
			r.fail()
		}
		o.Options = append(o.Options, option)
	}
	return o
}
