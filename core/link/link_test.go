package link_test

import (
	"fmt"
	"math"
	"net/url"
	"strings"
	"testing"

	"headroom/core/build"
	"headroom/core/internal/randombuild"
	"headroom/core/link"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// canonical is the link that a text turns into.
func canonical(text string) string {
	l := link.Decode(text)
	return link.Encode(&l.Build, l.Unknown)
}

func TestOnlyDifferencesInTheTablesOrder(t *testing.T) {
	for text, want := range map[string]string{
		"":                                "v=1",
		"v=1":                             "v=1",
		"s=18&p=2&kpa=130":                "v=1",
		"kpa=145&p=3&s=20":                "v=1&s=20&p=3&kpa=145",
		"fuse=60&cell=21700-energy&s=24":  "v=1&s=24&cell=21700-energy&fuse=60",
		"kpa=145.50&s=020&cruise=2.5e1":   "v=1&s=20&kpa=145.5&cruise=25",
		"kpa=145,5":                       "v=1&kpa=145.5",
		"kv=&s=20":                        "v=1&s=20",
		"kv=13.5":                         "v=1&kv=13.5",
		"grade=-0":                        "v=1",
		"grade=-1e-300&wind=1e-300":       "v=1",
		"&&s=20&&":                        "v=1&s=20",
		"s=%32%30":                        "v=1&s=20",
		"s=+20+":                          "v=1&s=20",
		"motor=hub5-wide&tire=slick-6&s=": "v=1&motor=hub5-wide&tire=slick-6",
	} {
		assert.Equal(t, want, canonical(text), text)
	}
}

func TestEveryFieldIsCarried(t *testing.T) {
	for i := range build.Fields {
		f := &build.Fields[i]
		b := build.Default()
		if f.Kind == build.Rows {
			require.Nil(t, f.Set(&b, "500~20~2_800~25.5~-1"))
		} else if f.Kind == build.Choice {
			f.SetValue(&b, float64((f.Index(&b)+1)%len(f.Options())))
		} else if f.SetValue(&b, f.Max); b == build.Default() {
			f.SetValue(&b, f.Min)
		}
		require.NotEqual(t, build.Default(), b, f.Key)
		text := link.Encode(&b, nil)
		assert.Equal(t, "v=1&"+f.Key+"="+f.Text(&b), text)
		l := link.Decode(text)
		assert.Equal(t, b, l.Build, text)
		assert.Empty(t, l.Problems)
		assert.Empty(t, l.Unknown)
		assert.True(t, l.Holds)
	}
}

func TestWhatCanBePasted(t *testing.T) {
	const want = "v=1&s=20&kpa=145"
	for _, text := range []string{
		"s=20&kpa=145", "?s=20&kpa=145", "#s=20&kpa=145", "#?s=20&kpa=145", "  #v=1&s=20&kpa=145\n",
		"https://example.org/plan/#v=1&s=20&kpa=145", "https://example.org/plan/?s=20&kpa=145",
		"https://example.org/plan/?s=30&p=9#v=1&s=20&kpa=145", "http://localhost:8080/?s=20&kpa=145#top",
		"file:///tmp/a.html#kpa=145&s=20", "?s=30#s=20&kpa=145", "s=20&kpa=145#",
	} {
		l := link.Decode(text)
		assert.Equal(t, want, link.Encode(&l.Build, l.Unknown), text)
		assert.Empty(t, l.Problems, text)
		assert.True(t, l.Holds, text)
	}
	for _, text := range []string{"", "  ", "#", "?", "https://example.org/", "https://example.org/plan/index.html", "#top", "hello", "x=1&y=2"} {
		l := link.Decode(text)
		assert.False(t, l.Holds, "%q names no build", text)
		assert.Equal(t, build.Default(), l.Build, text)
	}
}

func TestUnknownKeysAreKept(t *testing.T) {
	l := link.Decode("v=1&zeta=9&s=20&alpha=a%26b%3Dc&zeta=%F0%9F%9B%9E&flag")
	assert.Equal(t, []link.Pair{{Key: "zeta", Value: "9"}, {Key: "alpha", Value: "a&b=c"}, {Key: "zeta", Value: "🛞"}, {Key: "flag"}}, l.Unknown)
	assert.Empty(t, l.Problems)
	text := link.Encode(&l.Build, l.Unknown)
	assert.Equal(t, "v=1&s=20&zeta=9&alpha=a%26b%3Dc&zeta=%F0%9F%9B%9E&flag=", text)
	assert.Equal(t, text, canonical(text))

	var many []string
	for i := range 100 {
		many = append(many, fmt.Sprintf("u%d=%d", i, i))
	}
	l = link.Decode(strings.Join(many, "&") + "&s=20")
	assert.Len(t, l.Unknown, 32)
	assert.Equal(t, 20, l.Build.Series, "what is known is read all the same")
	assert.Len(t, l.Problems, 68)
	assert.Contains(t, l.Problems[0].Text, "u32")
}

func TestWhatIsWrongIsNamed(t *testing.T) {
	for _, c := range []struct {
		text, canonical, key string
		words                []string
	}{
		{"s=99", "v=1&s=40", "s", []string{"Cells in series", "8", "40"}},
		{"s=20.4", "v=1&s=20", "s", []string{"Cells in series", "whole number"}},
		{"kpa=1", "v=1&kpa=30", "kpa", []string{"Tire pressure", "30", "300 kPa"}},
		{"kpa=NaN&s=20", "v=1&s=20", "kpa", []string{"Tire pressure", "NaN"}},
		{"kpa=Inf", "v=1", "kpa", []string{"Tire pressure", "Inf"}},
		{"kpa=0x90", "v=1", "kpa", []string{"Tire pressure", "0x90"}},
		{"motor=warp", "v=1", "motor", []string{"Motor", "warp"}},
		{"kv=abc", "v=1", "kv", []string{"Motor Kv", "abc"}},
		{"s=20&s=30", "v=1&s=20", "s", []string{"Cells in series", "twice"}},
		{"v=7&s=20", "v=1&s=20", "v", []string{"newer", "7"}},
		{"v=0&s=20", "v=1&s=20", "v", []string{"0"}},
		{"v=one&s=20", "v=1&s=20", "v", []string{"one"}},
		{"v=1&v=9&s=20", "v=1&s=20", "v", []string{"twice"}},
		{"s=20&kpa=%zz", "v=1&s=20", "kpa", []string{"damaged"}},
		{"s=20&=5", "v=1&s=20", "", []string{"5"}},
	} {
		l := link.Decode(c.text)
		assert.Equal(t, c.canonical, link.Encode(&l.Build, l.Unknown), c.text)
		if assert.Len(t, l.Problems, 1, c.text) {
			assert.Equal(t, c.key, l.Problems[0].Key, c.text)
			for _, word := range c.words {
				assert.Contains(t, l.Problems[0].Text, word, c.text)
			}
		}
		assert.Empty(t, l.Unknown, c.text)
		assert.NoError(t, l.Build.Validate(), c.text)
	}
}

func TestVersion(t *testing.T) {
	assert.Equal(t, 1, link.Version)
	assert.Equal(t, 1, link.Decode("s=20").Version)
	assert.Equal(t, 7, link.Decode("v=7&s=20&later=1").Version)
	assert.Equal(t, 1, link.Decode("v=x").Version)
	assert.Equal(t, 1, link.Decode("v=1&v=9").Version, "the first counts, as for every other key")
	l := link.Decode("v=7&s=20&later=1")
	assert.Equal(t, []link.Pair{{Key: "later", Value: "1"}}, l.Unknown, "what a newer version says is kept")
}

func TestOverlongText(t *testing.T) {
	l := link.Decode("s=20&" + strings.Repeat("x", link.MaxBytes) + "&p=4")
	assert.Equal(t, 20, l.Build.Series)
	assert.Equal(t, 2, l.Build.Parallel, "the rest was not read")
	require.NotEmpty(t, l.Problems)
	assert.Contains(t, l.Problems[0].Text, "longer")
}

func TestRoundTripOfRandomBuilds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		text := link.Encode(&b, nil)
		l := link.Decode(text)
		require.Empty(t, l.Problems, text)
		require.Empty(t, l.Unknown, text)
		require.True(t, l.Build == b, "%s opens as another build: %s", text, link.Encode(&l.Build, nil))
		require.Equal(t, text, link.Encode(&l.Build, l.Unknown))
		require.Less(t, len(text), 2000, text)
		_, err := url.ParseQuery(text)
		require.NoError(t, err)
	})
}

// The longest possible build: every field differs, every number is as long as a number gets, and so is a ride of one's own.
func TestLongestLink(t *testing.T) {
	b := build.Default()
	for i := range build.Fields {
		f := &build.Fields[i]
		switch f.Kind {
		case build.Rows:
			require.Nil(t, f.Set(&b, strings.TrimSuffix(strings.Repeat("12345.678912345~23.456789123456~-12.345678912345_", 12), "_")))
		case build.Choice:
			longest := 0
			for n, o := range f.Options() {
				if len(o.ID) > len(f.Options()[longest].ID) {
					longest = n
				}
			}
			f.SetValue(&b, float64(longest))
		default:
			f.SetValue(&b, f.Min+(f.Max-f.Min)*0.123456789012345)
		}
	}
	text := link.Encode(&b, nil)
	assert.LessOrEqual(t, len(text), link.MaxLength)
	// It opens as the build with fewer digits, which is written as it is read.
	l := link.Decode(text)
	assert.Empty(t, l.Problems)
	assert.Equal(t, text, link.Encode(&l.Build, nil))
	for i := range build.Fields {
		f := &build.Fields[i]
		if f.Kind == build.Choice || f.Kind == build.Rows {
			assert.Equal(t, f.Kind == build.Choice, f.Text(&b) == f.Text(&l.Build), f.Key)
			continue
		}
		assert.InDelta(t, f.Value(&b), f.Value(&l.Build), 1e-3*math.Abs(f.Value(&b)), f.Key)
	}
	// What fits is never shortened.
	short := build.Default()
	build.FieldFor("kpa").SetValue(&short, 123.456789012)
	assert.Equal(t, "v=1&kpa=123.45678901", link.Encode(&short, nil))
}
