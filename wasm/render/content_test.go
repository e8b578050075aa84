package render

import (
	"html"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestPlainTextUndoesEscapes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.StringOf(rapid.SampledFrom([]rune(`a&<>"';#Ω`))).Draw(t, "text")
		got, ok := plainText(html.EscapeString(want))
		require.True(t, ok)
		require.Equal(t, want, got)
	})
}

func TestPlainTextLeavesRealHTMLAlone(t *testing.T) {
	for _, raw := range []string{"<b>", "a<br>", "&nbsp;", "a & b", "&", "&amp", "&#x41;", "a\rb", "a\x00"} {
		_, ok := plainText(raw)
		assert.False(t, ok, "%q", raw)
	}
}

func TestContentOfAReadoutIsSetAsText(t *testing.T) {
	s := newScreen()
	out := func(raw string) string {
		n := el("output")
		n.InnerHTML = &raw
		s.show(n)
		return s.find("output").html
	}
	assert.Equal(t, "50.4 V", out("50.4 V"))
	assert.Equal(t, "3 &lt; 4", out("3 &lt; 4"))
	assert.Equal(t, 1, s.count[opContent])
	assert.Zero(t, s.count[opHTML])
	assert.Equal(t, "<b>4</b>", out("<b>4</b>"))
	assert.Equal(t, 1, s.count[opHTML])
	s.show(el("output", "child"))
	assert.Equal(t, "", s.find("output").html)
	assert.Len(t, s.find("output").children, 1)
	assert.True(t, strings.HasPrefix(out("x"), "x"))
	assert.Empty(t, s.find("output").children)
}
