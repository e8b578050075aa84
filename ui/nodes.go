package ui

import (
	"strconv"
	"strings"

	"github.com/vugu/vjson"
	"github.com/vugu/vugu"
)

// These functions are what the generated components are written with; see internal/squeeze.

// put hangs an element with attributes, names and values by turns, into its parent.
func put(parent *vugu.VGNode, tag string, attributes ...string) *vugu.VGNode {
	n := &vugu.VGNode{Type: vugu.ElementNode, Data: tag}
	if len(attributes) > 0 {
		n.Attr = make([]vugu.VGAttribute, 0, len(attributes)/2+2)
		for i := 0; i < len(attributes); i += 2 {
			n.Attr = append(n.Attr, vugu.VGAttribute{Key: attributes[i], Val: attributes[i+1]})
		}
	}
	parent.AppendChild(n)
	return n
}

// words hangs a text into its parent.
func words(parent *vugu.VGNode, text string) {
	parent.AppendChild(&vugu.VGNode{Type: vugu.TextNode, Data: typeset(text)})
}

// attr adds one whose value changes.
func attr(n *vugu.VGNode, key, value string) {
	n.Attr = append(n.Attr, vugu.VGAttribute{Key: key, Val: value})
}

// content sets a text as all that an element holds, whatever characters are in it.
func content(n *vugu.VGNode, text string) {
	text = typeset(text)
	if strings.ContainsAny(text, `&<>'"`+"\r\x00") {
		n.SetInnerHTML(text)
		return
	}
	n.InnerHTML = &text
}

// markup sets what an element holds as HTML. It must not hold anything from outside.
func markup(n *vugu.VGNode, m vugu.HTML) {
	text := string(m)
	n.InnerHTML = &text
}

// property sets a property of the page's element to a text.
func property(n *vugu.VGNode, key, value string) {
	var text []byte
	if plainASCII(value) {
		text = append(append(append(make([]byte, 0, len(value)+2), '"'), value...), '"')
	} else {
		text, _ = vjson.Marshal(value) // a string always can be
	}
	n.Prop = append(n.Prop, vugu.VGProperty{Key: key, JSONVal: vjson.RawMessage(text)})
}

// plainASCII tells texts that JSON writes as they are.
func plainASCII(s string) bool {
	for i := range len(s) {
		if c := s[i]; c < ' ' || c > '~' || c == '"' || c == '\\' || c == '<' || c == '>' || c == '&' {
			return false
		}
	}
	return true
}

// flag sets a property of the page's element to true or false.
func flag(n *vugu.VGNode, key string, value bool) {
	n.Prop = append(n.Prop, vugu.VGProperty{Key: key, JSONVal: vjson.RawMessage(strconv.FormatBool(value))})
}

func on(n *vugu.VGNode, event string, handle func(vugu.DOMEvent)) {
	n.DOMEventHandlerSpecList = append(n.DOMEventHandlerSpecList, vugu.DOMEventHandlerSpec{EventType: event, Func: handle})
}

// component returns the component that stood in a place of a template last time, or a new one.
func component[T any, P interface {
	*T
	vugu.Builder
}](in *vugu.BuildIn, place uint64, turn any) P {
	key := vugu.MakeCompKey(place^in.CurrentPositionHash(), turn)
	c, ok := in.BuildEnv.CachedComponent(key).(P)
	if !ok {
		c = new(T)
		in.BuildEnv.WireComponent(c)
	}
	in.BuildEnv.UseComponent(key, c)
	return c
}

// place builds a component and hangs what it is made of into its parent. It is for one that is made anew for each frame or kept by the
// component around it; vugu's own bookkeeping, three maps, does not hear of it.
func place(in *vugu.BuildIn, out *vugu.BuildOut, parent *vugu.VGNode, c vugu.Builder) {
	built := c.Build(in)
	for _, n := range built.Out {
		n.Parent, n.PrevSibling, n.NextSibling = nil, nil, nil // from where kept nodes hung the last time
		parent.AppendChild(n)
	}
	out.Components = append(out.Components, built.Components...)
}

// nest hangs a component into its parent and has it built.
func nest(out *vugu.BuildOut, parent *vugu.VGNode, c vugu.Builder) *vugu.VGNode {
	out.Components = append(out.Components, c)
	n := &vugu.VGNode{Component: c}
	parent.AppendChild(n)
	return n
}
