package render

import "strings"

// escapes are what html.EscapeString writes, and so all that vg-content of a value puts into InnerHTML.
var escapes = [...]struct{ code, text string }{
	{"&amp;", "&"}, {"&lt;", "<"}, {"&gt;", ">"}, {"&#34;", `"`}, {"&#39;", "'"},
}

// plainText returns the text that raw HTML stands for, and whether it is nothing but a text in which only escapes
// are used. The page sets a text far faster than it parses HTML, and most InnerHTML is a readout's number.
func plainText(raw string) (text string, ok bool) {
	// A parser would drop or change the control characters.
	if strings.ContainsAny(raw, "<\r\x00") {
		return "", false
	}
	if strings.IndexByte(raw, '&') < 0 {
		return raw, true
	}
	var b strings.Builder
next:
	for raw != "" {
		i := strings.IndexByte(raw, '&')
		if i < 0 {
			break
		}
		b.WriteString(raw[:i])
		raw = raw[i:]
		for _, e := range escapes {
			if rest, found := strings.CutPrefix(raw, e.code); found {
				b.WriteString(e.text)
				raw = rest
				continue next
			}
		}
		return "", false
	}
	b.WriteString(raw)
	return b.String(), true
}
