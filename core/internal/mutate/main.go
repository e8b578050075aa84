//go:build !js

// Command mutate checks tests: it flips every comparison of a package, one at a time, and runs the package's own tests on each.
//
//	go run ./core/internal/mutate ./core/protect ./core/review
//
// A flip that no test notices survives and is printed with its place; then the exit status is 1. Sources are never touched: each flipped
// file is laid over the original with the go command's -overlay.
package main

import (
	"fmt"
	"os"
)

func main() {
	if len(os.Args) < 2 {
		fmt.Fprintln(os.Stderr, "usage: mutate ./package ...")
		os.Exit(2)
	}
	total, survivors := 0, 0
	for _, dir := range os.Args[1:] {
		results, err := Package(dir)
		if err != nil {
			fmt.Fprintf(os.Stderr, "mutate: %s: %v\n", dir, err)
			os.Exit(2)
		}
		for _, r := range results {
			total++
			if r.Outcome != Killed {
				survivors++
				fmt.Println(r)
			}
		}
	}
	fmt.Printf("%d mutants, %d killed, %d not\n", total, total-survivors, survivors)
	if survivors > 0 {
		os.Exit(1)
	}
}
