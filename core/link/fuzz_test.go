package link_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"headroom/core/build"
	"headroom/core/link"

	"github.com/stretchr/testify/require"
)

// FuzzDecode feeds Decode with anything. Its seeds stand in testdata/fuzz; what the fuzzer finds is kept there.
func FuzzDecode(f *testing.F) {
	for i := range build.Fields {
		f.Add(build.Fields[i].Key + "=1")
	}
	f.Fuzz(func(t *testing.T, text string) {
		l := link.Decode(text)
		require.NoError(t, l.Build.Validate())
		for _, p := range l.Problems {
			require.NotEmpty(t, p.Text)
			require.Less(t, utf8.RuneCountInString(p.Text), 400, "a message is one line")
			require.False(t, strings.ContainsAny(p.Text, "\n\r"), "a message is one line: %q", p.Text)
		}
		once := link.Encode(&l.Build, l.Unknown)
		again := link.Decode(once)
		require.True(t, again.Build == l.Build, "%q opens as another build", once)
		require.Equal(t, l.Unknown, again.Unknown, "%q", once)
		require.Empty(t, again.Problems, "%q", once)
		require.Equal(t, once, link.Encode(&again.Build, again.Unknown))
	})
}
