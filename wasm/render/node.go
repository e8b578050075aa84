package render

import (
	"encoding/json"
	"strings"

	"github.com/vugu/vugu"
)

// node is what the page shows of one text or element.
type node struct {
	id       uint32
	text     bool
	space    namespace
	data     string // tag of an element, content of a text
	key      string // data-k
	attrs    []vugu.VGAttribute
	props    []prop
	html     string
	hasHTML  bool
	children []*node
	parent   *node
	handlers []vugu.DOMEventHandlerSpec

	built   *vugu.VGNode // what it was made like last
	touched bool         // a person has changed it since, or something below it
}

// touch tells that the page may no longer show what was built, here and so below everything around.
func (n *node) touch() {
	for ; n != nil && !n.touched; n = n.parent {
		n.touched = true
	}
}

// prop is a property as it was last written, or as an event last told it.
type prop struct {
	name string
	// shown is JSON if we wrote it, plain text if told.
	shown string
	told  bool
	// unknown says that the page may have changed it without telling.
	unknown bool
}

func (p *prop) shows(json []byte) bool {
	switch {
	case p.unknown:
		return false
	case p.told:
		return p.shown == plain(json)
	default:
		return p.shown == string(json)
	}
}

func (p *prop) tell(shown string) { p.shown, p.told, p.unknown = shown, true, false }

// plain is the text a control shows when a property is set to this JSON value.
func plain(value []byte) string {
	s := string(value)
	if s == "null" {
		return ""
	}
	if len(s) < 2 || s[0] != '"' {
		return s
	}
	if strings.IndexByte(s, '\\') < 0 {
		return s[1 : len(s)-1]
	}
	var text string
	if json.Unmarshal(value, &text) != nil {
		return s
	}
	return text
}

// isState tells the properties that a person changes and that depend on children and on other properties.
func isState(name string) bool { return name == "value" || name == "checked" }

func (n *node) prop(name string) *prop {
	for i := range n.props {
		if n.props[i].name == name {
			return &n.props[i]
		}
	}
	return nil
}

func (n *node) attr(name string) string {
	for i := range n.attrs {
		if n.attrs[i].Key == name {
			return n.attrs[i].Val
		}
	}
	return ""
}

// walk calls f for every element at and below n.
func (n *node) walk(f func(*node)) {
	if n.text {
		return
	}
	f(n)
	for _, c := range n.children {
		c.walk(f)
	}
}

// namespace is that of an element's tag, and is inherited by its children.
type namespace byte

const (
	htmlSpace namespace = iota
	svgSpace
	mathSpace
)

// of returns the namespace of a child with this tag.
func (s namespace) of(tag string) namespace {
	switch tag {
	case "svg":
		return svgSpace
	case "math":
		return mathSpace
	}
	return s
}

// within returns the namespace that children of a tag in namespace s inherit.
func (s namespace) within(tag string) namespace {
	if s == svgSpace && tag == "foreignObject" {
		return htmlSpace
	}
	return s
}

// keyOf returns the key of a list entry, "" if it has none.
func keyOf(v *vugu.VGNode) string {
	for i := range v.Attr {
		if v.Attr[i].Key == "data-k" {
			return v.Attr[i].Val
		}
	}
	return ""
}
