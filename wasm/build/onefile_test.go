package main

import (
	"bytes"
	"compress/gzip"
	"encoding/base64"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vugu/html"
)

// onePage are the assets of a whole page around a stand-in program.
func onePage(t *testing.T) []asset {
	t.Helper()
	folder := page(t)
	put(t, folder, "headroom.wasm", strings.Repeat("code ", 100))
	put(t, folder, "wasm_exec.js", "self.load = '<b>'")
	require.NoError(t, assemble(folder, false, io.Discard))
	assets, err := readAssets(folder)
	require.NoError(t, err)
	return assets
}

func TestOneFileHoldsAllAndAllowsNothingElse(t *testing.T) {
	text, err := oneFile(onePage(t))
	require.NoError(t, err)
	again, err := oneFile(onePage(t))
	require.NoError(t, err)
	assert.Equal(t, text, again, "the same sources give the same bytes")

	policy, scripts, program, thread, runtime, sources := "", 0, "", "", "", []string{}
	parsed(t, text, func(tag string, attributes map[string]string, n *html.Node) {
		if attributes["http-equiv"] == "Content-Security-Policy" {
			policy = attributes["content"]
		}
	})
	parsed(t, text, func(tag string, attributes map[string]string, n *html.Node) {
		for _, name := range []string{"src", "href"} {
			if v, ok := attributes[name]; ok {
				sources = append(sources, v)
			}
		}
		if tag != "script" && tag != "style" {
			return
		}
		content := n.FirstChild.Data
		if attributes["id"] == "program" {
			program = content
			assert.Equal(t, "text/plain", attributes["type"])
			return
		}
		if attributes["id"] == "thread" { // text, which boot.js makes a thread of
			assert.Equal(t, "text/plain", attributes["type"])
			thread = content
			return
		}
		if attributes["id"] == "runtime" {
			runtime = content
		}
		scripts++
		kind := map[string]string{"script": "script-src", "style": "style-src"}[tag]
		assert.Regexp(t, kind+" [^;]*"+regexp.QuoteMeta(hashes(content)), policy)
	})
	assert.Equal(t, 5, scripts, "first, loader, applier, starter and the style")
	assert.Contains(t, thread, "onmessage")
	assert.Equal(t, "self.load = '<b>'", runtime)
	assert.Contains(t, policy, "worker-src blob:")
	assert.NotContains(t, policy, "'self'")
	assert.NotContains(t, policy, "unsafe-inline")
	require.Len(t, sources, 1, "nothing is fetched")
	assert.True(t, strings.HasPrefix(sources[0], "data:image/svg+xml;base64,"))
	assert.Contains(t, string(text), `data-key="speed.cruise_ceiling_kmh.low"`, "the first view is in it")

	packed, err := base64.StdEncoding.DecodeString(program)
	require.NoError(t, err)
	r, err := gzip.NewReader(bytes.NewReader(packed))
	require.NoError(t, err)
	got, err := io.ReadAll(r)
	require.NoError(t, err)
	assert.Equal(t, strings.Repeat("code ", 100), string(got))
}

func TestOneFileRefusesWhatWouldBreakIt(t *testing.T) {
	for name, content := range map[string]string{
		"page.js":    "self.x = '</SCRIPT>'",
		"boot.js":    "// <!-- ",
		"style.css":  "a::before { content: '</style>' }",
		"index.html": "<html></html>",
	} {
		assets := onePage(t)
		i := slices.IndexFunc(assets, func(a asset) bool { return a.path == name })
		assets[i].content = []byte(content)
		_, err := oneFile(assets)
		assert.Error(t, err, name)
	}
	assets := onePage(t)
	for _, name := range []string{"first.js", "headroom.wasm", "icons/icon.svg"} {
		_, err := oneFile(slices.DeleteFunc(slices.Clone(assets), func(a asset) bool { return a.path == name }))
		assert.ErrorContains(t, err, name)
	}
}
