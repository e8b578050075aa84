//go:build !js

package main

import (
	"fmt"
	"os"
)

// main exists so that ./... builds everywhere.
func main() {
	fmt.Fprintln(os.Stderr, "this program runs in a browser: make run builds and serves it")
	os.Exit(2)
}
