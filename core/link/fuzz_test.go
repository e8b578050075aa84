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
	f.Add("s=20&beside=v%3D1%26p%3D3%26later%3Dx")
	f.Add("v=2&beside=%23s%3D99%26beside%3Ds%253D9&beside=%25&beside")
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
		if l.Beside == "" {
			return
		}
		second := link.Decode(l.Beside)
		require.NoError(t, second.Build.Validate())
		require.Empty(t, second.Problems, "%q", l.Beside)
		require.Equal(t, l.Beside, link.Encode(&second.Build, second.Unknown), "it is canonical")
		both := link.Decode(link.EncodeBoth(&l.Build, l.Unknown, l.Beside))
		require.True(t, both.Build == l.Build)
		require.Equal(t, l.Beside, both.Beside)
		require.Equal(t, l.Unknown, both.Unknown)
		require.Empty(t, both.Problems)
	})
}
