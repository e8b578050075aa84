//go:build !js

package browser

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// packed is the page that is one file, built once.
var packed = sync.OnceValues(func() ([]byte, error) {
	folder := filepath.Join(site.folder, "packed")
	if err := os.CopyFS(folder, os.DirFS(filepath.Join("..", "..", "public"))); err != nil {
		return nil, err
	}
	if err := run(filepath.Join("..", ".."), "go", "run", "./wasm/build", "-dist", "-out", folder); err != nil {
		return nil, err
	}
	return os.ReadFile(filepath.Join(folder, "dist", "headroom.html"))
})

// wholeFile puts the page that is one file alone into a folder with an awkward name, and returns its path.
func wholeFile(t *testing.T) string {
	t.Helper()
	serve(t) // builds
	whole, err := packed()
	require.NoError(t, err)
	alone := filepath.Join(t.TempDir(), "from a message")
	require.NoError(t, os.Mkdir(alone, 0o755))
	target := filepath.Join(alone, "headroom.html")
	require.NoError(t, os.WriteFile(target, whole, 0o644))
	return target
}

func TestOneFileWorksFromADisk(t *testing.T) {
	t.Parallel()
	path := filepath.ToSlash(wholeFile(t))
	address := "file://" + path
	tab := fresh(t, address[:len("file://")])
	resize(tab, 390, 844)
	visit(tab, address+"#v=1&s=20")
	assert.InDelta(t, 20*4.2, readout(tab, "pack.full_v"), 1e-9, "the link in the address opens")
	assert.Equal(t, "none", pagetest.Eval[string](tab, `getComputedStyle(document.querySelector('.tag')).display`), "with its style")

	before := readouts(tab)
	do(tab, slider("s")+".scrollIntoView({ block: 'center' })")
	x, y := thumb(tab, "s")
	drag(tab, x, y, 60, 3, nil)
	s := pagetest.Eval[float64](tab, "Number("+slider("s")+".value)")
	assert.Greater(t, s, 24.0)
	assert.InDelta(t, s*4.2, readout(tab, "pack.full_v"), 1e-9)
	assert.NotEqual(t, before["range.km"], readouts(tab)["range.km"])
	rest(tab, fmt.Sprintf("v=1&s=%g", s))

	do(tab, "navigator.clipboard.writeText = (text) => { self.copied = text; return Promise.resolve() }; document.querySelector('button[name=copy]').click()")
	tab.Await(`Boolean(document.querySelector('[data-message=note]'))`)
	assert.Equal(t, pagetest.Eval[string](tab, "location.href"), pagetest.Eval[string](tab, "self.copied"))
	assert.Equal(t, fmt.Sprintf("file://%s#v=1&s=%g", strings.ReplaceAll(path, " ", "%20"), s), pagetest.Eval[string](tab, "self.copied"))

	tab.Do(chromedp.Reload())
	tab.Await(ready)
	frames(tab)
	assert.InDelta(t, s*4.2, readout(tab, "pack.full_v"), 1e-9)
	assert.Empty(t, pagetest.Eval[[]string](tab, `performance.getEntriesByType('resource').map((e) => e.name).filter((name) => !name.startsWith('data:') && !name.startsWith('blob:'))`))
	assert.Nil(t, pagetest.Eval[any](tab, `document.getElementById('program')`), "the packed program is not kept in the page")
}

func TestOneFileCutOffIsSaid(t *testing.T) {
	t.Parallel()
	whole, err := os.ReadFile(wholeFile(t))
	require.NoError(t, err)
	copy(whole[len(whole)/2:], "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA") // in the midst of the program
	path := filepath.Join(t.TempDir(), "bad.html")
	require.NoError(t, os.WriteFile(path, whole, 0o644))
	tab := fresh(t, "file://", "damaged")
	tab.Do(chromedp.Navigate("file://" + path))
	tab.Await(`document.documentElement.dataset.boot === "failed"`)
	assert.Contains(t, pagetest.Eval[string](tab, `document.getElementById('boot').innerText`), "damaged or was cut off")
}
