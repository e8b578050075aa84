//go:build !js

package browser

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/coder/websocket"
)

// fox is a Firefox with one page, driven by WebDriver BiDi (W3C Working Draft, https://www.w3.org/TR/webdriver-bidi/).
type fox struct {
	t      testing.TB
	ctx    context.Context
	socket *websocket.Conn
	page   string // the browsing context

	mu      sync.Mutex
	last    int
	waiting map[int]chan bidiMessage
	said    []string // what the page or the browser reported
	asked   []string // every address that was asked for
}

// bidiMessage is an answer or an event.
type bidiMessage struct {
	Type, Method   string
	ID             int
	Result, Params json.RawMessage
	Error, Message string
}

// quiet keeps Firefox from asking the network for things of its own, and from asking people anything.
const quiet = `user_pref("app.normandy.enabled", false);
user_pref("app.update.disabledForTesting", true);
user_pref("browser.aboutwelcome.enabled", false);
user_pref("browser.safebrowsing.downloads.enabled", false);
user_pref("browser.safebrowsing.malware.enabled", false);
user_pref("browser.safebrowsing.phishing.enabled", false);
user_pref("browser.shell.checkDefaultBrowser", false);
user_pref("browser.startup.homepage", "about:blank");
user_pref("browser.startup.page", 0);
user_pref("datareporting.policy.dataSubmissionEnabled", false);
user_pref("extensions.getAddons.cache.enabled", false);
user_pref("network.captive-portal-service.enabled", false);
user_pref("network.connectivity-service.enabled", false);
user_pref("services.settings.server", "data:,none");
user_pref("toolkit.telemetry.enabled", false);
`

// foxPath is where Firefox is, or nothing.
func foxPath() string {
	for _, name := range []string{os.Getenv("HEADROOM_FIREFOX"), "firefox-esr", "firefox"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}

// openFox starts a Firefox with an empty profile and a window's content of the size given. It ends with the test.
func openFox(t testing.TB, width, height int) *fox {
	t.Helper()
	path := foxPath()
	if path == "" {
		t.Skip("NOT TESTED IN FIREFOX: none found; put firefox-esr or firefox into PATH, or its path into HEADROOM_FIREFOX")
	}
	profile := t.TempDir()
	if err := os.WriteFile(filepath.Join(profile, "user.js"), []byte(quiet), 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Minute)
	browser := exec.CommandContext(ctx, path, "--headless", "--no-remote", "--remote-debugging-port=0", "--profile", profile)
	browser.Env = append(os.Environ(), "HOME="+profile)
	words, err := browser.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := browser.Start(); err != nil {
		t.Fatal(err)
	}
	f := &fox{t: t, ctx: ctx, waiting: map[int]chan bidiMessage{}}
	t.Cleanup(func() {
		if f.socket != nil {
			_, _ = f.try("browser.close", nil) // so that all its processes are gone before the folder is removed
			_ = f.socket.CloseNow()
		}
		time.AfterFunc(10*time.Second, cancel)
		_ = browser.Wait()
		cancel()
	})
	address := make(chan string, 1)
	go func() { // to the end: a full pipe would stop the browser
		for lines := bufio.NewScanner(words); lines.Scan(); {
			if _, at, ok := strings.Cut(lines.Text(), "WebDriver BiDi listening on "); ok {
				address <- at
			}
		}
		close(address)
	}()
	at := <-address
	if f.socket, _, err = websocket.Dial(ctx, at+"/session", nil); err != nil {
		t.Fatalf("%s listens at %q: %v", path, at, err)
	}
	f.socket.SetReadLimit(-1)
	go f.hear()

	f.call("session.new", map[string]any{"capabilities": map[string]any{}})
	// In a page of its own: the one that Firefox starts with does not get the focus, and Enter and Space do nothing there.
	var made struct{ Context string }
	f.decode(f.call("browsingContext.create", map[string]any{"type": "tab"}), &made)
	f.page = made.Context
	f.call("session.subscribe", map[string]any{"events": []string{"log.entryAdded", "network.beforeRequestSent"}})
	f.call("browsingContext.setViewport", map[string]any{"context": f.page, "viewport": map[string]any{"width": width, "height": height}})
	f.call("script.addPreloadScript", map[string]any{"functionDeclaration": // these are told to the page alone
	`() => addEventListener('securitypolicyviolation', (e) => console.error('refused by the policy: ' + e.violatedDirective + ' ' + e.blockedURI))`})
	return f
}

// hear takes in what comes from the browser until the connection ends.
func (f *fox) hear() {
	for {
		_, text, err := f.socket.Read(f.ctx)
		if err != nil {
			f.mu.Lock()
			for id, answer := range f.waiting {
				answer <- bidiMessage{Error: "the connection ended", Message: err.Error()}
				delete(f.waiting, id)
			}
			f.mu.Unlock()
			return
		}
		var m bidiMessage
		if err := json.Unmarshal(text, &m); err != nil {
			m = bidiMessage{Type: "event", Method: "not JSON: " + string(text)}
		}
		f.mu.Lock()
		if answer := f.waiting[m.ID]; m.Type != "event" && answer != nil {
			answer <- m
			delete(f.waiting, m.ID)
		}
		if m.Type == "event" {
			f.note(m)
		}
		f.mu.Unlock()
	}
}

func (f *fox) note(m bidiMessage) {
	var event struct {
		Level, Text string
		Request     struct{ URL string }
	}
	_ = json.Unmarshal(m.Params, &event) // an event of another shape is told as it is
	switch m.Method {
	case "network.beforeRequestSent":
		f.asked = append(f.asked, event.Request.URL)
	case "log.entryAdded":
		f.said = append(f.said, event.Level+": "+event.Text)
	default:
		f.said = append(f.said, m.Method+" "+string(m.Params))
	}
}

// try sends a command and waits for its answer.
func (f *fox) try(method string, params map[string]any) (json.RawMessage, error) {
	if params == nil {
		params = map[string]any{}
	}
	answer := make(chan bidiMessage, 1)
	f.mu.Lock()
	f.last++
	id := f.last
	f.waiting[id] = answer
	f.mu.Unlock()
	text, err := json.Marshal(map[string]any{"id": id, "method": method, "params": params})
	if err != nil {
		return nil, err
	}
	if err := f.socket.Write(f.ctx, websocket.MessageText, text); err != nil {
		return nil, err
	}
	select {
	case m := <-answer:
		if m.Error != "" {
			return nil, fmt.Errorf("%s: %s: %s", method, m.Error, m.Message)
		}
		return m.Result, nil
	case <-f.ctx.Done():
		return nil, fmt.Errorf("%s: %w", method, f.ctx.Err())
	}
}

func (f *fox) call(method string, params map[string]any) json.RawMessage {
	f.t.Helper()
	result, err := f.try(method, params)
	if err != nil {
		f.t.Fatalf("%v; the page reported %q", err, f.reported())
	}
	return result
}

func (f *fox) decode(text []byte, into any) {
	f.t.Helper()
	if err := json.Unmarshal(text, into); err != nil {
		f.t.Fatalf("%v in %s", err, text)
	}
}

func (f *fox) reported() []string {
	f.mu.Lock()
	defer f.mu.Unlock()
	return append([]string(nil), f.said...)
}

func (f *fox) requests() []string {
	f.mu.Lock()
	defer f.mu.Unlock()
	return append([]string(nil), f.asked...)
}

// foxEval is the value of a JavaScript expression, or of the promise that it is.
func foxEval[T any](f *fox, expression string) T {
	f.t.Helper()
	result := f.call("script.evaluate", map[string]any{
		"expression": "Promise.resolve(" + expression + ").then((v) => JSON.stringify(v) ?? 'null')",
		"target":     map[string]any{"context": f.page}, "awaitPromise": true,
	})
	var answer struct {
		Result           struct{ Value string }
		ExceptionDetails *struct{ Text string }
	}
	f.decode(result, &answer)
	if answer.ExceptionDetails != nil {
		f.t.Fatalf("%s: %s; the page reported %q", expression, answer.ExceptionDetails.Text, f.reported())
	}
	var v T
	f.decode([]byte(answer.Result.Value), &v)
	return v
}
