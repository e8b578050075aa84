package link_test

import (
	"net/url"
	"strconv"
	"strings"
	"testing"

	"headroom/core/internal/randombuild"
	"headroom/core/link"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestASecondBuildStandsBeside(t *testing.T) {
	l := link.Decode("https://example.org/#v=1&s=20&beside=v%3D1%26p%3D3%26later%3Da%2526b")
	assert.Equal(t, 20, l.Build.Series)
	assert.Equal(t, "v=1&p=3&later=a%26b", l.Beside)
	assert.Empty(t, l.Problems)
	assert.Empty(t, l.Unknown, "it is no foreign key")
	assert.Equal(t, "v=1&s=20", link.Encode(&l.Build, l.Unknown), "the build in hand is written alone")
	assert.Equal(t, "v=1&s=20&beside=v%3D1%26p%3D3%26later%3Da%2526b", link.EncodeBoth(&l.Build, l.Unknown, l.Beside))

	for text, want := range map[string]string{
		"v=1&beside=v%3D1": "v=1", // the standard build may stand there too
		"beside=https%3A%2F%2Fexample.org%2F%23v%3D1%26s%3D24": "v=1&s=24",
		"s=20&beside=s%3D24&beside=s%3D30":                     "v=1&s=24",
		"s=20&beside=s%3D99":                                   "v=1&s=40",
		"s=20&beside=v%3D7%26s%3D24%26new%3D1":                 "v=1&s=24&new=1",
		"s=20&beside=s%3D24%26beside%3Ds%253D30":               "v=1&s=24",
		"s=20&beside=":                                         "", "s=20&beside": "", "s=20&beside=hello": "", "s=20&beside=%3Cscript%3E": "", "s=20&beside=%zz": "",
	} {
		l := link.Decode(text)
		assert.Equal(t, want, l.Beside, text)
		assert.Equal(t, text == "v=1&beside=v%3D1" || strings.HasPrefix(text, "beside="), len(l.Problems) == 0, "%s: %v", text, l.Problems)
	}
	assert.True(t, link.Decode("beside=s%3D24").Holds)
	assert.False(t, link.Decode("beside=hello").Holds)
	assert.Contains(t, link.Decode("beside=s%3D99").Problems[0].Text, "beside it: Cells in series")
}

func TestTwoBuildsRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		one, two := randombuild.Any().Draw(t, "one"), randombuild.Any().Draw(t, "two")
		text := link.EncodeBoth(&one, nil, link.Encode(&two, nil))
		l := link.Decode(text)
		require.Empty(t, l.Problems)
		require.True(t, l.Build == one, text)
		require.True(t, link.Decode(l.Beside).Build == two, text)
		require.Less(t, len(text), 1999+len("&beside=")+5000)
	})
}

// Whatever is foreign in both, the link of both is read whole.
func TestTwoBuildsFitWhateverIsForeign(t *testing.T) {
	foreign := func() string {
		var s strings.Builder
		for i := range 40 {
			s.WriteString("&u" + strconv.Itoa(i) + "=" + strings.Repeat("\x01", 75))
		}
		return s.String()
	}
	l := link.Decode("s=20" + foreign() + "&beside=" + url.QueryEscape("s=24"))
	require.Len(t, l.Unknown, 32)
	require.Equal(t, "v=1&s=24", l.Beside)
	l = link.Decode("s=20&beside=" + url.QueryEscape("s=24"+foreign()))
	require.Equal(t, "v=1&s=24", l.Beside)
	require.Contains(t, l.Problems[len(l.Problems)-1].Text, "too many")
	l = link.Decode("s=20&beside=" + url.QueryEscape("s=24&u="+strings.Repeat("\x01", 75)))
	again := link.Decode(link.EncodeBoth(&l.Build, l.Unknown, l.Beside))
	require.Equal(t, l.Beside, again.Beside)
	require.Empty(t, again.Problems)
}
