package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"image"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// page makes a page in a new folder: the real one's frame and scripts, with a small style and worker.
func page(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	for _, name := range []string{"index.template", "first.js", "boot.js", "page.js", "thread.js", "icons/icon.svg"} {
		put(t, folder, name, string(get(t, filepath.Join("..", "..", "public"), name)))
	}
	put(t, folder, "sw.js", strings.Repeat("// worker\n", 50))
	put(t, folder, "style.css", strings.Repeat("p { margin: 0 }\n", 50))
	put(t, folder, "icons/icon.png", "not packable")
	put(t, folder, ".hidden", "x")
	return folder
}

func put(t *testing.T, folder, name, content string) {
	t.Helper()
	target := filepath.Join(folder, name)
	require.NoError(t, os.MkdirAll(filepath.Dir(target), 0o755))
	require.NoError(t, os.WriteFile(target, []byte(content), 0o644))
}

func get(t *testing.T, folder, name string) []byte {
	t.Helper()
	content, err := os.ReadFile(filepath.Join(folder, name))
	require.NoError(t, err)
	return content
}

// program writes a module with the smallest js/wasm program and makes it the working folder.
func program(t *testing.T) {
	t.Helper()
	folder := t.TempDir()
	put(t, folder, "go.mod", "module standin\n\ngo 1.26\n")
	put(t, folder, "wasm/main.go", "package main\n\nfunc main() { println(\"ready\") }\n")
	t.Chdir(folder)
}

// list is what build.js says.
type list struct {
	Version string            `json:"version"`
	Files   map[string]string `json:"files"`
	Sizes   map[string]int    `json:"sizes"`
}

func readList(t *testing.T, script []byte) list {
	t.Helper()
	text, ok := strings.CutPrefix(string(script), "self.headroomBuild = ")
	require.True(t, ok)
	text, ok = strings.CutSuffix(text, ";\n")
	require.True(t, ok)
	var l list
	require.NoError(t, json.Unmarshal([]byte(text), &l))
	return l
}

// all reads every file below folder.
func all(t *testing.T, folder string) map[string]string {
	t.Helper()
	files := map[string]string{}
	require.NoError(t, filepath.WalkDir(folder, func(name string, entry os.DirEntry, err error) error {
		if err == nil && !entry.IsDir() {
			relative, _ := filepath.Rel(folder, name)
			files[filepath.ToSlash(relative)] = string(get(t, folder, relative))
		}
		return err
	}))
	return files
}

func TestBuildWritesTheWholePage(t *testing.T) {
	folder := page(t) // before the working folder changes
	program(t)
	var log bytes.Buffer
	require.NoError(t, run(folder, "./wasm", true, false, &log))

	assert.Equal(t, "\x00asm", string(get(t, folder, "headroom.wasm")[:4]))
	assert.Contains(t, string(get(t, folder, "wasm_exec.js")), "globalThis.Go = class")

	l := readList(t, get(t, folder, "build.js"))
	assert.Regexp(t, "^[0-9a-f]{16}$", l.Version)
	want := []string{"boot.js", "first.js", "headroom.wasm", "icons/icon.png", "icons/icon.svg", "index.html", "page.js", "style.css", "thread.js", "wasm_exec.js"}
	assert.Len(t, l.Files, len(want))
	for _, name := range want {
		content := get(t, folder, name)
		sum := sha256.Sum256(content)
		assert.Equal(t, "sha256-"+base64.StdEncoding.EncodeToString(sum[:]), l.Files[name], name)
		assert.Equal(t, len(content), l.Sizes[name], name)
	}

	assert.NotContains(t, string(get(t, folder, "index.html")), mark)

	packed := []string{"boot.js", "build.js", "first.js", "headroom.wasm", "icons/icon.svg", "index.html", "page.js", "style.css", "sw.js", "thread.js", "wasm_exec.js"}
	for _, name := range packed {
		for _, p := range packers {
			r, err := p.unpack(bytes.NewReader(get(t, folder, name+p.extension)))
			require.NoError(t, err)
			got, err := io.ReadAll(r)
			require.NoError(t, err)
			assert.Equal(t, get(t, folder, name), got, name+p.extension)
		}
	}
	assert.NoFileExists(t, filepath.Join(folder, "icons/icon.png.br"))

	dist := all(t, filepath.Join(folder, "dist"))
	assert.Contains(t, dist[oneFileName], "<!doctype html>")
	delete(dist, oneFileName)
	assert.Len(t, dist, len(want)+2+2*len(packed), "the listed files, build.js and sw.js, and the compressed forms")
	for name, content := range dist {
		assert.Equal(t, string(get(t, folder, name)), content, name)
	}

	assert.Regexp(t, `(?m)^ +[1-9]\d+ +[1-9]\d+ +[1-9]\d+  headroom\.wasm$`, log.String())
	assert.Regexp(t, `(?m)^ +12 +12 +12  icons/icon\.png$`, log.String())
}

func TestCompilingTwiceGivesTheSameBytes(t *testing.T) {
	program(t)
	one, two := t.TempDir(), t.TempDir()
	require.NoError(t, compile("./wasm", filepath.Join(one, "headroom.wasm")))
	t.Setenv("GOWASM", "satconv") // a machine's own settings must not show
	require.NoError(t, compile("./wasm", filepath.Join(two, "headroom.wasm")))
	assert.Equal(t, sha256.Sum256(get(t, one, "headroom.wasm")), sha256.Sum256(get(t, two, "headroom.wasm")))
}

func TestAssembleIsDeterministicAndLeavesWhatIsCurrent(t *testing.T) {
	one, two := page(t), page(t)
	for _, folder := range []string{one, two} {
		put(t, folder, "headroom.wasm", strings.Repeat("code ", 100))
		put(t, folder, "wasm_exec.js", strings.Repeat("load ", 100))
		require.NoError(t, assemble(folder, false, io.Discard))
	}
	first := all(t, one)
	assert.Equal(t, first, all(t, two))

	past := time.Now().Add(-time.Hour).Truncate(time.Second)
	for name := range first {
		require.NoError(t, os.Chtimes(filepath.Join(one, name), past, past))
	}
	require.NoError(t, assemble(one, false, io.Discard))
	assert.Equal(t, first, all(t, one))
	info, err := os.Stat(filepath.Join(one, "build.js"))
	require.NoError(t, err)
	assert.True(t, info.ModTime().Equal(past), "the list was written again")

	put(t, one, "style.css", "p { margin: 1px }")
	require.NoError(t, assemble(one, false, io.Discard))
	second := all(t, one)
	assert.NotEqual(t, readList(t, []byte(first["build.js"])).Version, readList(t, []byte(second["build.js"])).Version)
	assert.Equal(t, first["headroom.wasm.br"], second["headroom.wasm.br"])
	assert.NotContains(t, second, "style.css.br", "a form that is no smaller than its file goes away")
}

func TestVersionCoversTheWorker(t *testing.T) {
	assets := []asset{{"headroom.wasm", []byte("a")}, {"index.html", []byte("b")}, {"sw.js", []byte("c")}, {"wasm_exec.js", []byte("d")}}
	before, err := buildScript(assets)
	require.NoError(t, err)
	assets[2].content = []byte("changed")
	after, err := buildScript(assets)
	require.NoError(t, err)
	assert.NotEqual(t, readList(t, before).Version, readList(t, after).Version)
	assert.Equal(t, readList(t, before).Files, readList(t, after).Files)

	_, err = buildScript(assets[:1])
	assert.ErrorContains(t, err, "index.html")
}

func TestPackRenewsWhatIsNotCurrent(t *testing.T) {
	content := bytes.Repeat([]byte("eighteen in series\n"), 100)
	for _, p := range packers {
		target := filepath.Join(t.TempDir(), "a.css"+p.extension)
		n, err := packOne(p, content, target)
		require.NoError(t, err)
		good, err := os.ReadFile(target)
		require.NoError(t, err)
		assert.Equal(t, len(good), n)
		for name, bad := range map[string][]byte{"cut short": good[:len(good)-3], "not packed": content, "empty": {}} {
			require.NoError(t, os.WriteFile(target, bad, 0o644))
			_, err = packOne(p, content, target)
			require.NoError(t, err)
			got, err := os.ReadFile(target)
			require.NoError(t, err)
			assert.Equal(t, good, got, name)
		}
		n, err = packOne(p, []byte("short"), target)
		require.NoError(t, err)
		assert.Zero(t, n)
	}
}

func TestPackRemovesFormsOfFilesThatAreGone(t *testing.T) {
	folder := page(t)
	put(t, folder, "old.css.br", "x")
	put(t, folder, "icons/old.svg.gz", "x")
	assets, err := readAssets(folder)
	require.NoError(t, err)
	_, err = packAll(folder, assets)
	require.NoError(t, err)
	assert.NoFileExists(t, filepath.Join(folder, "old.css.br"))
	assert.NoFileExists(t, filepath.Join(folder, "icons/old.svg.gz"))
	assert.FileExists(t, filepath.Join(folder, "style.css.br"))
}

func TestCompileTellsWhatTheCompilerSays(t *testing.T) {
	program(t)
	require.NoError(t, os.WriteFile("wasm/main.go", []byte("package main\n\nfunc main() { missing() }\n"), 0o644))
	target := filepath.Join(t.TempDir(), "headroom.wasm")
	assert.ErrorContains(t, compile("./wasm", target), "undefined: missing")
	left, err := os.ReadDir(filepath.Dir(target))
	require.NoError(t, err)
	assert.Empty(t, left)
}

// The committed icons are what icons.go draws. Pixels are compared, not files: a later Go may compress differently.
func TestCommittedIconsAreCurrent(t *testing.T) {
	folder := filepath.Join("..", "..", "public", "icons")
	assert.Equal(t, rounded.svg(), string(get(t, folder, "icon.svg")))
	for _, icon := range icons {
		picture, err := png.Decode(bytes.NewReader(get(t, folder, icon.name)))
		require.NoError(t, err, icon.name)
		want := icon.tile.draw(icon.side)
		require.Equal(t, want.Bounds(), picture.Bounds(), icon.name)
		assert.True(t, samePixels(want, picture), "%s: draw it again with go run ./wasm/build -icons", icon.name)
	}
}

func samePixels(a, b image.Image) bool {
	for y := range a.Bounds().Dy() {
		for x := range a.Bounds().Dx() {
			r1, g1, b1, a1 := a.At(x, y).RGBA()
			r2, g2, b2, a2 := b.At(x, y).RGBA()
			if r1 != r2 || g1 != g2 || b1 != b2 || a1 != a2 {
				return false
			}
		}
	}
	return true
}

// A launcher may cut a maskable icon to a circle of 80 % of its width (W3C Web Application Manifest, "Icon masks").
func TestMaskableIconKeepsToTheSafeCircle(t *testing.T) {
	const side = 512
	picture := bleeding.draw(side)
	holes, outside := 0, 0
	for y := range side {
		for x := range side {
			at := picture.NRGBAAt(x, y)
			if at.A != 255 {
				holes++
			}
			if at != ink && math.Hypot(float64(x)-side/2, float64(y)-side/2) > 0.4*side {
				outside++
			}
		}
	}
	assert.Zero(t, holes, "pixels that show what lies behind")
	assert.Zero(t, outside, "pixels drawn outside the safe circle")
}
