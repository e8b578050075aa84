package render

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vugu/vugu"
)

// el makes an element from arguments: "name=value" is an attribute, another string a text, the rest what its
// type says.
func el(tag string, args ...any) *vugu.VGNode {
	n := &vugu.VGNode{Type: vugu.ElementNode, Data: tag}
	for _, a := range args {
		switch a := a.(type) {
		case string:
			if k, v, ok := strings.Cut(a, "="); ok {
				n.Attr = append(n.Attr, vugu.VGAttribute{Key: k, Val: v})
			} else {
				n.AppendChild(&vugu.VGNode{Type: vugu.TextNode, Data: a})
			}
		case *vugu.VGNode:
			n.AppendChild(a)
		case vugu.VGProperty:
			n.Prop = append(n.Prop, a)
		case vugu.DOMEventHandlerSpec:
			n.DOMEventHandlerSpecList = append(n.DOMEventHandlerSpecList, a)
		default:
			panic("el: unknown kind of argument")
		}
	}
	return n
}

func set(name string, value any) vugu.VGProperty {
	return vugu.VGProperty{Key: name, JSONVal: jsonOf(value)}
}

func on(eventType string, f func(vugu.DOMEvent)) vugu.DOMEventHandlerSpec {
	return vugu.DOMEventHandlerSpec{EventType: eventType, Func: f}
}

func tree(nodes ...*vugu.VGNode) *vugu.BuildResults {
	return build(vugu.NewBuilderFunc(func(*vugu.BuildIn) *vugu.BuildOut { return &vugu.BuildOut{Out: nodes} }))
}

// screen is a renderer with its page.
type screen struct {
	*Renderer
	*page
}

func newScreen() screen { return screen{New(), newPage()} }

func (s screen) show(nodes ...*vugu.VGNode) {
	s.count = nil
	if batch := s.Patch(tree(nodes...)); batch != nil {
		s.apply(batch)
	}
}

// find returns the first element with a tag.
func (s screen) find(tag string) *dom {
	var search func(n *dom) *dom
	search = func(n *dom) *dom {
		if n.tag == tag {
			return n
		}
		for _, c := range n.children {
			if f := search(c); f != nil {
				return f
			}
		}
		return nil
	}
	n := search(s.page.mount)
	if n == nil {
		panic("no " + tag + " on the page")
	}
	return n
}

func list(keys string) *vugu.VGNode {
	n := el("ul")
	for _, k := range strings.Split(keys, "") {
		n.AppendChild(el("li", "data-k="+k, k))
	}
	return n
}

func (n *dom) keys() (s string) {
	for _, c := range n.children {
		s += c.attrs["data-k"]
	}
	return s
}

func TestFirstBatchReplacesWhatWasInTheMount(t *testing.T) {
	s := newScreen()
	s.show(el("p", "hello"))
	require.Len(t, s.page.mount.children, 1)
	assert.Equal(t, "p", s.page.mount.children[0].tag)
	s.show()
	assert.Empty(t, s.page.mount.children)
}

func TestOneMovedKeyIsOneMove(t *testing.T) {
	for _, c := range []struct {
		from, to              string
		moved, opened, remove int
	}{
		{"abcdefghij", "bcdefghija", 1, 0, 0},
		{"abcdefghij", "jabcdefghi", 1, 0, 0},
		{"abcdefghij", "abchdefgij", 1, 0, 0},
		{"abcd", "dcba", 3, 0, 0},
		{"abcd", "axbcd", 0, 1, 0},
		{"abcd", "acd", 0, 0, 1},
		{"abcd", "cxb", 1, 1, 2},
		{"abcd", "efgh", 0, 4, 4},
	} {
		s := newScreen()
		s.show(list(c.from))
		ids := map[string]uint32{}
		for _, li := range s.find("ul").children {
			ids[li.attrs["data-k"]] = li.id
		}
		s.show(list(c.to))
		assert.Equal(t, c.to, s.find("ul").keys(), "from %s", c.from)
		assert.Equal(t, c.moved, s.count[opMove], "moves from %s to %s", c.from, c.to)
		assert.Equal(t, c.opened, s.count[opOpenHTML], "new from %s to %s", c.from, c.to)
		assert.Equal(t, c.remove, s.count[opRemove], "removed from %s to %s", c.from, c.to)
		for _, li := range s.find("ul").children {
			if id, ok := ids[li.attrs["data-k"]]; ok {
				assert.Equal(t, id, li.id, "%s is the same node", li.attrs["data-k"])
			}
		}
	}
}

func TestOnlyWhatChangedIsWritten(t *testing.T) {
	s := newScreen()
	at := func(v string) *vugu.VGNode {
		return el("div", "class=row", el("b", "label"), el("output", "data-value="+v, "title=t", v))
	}
	s.show(at("1"))
	s.show(at("2"))
	assert.Equal(t, map[op]int{opNode: 2, opAttr: 1, opData: 1}, s.count)
	assert.Equal(t, "2", s.find("output").attrs["data-value"])
	assert.Equal(t, "2", s.find("output").children[0].data)
}

func TestAttributesKeepTheirNamespaceAndTheLastOfTwo(t *testing.T) {
	s := newScreen()
	use := el("use", "class=a", "class=b")
	use.Attr = append(use.Attr, vugu.VGAttribute{Namespace: "xlink", Key: "href", Val: "#x"},
		vugu.VGAttribute{Namespace: "xlink", Key: "xlink:title", Val: "as the generator writes it"})
	s.show(el("svg", use))
	assert.Equal(t, map[string]string{"class": "b", "xlink:href": "#x", "xlink:title": "as the generator writes it"},
		s.find("use").attrs)
	s.show(el("svg", el("use", "class=c", "class=b")))
	assert.Equal(t, map[string]string{"class": "b"}, s.find("use").attrs)
}

func TestNamespaces(t *testing.T) {
	s := newScreen()
	s.show(el("div", el("svg", el("g", el("foreignObject", el("p")))), el("math", el("mi")), el("i")))
	for tag, space := range map[string]namespace{
		"div": htmlSpace, "svg": svgSpace, "g": svgSpace, "foreignObject": svgSpace, "p": htmlSpace,
		"math": mathSpace, "mi": mathSpace, "i": htmlSpace,
	} {
		assert.Equal(t, space, s.find(tag).space, tag)
	}
}

func TestSelectValueComesAfterItsOptions(t *testing.T) {
	s := newScreen()
	box := func(value string, options ...string) *vugu.VGNode {
		n := el("select", set("value", value))
		for _, o := range options {
			n.AppendChild(el("option", "value="+o))
		}
		return n
	}
	s.show(box("b", "a", "b"))
	assert.Equal(t, `"b"`, s.find("select").props["value"])
	s.show(box("c", "a", "b", "c"))
	assert.Equal(t, `"c"`, s.find("select").props["value"])
	s.show(box("c", "c", "d"))
	assert.Equal(t, `"c"`, s.find("select").props["value"], "set again, since the option that gave it went")
}

func TestLimitsOfASliderSetItsValueAgain(t *testing.T) {
	s := newScreen()
	s.show(el("input", "type=range", "max=10", set("value", "8")))
	s.show(el("input", "type=range", "max=5", set("value", "8")))
	s.show(el("input", "type=range", "max=10", set("value", "8")))
	assert.Equal(t, 1, s.count[opProp], "the browser had clamped it to 5")
	s.show(el("input", "type=range", "max=10", "aria-valuetext=8 V", set("value", "8")))
	assert.Zero(t, s.count[opProp])
}

func TestAMissingPropertyMakesTheNodeAnew(t *testing.T) {
	s := newScreen()
	s.show(el("button", set("disabled", true)))
	s.show(el("button"))
	assert.Empty(t, s.find("button").props)
}

func TestPatchAfterAPanicBuildsFromNothing(t *testing.T) {
	s := newScreen()
	runs := 0
	p := func() *vugu.VGNode { return el("p", "shown", on("click", func(vugu.DOMEvent) { runs++ })) }
	s.show(p())
	bad := &vugu.VGNode{Component: vugu.NewBuilderFunc(nil)}
	assert.Panics(t, func() { s.Patch(tree(p(), el("b", bad))) })
	s.Dispatch(s.find("p").id, "click", told("", nil))
	assert.Equal(t, 1, runs, "what is shown still answers")
	s.show(el("p", "again"), el("i"))
	assert.Equal(t, 1, s.count[opReset])
	assert.Len(t, s.page.mount.children, 2)
	assert.Equal(t, "again", s.find("p").children[0].data)
}

func TestResetBuildsFromNothing(t *testing.T) {
	s := newScreen()
	click := on("click", func(vugu.DOMEvent) {})
	s.show(el("p", click))
	old := s.find("p").id
	s.Reset()
	s.show(el("p", click))
	assert.Greater(t, s.find("p").id, old, "ids are not used again")
	assert.True(t, s.find("p").on["click"])
}

func TestVgJSHandlersAreRefused(t *testing.T) {
	n := el("p")
	n.JSCreateHandler = vugu.JSValueFunc(nil)
	assert.PanicsWithValue(t, "render: vg-js handlers are not supported", func() { New().Patch(tree(n)) })
}
