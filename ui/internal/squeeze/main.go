// Squeeze makes generated component code smaller and faster without changing what it builds. It takes out the text nodes that only indent
// the template (white space with a line break in it, which a browser shows as nothing between the boxes of a page), and has the code call the
// functions of ui/nodes.go where the generator writes the same few statements out again and again. The program that travels to a phone is
// made of this code.
package main

import (
	"fmt"
	"os"
	"regexp"
	"strings"
)

func main() {
	if err := squeeze(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "squeeze:", err)
		os.Exit(1)
	}
}

type rule struct {
	from *regexp.Regexp
	to   string
}

const hang = `\n\s*vgparent\.AppendChild\(vgn\)`

// rules are applied in order.
var rules = []rule{
	{regexp.MustCompile(`(?m)^\s*vgn = &vugu\.VGNode\{Type: vugu\.VGNodeType\(1\), Data: "(?: |\\t)*\\n(?: |\\t|\\n)*"\}` + hang + `\n`), ""},
	{regexp.MustCompile(`vgn = &vugu\.VGNode\{Type: vugu\.VGNodeType\(1\), Data: (".*")\}` + hang), "words(vgparent, $1)"},
	{regexp.MustCompile(`vgn = &vugu\.VGNode\{Type: vugu\.VGNodeType\(3\), Namespace: "(?:svg)?", Data: ("\w+"), Attr: \[\]vugu\.VGAttribute\(nil\)\}` + hang), "vgn = put(vgparent, $1)"},
	{regexp.MustCompile(`vgn = &vugu\.VGNode\{Type: vugu\.VGNodeType\(3\), Namespace: "(?:svg)?", Data: ("\w+"), Attr: \[\]vugu\.VGAttribute\{(.*)\}\}` + hang), "vgn = put(vgparent, $1, $2)"},
	{regexp.MustCompile(`vgn\.AddAttrInterface\(("[^"]+"), (.*)\)\n`), "attr(vgn, $1, $2)\n"},
	{regexp.MustCompile(`vgn\.SetInnerHTML\((vugu\.HTML\(.*\))\)\n`), "markup(vgn, $1)\n"},
	{regexp.MustCompile(`vgn\.SetInnerHTML\((.*HTML\([^()]*\))\)\n`), "markup(vgn, $1)\n"},
	{regexp.MustCompile(`vgn\.SetInnerHTML\((.*)\)\n`), "content(vgn, $1)\n"},
	{regexp.MustCompile(`\{\n\s*b, err := vjson\.Marshal\((.*)\)\n\s*if err != nil \{\n\s*panic\(err\)\n\s*\}\n\s*vgn\.Prop = append\(vgn\.Prop, vugu\.VGProperty\{Key: "value", JSONVal: vjson\.RawMessage\(b\)\}\)\n\s*\}`), `property(vgn, "value", $1)`},
	{regexp.MustCompile(`\{\n\s*b, err := vjson\.Marshal\((.*)\)\n\s*if err != nil \{\n\s*panic\(err\)\n\s*\}\n\s*vgn\.Prop = append\(vgn\.Prop, vugu\.VGProperty\{Key: ("[^"]+"), JSONVal: vjson\.RawMessage\(b\)\}\)\n\s*\}`), `flag(vgn, $2, $1)`},
	{regexp.MustCompile(`vgn\.DOMEventHandlerSpecList = append\(vgn\.DOMEventHandlerSpecList, vugu\.DOMEventHandlerSpec\{\n\s*EventType:\s*("[^"]*"),\n\s*Func:\s*(func\(event vugu\.DOMEvent\) \{.*\}),\n\s*// TODO.*\n\s*\}\)`), "on(vgn, $1, $2)"},
	{regexp.MustCompile(`vgcompKey := vugu\.MakeCompKey\((0x[0-9A-F]+)\^vgin\.CurrentPositionHash\(\), vgiterkey\)\n.*\n\s*vgcomp, _ := vgin\.BuildEnv\.CachedComponent\(vgcompKey\)\.\(\*(\w+)\)\n\s*if vgcomp == nil \{\n.*\n.*\n.*\n\s*\}\n\s*vgin\.BuildEnv\.UseComponent.*\n`), "vgcomp := component[$2](vgin, $1, vgiterkey)\n"},
	{regexp.MustCompile(`vgout\.Components = append\(vgout\.Components, vgcomp\)\n\s*vgn = &vugu\.VGNode\{Component: vgcomp\}` + hang), "vgn = nest(vgout, vgparent, vgcomp)"},
	{regexp.MustCompile(`vgcomp := component\[(` + plain + `)\]\(vgin, 0x[0-9A-F]+, vgiterkey\)\n((?:\s*vgcomp\.\w+ = .*\n)*)(\s*)vgn = nest\(vgout, vgparent, vgcomp\)`), "vgcomp := &$1{}\n$2${3}place(vgin, vgout, vgparent, vgcomp)"},
	// <vg-comp expr='...'> stands for a component that its parent keeps.
	{regexp.MustCompile(`\{\n\s*var vgcomp vugu\.Builder = (.*)\n\s*if vgcomp != nil \{[^}]*\}\n\s*\}`), "place(vgin, vgout, vgparent, $1)"},
}

// plain components hold nothing between two frames and do nothing before they are built, so they are made anew each time, in place: looking
// each up again in vugu's maps takes longer than building it.
const plain = "Status|HeadroomBar|Step"

// ignore tells the linter that a node may be named and then not be used: the generator names them all.
const ignore = "//lint:file-ignore SA4006 generated"

// pair is one attribute of a literal list.
var pair = regexp.MustCompile(`(?:vugu\.VGAttribute)?\{Namespace: "", Key: ("[^"]*"), Val: ("(?:[^"\\]|\\.)*")\}`)

func squeeze(file string) error {
	text, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	for _, r := range rules {
		text = r.from.ReplaceAll(text, []byte(r.to))
	}
	lines := strings.Split(string(text), "\n")
	for i, line := range lines {
		if strings.Contains(line, "put(vgparent, ") {
			lines[i] = pair.ReplaceAllString(line, "$1, $2")
		}
	}
	out := strings.Join(lines, "\n")
	if !strings.Contains(out, ignore) && strings.Contains(out, "\npackage ") {
		out = strings.Replace(out, "\npackage ", "\n"+ignore+"\n\npackage ", 1)
	}
	return os.WriteFile(file, []byte(out), 0o644)
}
