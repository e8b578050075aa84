//go:build !js

package browser

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// picker answers the browser's dialog for files: pick presses a button of the page by its name and gives it a file.
func picker(t testing.TB, tab *pagetest.Tab) (pick func(button, path string)) {
	t.Helper()
	var mu sync.Mutex
	var chooser *page.EventFileChooserOpened
	opened := func() *page.EventFileChooserOpened {
		mu.Lock()
		defer mu.Unlock()
		return chooser
	}
	set := func(e *page.EventFileChooserOpened) {
		mu.Lock()
		defer mu.Unlock()
		chooser = e
	}
	require.NoError(t, chromedp.Listen(tab.Context(), func(event any) {
		if e, ok := event.(*page.EventFileChooserOpened); ok {
			set(e)
		}
	}))
	pagetest.Call(tab, page.SetInterceptFileChooserDialog, page.SetInterceptFileChooserDialogParams{Enabled: true})
	return func(button, path string) {
		t.Helper()
		set(nil)
		focus(tab, fmt.Sprintf(`document.querySelector('button[name=%s]')`, button))
		press(tab, kb.Enter) // files open for a person's own key or click alone
		require.Eventually(t, func() bool { return opened() != nil }, 20*time.Second, 20*time.Millisecond)
		pagetest.Call(tab, dom.SetFileInputFiles, dom.SetFileInputFilesParams{Files: []string{path}, BackendNodeID: opened().BackendNodeID})
	}
}
