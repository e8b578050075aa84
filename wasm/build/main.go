// Command build compiles the planner to WebAssembly and makes everything else that the page loads but nobody
// writes by hand.
//
//	go run ./wasm/build            into public/
//	go run ./wasm/build -dist      and a folder public/dist/ with exactly the files a static host needs, and
//	                                 headroom.html: the whole planner in one file, for a disk or a message
//	go run ./wasm/build -icons     redraws public/icons/ (committed) and stops
//
// Beside the compiled program it writes the page with its first view in it (index.html, from index.template), Go's own loader
// (wasm_exec.js), the list of all files with their hashes
// (build.js) and the compressed forms that the server hands out. What is already current is left alone, and the
// same sources always give the same bytes.
package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// distFolder lies inside the output folder and is never part of the page.
const distFolder = "dist"

func main() {
	out := flag.String("out", "public", "`folder` that holds the page and takes the outputs")
	program := flag.String("program", "./wasm", "`package` to compile")
	dist := flag.Bool("dist", false, "also write the folder for a static host")
	icons := flag.Bool("icons", false, "redraw the icons and stop")
	flag.Parse()
	if err := run(*out, *program, *dist, *icons, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "build:", err)
		os.Exit(1)
	}
}

func run(out, program string, dist, icons bool, log io.Writer) error {
	if icons {
		return drawIcons(filepath.Join(out, "icons"))
	}
	if err := compile(program, filepath.Join(out, "headroom.wasm")); err != nil {
		return err
	}
	if err := copyLoader(filepath.Join(out, "wasm_exec.js")); err != nil {
		return err
	}
	return assemble(out, dist, log)
}

// assemble writes what follows from the files of the page, once the program is among them.
func assemble(out string, dist bool, log io.Writer) error {
	template, err := os.ReadFile(filepath.Join(out, templateName))
	if err != nil {
		return err
	}
	page, err := fill(template)
	if err != nil {
		return fmt.Errorf("the first view: %w", err)
	}
	if err := writeChanged(filepath.Join(out, pageName), page); err != nil {
		return err
	}
	assets, err := readAssets(out)
	if err != nil {
		return err
	}
	list, err := buildScript(assets)
	if err != nil {
		return err
	}
	if err := writeChanged(filepath.Join(out, listName), list); err != nil {
		return err
	}
	assets = append(assets, asset{path: listName, content: list})
	sizes, err := packAll(out, assets)
	if err != nil {
		return err
	}
	printSizes(log, sizes)
	if !dist {
		return nil
	}
	if err := writeDist(out, assets); err != nil {
		return err
	}
	whole, err := oneFile(assets)
	if err != nil {
		return fmt.Errorf("the page in one file: %w", err)
	}
	fmt.Fprintf(log, "%9d %29s\n", len(whole), distFolder+"/"+oneFileName)
	return os.WriteFile(filepath.Join(out, distFolder, oneFileName), whole, 0o644)
}

// inlining keeps small functions out of line where they cost bytes and win no time: in the components and most of the standard library.
// The physics keeps it; money, words and the reading of tracks are no physics. It takes an eighth off what travels.
var inlining = []string{"-gcflags=all=-l", "-gcflags=headroom/core/...=",
	"-gcflags=headroom/core/money=-l", "-gcflags=headroom/core/plain=-l", "-gcflags=headroom/core/price=-l", "-gcflags=headroom/core/quote=-l",
	"-gcflags=headroom/core/preview=-l", "-gcflags=headroom/core/route=-l"}

// compile builds the js/wasm program to target. Version-control stamps are left out, for they would change the
// bytes with every commit.
func compile(program, target string) error {
	built, err := os.CreateTemp(filepath.Dir(target), ".headroom-*.wasm")
	if err != nil {
		return err
	}
	built.Close()
	defer os.Remove(built.Name())
	args := append([]string{"build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w"}, inlining...)
	command := exec.Command("go", append(args, "-o", built.Name(), program)...)
	command.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOWASM=")
	if told, err := command.CombinedOutput(); err != nil {
		return fmt.Errorf("compiling %s for js/wasm: %w\n%s", program, err, bytes.TrimSpace(told))
	}
	content, err := os.ReadFile(built.Name())
	if err != nil {
		return err
	}
	return writeChanged(target, content)
}

// copyLoader copies the loader of the Go release that compiled the program: the two belong together.
func copyLoader(target string) error {
	goroot, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return fmt.Errorf("asking for GOROOT: %w", err)
	}
	content, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(goroot)), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return fmt.Errorf("this Go installation has no loader for js/wasm: %w", err)
	}
	return writeChanged(target, content)
}

// writeChanged writes content unless the file holds it already, so that times tell when it last changed.
func writeChanged(target string, content []byte) error {
	old, err := os.ReadFile(target)
	if err == nil && bytes.Equal(old, content) {
		return nil
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return os.WriteFile(target, content, 0o644)
}
