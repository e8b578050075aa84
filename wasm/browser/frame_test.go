//go:build !js

package browser

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/preview"
	"headroom/core/price"
	"headroom/core/quote"
	"headroom/wasm/page/pagetest"
)

// standardOffer is a preview of the standard build at invented prices, and its total in plain digits.
func standardOffer(t *testing.T) (text, total string) {
	t.Helper()
	r, err := core.Plan(build.Default())
	require.NoError(t, err)
	s := quote.Standard()
	q, err := quote.Make(r.Bill(s.Allowances()), price.Demo(), &s)
	require.NoError(t, err)
	q.Name, q.Link = "Standard", "v=1"
	o, err := preview.Make(&s, []quote.Quote{q})
	require.NoError(t, err)
	text, err = o.Encode()
	require.NoError(t, err)
	return text, s.Money().Text(q.Total)
}

// shopSite is a page of another origin with a frame in it, as README.md shows it.
func shopSite(t *testing.T, address *string) string {
	t.Helper()
	site := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html")
		fmt.Fprintf(w, `<!doctype html><title>shop</title><iframe src="%s" width="100%%" height="800" referrerpolicy="no-referrer" sandbox="allow-scripts allow-same-origin allow-modals"></iframe>`, *address)
	}))
	t.Cleanup(site.Close)
	return site.URL
}

// inFrame is what an expression is in the page's one frame.
func inFrame(tab *pagetest.Tab, expression string) string {
	tree := pagetest.Call(tab, page.GetFrameTree, cdp.Empty{})
	if len(tree.FrameTree.ChildFrames) == 0 {
		return ""
	}
	world := pagetest.Call(tab, page.CreateIsolatedWorld, page.CreateIsolatedWorldParams{FrameID: tree.FrameTree.ChildFrames[0].Frame.ID})
	got := pagetest.Call(tab, runtime.Evaluate, runtime.EvaluateParams{Expression: "String(" + expression + ")", ContextID: world.ExecutionContextID})
	if got.Result == nil {
		return ""
	}
	var text string
	_ = json.Unmarshal(got.Result.Value, &text)
	return text
}

// TestFrameOnAShopsSite shows a preview in a page of another origin that was named, and nothing in one that was not.
func TestFrameOnAShopsSite(t *testing.T) {
	serve(t)
	offer, total := standardOffer(t)
	var address string
	shop := shopSite(t, &address)
	for _, c := range []struct {
		named string
		shows bool
	}{{shop, true}, {"https://other.example", false}} {
		server, at, err := launch("", "-frame", c.named)
		require.NoError(t, err)
		defer stop(server)
		address = at + "#offer=" + offer
		tab := pagetest.Open(t, "about:blank")
		tab.Do(chromedp.Navigate(shop))
		const shown = `document.querySelector('[data-sum=total]')?.dataset.value ?? ''`
		if !c.shows {
			time.Sleep(2 * time.Second)
			assert.Empty(t, inFrame(tab, shown))
			assert.Contains(t, strings.Join(tab.Errors(), " "), "frame-ancestors")
			continue
		}
		got := ""
		for end := time.Now().Add(30 * time.Second); got != total && time.Now().Before(end); time.Sleep(100 * time.Millisecond) {
			got = inFrame(tab, shown)
		}
		assert.Equal(t, total, got)
		assert.Empty(t, tab.Errors())
	}
}
