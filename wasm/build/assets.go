package main

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// listName is the script that tells the page and its worker which files make up this version.
const listName = "build.js"

// workerName is the service worker. It cannot keep itself, so the list leaves it out.
const workerName = "sw.js"

// asset is a file of the page; path is relative to the page and uses slashes.
type asset struct {
	path    string
	content []byte
}

// readAssets reads the files of the page below folder, in the order of their paths: everything but hidden files,
// compressed forms, the template, the list itself and the folder for static hosts.
func readAssets(folder string) ([]asset, error) {
	var assets []asset
	err := fs.WalkDir(os.DirFS(folder), ".", func(name string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case name == ".":
			return nil
		case entry.IsDir() && (name == distFolder || strings.HasPrefix(entry.Name(), ".")):
			return fs.SkipDir
		case entry.IsDir() || strings.HasPrefix(entry.Name(), ".") || packedExtension(name) || name == listName || name == templateName:
			return nil
		case !entry.Type().IsRegular():
			return fmt.Errorf("%s is not a plain file", name)
		}
		content, err := os.ReadFile(filepath.Join(folder, filepath.FromSlash(name)))
		if err != nil {
			return err
		}
		assets = append(assets, asset{name, content})
		return nil
	})
	return assets, err
}

// buildScript is the text of build.js: the version, and for every file that the worker keeps its hash in the form
// of an integrity attribute and its size. The version covers every byte of the page, the worker's too.
func buildScript(assets []asset) ([]byte, error) {
	list := struct {
		Version string            `json:"version"`
		Files   map[string]string `json:"files"`
		Sizes   map[string]int    `json:"sizes"`
	}{Files: map[string]string{}, Sizes: map[string]int{}}
	whole := sha256.New()
	for _, a := range assets {
		sum := sha256.Sum256(a.content)
		fmt.Fprintf(whole, "%x %s\n", sum, a.path)
		if a.path == workerName {
			continue
		}
		list.Files[a.path] = "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
		list.Sizes[a.path] = len(a.content)
	}
	for _, needed := range []string{pageName, "headroom.wasm", "wasm_exec.js"} {
		if list.Files[needed] == "" {
			return nil, fmt.Errorf("the page has no %s", needed)
		}
	}
	list.Version = hex.EncodeToString(whole.Sum(nil))[:16]
	text, err := json.MarshalIndent(list, "", "\t") // encoding/json sorts the keys of a map
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(nil, "self.headroomBuild = %s;\n", text), nil
}

// writeDist writes the folder for a static host: the assets and their compressed forms, and nothing that an
// earlier run left there.
func writeDist(folder string, assets []asset) error {
	dist := filepath.Join(folder, distFolder)
	if err := os.RemoveAll(dist); err != nil {
		return err
	}
	for _, a := range assets {
		target := filepath.Join(dist, filepath.FromSlash(a.path))
		if err := os.MkdirAll(filepath.Dir(target), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(target, a.content, 0o644); err != nil {
			return err
		}
		for _, p := range packers {
			packed, err := os.ReadFile(filepath.Join(folder, filepath.FromSlash(a.path)) + p.extension)
			if err != nil {
				continue // this kind of file has no compressed form
			}
			if err := os.WriteFile(target+p.extension, packed, 0o644); err != nil {
				return err
			}
		}
	}
	return nil
}

// packedExtension says whether name is the compressed form of another file.
func packedExtension(name string) bool {
	for _, p := range packers {
		if path.Ext(name) == p.extension {
			return true
		}
	}
	return false
}
