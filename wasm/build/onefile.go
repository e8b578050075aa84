package main

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"html"
	"slices"
	"strings"
)

// oneFileName is the page that is one file: it opens from a disk or out of a message, with no server.
const oneFileName = "headroom.html"

// oneFile makes one self-contained page of the assets. Style and scripts stand in it, and its policy allows exactly those, by their
// hashes; the program is packed with gzip, which browsers unpack by themselves, and written as base64. What needs a server is left out:
// the worker, the list of files and the manifest.
func oneFile(assets []asset) ([]byte, error) {
	find := func(name string) ([]byte, error) {
		i := slices.IndexFunc(assets, func(a asset) bool { return a.path == name })
		if i < 0 {
			return nil, fmt.Errorf("the page has no %s", name)
		}
		return assets[i].content, nil
	}
	page, err := find(pageName)
	if err != nil {
		return nil, err
	}
	text := string(page)
	put := func(line, instead string) {
		if n := strings.Count(text, line); err == nil && n != 1 {
			err = fmt.Errorf("%s has %q %d times and must have it once", templateName, line, n)
		}
		text = strings.Replace(text, line, instead, 1)
	}
	inline := func(name string) string {
		content, missing := find(name)
		if missing != nil {
			err = missing
			return ""
		}
		for _, end := range []string{"</script", "</style", "<!--"} {
			if err == nil && bytes.Contains(bytes.ToLower(content), []byte(end)) {
				err = fmt.Errorf("%s holds %q, so it cannot stand inside a page", name, end)
			}
		}
		return string(content)
	}

	first, style := inline("first.js"), inline("style.css")
	runtime, thread := inline("wasm_exec.js"), inline("thread.js")
	scripts := []string{runtime, inline("page.js"), inline("boot.js")}
	icon := inline("icons/icon.svg")
	program, missing := find("headroom.wasm")
	if missing != nil {
		return nil, missing
	}

	policy := "default-src 'none'; script-src 'wasm-unsafe-eval' " + hashes(append([]string{first}, scripts...)...) +
		"; style-src " + hashes(style) + "; worker-src blob:; img-src data: blob:; base-uri 'none'; form-action 'none'"
	const opening, closing = `<meta http-equiv="Content-Security-Policy" content="`, `">`
	before, rest, ok := strings.Cut(text, opening)
	_, after, closed := strings.Cut(rest, closing)
	if !ok || !closed {
		return nil, fmt.Errorf("%s has no policy", templateName)
	}
	text = before + opening + html.EscapeString(policy) + closing + after
	put("\t<!-- The policy of serve.go, for hosts that send no headers of their own. -->\n", "")
	put("\t<link rel=\"manifest\" href=\"manifest.webmanifest\">\n", "")
	put("\t<link rel=\"icon\" href=\"icons/favicon-48.png\" sizes=\"48x48\" type=\"image/png\">\n", "")
	put("\t<link rel=\"apple-touch-icon\" href=\"icons/touch-180.png\">\n", "")
	put(`href="icons/icon.svg"`, `href="data:image/svg+xml;base64,`+base64.StdEncoding.EncodeToString([]byte(icon))+`"`)
	put(`<script src="first.js"></script>`, "<script>"+first+"</script>")
	put(`<link rel="stylesheet" href="style.css">`, "<style>"+style+"</style>")
	put("\t<script src=\"build.js\" defer></script>\n", "")
	put("\t<script src=\"boot.js\" defer></script>\n", "")
	end := "<script id=\"program\" type=\"text/plain\">" + packedText(program) + "</script>\n"
	// boot.js makes threads of these two: one that runs, and one that is text alone.
	end += "<script id=\"runtime\">" + runtime + "</script>\n<script id=\"thread\" type=\"text/plain\">" + thread + "</script>\n"
	for _, s := range scripts[1:] {
		end += "<script>" + s + "</script>\n"
	}
	put("</body>", end+"</body>")
	return []byte(text), err
}

// hashes are scripts or styles as a policy names them.
func hashes(texts ...string) string {
	named := make([]string, len(texts))
	for i, text := range texts {
		sum := sha256.Sum256([]byte(text))
		named[i] = "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	return strings.Join(named, " ")
}

// packedText is the program as text: gzip, base64.
func packedText(program []byte) string {
	var packed bytes.Buffer
	w, _ := gzip.NewWriterLevel(&packed, gzip.BestCompression) // fails only for a level that does not exist
	_, _ = w.Write(program)                                    // neither does writing into memory
	_ = w.Close()
	return base64.StdEncoding.EncodeToString(packed.Bytes())
}
