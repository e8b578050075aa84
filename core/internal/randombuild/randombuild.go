// Package randombuild draws builds from the Fields table for property tests. Nothing but tests imports it.
package randombuild

import (
	"fmt"
	"math"
	"strings"

	"headroom/core/build"

	"pgregory.net/rapid"
)

// Any draws from everything the Fields table allows: every field may be at its default, at an end of its range, on its step or
// anywhere between, every override may be given.
func Any() *rapid.Generator[build.Build] { return generator(3, 12) }

// Plausible draws builds that a workshop might see: overrides are rare and only the ends of a choice's list are extreme.
func Plausible() *rapid.Generator[build.Build] { return generator(12, 0) }

// generator gives one override in rarity a value, and in ends of 24 draws an end of the range or a value off the step.
func generator(rarity, ends int) *rapid.Generator[build.Build] {
	return rapid.Custom(func(t *rapid.T) build.Build {
		b := build.Default()
		for i := range build.Fields {
			f := &build.Fields[i]
			if f.Kind == build.Rows {
				if rows := rapid.IntRange(0, 3).Draw(t, f.Key+" rows"); rows > 0 && rapid.Bool().Draw(t, f.Key+" given") {
					f.Set(&b, strings.Repeat("600~25~-3_", rows)+"300~18~6")
				}
				continue
			}
			if f.Optional && rapid.IntRange(1, rarity).Draw(t, f.Key+" given") < rarity {
				continue
			}
			f.SetValue(&b, value(t, f, ends))
		}
		return b
	})
}

func value(t *rapid.T, f *build.Field, ends int) float64 {
	if f.Kind == build.Choice {
		return float64(rapid.IntRange(0, len(f.Options())-1).Draw(t, f.Key))
	}
	switch dice := rapid.IntRange(1, 24).Draw(t, f.Key+" dice"); {
	case dice > ends:
		steps := int(math.Floor((f.Max - f.Min) / f.Step))
		return f.Min + f.Step*float64(rapid.IntRange(0, steps).Draw(t, f.Key+" step"))
	case dice%4 == 0:
		return f.Min
	case dice%4 == 1:
		return f.Max
	}
	return rapid.Float64Range(f.Min, f.Max).Draw(t, f.Key)
}

// Text tells what a build holds besides the defaults, for the message of a failed check.
func Text(b *build.Build) string {
	var out strings.Builder
	standard := build.Default()
	for i := range build.Fields {
		f := &build.Fields[i]
		if text := f.Text(b); text != f.Text(&standard) {
			fmt.Fprintf(&out, "&%s=%s", f.Key, text)
		}
	}
	return strings.TrimPrefix(out.String(), "&")
}
