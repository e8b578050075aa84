//go:build !js

package browser

import (
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

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
	if site.server != nil {
		_ = site.server.Process.Kill()
		_ = site.server.Wait()
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
	public := filepath.Join(top, "public")
	if err := run(top, "go", "run", "./wasm/build", "-out", "public"); err != nil {
		return err
	}
	command := filepath.Join(folder, "headroom")
	if err := run(top, "go", "build", "-o", command, "."); err != nil {
		return err
	}
	address, err := free()
	if err != nil {
		return err
	}
	site.server = exec.Command(command, "-addr", address, "-dir", public)
	site.server.Stderr = os.Stderr
	if err := site.server.Start(); err != nil {
		return err
	}
	site.address = "http://" + address + "/"
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if r, err := http.Get(site.address); err == nil {
			_ = r.Body.Close()
			return nil
		}
	}
	return fmt.Errorf("the server did not answer at %s", site.address)
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

// open opens the page with a fragment at phone size and waits until it is live.
func open(t testing.TB, fragment string) *pagetest.Tab {
	return openSized(t, fragment, 390, 844)
}

func openSized(t testing.TB, fragment string, width, height int64) *pagetest.Tab {
	t.Helper()
	address := serve(t)
	tab := pagetest.Open(t, "about:blank")
	tab.Do(chromedp.EmulateViewport(width, height, chromedp.EmulateTouch),
		chromedp.Navigate(address+fragment))
	tab.Await(`document.documentElement.dataset.boot === "ready"`)
	return tab
}

// readout is the plain number of a readout.
func readout(tab *pagetest.Tab, key string) float64 {
	return pagetest.Eval[float64](tab, fmt.Sprintf(`Number(document.querySelector('[data-key=%q]').dataset.value)`, key))
}
