package build_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"headroom/core/build"
	"headroom/core/internal/randombuild"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// eachNumber runs a check on every field that takes a number.
func eachNumber(t *testing.T, check func(t *testing.T, f *build.Field)) {
	for i := range build.Fields {
		if f := &build.Fields[i]; f.Kind != build.Choice && f.Kind != build.Rows {
			t.Run(f.Key, func(t *testing.T) { check(t, f) })
		}
	}
}

func TestTable(t *testing.T) {
	assert.Equal(t, []string{"s", "p", "motor", "kpa"}, build.Main)
	keys, groups := map[string]bool{}, map[build.Group]bool{}
	for _, g := range build.Groups {
		groups[g] = true
	}
	for i := range build.Fields {
		f := &build.Fields[i]
		assert.Regexp(t, `^[a-z0-9]+$`, f.Key, "a key stands in links as it is")
		assert.False(t, keys[f.Key], "%s stands twice", f.Key)
		keys[f.Key] = true
		assert.Same(t, f, build.FieldFor(f.Key))
		assert.NotEmpty(t, f.Label, f.Key)
		assert.NotEmpty(t, f.Help, f.Key)
		assert.True(t, groups[f.Group], "%s stands in no group of the page", f.Key)
		assert.Positive(t, f.Scale, f.Key)
		if f.Kind == build.Choice {
			assert.Empty(t, f.Unit, f.Key)
			assert.NotEmpty(t, f.Options(), f.Key)
			continue
		}
		assert.Nil(t, f.Options(), f.Key)
		if f.Kind == build.Rows {
			continue
		}
		assert.Less(t, f.Min, f.Max, f.Key)
		assert.Positive(t, f.Step, f.Key)
		assert.LessOrEqual(t, f.Step, (f.Max-f.Min)/4, "%s: a slider with no positions", f.Key)
	}
	assert.False(t, keys["v"], "v is the link's version")
	assert.Nil(t, build.FieldFor("nope"))
	for _, key := range build.Main {
		assert.True(t, keys[key], key)
		assert.False(t, build.FieldFor(key).Rare, key)
	}
}

func TestDefaults(t *testing.T) {
	b := build.Default()
	require.NoError(t, b.Validate())
	eachNumber(t, func(t *testing.T, f *build.Field) {
		if f.Optional {
			assert.False(t, f.Given(&b))
			assert.Empty(t, f.Text(&b))
		} else {
			assert.True(t, f.Given(&b))
			assert.Equal(t, f.Default, f.Value(&b))
		}
		assert.GreaterOrEqual(t, f.Value(&b), f.Min)
		assert.LessOrEqual(t, f.Value(&b), f.Max)
	})
	other := b
	build.FieldFor("kv").SetValue(&other, 20)
	assert.NotEqual(t, b, other, "a Build is a value: a copy does not share overrides")
	assert.False(t, build.FieldFor("kv").Given(&b))
}

func TestRoundTripOnSteps(t *testing.T) {
	eachNumber(t, func(t *testing.T, f *build.Field) {
		b, again := build.Default(), build.Default()
		steps := int((f.Max-f.Min)/f.Step + 1e-9)
		for i := 0; i <= steps; i += max(1, steps/200) {
			f.SetValue(&b, f.Min+f.Step*float64(i))
			text := f.Text(&b)
			require.Nil(t, f.Set(&again, text))
			require.Equal(t, text, f.Text(&again))
			require.Equal(t, b, again, text)
			require.Equal(t, f.Value(&b), f.Value(&again))
			require.Less(t, len(text), 12, "a value on its step is short in a link: %s", text)
			require.NoError(t, b.Validate())
		}
	})
}

func TestRoundTripAnywhere(t *testing.T) {
	eachNumber(t, func(t *testing.T, f *build.Field) {
		rapid.Check(t, func(t *rapid.T) {
			v := rapid.Float64Range(f.Min, f.Max).Draw(t, "value")
			b, again := build.Default(), build.Default()
			f.SetValue(&b, v)
			text := f.Text(&b)
			require.Nil(t, f.Set(&again, text), text)
			require.Equal(t, text, f.Text(&again))
			require.True(t, b == again, "%s holds %v, its text %s gives %v", f.Key, f.Value(&b), text, f.Value(&again))
			require.LessOrEqual(t, len(text), 24, "a text that long crowds a link: %s", text)
			require.NotEqual(t, "-0", text)
		})
	})
}

func TestOutOfRangeIsClamped(t *testing.T) {
	eachNumber(t, func(t *testing.T, f *build.Field) {
		for text, want := range map[string]float64{"-1e9": f.Min, "1e9": f.Max, "-999999": f.Min, "999999": f.Max} {
			b := build.Default()
			p := f.Set(&b, text)
			require.NotNil(t, p, text)
			assert.Equal(t, want, f.Value(&b), text)
			assert.Equal(t, f.Key, p.Key)
			assert.Equal(t, text, p.Given)
			assert.Equal(t, f.Text(&b), p.Used)
			says(t, f, p.Text)
			assert.Equal(t, p.Text, p.Error())
			require.NoError(t, b.Validate())
		}
		b := build.Default()
		assert.Nil(t, f.Set(&b, f.Text(&b)), "its own text is taken")
		for _, end := range []float64{f.Min, f.Max} {
			f.SetValue(&b, end)
			require.NoError(t, b.Validate())
			assert.Nil(t, f.Set(&b, f.Text(&b)), "the end of the range is allowed")
			assert.Equal(t, end, f.Value(&b))
		}
		f.SetValue(&b, f.Min-1e12)
		assert.Equal(t, f.Min, f.Value(&b))
		f.SetValue(&b, math.Inf(1))
		assert.Equal(t, f.Max, f.Value(&b))
		f.SetValue(&b, math.NaN())
		assert.Equal(t, f.Max, f.Value(&b), "NaN is refused")
		require.NoError(t, b.Validate())
	})
}

// says requires a message to name the field, its range and its unit.
func says(t *testing.T, f *build.Field, text string) {
	t.Helper()
	plain := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	for _, part := range []string{f.Label, plain(f.Min), plain(f.Max), f.Unit} {
		assert.Contains(t, text, part)
	}
}

func TestGarbageIsRefused(t *testing.T) {
	garbage := []string{"NaN", "nan", "Inf", "-inf", "Infinity", "0x10", "0x1p4", "1_000", "abc", "12 V", "1e", "--5", "+-5", "1.2.3", "1,2,3",
		"٣", "½", "1e999", "-1e999", ".", "-", "e5", "\x00", "😀", strings.Repeat("z", 5000)}
	eachNumber(t, func(t *testing.T, f *build.Field) {
		for _, text := range garbage {
			b := build.Default()
			f.SetValue(&b, f.Max)
			p := f.Set(&b, text)
			require.NotNil(t, p, text)
			require.Equal(t, build.Default(), b, "%q leaves the default", text)
			assert.Less(t, len([]rune(p.Text)), 300, "a message is one line")
		}
		b := build.Default()
		says(t, f, f.Set(&b, "abc").Text)
	})
	for _, text := range append(garbage, "", "  ") {
		_, err := build.ParseNumber(text)
		assert.Error(t, err, "%q", text)
	}
	for i := range build.Fields {
		f := &build.Fields[i]
		if f.Kind != build.Choice {
			continue
		}
		for _, text := range append(garbage, "", "1", strings.ToUpper(f.Chosen)) {
			b := build.Default()
			f.SetValue(&b, float64(len(f.Options())-1))
			p := f.Set(&b, text)
			require.NotNil(t, p, text)
			assert.Contains(t, p.Text, f.Label)
			assert.Equal(t, f.Chosen, f.Text(&b))
		}
	}
}

func TestSpellings(t *testing.T) {
	f := build.FieldFor("kpa")
	for text, want := range map[string]float64{" 145 ": 145, "145,5": 145.5, "+150": 150, "1.5e2": 150, "150.": 150, "0150": 150} {
		b := build.Default()
		assert.Nil(t, f.Set(&b, text), text)
		assert.Equal(t, want, f.Value(&b), text)
	}
	b := build.Default()
	p := build.FieldFor("s").Set(&b, "20.4")
	require.NotNil(t, p)
	assert.Contains(t, p.Text, "whole number")
	assert.Equal(t, 20, b.Series)
}

func TestEmptyText(t *testing.T) {
	eachNumber(t, func(t *testing.T, f *build.Field) {
		b := build.Default()
		f.SetValue(&b, f.Max)
		if f.Optional {
			assert.Nil(t, f.Set(&b, " "))
			assert.False(t, f.Given(&b))
		} else {
			assert.NotNil(t, f.Set(&b, " "))
		}
		assert.Equal(t, build.Default(), b, "an emptied field is at its default")
		f.SetValue(&b, f.Max)
		f.Clear(&b)
		assert.Equal(t, build.Default(), b)
	})
}

func TestChoices(t *testing.T) {
	for i := range build.Fields {
		f := &build.Fields[i]
		if f.Kind != build.Choice {
			continue
		}
		for n, o := range f.Options() {
			b := build.Default()
			require.Nil(t, f.Set(&b, o.ID))
			assert.Equal(t, n, f.Index(&b))
			assert.Equal(t, float64(n), f.Value(&b))
			again := build.Default()
			f.SetValue(&again, float64(n))
			assert.Equal(t, b, again)
		}
		b := build.Default()
		f.SetValue(&b, -3)
		assert.Equal(t, 0, f.Index(&b))
		f.SetValue(&b, 1e9)
		assert.Equal(t, len(f.Options())-1, f.Index(&b))
	}
}

func TestValidateRefusesWhatNoFieldAllows(t *testing.T) {
	assert.Error(t, new(build.Build).Validate(), "the zero Build")
	for name, spoil := range map[string]func(*build.Build){
		"NaN": func(b *build.Build) { b.Rider = math.NaN() }, "infinity": func(b *build.Build) { b.Cruise = math.Inf(1) },
		"below": func(b *build.Build) { b.Series = 7 }, "above": func(b *build.Build) { b.Parallel = 13 },
		"unknown cell": func(b *build.Build) { b.Cell = "nope" }, "no surface": func(b *build.Build) { b.Surface = "" },
	} {
		b := build.Default()
		spoil(&b)
		assert.Error(t, b.Validate(), name)
	}
}

func TestRandomBuildsAreValid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		require.NoError(t, b.Validate(), randombuild.Text(&b))
	})
}

func TestEachNumberChangesNumbersAlone(t *testing.T) {
	double := func(v float64) float64 { return 2 * v }
	for text, want := range map[string]string{
		"": "", "3": "6", "16-24": "32-48", "100-160/20,1.5": "200-320/40,3", "trail-6": "trail-12", "a-b": "a-b", "--": "--", "1,": "2,", "0x10-NaN": "0x10-NaN",
	} {
		assert.Equal(t, want, build.EachNumber(text, "-/,", double), text)
	}
	assert.Equal(t, "2~4_6", build.EachNumber("1~2_3", "~_", double))
}
