//go:build !js

package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// flips lists for each comparison what it is turned into: its boundary moved, and its meaning turned round.
var flips = map[token.Token][]token.Token{
	token.LSS: {token.LEQ, token.GEQ},
	token.LEQ: {token.LSS, token.GTR},
	token.GTR: {token.GEQ, token.LEQ},
	token.GEQ: {token.GTR, token.LSS},
	token.EQL: {token.NEQ},
	token.NEQ: {token.EQL},
}

// Outcome is what the package's tests said to a mutant.
type Outcome string

// The outcomes. A mutant that does not build tests nothing and counts as not killed.
const (
	Killed   Outcome = "killed"
	Survived Outcome = "survived"
	Broken   Outcome = "does not build"
)

// Mutant is one comparison turned into another.
type Mutant struct {
	Place    token.Position
	From, To token.Token
	source   []byte
}

// Result is a mutant and what became of it.
type Result struct {
	Mutant
	Outcome Outcome
}

func (r Result) String() string {
	return fmt.Sprintf("%s:%d:%d: %s → %s %s", r.Place.Filename, r.Place.Line, r.Place.Column, r.From, r.To, r.Outcome)
}

// Package tests every mutant of the package in dir, a path that begins with ./ or /.
func Package(dir string) ([]Result, error) {
	if out, err := goTest(dir); err != nil {
		return nil, fmt.Errorf("the tests fail without any mutant: %s", out)
	}
	mutants, err := Mutants(dir)
	if err != nil {
		return nil, err
	}
	results := make([]Result, len(mutants))
	for i, m := range mutants {
		outcome, err := try(dir, m)
		if err != nil {
			return nil, err
		}
		results[i] = Result{m, outcome}
	}
	return results, nil
}

// Mutants lists every flip of every comparison in the package's own files, tests left out.
func Mutants(dir string) ([]Mutant, error) {
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		return nil, err
	}
	var list []Mutant
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		source, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, name, source, 0)
		if err != nil {
			return nil, err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if e, ok := n.(*ast.BinaryExpr); ok {
				at := set.Position(e.OpPos)
				for _, to := range flips[e.Op] {
					flipped := slices.Concat(source[:at.Offset], []byte(to.String()), source[at.Offset+len(e.Op.String()):])
					list = append(list, Mutant{at, e.Op, to, flipped})
				}
			}
			return true
		})
	}
	return list, nil
}

func try(dir string, m Mutant) (Outcome, error) {
	tmp, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return "", err
	}
	defer func() { _ = os.RemoveAll(tmp) }() // a leftover there harms nobody
	original, err := filepath.Abs(m.Place.Filename)
	if err != nil {
		return "", err
	}
	flipped, overlay := filepath.Join(tmp, "flipped.go"), filepath.Join(tmp, "overlay.json")
	text, err := json.Marshal(map[string]map[string]string{"Replace": {original: flipped}})
	if err != nil {
		return "", err
	}
	if err := errors.Join(os.WriteFile(flipped, m.source, 0o600), os.WriteFile(overlay, text, 0o600)); err != nil {
		return "", err
	}
	out, err := goTest(dir, "-overlay", overlay)
	switch {
	case err == nil:
		return Survived, nil
	case bytes.Contains(out, []byte("[build failed]")):
		return Broken, nil
	}
	return Killed, nil
}

// goTest runs a package's tests up to the first that fails. A mutant that loops without end is stopped, and so killed.
func goTest(dir string, flags ...string) ([]byte, error) {
	args := slices.Concat([]string{"test", "-count=1", "-failfast", "-vet=off", "-timeout=120s"}, flags, []string{dir})
	return exec.Command("go", args...).CombinedOutput()
}
