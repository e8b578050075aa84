//go:build !js

package served

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/wasm/page/pagetest"
)

// standin is a program that does the two things boot.js waits for: it draws, and says so. "?end" makes it end.
const standin = `package main

import "syscall/js"

func main() {
	if js.Global().Get("location").Get("search").String() == "?end" {
		return
	}
	js.Global().Get("document").Call("getElementById", "app").Set("textContent", "drawn")
	js.Global().Get("headroomBoot").Call("ready")
	select {}
}
`

// built is the real page around the stand-in program, made once by the real build command.
var built = sync.OnceValues(func() (folder string, err error) {
	target, err := binary()
	if err != nil {
		return "", err
	}
	top := filepath.Dir(target) // removed by TestMain
	folder = filepath.Join(top, "public")
	if err := os.CopyFS(folder, os.DirFS(filepath.Join("..", "..", "public"))); err != nil {
		return "", err
	}
	for _, output := range []string{"build.js", "headroom.wasm", "headroom.wasm.br", "headroom.wasm.gz", "dist"} {
		os.RemoveAll(filepath.Join(folder, output))
	}
	sources := map[string]string{"go.mod": "module standin\n\ngo 1.26\n", "main.go": standin, "public/style.css": "p { margin: 0 }\n"}
	for name, content := range sources {
		if err := os.WriteFile(filepath.Join(top, name), []byte(content), 0o644); err != nil {
			return "", err
		}
	}
	told, err := exec.Command("go", "build", "-buildvcs=false", "-o", filepath.Join(top, "build"), "headroom/wasm/build").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("%w: %s", err, told)
	}
	return folder, rebuild(folder)
})

// rebuild runs the build command over folder, as `make run` does.
func rebuild(folder string) error {
	target, err := binary()
	if err != nil {
		return err
	}
	command := exec.Command(filepath.Join(filepath.Dir(target), "build"), "-out", folder, "-program", ".")
	command.Dir = filepath.Dir(target)
	command.Env = append(os.Environ(), "GOFLAGS=")
	if told, err := command.CombinedOutput(); err != nil {
		return fmt.Errorf("%w: %s", err, told)
	}
	return nil
}

// builtPage is a copy of the built page that a test may spoil.
func builtPage(t *testing.T) string {
	t.Helper()
	source, err := built()
	require.NoError(t, err)
	folder := t.TempDir()
	require.NoError(t, os.CopyFS(folder, os.DirFS(source)))
	return folder
}

// alter changes a file of a built page behind the back of build.js.
func alter(t *testing.T, folder, name, content string) {
	t.Helper()
	put(t, folder, name, content)
	for _, extension := range []string{".br", ".gz"} {
		require.NoError(t, os.Remove(filepath.Join(folder, name+extension)))
	}
}

// browser opens a tab in a fresh browser, and checks at the end that the page reported no problems but those
// named in allowed (parts of their texts). Start the server first, so that it outlives the tab. The context serves for what is beyond a pagetest.Tab: windows beside
// it, and waiting across reloads.
func browser(t *testing.T, allowed ...string) (ctx context.Context) {
	t.Helper()
	tab := pagetest.Open(t, "about:blank")
	tab.Do(chromedp.Func(func(own context.Context, _ *chromedp.Target) error {
		ctx = own
		return nil
	}))
	t.Cleanup(func() {
		for _, problem := range tab.Errors() {
			assert.True(t, slices.ContainsFunc(allowed, func(part string) bool { return strings.Contains(problem, part) }),
				"the page reported: %s", problem)
		}
	})
	return ctx
}

func visit(t *testing.T, ctx context.Context, address string) {
	t.Helper()
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(address)))
}

// eval is the value of an expression, awaited.
func eval[T any](t *testing.T, ctx context.Context, expression string) T {
	t.Helper()
	value, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	require.NoError(t, err, expression)
	return value
}

// await waits until a condition holds in the page, across reloads.
func await(t *testing.T, ctx context.Context, condition string) {
	t.Helper()
	require.Eventually(t, func() bool {
		value, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("Boolean("+condition+")"))
		return err == nil && value
	}, 20*time.Second, 50*time.Millisecond, condition)
}

const (
	ready     = `document.documentElement.dataset.boot === 'ready' && document.getElementById('app').textContent === 'drawn'`
	failed    = `document.documentElement.dataset.boot === 'failed'`
	takenCare = `navigator.serviceWorker.controller && navigator.serviceWorker.controller.state === 'activated'`
)

// before runs a script ahead of the page's own.
func before(t *testing.T, ctx context.Context, source string) {
	t.Helper()
	_, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: source})
	require.NoError(t, err)
}

// words is what the page says in place of the planner.
func words(t *testing.T, ctx context.Context) string {
	t.Helper()
	await(t, ctx, failed)
	assert.True(t, eval[bool](t, ctx, `document.getElementById('boot').checkVisibility() && document.getElementById('boot-progress').hidden`))
	assert.Equal(t, "Try again", eval[string](t, ctx, `document.getElementById('boot-again').innerText`))
	return eval[string](t, ctx, `document.getElementById('boot-words').innerText + ' ' + document.getElementById('boot-more').innerText`)
}

func TestStartShowsHowFarTheDownloadIs(t *testing.T) {
	address := start(t, builtPage(t))
	ctx := browser(t)
	before(t, ctx, `
		self.shares = [];
		const { set, get } = Object.getOwnPropertyDescriptor(HTMLProgressElement.prototype, 'value');
		Object.defineProperty(HTMLProgressElement.prototype, 'value', { get, set(v) { self.shares.push(v); set.call(this, v); } });`)
	// Slow enough that the program comes in many pieces on any machine.
	_, err := chromedp.Call(ctx, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
		MatchedNetworkConditions: []*network.Conditions{{DownloadThroughput: 400e3, UploadThroughput: -1}},
	})
	require.NoError(t, err)
	visit(t, ctx, address+"#v=1&s=18")
	await(t, ctx, ready)
	shares := eval[[]float64](t, ctx, "self.shares")
	require.Greater(t, len(shares), 1)
	assert.IsNonDecreasing(t, shares)
	assert.EqualValues(t, 1, shares[len(shares)-1])
	assert.Equal(t, "#v=1&s=18", eval[string](t, ctx, "location.hash"))
	assert.True(t, eval[bool](t, ctx, `document.getElementById('boot').hidden && document.getElementById('update').hidden`))
	assert.False(t, eval[bool](t, ctx, `document.getElementById('app').hasAttribute('aria-busy')`))
}

func TestDamagedProgramIsNotStarted(t *testing.T) {
	folder := builtPage(t)
	program, err := os.ReadFile(filepath.Join(folder, "headroom.wasm"))
	require.NoError(t, err)
	program[len(program)-1] ^= 1
	alter(t, folder, "headroom.wasm", string(program))
	address := start(t, folder) + "?s=18#v=1&p=2"
	ctx := browser(t, "damaged", "will not open with no network")
	visit(t, ctx, address)
	assert.Contains(t, words(t, ctx), "damaged or changed")
	assert.Contains(t, words(t, ctx), "in the address of this page")
	assert.Equal(t, address, eval[string](t, ctx, "location.href"))
}

func TestDamagedScriptIsNotRun(t *testing.T) {
	folder := builtPage(t)
	alter(t, folder, "wasm_exec.js", "self.ranAnyway = true")
	address := start(t, folder)
	ctx := browser(t, "damaged", "integrity", "will not open with no network")
	visit(t, ctx, address)
	assert.Contains(t, words(t, ctx), "damaged or changed")
	assert.False(t, eval[bool](t, ctx, "Boolean(self.ranAnyway)"))
}

func TestMissingProgramIsSaid(t *testing.T) {
	folder := builtPage(t)
	alter(t, folder, "headroom.wasm", "")
	require.NoError(t, os.Remove(filepath.Join(folder, "headroom.wasm")))
	address := start(t, folder)
	ctx := browser(t, "404", "could not be downloaded", "will not open with no network")
	visit(t, ctx, address)
	assert.Contains(t, words(t, ctx), "answered 404 for headroom.wasm")
}

func TestBrowserWithoutWebAssembly(t *testing.T) {
	address := start(t, builtPage(t))
	ctx := browser(t, "cannot run the planner")
	before(t, ctx, "delete self.WebAssembly")
	visit(t, ctx, address)
	assert.Contains(t, words(t, ctx), "It has no WebAssembly")
}

func TestWebAssemblyBlockedByAPolicy(t *testing.T) {
	target, err := url.Parse(start(t, builtPage(t)))
	require.NoError(t, err)
	proxy := httputil.NewSingleHostReverseProxy(target)
	proxy.ModifyResponse = func(response *http.Response) error {
		response.Header.Set("Content-Security-Policy", "script-src 'self'")
		return nil
	}
	server := httptest.NewServer(proxy)
	t.Cleanup(server.Close)
	ctx := browser(t, "does not let the planner run", "Content Security Policy")
	visit(t, ctx, server.URL)
	assert.Contains(t, words(t, ctx), "blocked here")
}

func TestProgramThatEndsIsSaid(t *testing.T) {
	address := start(t, builtPage(t))
	ctx := browser(t, "The planner stopped")
	visit(t, ctx, address+"?end")
	assert.Contains(t, words(t, ctx), "The planner stopped")
}

// freeAddress is an address on which a server can be started more than once.
func freeAddress(t *testing.T) string {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer listener.Close()
	return listener.Addr().String()
}
