//go:build !js

package served

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPlanPrintsTheReport(t *testing.T) {
	var reports []string
	for _, text := range []string{"#v=1&s=18", "v=1&s=18", "s=18", "?s=18", "http://127.0.0.1:8080/#v=1&s=18", "http://127.0.0.1:8080/?s=18"} {
		code, stdout, stderr := runProgram(t, "plan", text)
		require.Equal(t, 0, code, "%s: %s", text, stderr)
		assert.Empty(t, stderr, text)
		reports = append(reports, stdout)
	}
	var report struct {
		Build map[string]any
		Pack  map[string]any
	}
	require.NoError(t, json.Unmarshal([]byte(reports[0]), &report))
	assert.EqualValues(t, 18, report.Build["s"])
	assert.Greater(t, report.Pack["full_v"], report.Pack["nominal_v"])
	assert.True(t, strings.HasPrefix(reports[0], "{\n  \""), "indented")
	for _, other := range reports {
		assert.Equal(t, reports[0], other)
	}
}

func TestPlanSaysWhatItCouldNotUse(t *testing.T) {
	code, stdout, stderr := runProgram(t, "plan", "#v=1&s=900&nonsense=1&kpa=%1b%5b2J")
	assert.Equal(t, 2, code)
	assert.Empty(t, stdout, "no report of another build than was asked for")
	assert.Regexp(t, `(?m)^headroom: Cells in series .*40`, stderr)
	assert.Contains(t, stderr, `"nonsense"`)
	assert.NotContains(t, stderr, "\x1b", "a link does not reach the terminal raw")
	assert.Equal(t, 3, strings.Count(stderr, "\n"), stderr)

	code, stdout, stderr = runProgram(t, "plan", "#v=1&s=20&later=1")
	assert.Equal(t, 0, code)
	assert.True(t, json.Valid([]byte(stdout)), "stdout is the report alone")
	assert.Contains(t, stderr, `"later"`)
}

func TestPlanWithoutABuild(t *testing.T) {
	for _, text := range []string{"", "hello", "https://example.com/", "#", "#about", "nonsense=1"} {
		code, stdout, stderr := runProgram(t, "plan", text)
		assert.Equal(t, 2, code, text)
		assert.Empty(t, stdout, text)
		assert.Equal(t, 1, strings.Count(stderr, "\n"), stderr)
		assert.Contains(t, stderr, "holds no build", text)
	}
}
