// Squeeze takes out of generated component code the text nodes that only indent the template: white space with a line break in it,
// which a browser shows as nothing between the boxes of a page. They were a third of all nodes to make and to compare in every frame.
package main

import (
	"fmt"
	"os"
	"regexp"
)

// indent is a text node of white space and the line that hangs it in.
var indent = regexp.MustCompile(`(?m)^\s*vgn = &vugu\.VGNode\{Type: vugu\.VGNodeType\(1\), Data: "(?: |\\t)*\\n(?: |\\t|\\n)*"\}\n\s*vgparent\.AppendChild\(vgn\)\n`)

func main() {
	if err := squeeze(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "squeeze:", err)
		os.Exit(1)
	}
}

func squeeze(file string) error {
	text, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	return os.WriteFile(file, indent.ReplaceAll(text, nil), 0o644)
}
