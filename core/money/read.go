package money

import (
	"errors"
	"strings"
)

// What a text can be wrong in, for a person. The text itself is shown beside it.
var (
	errEmpty     = errors.New("is empty")
	errNoNumber  = errors.New("is not a number")
	errTooFine   = errors.New("has more than six digits after the point")
	errTooMuch   = errors.New("is more than a thousand million")
	errAmbiguous = errors.New("could be a fraction or thousands: write it without the mark, or with another number of digits after it")
)

// Point and Comma are the decimal marks; Unknown is that of a table that does not show it.
const (
	Point   = '.'
	Comma   = ','
	Unknown = 0
)

// Read reads a decimal as people and tables write it: "12.5", "12,5", "1 234.50", "1.234,50", "1'234.50". mark is the decimal mark of the
// table it stands in; the other one is taken as one too where it cannot be anything else. What could be a fraction or thousands ("1,234"
// where the mark is a point, and "1.234" too where it is unknown) is refused, for a price must not be wrong by a factor of a thousand.
func Read(text string, mark byte) (Decimal, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return 0, errEmpty
	}
	digits, negative, ok := tight(text)
	if !ok {
		return 0, errNoNumber
	}
	point, comma := strings.Count(digits, "."), strings.Count(digits, ",")
	switch {
	case point > 0 && comma > 0:
		// The last one is the decimal mark, the others group thousands.
		mark = digits[strings.LastIndexAny(digits, ".,")]
		if strings.Count(digits, string(mark)) != 1 || !grouped(digits, mark) {
			return 0, errNoNumber
		}
		digits = strings.ReplaceAll(digits, string(other(mark)), "")
	case point+comma > 1:
		// The same mark several times groups thousands.
		mark = digits[strings.IndexAny(digits, ".,")]
		if !grouped(digits, other(mark)) {
			return 0, errNoNumber
		}
		digits = strings.ReplaceAll(digits, string(mark), "")
	case point+comma == 1:
		at := strings.IndexAny(digits, ".,")
		if digits[at] != mark && looksLikeThousands(digits, at) {
			return 0, errAmbiguous
		}
		mark = digits[at]
	default:
		return number(digits, negative)
	}
	return number(strings.Replace(digits, string(mark), ".", 1), negative)
}

// spaces are what people put between groups of digits besides the marks.
var spaces = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ", "'", " ", "’", " ")

// tight takes the sign and the spaces between groups away; ok is false where a space stands anywhere else, as in "1 50".
func tight(text string) (digits string, negative, ok bool) {
	digits, negative = strings.CutPrefix(strings.Replace(strings.TrimSpace(text), "−", "-", 1), "-")
	groups := strings.Split(spaces.Replace(strings.TrimSpace(digits)), " ")
	for i, g := range groups {
		before, after := len(g)-1-strings.LastIndexAny(g, ".,"), strings.IndexAny(g, ".,")
		if after < 0 {
			after = len(g)
		}
		if i > 0 && after != 3 || i < len(groups)-1 && (before < 1 || before > 3) {
			return "", false, false
		}
	}
	return strings.Join(groups, ""), negative, true
}

func other(mark byte) byte { return Point + Comma - mark }

// grouped reports whether every mark but the decimal one has three digits after it.
func grouped(digits string, decimal byte) bool {
	whole, _, _ := strings.Cut(digits, string(decimal))
	groups := strings.Split(whole, string(other(decimal)))
	for i, g := range groups {
		if i > 0 && len(g) != 3 || i == 0 && (len(g) == 0 || len(g) > 3) {
			return false
		}
	}
	return true
}

// looksLikeThousands tells "1,234" and "12.500" from "0,125", "1,25" and "1234,567".
func looksLikeThousands(digits string, at int) bool {
	return len(digits)-at-1 == 3 && at >= 1 && at <= 3 && digits[0] != '0'
}

// Marks counts the numbers in which only a comma, or only a point, can be the decimal mark.
func Marks(text string) (points, commas int) {
	digits, _, ok := tight(text)
	at := strings.LastIndexAny(digits, ".,")
	if !ok || at < 0 || strings.Trim(digits, "0123456789.,") != "" {
		return 0, 0
	}
	if n := strings.Count(digits, string(digits[at])); n > 1 || !strings.ContainsRune(digits, rune(other(digits[at]))) && looksLikeThousands(digits, at) {
		return 0, 0
	}
	if digits[at] == Comma {
		return 0, 1
	}
	return 1, 0
}

// number reads digits with at most one point.
func number(text string, negative bool) (Decimal, error) {
	whole, fraction, _ := strings.Cut(text, ".")
	fraction = strings.TrimRight(fraction, "0")
	if whole == "" && strings.Trim(text, ".") == "" || strings.Trim(whole+fraction, "0123456789") != "" {
		return 0, errNoNumber
	}
	if len(fraction) > Digits {
		return 0, errTooFine
	}
	whole = strings.TrimLeft(whole, "0")
	if len(whole) > 10 {
		return 0, errTooMuch
	}
	v := Decimal(0)
	for _, d := range whole + fraction + strings.Repeat("0", Digits-len(fraction)) {
		v = 10*v + Decimal(d-'0')
	}
	if v > MaxDecimal {
		return 0, errTooMuch
	}
	if negative {
		return -v, nil
	}
	return v, nil
}
