package find_test

import (
	"testing"

	"headroom/core/build"
	"headroom/core/find"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParseReadsWishesAxesAndTheBoard(t *testing.T) {
	task, problems := find.Parse("range=30&ceiling=35,5&shift=40&mass=16&cells=24+16&price=1450.5&clear=on&s=16-18,22&p=2&kpa=100-160/20&fw=0,20,40&motor=hub65-wide,hub6-wide&rider=95&v=1")
	require.Empty(t, problems)
	for w, want := range map[find.Wish]float64{find.Range: 30e3, find.Ceiling: 35.5 / 3.6, find.Shift: 0.04, find.Mass: 16, find.Price: 145050, find.Cells: 40, find.Clear: 1} {
		assert.True(t, task.Want[w].Given)
		assert.InDelta(t, want, task.Want[w].Value, 1e-9, find.Wishes[w].Key)
	}
	assert.Equal(t, [2]int{24, 16}, task.Room)
	assert.Equal(t, find.Space{
		{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, {16, 17, 18, 22}, {2}, {0, 1, 2, 3, 4}, {3, 5}, {0, 1, 2, 3, 4, 5}, {100, 120, 140, 160}, {0, 20, 40},
	}, task.Space)
	assert.Equal(t, int64(11*4*5*2*6*4*3), task.Space.Size())
	assert.Equal(t, 95.0, task.Base.Rider)
	assert.Equal(t, "range=30&ceiling=35.5&shift=40&mass=16&cells=24%2B16&price=1450.5&clear=on&s=16-18%2C22&p=2&motor=hub6-wide%2Chub65-wide&kpa=100%2C120%2C140%2C160&fw=0%2C20%2C40", task.Text())
	again, problems := find.Read(task.Base, task.Text())
	require.Empty(t, problems)
	assert.Equal(t, task, again)

	whole, problems := find.Parse("")
	require.Empty(t, problems)
	assert.Equal(t, find.New(build.Default()), whole)
	assert.Equal(t, int64(11*33*12*5*6*6), whole.Space.Size())
	assert.Empty(t, whole.Text())
	either, problems := find.Parse("clear=off")
	require.Empty(t, problems)
	assert.Equal(t, whole, either, "off is no wish")
	alone, problems := find.Parse("cells=40")
	require.Empty(t, problems)
	assert.Equal(t, [2]int{40, 0}, alone.Room)
}

// Whatever cannot be used is named, by its key, and never guessed.
func TestParseNamesWhatItCannotUse(t *testing.T) {
	for text, says := range map[string]string{
		"range=far":                   "is not a number",
		"range=0":                     "must be between 1 and 500 km",
		"range=-3":                    "out of range",
		"range=NaN":                   "is not a number",
		"mass=900":                    "must be between 1 and 80 kg",
		"cells=12+12+12":              "one or two",
		"cells=a+3":                   "whole numbers",
		"cells=-3+8":                  "whole numbers",
		"cells=0+0":                   "as in 24+16",
		"cells=9999999999999999999":   "whole numbers",
		"cells=300+300":               "at most 480",
		"clear=1":                     "must be on or off",
		"clear=tight":                 "is neither on nor off",
		"s=7":                         "between 8 and 40",
		"s=16.5":                      "whole numbers",
		"s=20-18":                     "ends before it begins",
		"s=16-20/0":                   "step above 0",
		"s=16-20/0.5":                 "whole numbers",
		"s=":                          "is not a value",
		"p=1-":                        "is not a value",
		"kpa=30-300/0.01":             "too many values",
		"kpa=30-300/0.3&fw=0-300/0.5": "more builds than can be searched",
		"motor=hub9":                  "no choice called “hub9”",
		"motor=":                      "no choice called",
		"colour=red":                  "neither a wish nor a link key",
		"range=3&range=4":             "stands twice",
		"rider=900":                   "must be between",
		"%zz=1":                       "damaged",
	} {
		_, problems := find.Parse(text)
		if assert.Len(t, problems, 1, text) {
			assert.Contains(t, problems[0].Text, says, text)
		}
	}
	_, problems := find.Parse("range=far&mass=900&colour=red")
	assert.Len(t, problems, 3)
}

// No text upsets it, and what it reads it writes again.
func TestParseNeverPanicsAndRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := ""
		for range rapid.IntRange(0, 6).Draw(t, "parts") {
			key := rapid.SampledFrom([]string{"range", "cells", "s", "kpa", "motor", "fw", "rider", "price", "clear", ""}).Draw(t, "key")
			text += "&" + key + "=" + rapid.OneOf(rapid.StringMatching(`[0-9.,/+-]{0,9}`), rapid.String(), rapid.SampledFrom([]string{"hub6-wide", "20", "16-24", "on", "off"})).Draw(t, "value")
		}
		task, _ := find.Parse(text)
		if task.Space.Size() == 0 {
			return
		}
		again, problems := find.Read(task.Base, task.Text())
		require.Empty(t, problems, task.Text())
		require.Equal(t, task, again)
	})
}

// The cells of a build are divided so that both boxes hold them.
func TestCellsAreDivided(t *testing.T) {
	task, problems := find.Parse("cells=24+20&s=20&p=2&cell=21700-balanced&motor=hub6-wide&tire=trail-6&ctrl=c100&fusetype=battery-450&split=1&awg=4&crossawg=4")
	require.Empty(t, problems)
	got := searched(t, task, 1, 100)
	require.Len(t, got.Found, 1, "%v", got.Tally)
	assert.Equal(t, [2]int{24, 16}, got.Found[0].Cells, "as near to the one group entered as the boxes allow")
	// By measures alone: 30 + n·21.6 mm + two linings of 1 mm in one row of two layers.
	task, problems = find.Parse("s=20&p=2&cell=21700-balanced&motor=hub6-wide&tire=trail-6&ctrl=c100&fusetype=battery-450&awg=4&crossawg=4&boxl=200&box2l=400")
	require.Empty(t, problems)
	got = searched(t, task, 1, 100)
	require.Len(t, got.Found, 1, "%v", got.Tally)
	assert.Positive(t, got.Found[0].Cells[1], "the main box alone is too short")
}
