//go:build !js

// Package pagetest opens pages in a headless Chromium for tests. Such a test fails, and is not skipped, where there
// is none: set HEADROOM_CHROMIUM to its path if it is not in PATH.
package pagetest

import (
	"context"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// Policy is the content security policy that Serve sends, as strict as the program is meant to run under.
const Policy = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'"

// Tab is an open page.
type Tab struct {
	t   testing.TB
	ctx context.Context

	mu     sync.Mutex
	errors []string
}

// Serve serves files by path ("/" is the page) under Policy until the test ends, and returns the address.
func Serve(t testing.TB, files map[string][]byte) string {
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/favicon.ico" {
			w.WriteHeader(http.StatusNoContent)
			return
		}
		body, ok := files[r.URL.Path]
		if !ok {
			http.NotFound(w, r)
			return
		}
		types := map[string]string{".js": "text/javascript", ".wasm": "application/wasm", ".css": "text/css"}
		kind, ok := types[filepath.Ext(r.URL.Path)]
		if !ok {
			kind = "text/html; charset=utf-8"
		}
		w.Header().Set("Content-Type", kind)
		w.Header().Set("Content-Security-Policy", Policy)
		_, _ = w.Write(body) // a browser that went away is no failure
	}))
	t.Cleanup(server.Close)
	return server.URL
}

// Open opens an address in a fresh browser, which ends with the test. The test fails if it is not done within five
// minutes.
func Open(t testing.TB, address string) *Tab {
	t.Helper()
	path := Path()
	if path == "" {
		t.Fatal("no Chromium found: put chromium, chromium-browser or google-chrome into PATH, " +
			"or its path into HEADROOM_CHROMIUM")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path),
		chromedp.NoSandbox,
		chromedp.UserDataDir(t.TempDir()),
		chromedp.Flag("disable-gpu", true),
		chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-sync", true),
	)
	ctx, cancelTime := context.WithTimeout(context.Background(), 5*time.Minute)
	ctx, cancelBrowser := chromedp.NewExecAllocator(ctx, options...)
	ctx, cancelTab := chromedp.NewContext(ctx)
	t.Cleanup(func() {
		_ = chromedp.Cancel(ctx) // waits for the browser to end, so that its folder can be removed
		cancelTab()
		cancelBrowser()
		cancelTime()
	})
	tab := &Tab{t: t, ctx: ctx}
	if err := chromedp.Listen(ctx, tab.hear); err != nil {
		t.Fatalf("starting %s: %v", path, err)
	}
	tab.Do(chromedp.Navigate(address))
	return tab
}

// Path is where Chromium is, or nothing.
func Path() string {
	names := []string{os.Getenv("HEADROOM_CHROMIUM"), "chromium", "chromium-browser", "google-chrome"}
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}

func (b *Tab) hear(event any) {
	message := ""
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		message = e.ExceptionDetails.Text
		if thrown := e.ExceptionDetails.Exception; thrown != nil {
			message += " " + thrown.Description
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError {
			message = e.Entry.Text
		}
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError {
			var words []string
			for _, a := range e.Args {
				words = append(words, string(a.Value)+a.Description)
			}
			message = strings.Join(words, " ")
		}
	}
	if message == "" {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if len(b.errors) < maxErrors {
		b.errors = append(b.errors, message)
	}
}

// maxErrors keeps the message of a failed test readable.
const maxErrors = 20

// Errors returns what the page reported, the first twenty of: uncaught exceptions, console.error, refusals of the
// policy, missing files.
func (b *Tab) Errors() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return append([]string(nil), b.errors...)
}

// Do runs actions, and fails the test if one fails.
func (b *Tab) Do(actions ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, actions...); err != nil {
		b.t.Fatalf("%v; the page reported %q", err, b.Errors())
	}
}

// Await waits until a JavaScript expression is true, and fails the test if it is not so within ten seconds.
func (b *Tab) Await(expression string) {
	b.t.Helper()
	for end := time.Now().Add(10 * time.Second); ; time.Sleep(10 * time.Millisecond) {
		if Eval[bool](b, "!!("+expression+")") {
			return
		}
		if time.Now().After(end) {
			b.t.Fatalf("not so after 10 s: %s; the page reported %q", expression, b.Errors())
		}
	}
}

// Eval returns the value of a JavaScript expression in the page.
func Eval[T any](b *Tab, expression string, options ...chromedp.EvaluateOption) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression, options...))
	if err != nil {
		b.t.Fatalf("%s: %v; the page reported %q", expression, err, b.Errors())
	}
	return v
}

// Context is the tab's, for what Tab has no method for.
func (b *Tab) Context() context.Context { return b.ctx }

// Call sends one command of the browser's protocol, and fails the test if it fails.
func Call[P, R any](b *Tab, command cdp.Command[P, R], params P) R {
	b.t.Helper()
	r, err := chromedp.Call(b.ctx, command, params)
	if err != nil {
		b.t.Fatalf("%v; the page reported %q", err, b.Errors())
	}
	return r
}
