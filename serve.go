// Command headroom serves the planner's page, prints what the planner says about one build, or finds builds.
//
//	go run .               serves public/ at http://127.0.0.1:8080/
//	go run . plan LINK     prints the report of the build in LINK as JSON
//	go run . -frame 'https://shop.example'    lets the pages of that site show it in a frame
//	go run . find WISHES   prints the builds that meet WISHES and that no other beats as JSON
//
// The server hands out static files and nothing else: all calculation happens in the browser.
package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/signal"
	"path"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"
	"unicode"

	"headroom/core"
	"headroom/core/find"
	"headroom/core/link"
)

// Exit codes: a server that cannot run, and a command line or link that cannot be read.
const (
	exitFailed = 1
	exitUsage  = 2
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// run is main without the process around it; it returns the exit code.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("headroom", flag.ContinueOnError)
	flags.SetOutput(stderr)
	addr := flags.String("addr", "127.0.0.1:8080", "`address` to serve on; port 0 picks a free one")
	dir := flags.String("dir", "public", "`folder` to serve")
	frame := flags.String("frame", "", "`origins` of the sites that may show it in a frame, as 'https://shop.example https://www.shop.example'; none if empty")
	flags.Usage = func() {
		fmt.Fprintln(stderr, "usage: headroom [-addr ADDRESS] [-dir FOLDER] [-frame ORIGINS]\n       headroom plan LINK\n       headroom find WISHES")
		flags.PrintDefaults()
	}
	switch err := flags.Parse(args); {
	case errors.Is(err, flag.ErrHelp):
		return 0
	case err != nil:
		return exitUsage
	case flags.NArg() == 0:
		ancestors, err := framers(*frame)
		if err != nil {
			fmt.Fprintf(stderr, "headroom: -frame: %v\n", err)
			return exitUsage
		}
		return serve(ctx, *addr, *dir, ancestors, stdout, stderr)
	case flags.NArg() == 2 && flags.Arg(0) == "plan":
		return plan(flags.Arg(1), stdout, stderr)
	case flags.NArg() == 2 && flags.Arg(0) == "find":
		return findBuilds(ctx, flags.Arg(1), stdout, stderr)
	}
	flags.Usage()
	return exitUsage
}

// serve answers requests for the files in dir until ctx ends; ancestors are what may frame them, as a policy names it.
func serve(ctx context.Context, addr, dir, ancestors string, stdout, stderr io.Writer) int {
	root, err := os.OpenRoot(dir)
	if err != nil {
		fmt.Fprintf(stderr, "headroom: no folder %q to serve here; start in the top folder of the project or name one with -dir\n", dir)
		return exitFailed
	}
	defer root.Close()
	listener, err := net.Listen("tcp", addr)
	if errors.Is(err, syscall.EADDRINUSE) {
		fmt.Fprintf(stderr, "headroom: %s is already in use; choose another address with -addr, for example -addr 127.0.0.1:8081\n", addr)
		return exitFailed
	}
	if err != nil {
		fmt.Fprintf(stderr, "headroom: cannot serve on %s (%v); choose another address with -addr\n", addr, err)
		return exitFailed
	}
	if _, err := root.Stat("headroom.wasm"); err != nil {
		fmt.Fprintln(stderr, "headroom: the planner is not built yet; `make run` builds it and then serves it")
	}
	server := &http.Server{
		Handler:           &site{root: root, bodies: map[string]*body{}, policy: policy + "; frame-ancestors " + ancestors},
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       10 * time.Second,
		WriteTimeout:      2 * time.Minute, // a whole first visit over a very slow link
		IdleTimeout:       time.Minute,
		MaxHeaderBytes:    32 << 10,
	}
	fmt.Fprintf(stdout, "Headroom is at http://%s/ (Ctrl-C stops it)\n", reachable(listener.Addr()))
	served := make(chan error, 1)
	go func() { served <- server.Serve(listener) }()
	select {
	case err := <-served:
		fmt.Fprintf(stderr, "headroom: serving ended: %v\n", err)
		return exitFailed
	case <-ctx.Done():
	}
	grace, cancel := context.WithTimeout(context.Background(), 3*time.Second)
	defer cancel()
	if err := server.Shutdown(grace); err != nil {
		server.Close()
	}
	return 0
}

// framers reads a list of origins and returns them as the policy's frame-ancestors, 'none' where the list is empty. An origin is a scheme,
// a host and perhaps a port: nothing that would let in more than the one site it names, and nothing that could end the policy.
func framers(list string) (string, error) {
	var origins []string
	for _, text := range strings.Fields(list) {
		u, err := url.Parse(text)
		if err != nil || u.Scheme != "https" && u.Scheme != "http" || u.Host == "" || u.Scheme+"://"+u.Host != text {
			return "", fmt.Errorf("%q is no origin; an origin looks like https://shop.example or https://shop.example:8443, with nothing behind it", text)
		}
		if strings.Trim(u.Host, "abcdefghijklmnopqrstuvwxyz0123456789.-:[]") != "" || u.Hostname() == "" || u.Port() == "" && strings.HasSuffix(u.Host, ":") {
			return "", fmt.Errorf("the host of %q has characters that cannot stand here: write it in lower case, other alphabets as xn--…, and no *", text)
		}
		if port, err := strconv.ParseUint(u.Port(), 10, 16); u.Port() != "" && (err != nil || port == 0) {
			return "", fmt.Errorf("%q has no port that there is", text)
		}
		origins = append(origins, text)
	}
	if origins == nil {
		return "'none'", nil
	}
	return strings.Join(origins, " "), nil
}

// reachable is the host and port to type into a browser on this machine.
func reachable(addr net.Addr) string {
	if tcp, ok := addr.(*net.TCPAddr); ok && tcp.IP.IsUnspecified() {
		return net.JoinHostPort("127.0.0.1", strconv.Itoa(tcp.Port))
	}
	return addr.String()
}

// policy is the Content-Security-Policy of every answer, but for frame-ancestors, which a page cannot say of itself: index.html repeats
// the rest for hosts that send no headers.
const policy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; " +
	"img-src 'self' data: blob:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; font-src 'self'; " +
	"base-uri 'none'; form-action 'none'"

// headers go with every answer beside the policy, errors included.
var headers = map[string]string{
	"Cross-Origin-Opener-Policy":   "same-origin",
	"Cross-Origin-Resource-Policy": "same-origin",
	"Permissions-Policy":           "camera=(), display-capture=(), geolocation=(), microphone=(), midi=(), payment=(), usb=()",
	"Referrer-Policy":              "no-referrer",
	"X-Content-Type-Options":       "nosniff",
}

// types are the only kinds of file that leave the folder. mime.TypeByExtension would ask the machine's own
// tables, which differ.
var types = map[string]string{
	".css":         "text/css; charset=utf-8",
	".html":        "text/html; charset=utf-8",
	".ico":         "image/x-icon",
	".js":          "text/javascript; charset=utf-8",
	".json":        "application/json",
	".png":         "image/png",
	".svg":         "image/svg+xml",
	".txt":         "text/plain; charset=utf-8",
	".wasm":        "application/wasm",
	".webmanifest": "application/manifest+json",
	".woff2":       "font/woff2",
}

// site serves the files below root. It keeps what it has read, so that a body and its validator always belong
// together, and reads a file again when the file has changed.
type site struct {
	root   *os.Root
	policy string
	mu     sync.Mutex
	bodies map[string]*body
}

// body is one file as it was at modified.
type body struct {
	bytes    []byte
	etag     string
	modified time.Time
}

func (s *site) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	for name, value := range headers {
		w.Header().Set(name, value)
	}
	w.Header().Set("Content-Security-Policy", s.policy)
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		refuse(w, http.StatusMethodNotAllowed)
		return
	}
	name := strings.TrimPrefix(r.URL.Path, "/")
	if name == "" || strings.HasSuffix(name, "/") {
		name += "index.html"
	}
	kind, known := types[path.Ext(name)]
	if !known || !public(name) {
		refuse(w, http.StatusNotFound)
		return
	}
	plain, err := s.read(name)
	if err != nil {
		refuse(w, http.StatusNotFound)
		return
	}
	w.Header().Set("Vary", "Accept-Encoding")
	forms := map[string]*body{"identity": plain}
	for _, packed := range encodings {
		form, err := s.read(name + packed.suffix)
		if err == nil && !form.modified.Before(plain.modified) { // else made from an older version of the file
			forms[packed.name] = form
		}
	}
	encoding := negotiate(r.Header.Values("Accept-Encoding"), forms)
	sent := forms[encoding]
	if sent == nil {
		refuse(w, http.StatusNotAcceptable)
		return
	}
	if encoding != "identity" {
		w.Header().Set("Content-Encoding", encoding)
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Length", strconv.Itoa(len(sent.bytes))) // ServeContent leaves it out of encoded answers
	w.Header().Set("ETag", sent.etag)
	w.Header().Set("Cache-Control", "no-cache")
	if path.Base(name) == "sw.js" {
		w.Header().Set("Cache-Control", "no-store") // a kept worker file would hide every later version
	}
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(sent.bytes))
}

// refuse answers with a status and its words alone.
func refuse(w http.ResponseWriter, status int) {
	w.Header().Set("Cache-Control", "no-store")
	http.Error(w, strconv.Itoa(status)+" "+http.StatusText(status), status)
}

// public says whether name is a plain path with no hidden part. os.Root would stop an escape too.
func public(name string) bool {
	return fs.ValidPath(name) && !strings.HasPrefix(name, ".") && !strings.Contains(name, "/.") &&
		!strings.ContainsAny(name, "\\\x00")
}

// read returns the file called name, from memory when it has not changed since.
func (s *site) read(name string) (*body, error) {
	file, err := s.root.Open(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return nil, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if kept := s.bodies[name]; kept != nil && kept.modified.Equal(info.ModTime()) && int64(len(kept.bytes)) == info.Size() {
		return kept, nil
	}
	content, err := io.ReadAll(file)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(content)
	fresh := &body{content, `"` + base64.RawURLEncoding.EncodeToString(sum[:18]) + `"`, info.ModTime()}
	s.bodies[name] = fresh
	return fresh, nil
}

// encodings are the stored forms of a file, the smallest first.
var encodings = []struct{ name, suffix string }{{"br", ".br"}, {"gzip", ".gz"}}

// negotiate picks the content coding for the given Accept-Encoding fields (RFC 9110, section 12.5.3) among the
// forms there are: the one weighted highest, the smaller of equals, and "identity" where the client says nothing
// of the others. It returns "" when the client rules out every form.
func negotiate(fields []string, forms map[string]*body) string {
	weights := map[string]float64{}
	for item := range strings.SplitSeq(strings.Join(fields, ","), ",") {
		coding, parameter, _ := strings.Cut(item, ";")
		weights[strings.ToLower(strings.TrimSpace(coding))] = weight(parameter)
	}
	others, starred := weights["*"]
	chosen, best := "", 0.0
	for _, packed := range encodings {
		q, named := weights[packed.name]
		if !named {
			q = others
		}
		if forms[packed.name] != nil && q > best {
			chosen, best = packed.name, q
		}
	}
	q, named := weights["identity"]
	ruledOut := named && q == 0 || !named && starred && others == 0
	if !ruledOut && (chosen == "" || q > best) {
		return "identity"
	}
	return chosen
}

// weight reads a "q=0.5" parameter: 1 when there is none, 0 when it cannot be read.
func weight(parameter string) float64 {
	parameter = strings.TrimSpace(parameter)
	if parameter == "" {
		return 1
	}
	name, value, _ := strings.Cut(parameter, "=")
	q, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
	if err != nil || !strings.EqualFold(strings.TrimSpace(name), "q") || !(q >= 0 && q <= 1) {
		return 0
	}
	return q
}

// plan prints the report of the build in text, a link or its part after the "#". Where the link holds what cannot be used as it stands that
// is told on stderr and nothing is printed: the report of another build than was asked for would not be noticed. Keys of a later version are
// told and left out.
func plan(text string, stdout, stderr io.Writer) int {
	read := link.Decode(text)
	if !read.Holds {
		fmt.Fprintln(stderr, "headroom: this text holds no build; a link looks like \"#v=1&s=20&p=2\"")
		return exitUsage
	}
	for _, problem := range read.Problems {
		fmt.Fprintln(stderr, "headroom:", strings.Map(printable, problem.Text))
	}
	for _, pair := range read.Unknown {
		fmt.Fprintf(stderr, "headroom: %s: not known to this version, so not used\n", strconv.Quote(pair.Key))
	}
	if len(read.Problems) > 0 {
		return exitUsage
	}
	report, err := core.Plan(read.Build)
	if err != nil {
		fmt.Fprintf(stderr, "headroom: %v\n", err)
		return exitFailed
	}
	return printed(report, stdout, stderr)
}

// printed writes an answer as JSON and returns the exit code.
func printed(answer any, stdout, stderr io.Writer) int {
	encoder := json.NewEncoder(stdout)
	encoder.SetIndent("", "  ")
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(answer); err != nil {
		fmt.Fprintf(stderr, "headroom: printing the answer: %v\n", err)
		return exitFailed
	}
	return 0
}

// findBuilds prints the answer to wishes, with a share of the work for every processor. Wishes that cannot be used are named on stderr and
// nothing is searched: a search for something else than what was asked would not be noticed.
func findBuilds(ctx context.Context, text string, stdout, stderr io.Writer) int {
	task, problems := find.Parse(text)
	for _, problem := range problems {
		fmt.Fprintln(stderr, "headroom:", strings.Map(printable, problem.Text))
	}
	if task.Want[find.Price].Given {
		fmt.Fprintln(stderr, "headroom: price: there is no price list here; search by price on the page, where one can be loaded")
		return exitUsage
	}
	if len(problems) > 0 {
		return exitUsage
	}
	parts := make([]find.Result, runtime.GOMAXPROCS(0))
	var work sync.WaitGroup
	for i := range parts {
		search, err := find.NewSearch(task, i, len(parts))
		if err != nil {
			fmt.Fprintf(stderr, "headroom: %v\n", err)
			return exitFailed
		}
		work.Go(func() {
			for ctx.Err() == nil && search.Step(100_000) {
			}
			parts[i] = search.Result()
		})
	}
	work.Wait()
	if ctx.Err() != nil {
		fmt.Fprintln(stderr, "headroom: stopped before the search was done")
		return exitFailed
	}
	return printed(find.Merge(parts...), stdout, stderr)
}

// printable drops what a link could use to play with the terminal that its words are shown on.
func printable(r rune) rune {
	if unicode.IsPrint(r) {
		return r
	}
	return -1
}
