package ui

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/limit"
)

func TestForeignTextStaysText(t *testing.T) {
	const plain = "v=1&aa=1&s=x"
	shape := func(address string) []string {
		p := NewPlanner()
		p.Open(address)
		var tags []string
		for _, n := range all(show(t, p)) {
			tags = append(tags, n.Data)
			for _, a := range n.Attr {
				require.False(t, strings.HasPrefix(a.Key, "on"), "a handler as an attribute: %s", a.Key)
			}
		}
		return tags
	}
	want := shape(plain)
	for _, evil := range []string{
		"<script>alert(1)</script>", `"><img src=x onerror=alert(1)>`, "'><svg/onload=alert(1)>", "</ul></div><h1>Owned</h1>",
		"javascript:alert(1)", "&lt;b&gt;&#60;i>", "{{.}}", "\u202egnp.exe\u202c", "\u2066x\u2069\u200f", "a\x00b", "\xff\xfe", strings.Repeat("A<b>", 1250),
	} {
		for _, address := range []string{"v=1&" + escape(evil) + "=1&s=x", "v=1&aa=" + escape(evil) + "&s=x", "v=1&aa=1&s=" + escape(evil)} {
			assert.Equal(t, want, shape(address), "%.60q makes no element", address)
			p := NewPlanner()
			p.Open(address)
			message := find(show(t, p), attribute("data-message", "link"))
			require.NotNil(t, message)
			assert.Less(t, len([]rune(tidy(message))), 300, "%.60q", address)
			assert.NotRegexp(t, "[\u202a-\u202e\u2066-\u2069]", text(message), "%.60q turns the writing of the message round", address)
			assert.Len(t, all(message, element("li")), 2)
		}
	}
	p := NewPlanner()
	p.Open("v=1&" + escape("<i>x</i>") + "=1")
	assert.Contains(t, tidy(find(show(t, p), attribute("data-message", "link"))), "“<i>x</i>” is not known here", "it is named as it is")
}

// escape is written out so that the test does not rest on what the program uses.
func escape(s string) string {
	out := ""
	for i := range len(s) {
		if c := s[i]; c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' {
			out += string(c)
		} else {
			out += "%" + strings.ToUpper(strconv.FormatUint(uint64(c)+0x100, 16)[1:])
		}
	}
	return out
}

func TestMessagesAreSaid(t *testing.T) {
	p := NewPlanner()
	assert.Nil(t, find(show(t, p), carries("data-message")), "nothing to say")
	p.Open("v=1&s=99&later=1")
	root := show(t, p)
	message := find(root, attribute("data-message", "link"))
	require.NotNil(t, message)
	assert.Equal(t, "status", value(message, "role"))
	assert.Contains(t, tidy(message), "Cells in series must be a whole number between 8 and 40; using 40.")
	assert.Contains(t, tidy(message), "“later” is not known here")

	p.Type("kpa", "999")
	root = show(t, p)
	typed := find(root, attribute("name", "kpa"), attribute("type", "text"))
	assert.Equal(t, "true", value(typed, "aria-invalid"))
	said := find(root, attribute("id", strings.Fields(value(typed, "aria-describedby"))[0]))
	assert.Equal(t, "alert", value(said, "role"))
	assert.Equal(t, p.Entry("kpa").Message, tidy(said))
	assert.Equal(t, "false", value(find(root, attribute("name", "s"), attribute("type", "text")), "aria-invalid"))
}

func TestNotesAreAllShown(t *testing.T) {
	for _, address := range links {
		p := NewPlanner()
		p.Open(address)
		root := show(t, p)
		for _, n := range p.Report.Notes {
			shown := find(root, attribute("data-note", n.Code))
			require.NotNil(t, shown, n.Code)
			assert.Contains(t, tidy(shown), n.Text)
			assert.Equal(t, n.Status != limit.Clear, find(shown, class("st")) != nil, n.Code)
		}
	}
}
