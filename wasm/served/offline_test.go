//go:build !js

package served

import (
	"context"
	"os"
	"os/exec"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// switched is a server that can be taken off the network and brought back at the same address.
type switched struct {
	address, folder string
	command         *exec.Cmd
}

func startSwitched(t *testing.T, folder string) *switched {
	t.Helper()
	s := &switched{address: freeAddress(t), folder: folder}
	s.on(t)
	t.Cleanup(func() { s.off(t) })
	return s
}

func (s *switched) on(t *testing.T) {
	t.Helper()
	s.command = exec.Command(program(t), "-addr", s.address, "-dir", s.folder)
	stdout, err := s.command.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, s.command.Start())
	_, err = stdout.Read(make([]byte, 1)) // the line comes once it listens
	require.NoError(t, err)
}

func (s *switched) off(t *testing.T) {
	t.Helper()
	if s.command == nil {
		return
	}
	require.NoError(t, s.command.Process.Signal(os.Interrupt))
	require.NoError(t, s.command.Wait())
	s.command = nil
}

func (s *switched) url() string { return "http://" + s.address + "/" }

// publish changes a file of the page and builds the next version.
func (s *switched) publish(t *testing.T, style string) {
	t.Helper()
	put(t, s.folder, "style.css", style)
	require.NoError(t, rebuild(s.folder))
}

const (
	version  = "self.headroomBuild.version"
	updating = `!document.getElementById('update').hidden`
	keeps    = "caches.keys().then((keys) => keys.length)"
	useIt    = "document.getElementById('update-use').click()"
)

// install visits the page and waits until the worker has taken care of it.
func install(t *testing.T, ctx context.Context, address string) {
	t.Helper()
	visit(t, ctx, address)
	await(t, ctx, ready)
	await(t, ctx, takenCare)
}

func TestSecondVisitWorksWithNoNetwork(t *testing.T) {
	server := startSwitched(t, builtPage(t))
	ctx := browser(t, "ERR_CONNECTION_REFUSED", "Failed to update a ServiceWorker", "An unknown error occurred when fetching the script")
	install(t, ctx, server.url()+"#v=1&s=20")
	assert.False(t, eval[bool](t, ctx, updating), "a first visit has nothing to update")
	first := eval[string](t, ctx, version)

	server.off(t)
	for _, tail := range []string{"#v=1&s=20", "?s=18&p=2#v=1", "index.html#v=1", "no/such/place#v=1&s=22"} {
		visit(t, ctx, "about:blank")
		visit(t, ctx, server.url()+tail)
		await(t, ctx, ready)
		assert.Equal(t, first, eval[string](t, ctx, version), tail)
		assert.Contains(t, eval[string](t, ctx, "location.hash"), "#v=1", tail)
		assert.Positive(t, eval[int](t, ctx, "document.styleSheets.length"), tail)
	}
	assert.Equal(t, "image/png", eval[string](t, ctx, "fetch('icons/icon-192.png').then((r) => r.headers.get('Content-Type'))"))
	assert.Contains(t, eval[string](t, ctx, "fetch('index.html').then((r) => r.headers.get('Content-Security-Policy'))"), "default-src 'none'",
		"the kept page keeps its policy")
	assert.Equal(t, "TypeError", eval[string](t, ctx, "fetch('index.html', { method: 'POST' }).catch((e) => e.name)"), "only GET is answered")
}

func TestNewVersionWaitsForConsent(t *testing.T) {
	server := startSwitched(t, builtPage(t))
	ctx := browser(t)
	install(t, ctx, server.url()+"#v=1&s=20")
	old := eval[string](t, ctx, version)
	other, cancel := chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	install(t, other, server.url()+"#v=1&p=3")

	server.publish(t, "p { margin: 1px }")
	visit(t, ctx, "about:blank")
	visit(t, ctx, server.url()+"#v=1&s=20")
	await(t, ctx, ready)
	eval[int](t, ctx, "self.untouched = 1")
	eval[int](t, other, "self.untouched = 1")
	await(t, ctx, updating)
	time.Sleep(time.Second) // what must not happen by itself gets the time to
	assert.Equal(t, "A new version is ready Use it", eval[string](t, ctx, "document.getElementById('update').innerText.replace(/\\s+/g, ' ')"))
	assert.Equal(t, old, eval[string](t, ctx, version), "the old version runs on")
	assert.Equal(t, 2, eval[int](t, ctx, keeps), "both are kept, apart")
	assert.NotContains(t, eval[string](t, ctx, "fetch('style.css').then((r) => r.text())"), "margin: 1px", "and not mixed")
	assert.Equal(t, 1, eval[int](t, ctx, "self.untouched"), "no reload without consent")

	require.NoError(t, chromedp.Do(ctx, chromedp.Click(chromedp.CSS("#update-use"))))
	await(t, ctx, "self.untouched === undefined && "+ready)
	assert.NotEqual(t, old, eval[string](t, ctx, version))
	assert.Contains(t, eval[string](t, ctx, "fetch('style.css').then((r) => r.text())"), "margin: 1px")
	assert.Equal(t, "#v=1&s=20", eval[string](t, ctx, "location.hash"), "the build is kept")
	assert.Equal(t, 1, eval[int](t, ctx, keeps), "the old version is gone")
	assert.False(t, eval[bool](t, ctx, updating))

	await(t, other, updating)
	assert.Equal(t, 1, eval[int](t, other, "self.untouched"), "another window is not reloaded either")
	assert.Equal(t, old, eval[string](t, other, version))
	eval[any](t, other, useIt+", null")
	await(t, other, "self.untouched === undefined && "+ready)
	assert.Equal(t, eval[string](t, ctx, version), eval[string](t, other, version))
	assert.Equal(t, "#v=1&p=3", eval[string](t, other, "location.hash"))
}

// A site in the middle of being changed, or a file altered on the way, never becomes an installed version.
func TestMixedVersionIsNotInstalled(t *testing.T) {
	server := startSwitched(t, builtPage(t))
	ctx := browser(t)
	install(t, ctx, server.url())
	old := eval[string](t, ctx, version)

	server.publish(t, "p { margin: 2px }")
	alter(t, server.folder, "manifest.webmanifest", "{}")
	visit(t, ctx, "about:blank")
	visit(t, ctx, server.url())
	await(t, ctx, ready)
	// The next worker must come and go: redundant is how the browser says that it did not install.
	assert.Equal(t, "redundant", eval[string](t, ctx, `navigator.serviceWorker.getRegistration().then(async (registration) => {
		const next = new Promise((resolve) => registration.addEventListener('updatefound', () => resolve(registration.installing)));
		registration.update().catch(() => {});
		const worker = registration.installing || await next;
		while (worker.state === 'installing' || worker.state === 'parsed') await new Promise((go) => setTimeout(go, 20));
		return worker.state;
	})`))
	assert.Equal(t, 1, eval[int](t, ctx, keeps), "nothing is left of it")
	assert.Equal(t, old, eval[string](t, ctx, version))
	assert.False(t, eval[bool](t, ctx, updating))
}
