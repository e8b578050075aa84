//go:build !js

package served

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/andybalholm/brotli"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// binary builds the top-level program once for all tests.
var binary = sync.OnceValues(func() (string, error) {
	folder, err := os.MkdirTemp("", "headroom-served-")
	if err != nil {
		return "", err
	}
	target := filepath.Join(folder, "headroom")
	if told, err := exec.Command("go", "build", "-buildvcs=false", "-o", target, "headroom").CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w: %s", err, told)
	}
	return target, nil
})

func TestMain(m *testing.M) {
	code := m.Run()
	if target, err := binary(); err == nil {
		os.RemoveAll(filepath.Dir(target))
	}
	os.Exit(code)
}

func program(t *testing.T) string {
	t.Helper()
	target, err := binary()
	require.NoError(t, err)
	return target
}

// start serves folder on a free port until the test ends; it returns the address with a slash at its end.
func start(t *testing.T, folder string, more ...string) string {
	t.Helper()
	command := exec.Command(program(t), append([]string{"-addr", "127.0.0.1:0", "-dir", folder}, more...)...)
	stdout, err := command.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, command.Start())
	t.Cleanup(func() {
		require.NoError(t, command.Process.Signal(os.Interrupt))
		assert.NoError(t, command.Wait(), "an interrupt ends the server in good order")
	})
	line, err := bufio.NewReader(stdout).ReadString('\n')
	require.NoError(t, err)
	for word := range strings.FieldsSeq(line) {
		if strings.HasPrefix(word, "http://127.0.0.1:") {
			return word
		}
	}
	require.Failf(t, "no address", "the server said %q", line)
	return ""
}

func put(t *testing.T, folder, name, content string) {
	t.Helper()
	target := filepath.Join(folder, name)
	require.NoError(t, os.MkdirAll(filepath.Dir(target), 0o755))
	require.NoError(t, os.WriteFile(target, []byte(content), 0o644))
}

const script = "console.log('the plain script, long enough to be worth compressing')\n"

func packed(t *testing.T, content string, pack func(io.Writer) io.WriteCloser) string {
	t.Helper()
	var out bytes.Buffer
	w := pack(&out)
	_, err := io.WriteString(w, content)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return out.String()
}

func brotlied(t *testing.T, content string) string {
	return packed(t, content, func(w io.Writer) io.WriteCloser { return brotli.NewWriter(w) })
}

func gzipped(t *testing.T, content string) string {
	return packed(t, content, func(w io.Writer) io.WriteCloser { return gzip.NewWriter(w) })
}

// fixture is a folder to serve, inside another with a file that must stay private.
func fixture(t *testing.T) string {
	t.Helper()
	outer := t.TempDir()
	put(t, outer, "go.mod", "private")
	put(t, outer, "secret.txt", "private")
	folder := filepath.Join(outer, "public")
	for name, content := range map[string]string{
		"index.html": "<!doctype html><title>fixture</title>", "style.css": "p{}", "sw.js": "// worker", "boot.js": script,
		"headroom.wasm": "\x00asm", "manifest.webmanifest": "{}", "icons/icon.svg": "<svg/>", "icons/icon.png": "png",
		"server.go": "package private", ".env.txt": "private", ".git/config.txt": "private", "notes.md": "private",
	} {
		put(t, folder, name, content)
	}
	put(t, folder, "boot.js.gz", gzipped(t, script))
	put(t, folder, "boot.js.br", brotlied(t, script))
	put(t, folder, "style.css.gz", gzipped(t, "p{}"))
	require.NoError(t, os.Symlink(filepath.Join(outer, "secret.txt"), filepath.Join(folder, "escape.txt")))
	require.NoError(t, os.Symlink(outer, filepath.Join(folder, "up")))
	return folder
}

// ask sends one request as it is: no automatic encodings, no redirects. Headers are given as name, value, …
func ask(t *testing.T, method, url string, headers ...string) (*http.Response, string) {
	t.Helper()
	request, err := http.NewRequest(method, url, nil)
	require.NoError(t, err)
	for i := 0; i < len(headers); i += 2 {
		request.Header.Add(headers[i], headers[i+1])
	}
	response, err := (&http.Transport{DisableCompression: true, DisableKeepAlives: true}).RoundTrip(request)
	require.NoError(t, err)
	defer response.Body.Close()
	content, err := io.ReadAll(response.Body)
	require.NoError(t, err)
	return response, string(content)
}

func TestKindsOfFileAndHowLongTheyKeep(t *testing.T) {
	base := start(t, fixture(t))
	for _, c := range []struct{ path, kind, keep string }{
		{"", "text/html; charset=utf-8", "no-cache"},
		{"index.html", "text/html; charset=utf-8", "no-cache"},
		{"?s=18&p=2", "text/html; charset=utf-8", "no-cache"},
		{"style.css", "text/css; charset=utf-8", "no-cache"},
		{"boot.js", "text/javascript; charset=utf-8", "no-cache"},
		{"sw.js", "text/javascript; charset=utf-8", "no-store"},
		{"headroom.wasm", "application/wasm", "no-cache"},
		{"manifest.webmanifest", "application/manifest+json", "no-cache"},
		{"icons/icon.svg", "image/svg+xml", "no-cache"},
		{"icons/icon.png", "image/png", "no-cache"},
	} {
		response, content := ask(t, "GET", base+c.path)
		assert.Equal(t, 200, response.StatusCode, c.path)
		assert.NotEmpty(t, content, c.path)
		assert.Equal(t, c.kind, response.Header.Get("Content-Type"), c.path)
		assert.Equal(t, c.keep, response.Header.Get("Cache-Control"), c.path)
		assert.Equal(t, "Accept-Encoding", response.Header.Get("Vary"), c.path)
		assert.Empty(t, response.Header.Get("Last-Modified"), c.path)
	}
}

func TestEveryAnswerCarriesThePolicies(t *testing.T) {
	base := start(t, fixture(t))
	for _, c := range []struct {
		method, path string
		status       int
	}{{"GET", "", 200}, {"GET", "sw.js", 200}, {"GET", "nothing.js", 404}, {"POST", "", 405}} {
		response, _ := ask(t, c.method, base+c.path)
		require.Equal(t, c.status, response.StatusCode)
		assert.Equal(t, "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; "+
			"img-src 'self' data: blob:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; font-src 'self'; "+
			"base-uri 'none'; form-action 'none'; frame-ancestors 'none'", response.Header.Get("Content-Security-Policy"))
		assert.Equal(t, "nosniff", response.Header.Get("X-Content-Type-Options"))
		assert.Equal(t, "no-referrer", response.Header.Get("Referrer-Policy"))
		assert.Equal(t, "same-origin", response.Header.Get("Cross-Origin-Opener-Policy"))
		assert.Contains(t, response.Header.Get("Permissions-Policy"), "camera=()")
	}
}

// Nobody may frame the page unless the one who serves it has named the site.
func TestFraming(t *testing.T) {
	base := start(t, fixture(t), "-frame", " https://shop.example  http://localhost:8000 https://[::1]:8443")
	for _, path := range []string{"", "sw.js", "nothing.js"} {
		response, _ := ask(t, "GET", base+path)
		policy := response.Header.Get("Content-Security-Policy")
		assert.True(t, strings.HasSuffix(policy, "; frame-ancestors https://shop.example http://localhost:8000 https://[::1]:8443"), policy)
		assert.True(t, strings.HasPrefix(policy, "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; "), "the rest stays")
		assert.Empty(t, response.Header.Get("X-Frame-Options"))
	}
	for _, origins := range []string{
		"*", "https://*.example", "shop.example", "https://shop.example/", "https://shop.example/a", "https://a.example; script-src *", "https://a.example;",
		"https://a.example,https://b.example", "'self'", "ftp://a.example", "https://user@a.example", "https://a.example?x", "https://a.example#x", "https:", "https://",
		"https://A.example", "https://ä.example", "https://a.example:", "https://a.example:0", "https://a.example:99999", "https://:8443", "data:", "https://a\x00b",
		"https://good.example https://bad.example/",
	} {
		command := exec.Command(program(t), "-addr", "127.0.0.1:0", "-dir", t.TempDir(), "-frame", strings.ReplaceAll(origins, "\x00", "%00"))
		told, err := command.CombinedOutput()
		var exit *exec.ExitError
		require.ErrorAs(t, err, &exit, origins)
		assert.Equal(t, 2, exit.ExitCode(), origins)
		assert.Contains(t, string(told), "-frame", origins)
	}
}

// Hosts that send no headers still get the policy, from the page itself; a page may not name frame-ancestors.
func TestThePageRepeatsThePolicy(t *testing.T) {
	response, _ := ask(t, "GET", start(t, fixture(t)))
	policy := strings.TrimSuffix(response.Header.Get("Content-Security-Policy"), "; frame-ancestors 'none'")
	require.NotEmpty(t, policy)
	page, err := os.ReadFile(filepath.Join("..", "..", "public", "index.template"))
	require.NoError(t, err)
	assert.Contains(t, string(page), `<meta http-equiv="Content-Security-Policy" content="`+policy+`">`)
}

func TestEncodings(t *testing.T) {
	base := start(t, fixture(t))
	for _, c := range []struct {
		accept, file, want string
		status             int
	}{
		{"", "boot.js", "", 200},
		{"gzip, deflate, br, zstd", "boot.js", "br", 200},
		{"gzip", "boot.js", "gzip", 200},
		{"GZIP", "boot.js", "gzip", 200},
		{"br;q=0, gzip", "boot.js", "gzip", 200},
		{"br;q=0.5, gzip;q=0.8", "boot.js", "gzip", 200},
		{"br ; q=0.8 , gzip;q=0.8", "boot.js", "br", 200},
		{"gzip;q=0.5, identity", "boot.js", "", 200},
		{"gzip;q=0.5, br;q=0.4, identity;q=0.1", "boot.js", "gzip", 200},
		{"br;q=0.000, gzip;q=0.000", "boot.js", "", 200},
		{"*", "boot.js", "br", 200},
		{"*;q=0.5, br;q=0", "boot.js", "gzip", 200},
		{"br;q=broken", "boot.js", "", 200},
		{"br;q=7", "boot.js", "", 200},
		{"deflate", "boot.js", "", 200},
		{"br", "style.css", "", 200},
		{"br, gzip;q=0.1", "style.css", "gzip", 200},
		{"br, identity;q=0", "boot.js", "br", 200},
		{"br, *;q=0", "boot.js", "br", 200},
		{"br, *;q=0", "style.css", "", 406},
		{"identity;q=0", "boot.js", "", 406},
		{"*;q=0", "boot.js", "", 406},
		{"*;q=0, identity;q=0.1", "boot.js", "", 200},
	} {
		response, content := ask(t, "GET", base+c.file, "Accept-Encoding", c.accept)
		assert.Equal(t, c.status, response.StatusCode, "%q", c.accept)
		assert.Equal(t, c.want, response.Header.Get("Content-Encoding"), "%q", c.accept)
		assert.Equal(t, "Accept-Encoding", response.Header.Get("Vary"), "%q", c.accept)
		if c.file != "boot.js" || c.status != 200 {
			continue
		}
		assert.EqualValues(t, len(content), response.ContentLength, "%q", c.accept)
		var body io.Reader = strings.NewReader(content)
		switch c.want {
		case "br":
			body = brotli.NewReader(body)
		case "gzip":
			unpacked, err := gzip.NewReader(body)
			require.NoError(t, err, "%q", c.accept)
			body = unpacked
		}
		got, err := io.ReadAll(body)
		require.NoError(t, err, "%q", c.accept)
		assert.Equal(t, script, string(got), "%q", c.accept)
	}
	split, _ := ask(t, "GET", base+"boot.js", "Accept-Encoding", "br;q=0", "Accept-Encoding", "gzip")
	assert.Equal(t, "gzip", split.Header.Get("Content-Encoding"), "two fields are one list")
}

func TestStaleCompressedFormsAreNotServed(t *testing.T) {
	folder := fixture(t)
	base := start(t, folder)
	later := time.Now().Add(time.Minute)
	put(t, folder, "boot.js", "changed")
	require.NoError(t, os.Chtimes(filepath.Join(folder, "boot.js"), later, later))
	response, content := ask(t, "GET", base+"boot.js", "Accept-Encoding", "br, gzip")
	assert.Empty(t, response.Header.Get("Content-Encoding"))
	assert.Equal(t, "changed", content)
}

func TestValidators(t *testing.T) {
	folder := fixture(t)
	base := start(t, folder)
	tags := map[string]string{}
	for _, accept := range []string{"", "gzip", "br"} {
		response, _ := ask(t, "GET", base+"boot.js", "Accept-Encoding", accept)
		tag := response.Header.Get("ETag")
		assert.Regexp(t, `^"[\w-]{20,}"$`, tag, "strong and quoted")
		for other, seen := range tags {
			assert.NotEqual(t, seen, tag, "%q and %q are different bytes", other, accept)
		}
		tags[accept] = tag

		for _, sent := range []string{tag, `"other", ` + tag, "*", "W/" + tag} {
			response, content := ask(t, "GET", base+"boot.js", "Accept-Encoding", accept, "If-None-Match", sent)
			assert.Equal(t, 304, response.StatusCode, sent)
			assert.Empty(t, content)
			assert.Equal(t, tag, response.Header.Get("ETag"))
			assert.Equal(t, "no-cache", response.Header.Get("Cache-Control"))
			assert.Equal(t, "Accept-Encoding", response.Header.Get("Vary"))
		}
	}
	response, content := ask(t, "GET", base+"boot.js", "If-None-Match", tags["br"])
	assert.Equal(t, 200, response.StatusCode, "the tag of another form")
	assert.Equal(t, script, content)

	put(t, folder, "boot.js", "a new version, of another length")
	response, content = ask(t, "GET", base+"boot.js", "If-None-Match", tags[""])
	assert.Equal(t, 200, response.StatusCode)
	assert.Equal(t, "a new version, of another length", content)
	changed := response.Header.Get("ETag")
	assert.NotEqual(t, tags[""], changed)

	put(t, folder, "boot.js", script)
	response, _ = ask(t, "GET", base+"boot.js")
	assert.Equal(t, tags[""], response.Header.Get("ETag"), "the tag tells the content, not the time")
}

func TestMethods(t *testing.T) {
	base := start(t, fixture(t))
	for _, method := range []string{"POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"} {
		response, _ := ask(t, method, base)
		assert.Equal(t, 405, response.StatusCode, method)
		assert.Equal(t, "GET, HEAD", response.Header.Get("Allow"), method)
	}
	whole, content := ask(t, "GET", base+"boot.js", "Accept-Encoding", "br")
	head, nothing := ask(t, "HEAD", base+"boot.js", "Accept-Encoding", "br")
	assert.Equal(t, 200, head.StatusCode)
	assert.Empty(t, nothing)
	assert.EqualValues(t, len(content), head.ContentLength)
	for _, name := range []string{"ETag", "Content-Type", "Content-Encoding", "Cache-Control"} {
		assert.Equal(t, whole.Header.Get(name), head.Header.Get(name), name)
	}
}

// Requests are written by hand here: a client library would tidy the paths.
func TestNothingElseIsServed(t *testing.T) {
	base := start(t, fixture(t))
	host := strings.TrimSuffix(strings.TrimPrefix(base, "http://"), "/")
	for _, path := range []string{
		"/../go.mod", "/../secret.txt", "/%2e%2e/secret.txt", "/%2e%2e%2fsecret.txt", "/..%2fsecret.txt", "/icons/../../secret.txt",
		"/..%5csecret.txt", "/icons/%2e%2e/boot.js", "//secret.txt", "/./boot.js", "/icons//icon.svg", "/boot.js%00.txt",
		"/escape.txt", "/up/secret.txt", "/up/public/boot.js",
		"/.env.txt", "/.git/config.txt", "/%2eenv.txt", "/server.go", "/notes.md", "/boot.js.br", "/boot.js.gz",
		"/icons", "/icons/", "/nothing.js", "/boot.js/", "/boot.js/index.html", "/INDEX.HTML/",
	} {
		connection, err := net.Dial("tcp", host)
		require.NoError(t, err)
		fmt.Fprintf(connection, "GET %s HTTP/1.1\r\nHost: %s\r\nConnection: close\r\n\r\n", path, host)
		answer, err := io.ReadAll(connection)
		connection.Close()
		require.NoError(t, err)
		status, _, _ := strings.Cut(string(answer), "\r\n")
		assert.Regexp(t, `^HTTP/1\.1 (400|404) `, status, path)
		assert.NotContains(t, string(answer), "private", path)
		assert.NotContains(t, string(answer), "icon.png", path)
	}
}

// runProgram runs the program to its end.
func runProgram(t *testing.T, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	command := exec.Command(program(t), args...)
	var out, told bytes.Buffer
	command.Stdout, command.Stderr = &out, &told
	if err := command.Run(); err != nil {
		var exit *exec.ExitError
		require.ErrorAs(t, err, &exit)
	}
	return command.ProcessState.ExitCode(), out.String(), told.String()
}

func TestBusyPort(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer taken.Close()
	code, stdout, stderr := runProgram(t, "-addr", taken.Addr().String(), "-dir", fixture(t))
	assert.Equal(t, 1, code)
	assert.Empty(t, stdout)
	assert.Equal(t, 1, strings.Count(stderr, "\n"), stderr)
	assert.Contains(t, stderr, taken.Addr().String()+" is already in use")
	assert.Contains(t, stderr, "-addr")
}

func TestMistakesOnTheCommandLine(t *testing.T) {
	code, _, stderr := runProgram(t, "-addr", "127.0.0.1:99999", "-dir", fixture(t))
	assert.Equal(t, 1, code)
	assert.Equal(t, 1, strings.Count(stderr, "\n"), stderr)

	code, _, stderr = runProgram(t, "-dir", filepath.Join(t.TempDir(), "missing"))
	assert.Equal(t, 1, code)
	assert.Equal(t, 1, strings.Count(stderr, "\n"), stderr)
	assert.Contains(t, stderr, "-dir")

	for _, args := range [][]string{{"-nonsense"}, {"nonsense"}, {"plan"}, {"plan", "a", "b"}} {
		code, stdout, stderr := runProgram(t, args...)
		assert.Equal(t, 2, code, args)
		assert.Empty(t, stdout, args)
		assert.Contains(t, stderr, "usage:", args)
	}
}

func TestUnbuiltPageIsSaid(t *testing.T) {
	folder := t.TempDir()
	put(t, folder, "index.html", "x")
	command := exec.Command(program(t), "-addr", "127.0.0.1:0", "-dir", folder)
	stderr, err := command.StderrPipe()
	require.NoError(t, err)
	require.NoError(t, command.Start())
	line, err := bufio.NewReader(stderr).ReadString('\n')
	require.NoError(t, err)
	assert.Contains(t, line, "make run")
	require.NoError(t, command.Process.Signal(syscall.SIGTERM))
	assert.NoError(t, command.Wait())
}
