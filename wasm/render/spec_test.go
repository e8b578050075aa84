package render

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"github.com/vugu/vugu"
	"pgregory.net/rapid"
)

// spec is a random node, from which both a vugu tree and the page it must give are made.
type spec struct {
	kind     string // element, text, template, component, comment
	tag      string
	text     string
	attrs    [][2]string
	props    [][2]any
	html     *string
	handlers []string
	kids     []*spec
}

var specTags = []string{"div", "li", "span", "svg", "g", "foreignObject", "math", "mi", "select", "option", "input"}

func drawSpec(t *rapid.T, depth int) *spec {
	s := &spec{kind: rapid.SampledFrom([]string{
		"element", "element", "element", "element", "text", "template", "component", "comment",
	}).Draw(t, "kind")}
	switch s.kind {
	case "text":
		s.text = rapid.SampledFrom([]string{"", "a", "b c", "Ω·m", "🛹", "bad\xff\xfebytes", "\uFEFFmark"}).Draw(t, "text")
		return s
	case "comment":
		return s
	case "element":
		s.tag = rapid.SampledFrom(specTags).Draw(t, "tag")
		s.drawElement(t)
	}
	if s.tag == "select" {
		s.kids = drawOptions(t)
		return s
	}
	if depth > 0 {
		for range rapid.IntRange(min(depth-1, 2), 6).Draw(t, "kids") {
			s.kids = append(s.kids, drawSpec(t, depth-1))
		}
	}
	return s
}

func drawOptions(t *rapid.T) (list []*spec) {
	for _, v := range rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"x", "y", "z"}), 0, 3, rapid.ID).Draw(t, "options") {
		list = append(list, &spec{kind: "element", tag: "option", attrs: [][2]string{{"value", v}}})
	}
	return list
}

func (s *spec) drawElement(t *rapid.T) {
	s.attrs, s.props, s.html, s.handlers = nil, nil, nil, nil
	for range rapid.IntRange(0, 3).Draw(t, "attrs") {
		s.attrs = append(s.attrs, [2]string{
			rapid.SampledFrom([]string{"class", "id", "title", "xlink:href"}).Draw(t, "attr"),
			rapid.SampledFrom([]string{"", "1", "zwölf"}).Draw(t, "value"),
		})
	}
	if rapid.Bool().Draw(t, "keyed") {
		s.attrs = append(s.attrs, [2]string{"data-k", rapid.SampledFrom(strings.Split("abcdef", "")).Draw(t, "key")})
	}
	names := rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"value", "checked", "hidden"}), 0, 2, rapid.ID).Draw(t, "props")
	if s.tag == "select" && !slices.Contains(names, "value") {
		names = append(names, "value") // left alone, a select keeps its choice where one made anew does not
	}
	for _, name := range names {
		var v any = rapid.Bool().Draw(t, "on")
		if name == "value" {
			v = rapid.SampledFrom([]any{"x", "y", "z", 5, `"<é>`}).Draw(t, "value")
		}
		s.props = append(s.props, [2]any{name, v})
	}
	if s.tag != "select" && rapid.IntRange(0, 5).Draw(t, "html") == 0 {
		raw := rapid.SampledFrom([]string{"", "<b>bold</b>", "plain", "a &amp; &#34;b&#34;"}).Draw(t, "raw")
		s.html = &raw
	}
	s.handlers = rapid.SliceOfN(rapid.SampledFrom([]string{"click", "input", "focus"}), 0, 2).Draw(t, "handlers")
}

// mutate returns a tree that has something in common with s.
func (s *spec) mutate(t *rapid.T) *spec {
	if rapid.IntRange(0, 19).Draw(t, "new") == 0 {
		return drawSpec(t, 1)
	}
	c := *s
	c.kids = nil
	for _, k := range s.kids {
		c.kids = append(c.kids, k.mutate(t))
	}
	if c.kind == "element" && rapid.IntRange(0, 3).Draw(t, "alter") == 0 {
		c.drawElement(t)
	}
	if c.tag == "select" {
		if rapid.Bool().Draw(t, "other options") {
			c.kids = drawOptions(t)
		}
		return &c
	}
	switch at := rapid.IntRange(0, len(c.kids)).Draw(t, "at"); rapid.IntRange(0, 7).Draw(t, "change") {
	case 0:
		c.kids = slices.Insert(c.kids, at, drawSpec(t, 1))
	case 1:
		if at < len(c.kids) {
			c.kids = slices.Delete(c.kids, at, at+1)
		}
	case 2:
		c.kids = rapid.Permutation(c.kids).Draw(t, "shuffle")
	case 3:
		c.kids = nil
	}
	return &c
}

// world makes vugu trees whose handlers write what they are into log.
type world struct {
	log   []string
	round int
}

func (w *world) results(roots []*spec) *vugu.BuildResults {
	return build(w.component(roots))
}

// build runs a component as a page would.
func build(root vugu.Builder) *vugu.BuildResults {
	env, err := vugu.NewBuildEnv()
	if err != nil {
		panic(err)
	}
	return env.RunBuild(root)
}

func (w *world) component(list []*spec) vugu.Builder {
	return vugu.NewBuilderFunc(func(*vugu.BuildIn) *vugu.BuildOut {
		out := &vugu.BuildOut{}
		for i, s := range list {
			out.Out = append(out.Out, w.node(s, out, fmt.Sprint(i)))
		}
		return out
	})
}

func (w *world) node(s *spec, out *vugu.BuildOut, path string) *vugu.VGNode {
	n := &vugu.VGNode{Type: vugu.ElementNode, Data: s.tag, InnerHTML: s.html}
	switch s.kind {
	case "text":
		return &vugu.VGNode{Type: vugu.TextNode, Data: s.text}
	case "comment":
		return &vugu.VGNode{Type: vugu.CommentNode, Data: "comment"}
	case "component":
		n.Component = w.component(s.kids)
		out.Components = append(out.Components, n.Component.(vugu.Builder))
		return n
	}
	for _, a := range s.attrs {
		n.Attr = append(n.Attr, vugu.VGAttribute{Key: a[0], Val: a[1]})
	}
	for _, p := range s.props {
		n.Prop = append(n.Prop, vugu.VGProperty{Key: p[0].(string), JSONVal: jsonOf(p[1])})
	}
	for i, h := range s.handlers {
		label := w.label(h, i)
		n.DOMEventHandlerSpecList = append(n.DOMEventHandlerSpecList, vugu.DOMEventHandlerSpec{
			EventType: h, Func: func(vugu.DOMEvent) { w.log = append(w.log, label) },
		})
	}
	for i, k := range s.kids {
		n.AppendChild(w.node(k, out, fmt.Sprint(path, ".", i)))
	}
	return n
}

func (w *world) label(h string, i int) string { return fmt.Sprintf("%s %d in round %d", h, i, w.round) }

func jsonOf(v any) []byte {
	b, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return b
}

// expected is the page that roots must give, made the plain way.
func (w *world) expected(roots []*spec) *dom {
	mount := &dom{tag: "mount"}
	for _, s := range roots {
		w.render(mount, s, htmlSpace)
	}
	return mount
}

func (w *world) render(parent *dom, s *spec, space namespace) {
	switch s.kind {
	case "comment":
	case "text":
		parent.children = append(parent.children, &dom{data: strings.ToValidUTF8(s.text, "\uFFFD"), parent: parent})
	case "template", "component":
		for _, k := range s.kids {
			w.render(parent, k, space)
		}
	default:
		if s.tag == "svg" {
			space = svgSpace
		} else if s.tag == "math" {
			space = mathSpace
		}
		n := &dom{tag: s.tag, space: space, parent: parent,
			attrs: map[string]string{}, props: map[string]string{}, on: map[string]bool{}}
		parent.children = append(parent.children, n)
		for _, a := range s.attrs {
			n.attrs[a[0]] = a[1]
		}
		for i, h := range s.handlers {
			n.on[h] = true
			n.labels = append(n.labels, w.label(h, i))
		}
		if space == svgSpace && s.tag == "foreignObject" {
			space = htmlSpace
		}
		if s.html != nil {
			n.html = *s.html
		} else {
			for _, k := range s.kids {
				w.render(n, k, space)
			}
		}
		for _, p := range s.props {
			n.set(p[0].(string), string(jsonOf(p[1])))
		}
	}
}

// drawRounds returns the trees a page shows one after the other.
func drawRounds(t *rapid.T) [][]*spec {
	first := rapid.Custom(func(t *rapid.T) []*spec { return []*spec{drawSpec(t, 4), drawSpec(t, 2)} }).Draw(t, "first")
	rounds := [][]*spec{first}
	for range rapid.IntRange(1, 4).Draw(t, "rounds") {
		root := &spec{kind: "template", kids: rounds[len(rounds)-1]}
		rounds = append(rounds, root.mutate(t).kids)
	}
	return rounds
}
