//go:build !js

package render

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/wasm/page/pagetest"
)

// twinCase is batches that follow one another, and the batch that gives the last of their pages at once.
type twinCase struct {
	Rounds [][]byte `json:"rounds"`
	Fresh  []byte   `json:"fresh"`
}

// openTwin opens a page with page.js and testdata/twin.js, which fetches cases.
func openTwin(t testing.TB, cases []byte) *pagetest.Tab {
	t.Helper()
	pageJS, err := os.ReadFile(filepath.Join("..", "..", "public", "page.js"))
	require.NoError(t, err)
	twin, err := os.ReadFile(filepath.Join("testdata", "twin.js"))
	require.NoError(t, err)
	return pagetest.Open(t, pagetest.Serve(t, map[string][]byte{
		"/": []byte(`<!doctype html><meta charset="utf-8"><title>twin</title><body>` +
			`<script src="/page.js"></script><script src="/twin.js"></script>`),
		"/page.js": pageJS, "/twin.js": twin, "/cases.json": cases,
	}))
}

// TestPageJSAppliesPatchesLikeAFullRender has a browser apply random batches, as random_test.go does natively.
func TestPageJSAppliesPatchesLikeAFullRender(t *testing.T) {
	var cases []twinCase
	generator := rapid.Custom(drawRounds)
	for seed := range 500 {
		w, r := &world{}, New()
		c := twinCase{}
		rounds := generator.Example(seed)
		for _, roots := range rounds {
			if batch := r.Patch(w.results(roots)); batch != nil {
				c.Rounds = append(c.Rounds, slices.Clone(batch))
			}
		}
		c.Fresh = slices.Clone(New().Patch(w.results(rounds[len(rounds)-1])))
		cases = append(cases, c)
	}
	text, err := json.Marshal(cases)
	require.NoError(t, err)
	tab := openTwin(t, text)
	type result struct {
		Failures []string
		Seen     int
	}
	got := pagetest.Eval[result](tab, "compare()", chromedp.EvalAwaitPromise)
	for _, f := range got.Failures[:min(3, len(got.Failures))] {
		t.Error(f)
	}
	assert.Zero(t, len(got.Failures), "cases that differ")
	assert.Greater(t, got.Seen, 300_000, "characters compared: the cases are not empty")
	assert.Empty(t, tab.Errors())
}

// BenchmarkPageJSApply has a browser apply the batches of BenchmarkPatch, 200 to an op, without style and layout.
func BenchmarkPageJSApply(b *testing.B) {
	r := New()
	c := twinCase{Fresh: slices.Clone(r.Patch(benchTree(0)))}
	for _, i := range []int{1, 0, 1, 0} {
		// The first of the two rounds tells all names, so that the second can be applied again and again.
		c.Rounds = append(c.Rounds, slices.Clone(r.Patch(benchTree(i))))
	}
	text, err := json.Marshal(c)
	require.NoError(b, err)
	tab := openTwin(b, text)
	total, count := 0.0, 0
	for b.Loop() {
		total += pagetest.Eval[float64](tab, "flip(200)", chromedp.EvalAwaitPromise)
		count += 200
	}
	b.ReportMetric(total/float64(count), "ms/apply")
	assert.Empty(b, tab.Errors())
}
