package ui

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// kelvin is a difference of temperatures within a sentence.
var kelvin = unit{"°F", 1.8, 0, 0}

// say is a sentence with its metric figures in the units shown: "only 25 mm are left" becomes "only 0.98 in are left". Figures of other
// units, and whatever is no figure with a unit, stay as they are.
func (u Units) say(text string) string { return u.restate(text, false) }

// cite is say for figures that stand fixed in a standard or a data sheet: they follow in brackets as they stand there.
func (u Units) cite(text string) string { return u.restate(text, true) }

func (u Units) restate(text string, both bool) string {
	if u == Metric {
		return text
	}
	var out strings.Builder
	before := ' ' // the character before the one at hand
	for text != "" {
		if number := leadingNumber(text); number != "" && !isLetter(before) && (before < '0' || before > '9') && !strings.ContainsRune("._^", before) {
			if n, shown := u.restated(text); n > 0 {
				out.WriteString(shown)
				if both {
					out.WriteString(" (" + text[:n] + ")")
				}
				before, text = ' ', text[n:]
				continue
			}
			out.WriteString(number)
			before, text = '0', text[len(number):]
			continue
		}
		r, size := utf8.DecodeRuneInString(text)
		out.WriteString(text[:size])
		before, text = r, text[size:]
	}
	return out.String()
}

// isLetter tells what our texts have of letters, without the tables that tell all of the world's: they would weigh more than this file.
func isLetter(r rune) bool {
	return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= 'À' && r < '\u2000'
}

// joiners stand between two figures of one unit.
var joiners = []string{" to ", "–", "…", " or ", " and "}

// restated converts the figure that a text begins with, or two of one unit, as "0 to 45 °C"; n is the length of what it converts, 0 where
// there is nothing to.
func (u Units) restated(text string) (n int, shown string) {
	first := leadingNumber(text)
	rest := text[len(first):]
	second, joiner := "", ""
	for _, j := range joiners {
		if after, ok := strings.CutPrefix(rest, j); ok {
			if second = leadingNumber(after); second != "" {
				joiner, rest = j, after[len(second):]
				break
			}
		}
	}
	gap := ""
	for _, blank := range []string{" ", "\u00a0", "\u202f"} {
		if after, ok := strings.CutPrefix(rest, blank); ok {
			gap, rest = blank, after
		}
	}
	x, length := u.leadingUnit(rest)
	if gap == "" || length == 0 {
		return 0, ""
	}
	shown = x.inText(first)
	if second != "" {
		shown += joiner + x.inText(second)
	}
	return len(text) - len(rest) + length, shown + gap + x.name
}

// leadingNumber is the decimal number that a text begins with, "" for none.
func leadingNumber(text string) string {
	at := 0
	for _, sign := range []string{"-", "−"} {
		if strings.HasPrefix(text, sign) {
			at = len(sign)
		}
	}
	digits := at
	for at < len(text) && (text[at] >= '0' && text[at] <= '9' || text[at] == '.' && at > digits && at+1 < len(text) && text[at+1] >= '0' && text[at+1] <= '9') {
		at++
	}
	if at == digits {
		return ""
	}
	return text[:at]
}

// leadingUnit is the unit to show for the metric one that a text begins with, the longest there is, and that one's length; 0 for none.
func (u Units) leadingUnit(text string) (x unit, length int) {
	name := text
	if end := strings.IndexFunc(text, func(r rune) bool { return !isLetter(r) && !strings.ContainsRune("°/·²³^", r) }); end >= 0 {
		name = text[:end]
	}
	name = strings.TrimSuffix(name, "…")
	if name == "K" {
		return kelvin, len(name)
	}
	if x = u.of(name); x.name == name {
		return x, 0
	}
	return x, len(name)
}

// inText converts a number as written, to as many digits as say the same.
func (x unit) inText(number string) string {
	sign := ""
	if rest, ok := strings.CutPrefix(number, "−"); ok {
		sign, number = "-", rest
	}
	v, err := strconv.ParseFloat(sign+number, 64)
	if err != nil {
		return number
	}
	_, after, _ := strings.Cut(number, ".")
	text := decimal(x.shown(v), max(0, len(after)+x.digits))
	return strings.Replace(text, "-", "−", 1)
}
