//go:build !js

package served

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"headroom/core"
	"headroom/core/find"
	"headroom/core/link"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFindPrintsTheAnswer(t *testing.T) {
	const wishes = "range=14&ceiling=20&mass=17.2&s=14-20&p=1-3&cell=21700-balanced,21700-energy&motor=hub6-wide,hub5-wide&tire=trail-6"
	code, stdout, stderr := runProgram(t, "find", wishes)
	require.Equal(t, 0, code, stderr)
	assert.Empty(t, stderr)
	var answer struct {
		Found []map[string]any
		Near  []map[string]any
		Tally find.Tally
	}
	require.NoError(t, json.Unmarshal([]byte(stdout), &answer))
	assert.Equal(t, int64(7*3*2*2*5), answer.Tally.Builds)
	assert.Equal(t, answer.Tally.Builds, answer.Tally.Examined())
	require.NotEmpty(t, answer.Found)
	for _, f := range answer.Found {
		r, err := core.Plan(link.Decode(f["link"].(string)).Build)
		require.NoError(t, err)
		assert.InDelta(t, *r.Range.Km, f["range_km"], 1e-9)
		assert.InDelta(t, r.Speed.CruiseCeilingKmh.Low, f["ceiling_kmh"], 1e-9)
	}
	require.NotEmpty(t, answer.Near)
	assert.NotEmpty(t, answer.Near[0]["wish"])

	// The same search by itself.
	task, _ := find.Parse(wishes)
	search, err := find.NewSearch(task, 0, 1)
	require.NoError(t, err)
	for search.Step(1e6) {
	}
	whole := search.Result()
	require.Len(t, answer.Found, len(whole.Found))
	for i := range whole.Found {
		assert.Equal(t, whole.Found[i].Link, answer.Found[i]["link"])
	}
}

func TestFindNamesWishesThatItCannotUse(t *testing.T) {
	for text, lines := range map[string]int{"range=far": 1, "range=20&price=900": 1, "mass=900&colour=\x1b[2J&s=2": 3} {
		code, stdout, stderr := runProgram(t, "find", text)
		assert.Equal(t, 2, code, text)
		assert.Empty(t, stdout, "nothing is searched")
		assert.Equal(t, lines, strings.Count(stderr, "\n"), stderr)
		assert.NotContains(t, stderr, "\x1b")
	}
}

// Every key of the wishes stands in the README.
func TestFindIsDocumented(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	for _, w := range find.Wishes {
		assert.Contains(t, string(text), "`"+w.Key+"`")
	}
}
