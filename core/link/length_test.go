package link_test

import (
	"slices"
	"testing"

	"headroom/core/build"
	"headroom/core/link"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// typical draws a build as people make them: the leading inputs, and up to ten of those that every form shows, each on its step.
var typical = rapid.Custom(func(t *rapid.T) build.Build {
	b := build.Default()
	var often []*build.Field
	for i := range build.Fields {
		f := &build.Fields[i]
		if !f.Rare && !f.Optional && f.Kind != build.Rows && !slices.Contains(build.Main, f.Key) {
			often = append(often, f)
		}
	}
	set := func(f *build.Field) {
		steps := len(f.Options()) - 1
		if f.Kind != build.Choice {
			steps = int((f.Max - f.Min) / f.Step)
		}
		n := float64(rapid.IntRange(0, steps).Draw(t, f.Key))
		if f.Kind != build.Choice {
			n = f.Min + n*f.Step
		}
		f.SetValue(&b, n)
	}
	for _, key := range build.Main {
		set(build.FieldFor(key))
	}
	for _, i := range rapid.SliceOfNDistinct(rapid.IntRange(0, len(often)-1), 0, 10, rapid.ID[int]).Draw(t, "also") {
		set(often[i])
	}
	return b
})

// A link that people send is short enough for any message: under 200 characters, whatever fourteen inputs have been changed.
func TestTypicalLinksAreShort(t *testing.T) {
	var lengths []int
	rapid.Check(t, func(t *rapid.T) {
		b := typical.Draw(t, "build")
		text := link.Encode(&b, nil)
		lengths = append(lengths, len(text))
		assert.Less(t, len(text), 200, text)
	})
	slices.Sort(lengths)
	t.Logf("%d links: median %d characters, 95 %% under %d, longest %d", len(lengths), lengths[len(lengths)/2], lengths[len(lengths)*95/100]+1, lengths[len(lengths)-1])
}
