//go:build !js

package browser

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// trickle serves the site, its page element by element and slower than frames are drawn, as a poor connection may.
func trickle(t *testing.T) string {
	t.Helper()
	site, err := url.Parse(serve(t))
	require.NoError(t, err)
	page, err := os.ReadFile(filepath.Join("..", "..", "public", "index.html"))
	require.NoError(t, err)
	ends := regexp.MustCompile(`</(output|b|svg|button|span|section|h2|label|details|summary)>`).FindAllIndex(page, -1)
	require.Greater(t, len(ends), 200)
	onward := httputil.NewSingleHostReverseProxy(site)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/" {
			onward.ServeHTTP(w, r)
			return
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		from := 0
		for _, end := range ends {
			_, _ = w.Write(page[from:end[1]]) // a reader who left is no fault
			w.(http.Flusher).Flush()
			from = end[1]
			time.Sleep(25 * time.Millisecond)
		}
		_, _ = w.Write(page[from:])
	}))
	t.Cleanup(server.Close)
	return server.URL + "/"
}

// TestNothingMovesWhileThePageArrives reads what can be seen while the rest of the page is still on its way.
func TestNothingMovesWhileThePageArrives(t *testing.T) {
	t.Parallel()
	for tail, size := range map[string][2]int64{"": {390, 844}, "?s=32&p=4&motor=hub5-narrow": {1440, 900}} {
		t.Run(fmt.Sprintf("%d", size[0]), func(t *testing.T) {
			t.Parallel()
			address := trickle(t)
			tab := fresh(t, address)
			atStart(tab, held)
			resize(tab, size[0], size[1])
			tab.Do(chromedp.Navigate("about:blank"), chromedp.Navigate(address+tail))
			tab.Await(`Boolean(self.goOn) && document.readyState === 'complete'`)
			frames(tab)
			assert.Greater(t, pagetest.Eval[float64](tab, "performance.getEntriesByType('navigation')[0].duration"), 5000.0, "it came slowly")
			assert.Zero(t, pagetest.Eval[float64](tab, "self.moved"), "what is in sight stays where it is: %v", pagetest.Eval[any](tab, "self.shifts"))
		})
	}
}
