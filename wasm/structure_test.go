//go:build !js

package main

import (
	"encoding/json"
	"errors"
	"go/build"
	"go/parser"
	"go/token"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// listed is what `go list -json` tells of a package.
type listed struct {
	ImportPath string
	Name       string
	Standard   bool
	Imports    []string
}

// list runs `go list` for the browser at the top of the repository.
func list(t *testing.T, args ...string) []listed {
	t.Helper()
	command := exec.Command("go", append([]string{"list", "-json=ImportPath,Name,Standard,Imports"}, args...)...)
	command.Dir = ".."
	command.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	command.Stderr = os.Stderr
	out, err := command.Output()
	require.NoError(t, err)
	var all []listed
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p listed
		err := d.Decode(&p)
		if errors.Is(err, io.EOF) {
			return all
		}
		require.NoError(t, err)
		all = append(all, p)
	}
}

// allowed is every package outside this module that the page's program may hold. Each one is downloaded by every phone: weigh a new
// one first (the table of sizes is in DEVELOPERS.md), and keep net/http and cryptography out. Packages below internal/ come with the others.
var allowed = strings.Fields(`
	bytes cmp encoding encoding/base64 encoding/binary encoding/json errors fmt html io io/fs iter log log/internal math math/bits
	math/rand net/netip net/url os path reflect runtime slices sort strconv strings sync sync/atomic syscall syscall/js time
	unicode unicode/utf16 unicode/utf8 unique unsafe weak

	github.com/hack-pad/safejs github.com/hack-pad/safejs/internal/catch github.com/hack-pad/safejs/internal/stackerr
	github.com/vugu/vjson github.com/vugu/vugu github.com/vugu/vugu/js github.com/vugu/xxhash
	rsc.io/qr/coding rsc.io/qr/gf256
`)

func TestProgramHoldsOnlyWhatIsAllowed(t *testing.T) {
	deps := list(t, "-deps", "./wasm")
	seen := map[string]bool{}
	for _, p := range deps {
		seen[p.ImportPath] = true
		if strings.HasPrefix(p.ImportPath, "headroom/") || p.Standard && strings.HasPrefix(p.ImportPath, "internal/") {
			continue
		}
		assert.True(t, slices.Contains(allowed, p.ImportPath), "%s is new in the program: is it worth its size?", p.ImportPath)
	}
	for _, path := range []string{"headroom/wasm", "headroom/ui", "headroom/core", "syscall/js", "net/url"} {
		assert.True(t, seen[path], "%s is not in the list: was the right program looked at?", path)
	}
	for _, p := range deps {
		for _, heavy := range []string{"net/http", "crypto", "os/exec", "net", "regexp", "text/template", "html/template", "testing"} {
			assert.False(t, p.ImportPath == heavy || heavy == "crypto" && strings.HasPrefix(p.ImportPath, "crypto/"), "%s in the program", p.ImportPath)
		}
	}
}

// TestArrowsPointOneWay holds wasm -> ui -> core.
func TestArrowsPointOneWay(t *testing.T) {
	layer := func(path string) string {
		if rest, ok := strings.CutPrefix(path, "headroom/"); ok {
			name, _, _ := strings.Cut(rest, "/")
			return name
		}
		return ""
	}
	below := map[string][]string{"core": {"core"}, "ui": {"ui", "core"}, "wasm": {"wasm", "ui", "core"}}
	count := map[string]int{}
	for _, p := range list(t, "./core/...", "./ui/...", "./wasm/...") {
		own := layer(p.ImportPath)
		require.Contains(t, below, own, p.ImportPath)
		count[own]++
		for _, i := range p.Imports {
			if to := layer(i); to != "" {
				assert.Contains(t, below[own], to, "%s imports %s", p.ImportPath, i)
			}
			if own != "wasm" {
				assert.NotContains(t, []string{"syscall/js", "github.com/hack-pad/safejs"}, i, "%s reaches for the browser", p.ImportPath)
			}
		}
	}
	assert.Greater(t, count["core"], 10)
	assert.Positive(t, count["ui"])
	assert.Greater(t, count["wasm"], 3)
}

// TestCoreIsPure holds that what the core computes rests on the build alone: no clock, no chance, no files, no network, and no package from
// elsewhere.
func TestCoreIsPure(t *testing.T) {
	count := 0
	for _, p := range list(t, "-deps", "./core") {
		if p.Standard {
			continue
		}
		count++
		assert.True(t, strings.HasPrefix(p.ImportPath, "headroom/core"), "%s in the core", p.ImportPath)
		for _, i := range p.Imports {
			for _, impure := range []string{"os", "io", "time", "net", "net/http", "math/rand", "math/rand/v2", "crypto/rand", "log", "runtime", "sync", "unsafe", "syscall/js"} {
				assert.NotEqual(t, impure, i, p.ImportPath)
			}
		}
	}
	assert.Greater(t, count, 10)
}

// TestBrowserFilesAreTagged holds that a file that imports syscall/js or safejs is built for the browser alone, so that ./... works
// everywhere.
func TestBrowserFilesAreTagged(t *testing.T) {
	native, browser := build.Default, build.Default
	native.GOOS, native.GOARCH, browser.GOOS, browser.GOARCH = "linux", "amd64", "js", "wasm"
	count := 0
	err := filepath.WalkDir("..", func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if name := entry.Name(); entry.IsDir() && name != ".." && (name == "testdata" || strings.HasPrefix(name, ".")) {
			return filepath.SkipDir
		}
		if filepath.Ext(path) != ".go" {
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, i := range file.Imports {
			name, err := strconv.Unquote(i.Path.Value)
			if err != nil {
				return err
			}
			if name != "syscall/js" && name != "github.com/hack-pad/safejs" {
				continue
			}
			count++
			here, err := native.MatchFile(filepath.Dir(path), filepath.Base(path))
			require.NoError(t, err)
			there, err := browser.MatchFile(filepath.Dir(path), filepath.Base(path))
			require.NoError(t, err)
			assert.True(t, there && !here, "%s imports %s and needs a js tag", path, name)
		}
		return nil
	})
	require.NoError(t, err)
	assert.GreaterOrEqual(t, count, 5)
}
