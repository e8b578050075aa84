package main

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"time"

	"github.com/andybalholm/brotli"
)

// packer is one compressed form.
type packer struct {
	extension string
	pack      func(io.Writer) io.WriteCloser
	unpack    func(io.Reader) (io.Reader, error)
}

var packers = []packer{
	{
		".gz",
		func(w io.Writer) io.WriteCloser {
			packed, _ := gzip.NewWriterLevel(w, gzip.BestCompression) // fails only for a level that does not exist
			return packed
		},
		func(r io.Reader) (io.Reader, error) { return gzip.NewReader(r) },
	},
	{
		".br",
		func(w io.Writer) io.WriteCloser { return brotli.NewWriterLevel(w, brotli.BestCompression) },
		func(r io.Reader) (io.Reader, error) { return brotli.NewReader(r), nil },
	},
}

// packable are the kinds of file that compression makes smaller.
var packable = map[string]bool{
	".css": true, ".html": true, ".js": true, ".json": true, ".svg": true, ".txt": true, ".wasm": true, ".webmanifest": true,
}

// size is one row of what the build prints: bytes as they are and in each compressed form, 0 where there is none.
type size struct {
	path   string
	raw    int
	packed [2]int // as packers
}

// packAll brings the compressed forms of all assets up to date and removes those whose file is gone.
func packAll(folder string, assets []asset) ([]size, error) {
	sizes := make([]size, len(assets))
	wanted := map[string]bool{}
	for i, a := range assets {
		sizes[i] = size{path: a.path, raw: len(a.content)}
		for j, p := range packers {
			target := filepath.Join(folder, filepath.FromSlash(a.path)) + p.extension
			if !packable[path.Ext(a.path)] {
				continue
			}
			n, err := packOne(p, a.content, target)
			if err != nil {
				return nil, fmt.Errorf("compressing %s: %w", a.path, err)
			}
			if n > 0 {
				sizes[i].packed[j] = n
				wanted[a.path+p.extension] = true
			}
		}
	}
	return sizes, removeOrphans(folder, wanted)
}

// packOne writes the compressed form of content to target unless target holds it already: unpacking takes a
// hundredth of the time of packing, and asks no record that could be wrong. It returns the compressed size, or 0
// when compression does not help and so no file is kept.
func packOne(p packer, content []byte, target string) (int, error) {
	if old, err := os.ReadFile(target); err == nil && unpacksTo(p, old, content) {
		now := time.Now() // the server trusts a compressed form only when it is no older than its file
		return len(old), os.Chtimes(target, now, now)
	}
	var packed bytes.Buffer
	w := p.pack(&packed)
	if _, err := w.Write(content); err != nil {
		return 0, err
	}
	if err := w.Close(); err != nil {
		return 0, err
	}
	if packed.Len() >= len(content) {
		return 0, nil
	}
	return packed.Len(), os.WriteFile(target, packed.Bytes(), 0o644)
}

func unpacksTo(p packer, packed, content []byte) bool {
	r, err := p.unpack(bytes.NewReader(packed))
	if err != nil {
		return false
	}
	got, err := io.ReadAll(r)
	return err == nil && bytes.Equal(got, content)
}

// removeOrphans removes compressed forms that no asset has any more.
func removeOrphans(folder string, wanted map[string]bool) error {
	return fs.WalkDir(os.DirFS(folder), ".", func(name string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case entry.IsDir() && name == distFolder:
			return fs.SkipDir
		case entry.IsDir() || !packedExtension(name) || wanted[name]:
			return nil
		}
		if err := os.Remove(filepath.Join(folder, filepath.FromSlash(name))); !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		return nil
	})
}

// printSizes writes a table of sizes in bytes and what a first visit downloads in all.
func printSizes(log io.Writer, sizes []size) {
	fmt.Fprintf(log, "%9s %9s %9s\n", "bytes", "gzip", "brotli")
	together := size{path: "together"}
	row := func(s size) { fmt.Fprintf(log, "%9d %9d %9d  %s\n", s.raw, s.packed[0], s.packed[1], s.path) }
	for _, s := range sizes {
		together.raw += s.raw
		for j, n := range s.packed {
			if n == 0 {
				s.packed[j] = s.raw
			}
			together.packed[j] += s.packed[j]
		}
		row(s)
	}
	row(together)
}
