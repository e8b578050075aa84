//go:build !js

package browser

import (
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"headroom/core/link"
	"headroom/wasm/page/pagetest"
)

// site is the built page behind the real server, started once for all tests.
var site struct {
	once    sync.Once
	address string
	folder  string
	server  *exec.Cmd
	err     error
}

func TestMain(m *testing.M) {
	code := m.Run()
	tell(os.Stdout)
	if site.server != nil {
		stop(site.server)
	}
	if site.folder != "" {
		_ = os.RemoveAll(site.folder)
	}
	os.Exit(code)
}

// serve builds the page as `make run` does and serves it.
func serve(t testing.TB) string {
	t.Helper()
	site.once.Do(func() { site.err = start() })
	if site.err != nil {
		t.Fatal(site.err)
	}
	return site.address
}

func start() error {
	folder, err := os.MkdirTemp("", "headroom-browser-")
	if err != nil {
		return err
	}
	site.folder = folder
	top := filepath.Join("..", "..")
	if err := run(top, "go", "run", "./wasm/build", "-out", "public"); err != nil {
		return err
	}
	if err := run(top, "go", "build", "-o", filepath.Join(folder, "headroom"), "."); err != nil {
		return err
	}
	site.server, site.address, err = launch("")
	return err
}

// launch starts the built server at an address, at a free one if none is given, and waits until it answers.
func launch(host string, more ...string) (*exec.Cmd, string, error) {
	if host == "" {
		var err error
		if host, err = free(); err != nil {
			return nil, "", err
		}
	}
	server := exec.Command(filepath.Join(site.folder, "headroom"), append([]string{"-addr", host, "-dir", filepath.Join("..", "..", "public")}, more...)...)
	server.Stderr = os.Stderr
	if err := server.Start(); err != nil {
		return nil, "", err
	}
	address := "http://" + host + "/"
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if r, err := http.Get(address); err == nil {
			_ = r.Body.Close()
			return server, address, nil
		}
	}
	stop(server)
	return nil, "", fmt.Errorf("the server did not answer at %s", address)
}

func stop(server *exec.Cmd) {
	_ = server.Process.Kill()
	_ = server.Wait()
}

func run(dir, name string, args ...string) error {
	c := exec.Command(name, args...)
	c.Dir = dir
	if out, err := c.CombinedOutput(); err != nil {
		return fmt.Errorf("%s %v: %w\n%s", name, args, err, out)
	}
	return nil
}

func free() (string, error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return "", err
	}
	defer func() { _ = l.Close() }()
	return l.Addr().String(), nil
}

// ready holds once the program's first view stands in the page.
const ready = `document.documentElement.dataset.boot === "ready"`

// open opens the page with a fragment at phone size and waits until it is live.
func open(t testing.TB, fragment string) *pagetest.Tab {
	t.Helper()
	return openSized(t, fragment, 390, 844)
}

func openSized(t testing.TB, fragment string, width, height int64) *pagetest.Tab {
	t.Helper()
	tab := fresh(t, serve(t))
	resize(tab, width, height)
	visit(tab, serve(t)+fragment)
	return tab
}

// fresh starts a browser with an empty profile for one address. When the test ends, the page must have reported nothing but what
// allowed names, and must have asked no other place for anything.
func fresh(t testing.TB, address string, allowed ...string) *pagetest.Tab {
	t.Helper()
	tab := pagetest.Open(t, "about:blank")
	var mu sync.Mutex
	var strayed, said []string
	err := chromedp.Listen(tab.Context(), func(event any) {
		mu.Lock()
		defer mu.Unlock()
		switch e := event.(type) {
		case *network.EventRequestWillBeSent:
			if u := e.Request.URL; !strings.HasPrefix(u, address) && !strings.HasPrefix(u, "data:") && !strings.HasPrefix(u, "blob:") {
				strayed = append(strayed, u)
			}
		case *runtime.EventConsoleAPICalled: // Go prints to console.log, so its words about a fault come here
			for _, a := range e.Args {
				said = append(said, string(a.Value)+a.Description)
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		mu.Lock()
		defer mu.Unlock()
		assert.Empty(t, strayed, "requests to another place")
		for _, problem := range append(tab.Errors(), said...) {
			assert.True(t, slices.ContainsFunc(allowed, func(part string) bool { return strings.Contains(problem, part) }),
				"the page reported: %s", problem)
		}
	})
	return tab
}

// atStart has a script run in every page of the tab before the page's own.
func atStart(tab *pagetest.Tab, script string) {
	pagetest.Call(tab, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
}

// visit opens an address anew, even where only the fragment differs, and waits until the page is live.
func visit(tab *pagetest.Tab, address string) {
	tab.Do(chromedp.Navigate("about:blank"), chromedp.Navigate(address))
	tab.Await(ready)
	frames(tab)
}

func resize(tab *pagetest.Tab, width, height int64) {
	tab.Do(chromedp.EmulateViewport(width, height, chromedp.EmulateTouch))
}

// media sets a feature of the medium, such as prefers-color-scheme.
func media(tab *pagetest.Tab, name, value string) {
	pagetest.Call(tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: name, Value: value}}})
	frames(tab)
}

// drawn is a promise that is kept when what has happened in the page has been drawn.
const drawn = `new Promise((done) => {
	const look = () => document.documentElement.dataset.behind === undefined ? done(true) : requestAnimationFrame(look);
	requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(look)));
})`

// frames waits until what has happened in the page has been drawn.
func frames(tab *pagetest.Tab) { await[bool](tab, drawn) }

// await is the value of a promise.
func await[T any](tab *pagetest.Tab, promise string) T {
	return pagetest.Eval[T](tab, promise, chromedp.EvalAwaitPromise)
}

// do runs JavaScript for its effect.
func do(tab *pagetest.Tab, script string) {
	pagetest.Eval[bool](tab, "(() => {"+script+"; return true})()")
	frames(tab)
}

// canonical is a link as the page must write it.
func canonical(text string) string {
	l := link.Decode(text)
	return "#" + link.Encode(&l.Build, l.Unknown)
}

// another is a promise of another build in the same page, as an address edited by hand brings it. It goes by way of a third build, so
// that an edit that the address has not followed yet does not hide the change.
func another(text string) string {
	return fmt.Sprintf(`new Promise((done) => {
		const then = (next) => addEventListener('hashchange', next, { once: true });
		then(() => {
			then(() => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(() => done(true)))));
			location.hash = %q;
		});
		location.hash = 'v=1&floor=16';
	})`, text)
}

// to opens another build in the same page.
func to(tab *pagetest.Tab, text string) {
	await[bool](tab, another(text))
	tab.Await(fmt.Sprintf("location.hash === %q", canonical(text)))
}

// rest waits until the address has followed the build.
func rest(tab *pagetest.Tab, link string) {
	tab.Await(fmt.Sprintf("location.hash === %q", "#"+link))
}

// allReadouts is every readout's plain number by its key. A key that stands in several places must say the same in each.
const allReadouts = drawn + `.then(() => {
	const all = {};
	for (const o of document.querySelectorAll('[data-key]')) {
		const { key, value } = o.dataset;
		if (key in all && all[key] !== value) throw new Error(key + ' is both ' + all[key] + ' and ' + value);
		all[key] = value;
	}
	return all;
})`

func readouts(tab *pagetest.Tab) map[string]string {
	return await[map[string]string](tab, allReadouts)
}

// readout is the plain number of a readout.
func readout(tab *pagetest.Tab, key string) float64 {
	return pagetest.Eval[float64](tab, fmt.Sprintf(`(() => {
		const { value } = document.querySelector('[data-key=%q]').dataset;
		if (value === '') throw new Error('no figure');
		return Number(value);
	})()`, key))
}

// slider and typed are the two controls of a leading input.
func slider(key string) string {
	return fmt.Sprintf(`document.querySelector('input[type=range][name=%q]')`, key)
}
func typed(key string) string {
	return fmt.Sprintf(`document.querySelector('input[type=text][name=%q]')`, key)
}

// focus puts the focus on an element as a person does who has it in sight.
func focus(tab *pagetest.Tab, element string) {
	do(tab, element+".scrollIntoView({ block: 'center' }); "+element+".focus()")
}

// press types keys, one event each.
func press(tab *pagetest.Tab, keys ...string) {
	for _, key := range keys {
		tab.Do(chromedp.KeyEvent(key))
	}
	frames(tab)
}

// write replaces the text of a field by typing.
func write(tab *pagetest.Tab, element, text string) {
	focus(tab, element)
	do(tab, element+".select()")
	if text == "" {
		press(tab, "\b")
	}
	for _, r := range text {
		tab.Do(chromedp.KeyEvent(string(r)))
	}
	frames(tab)
}
