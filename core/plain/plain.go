// Package plain tidies texts that come from people, files and links, so that they can stand in a line or a paragraph: nothing invisible in
// them, nothing that turns the direction of writing around, no control characters, no white space at the ends or twice.
//
// It does not escape anything. Whoever shows a text escapes it.
package plain

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Line is a text tidied to stand in one line.
func Line(text string) string {
	return strings.Join(strings.Fields(strings.Map(visible, strings.ToValidUTF8(text, "�"))), " ")
}

// Lines is a text tidied line by line; at most one empty line stands between two that are not, and none at the ends.
func Lines(text string) string {
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	var out []string
	for _, line := range strings.Split(text, "\n") {
		if line = Line(line); line != "" || len(out) > 0 && out[len(out)-1] != "" {
			out = append(out, line)
		}
	}
	return strings.TrimSuffix(strings.Join(out, "\n"), "\n")
}

func visible(r rune) rune {
	switch {
	case unicode.IsSpace(r):
		return ' '
	case unicode.In(r, unicode.Cc, unicode.Zl, unicode.Zp), unicode.Is(unicode.Bidi_Control, r), r == '\ufeff', r == '\u200b', r == '\u2060':
		return -1
	}
	return r
}

// Fits tells whether a text is as Line leaves it and has at most so many characters.
func Fits(text string, most int) bool {
	return Line(text) == text && utf8.RuneCountInString(text) <= most
}

// FitsLines tells whether a text is as Lines leaves it and has at most so many characters.
func FitsLines(text string, most int) bool {
	return Lines(text) == text && utf8.RuneCountInString(text) <= most
}

// Cut is a text that has at most so many characters, with a mark at its end where it had more.
func Cut(text string, most int) string {
	if utf8.RuneCountInString(text) <= most {
		return text
	}
	return strings.TrimSpace(string([]rune(text)[:most-1])) + "…"
}
