package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/vugu/vugu"

	"headroom/core/link"
	"headroom/ui"
)

// templateName is the page without its first view; pageName is what is served.
const (
	templateName = "index.template"
	pageName     = "index.html"
)

// mark stands in the template where the first view goes.
const mark = "<!-- first view -->"

// fill puts the first view into the template.
func fill(template []byte) ([]byte, error) {
	if n := bytes.Count(template, []byte(mark)); n != 1 {
		return nil, fmt.Errorf("%s has the mark %q %d times and must have it once", templateName, mark, n)
	}
	view, err := firstView()
	if err != nil {
		return nil, err
	}
	return bytes.Replace(template, []byte(mark), view, 1), nil
}

// firstView is the page of the standard build as HTML: what the program will draw in a browser that knows nothing else, made by the
// same components, so that figures can be read before the program has arrived.
func firstView() ([]byte, error) {
	planner := ui.NewPlanner()
	planner.Open("") // as the program does with an empty address
	if planner.Fault != "" {
		return nil, errors.New(planner.Fault)
	}
	if got := planner.Link(); got != link.Encode(&planner.Build, nil) || got != standardLink {
		return nil, fmt.Errorf("the standard build's link is %q; first.js takes it to be %q", got, standardLink)
	}
	return markup(&ui.Root{P: planner})
}

// standardLink is the link that first.js takes for the standard build's.
const standardLink = "v=1"

// markup builds a component and writes its tree as HTML.
//
// vugu has a writer of its own. This one differs in four things: nothing in it can be operated yet; a control's value, which is a property, becomes the attribute (or
// child) that a parser makes the same property of; what a closed fold hides is left out, which is most of the page; and a property that
// has no such form is an error and not left out.
func markup(root vugu.Builder) ([]byte, error) {
	env, err := vugu.NewBuildEnv()
	if err != nil {
		return nil, err
	}
	w := writer{results: env.RunBuild(root)}
	for _, n := range w.results.Out.Out {
		w.node(n)
	}
	return w.out.Bytes(), w.err
}

type writer struct {
	out     bytes.Buffer
	results *vugu.BuildResults
	err     error
}

// voids are the elements without an end tag that a page of controls may use (HTML Living Standard, section 13.1.2).
var voids = []string{"br", "col", "hr", "img", "input", "link", "meta", "wbr"}

// still is what keeps an element from being operated. What it shows can be read all the same, by a screen reader too.
var still = map[string]string{
	"button": "disabled", "input": "disabled", "select": "disabled", "textarea": "disabled", "summary": "inert",
}

var (
	inText      = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;")
	inAttribute = strings.NewReplacer("&", "&amp;", `"`, "&quot;", "<", "&lt;")
)

func (w *writer) fail(format string, args ...any) {
	if w.err == nil {
		w.err = fmt.Errorf(format, args...)
	}
}

func (w *writer) node(n *vugu.VGNode) {
	switch {
	case n.Component != nil:
		out := w.results.ResultFor(n.Component)
		if out == nil {
			w.fail("a component %T was not built", n.Component)
			return
		}
		for _, o := range out.Out {
			w.node(o)
		}
	case n.IsTemplate():
		w.children(n)
	case n.Type == vugu.TextNode:
		w.out.WriteString(inText.Replace(n.Data))
	case n.Type == vugu.ElementNode:
		w.element(n)
	}
}

func (w *writer) children(n *vugu.VGNode) {
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		w.node(c)
	}
}

func (w *writer) element(n *vugu.VGNode) {
	w.out.WriteString("<" + n.Data)
	for _, a := range n.Attr {
		w.attribute(a.Key, a.Val)
	}
	text, open := "", false
	for _, p := range n.Prop {
		var v any
		if err := json.Unmarshal(p.JSONVal, &v); err != nil {
			w.fail("property %s of a %s: %w", p.Key, n.Data, err)
			return
		}
		switch v := v.(type) {
		case bool:
			if v {
				w.attribute(p.Key, "")
			}
			open = open || v && n.Data == "details" && p.Key == "open"
		case string:
			switch {
			case p.Key == "value" && n.Data == "input":
				w.attribute("value", v)
			case p.Key == "value" && n.Data == "textarea":
				text = v
			default:
				w.fail("property %s of a %s has no form in HTML that is written here", p.Key, n.Data)
			}
		default:
			w.fail("property %s of a %s is neither a text nor a switch", p.Key, n.Data)
		}
	}
	if name := still[n.Data]; name != "" {
		w.attribute(name, "")
	}
	w.out.WriteByte('>')
	switch {
	case slices.Contains(voids, n.Data):
		return
	case n.InnerHTML != nil:
		w.out.WriteString(*n.InnerHTML)
	case n.Data == "textarea":
		w.out.WriteString("\n" + inText.Replace(text)) // a parser drops the first line break
	case n.Data == "details" && !open:
		w.summary(n)
	default:
		w.children(n)
	}
	w.out.WriteString("</" + n.Data + ">")
}

// summary writes what a closed fold shows.
func (w *writer) summary(n *vugu.VGNode) {
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		if c.Type == vugu.ElementNode && c.Data == "summary" {
			w.node(c)
			return
		}
	}
	w.fail("a fold without a summary")
}

func (w *writer) attribute(name, value string) {
	w.out.WriteString(" " + name)
	if value != "" {
		w.out.WriteString(`="` + inAttribute.Replace(value) + `"`)
	}
}
