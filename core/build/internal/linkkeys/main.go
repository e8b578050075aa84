// Command linkkeys writes the table of link keys into the README, between its two markers, from the Fields table.
package main

import (
	"fmt"
	"os"
	"strconv"
	"strings"

	"headroom/core/build"
)

const (
	begin = "<!-- link keys: written by go generate ./core/build -->"
	end   = "<!-- end of link keys -->"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: linkkeys README.md")
		os.Exit(2)
	}
	if err := rewrite(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "linkkeys:", err)
		os.Exit(1)
	}
}

func rewrite(path string) error {
	old, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	fresh, err := insert(string(old))
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	if fresh == string(old) {
		return nil
	}
	return os.WriteFile(path, []byte(fresh), 0o644)
}

// insert returns the text with the table between the markers.
func insert(text string) (string, error) {
	head, rest, ok := strings.Cut(text, begin)
	if !ok {
		return "", fmt.Errorf("no line %q", begin)
	}
	_, tail, ok := strings.Cut(rest, end)
	if !ok {
		return "", fmt.Errorf("no line %q", end)
	}
	return head + begin + "\n" + table() + end + tail, nil
}

func table() string {
	var s strings.Builder
	s.WriteString("| key | input | unit | from | to | default |\n|---|---|---|---|---|---|\n")
	standard := build.Default()
	for i := range build.Fields {
		f := &build.Fields[i]
		from, to, value := number(f.Min), number(f.Max), f.Text(&standard)
		switch {
		case f.Kind == build.Choice:
			var ids []string
			for _, o := range f.Options() {
				ids = append(ids, "`"+o.ID+"`")
			}
			from, to = strings.Join(ids, " "), ""
		case f.Optional:
			value = "of the class"
		}
		fmt.Fprintf(&s, "| `%s` | %s | %s | %s | %s | %s |\n", f.Key, f.Label, f.Unit, from, to, value)
	}
	return s.String()
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
