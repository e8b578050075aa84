// Package money counts in whole minor units of a currency, and in decimals of six digits where a price, a quantity or a rate is finer than
// that. Nothing in it is a binary fraction, so what it says is what a pocket calculator says.
//
//	amount of a line = price × quantity                       share of an amount = amount × per cent / 100
//
// each rounded once to the minor unit, a half away from zero: the rule of DIN 1333 and of school, and what a customer who checks a line by
// hand gets. Sums are sums of rounded amounts, so that a column adds up as it is printed. (The other rule in use, half to the even
// neighbour, favours nobody over many lines, but a reader takes it for a mistake in the one line that shows it.)
//
// What cannot be held is an error and never wraps around.
package money

import (
	"errors"
	"math/bits"
	"strconv"
	"strings"
)

// Amount is a sum of money in minor units of its currency, from −MaxAmount to MaxAmount.
type Amount int64

// MaxAmount is fifteen digits: more than any workshop bills, and few enough that a browser's number holds every one exactly.
const MaxAmount Amount = 999_999_999_999_999

// Decimal is an exact number in millionths, from −MaxDecimal to MaxDecimal: a unit price, a quantity, hours, or per cent.
type Decimal int64

// MaxDecimal is a thousand million.
const MaxDecimal Decimal = 1_000_000_000 * One

// One is the Decimal 1.
const One Decimal = 1_000_000

// Digits is how many digits a Decimal has after the point.
const Digits = 6

// ErrTooLarge says that a result is larger than can be held.
var ErrTooLarge = errors.New("larger than can be counted here")

// Whole is n as a Decimal; n is at most a thousand million.
func Whole(n int) Decimal { return Decimal(n) * One }

// Times is price × quantity in the currency's minor units, rounded half away from zero.
func (c Currency) Times(price, quantity Decimal) (Amount, error) {
	return scaled(int64(price), int64(quantity), powers[2*Digits-c.Digits])
}

// Percent is so many per cent of an amount, rounded half away from zero.
func Percent(a Amount, perCent Decimal) (Amount, error) {
	return scaled(int64(a), int64(perCent), 100*uint64(One))
}

// Add is the sum. It is the same in any order, and an error in any order, for amounts that are all of one sign.
func Add(amounts ...Amount) (Amount, error) {
	var sum Amount
	for _, a := range amounts {
		// Two amounts within the bound cannot wrap around; what is beyond it may not come in.
		if sum += a; !sum.held() || !a.held() {
			return 0, ErrTooLarge
		}
	}
	return sum, nil
}

func (a Amount) held() bool { return -MaxAmount <= a && a <= MaxAmount }

// Product is the product of two decimals, rounded half away from zero at the sixth digit.
func Product(a, b Decimal) (Decimal, error) {
	v, err := ratio(int64(a), int64(b), uint64(One))
	if err != nil || v < -int64(MaxDecimal) || v > int64(MaxDecimal) {
		return 0, ErrTooLarge
	}
	return Decimal(v), nil
}

// Quotient is a divided by b > 0, rounded half away from zero at the sixth digit.
func Quotient(a, b Decimal) (Decimal, error) {
	if b <= 0 {
		return 0, ErrTooLarge
	}
	v, err := ratio(int64(a), int64(One), uint64(b))
	if err != nil || v < -int64(MaxDecimal) || v > int64(MaxDecimal) {
		return 0, ErrTooLarge
	}
	return Decimal(v), nil
}

func scaled(a, b int64, by uint64) (Amount, error) {
	v, err := ratio(a, b, by)
	if err != nil || !Amount(v).held() {
		return 0, ErrTooLarge
	}
	return Amount(v), nil
}

// ratio is a·b/by, rounded half away from zero, by way of 128 bits.
func ratio(a, b int64, by uint64) (int64, error) {
	high, low := bits.Mul64(magnitude(a), magnitude(b))
	if high >= by {
		return 0, ErrTooLarge // the quotient has more than 64 bits
	}
	q, rest := bits.Div64(high, low, by)
	if q >= 1<<62 {
		return 0, ErrTooLarge
	}
	if rest >= by-rest {
		q++
	}
	if (a < 0) != (b < 0) {
		return -int64(q), nil
	}
	return int64(q), nil
}

func magnitude(v int64) uint64 {
	if v < 0 {
		return -uint64(v)
	}
	return uint64(v)
}

var powers = func() (p [2*Digits + 1]uint64) {
	p[0] = 1
	for i := range p[1:] {
		p[i+1] = 10 * p[i]
	}
	return p
}()

// Text is an amount in plain digits, as "1234.50" or "-0.05": for machines, and where nothing knows the reader's own way of writing it.
func (c Currency) Text(a Amount) string { return fixed(int64(a), c.Digits) }

// String is the number with as many digits as it has, as "0.035" or "12".
func (d Decimal) String() string {
	text := fixed(int64(d), Digits)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}

// MarshalText writes it as String does.
func (d Decimal) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (d *Decimal) UnmarshalText(text []byte) (err error) {
	*d, err = Read(string(text), Point)
	return err
}

func fixed(v int64, digits int) string {
	text := strconv.FormatUint(magnitude(v), 10)
	if missing := digits + 1 - len(text); missing > 0 {
		text = strings.Repeat("0", missing) + text
	}
	if digits > 0 {
		text = text[:len(text)-digits] + "." + text[len(text)-digits:]
	}
	if v < 0 {
		text = "-" + text
	}
	return text
}
