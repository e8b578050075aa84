package plain_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core/plain"
)

func TestLine(t *testing.T) {
	for text, want := range map[string]string{
		"  a \t b\r\nc ": "a b c", "": "", "\x00a\x1bb": "ab", "a\u202eb": "ab", "\ufeffa\u200b": "a", "a\u2028b": "a b", "\xff": "�", "日本 👩‍🔧": "日本 👩‍🔧",
	} {
		assert.Equal(t, want, plain.Line(text), "%q", text)
	}
	assert.Equal(t, "a\n\nb c\nd", plain.Lines("\r\n a\n\n\n \nb  c\rd\n\n"))
	assert.Equal(t, "abcd", plain.Cut("abcd", 4))
	assert.Equal(t, "ab…", plain.Cut("ab cde", 4))
	assert.True(t, plain.Fits("ä b", 3))
	assert.False(t, plain.Fits("ä b", 2))
	assert.False(t, plain.Fits("a\nb", 9))
	assert.True(t, plain.FitsLines("a\nb", 3))
	assert.False(t, plain.FitsLines("a\nb", 2))
}

func TestTidyIsTidy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		require.True(t, plain.Fits(plain.Line(text), 1e6))
		require.True(t, plain.FitsLines(plain.Lines(text), 1e6))
		require.False(t, strings.ContainsAny(plain.Line(text), "\n\r\t\x00\u202e"))
		require.LessOrEqual(t, utf8.RuneCountInString(plain.Cut(text, 7)), 7)
	})
}
