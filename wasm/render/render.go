package render

import (
	"slices"
	"strings"

	"github.com/vugu/vugu"
)

// Renderer remembers what one mount element shows. It is not safe for concurrent use.
type Renderer struct {
	batch
	mount    *node
	nodes    map[uint32]*node // elements by id
	listened map[string]bool
	lastID   uint32
	results  *vugu.BuildResults
	fresh    bool // the page must be emptied first: nothing is known of it

	flat  []*vugu.VGNode // stack of children lists without templates and components
	attrs []vugu.VGAttribute
}

// New returns a Renderer whose first batch empties the mount element and fills it.
func New() *Renderer { return &Renderer{fresh: true} }

// Reset makes the next batch build the page from nothing. Call it when a batch could not be applied. Until then
// Dispatch finds the handlers it knew, so that a person can get away from what went wrong.
func (r *Renderer) Reset() { r.fresh = true }

// begin clears what a batch that failed left behind, and all that is known of the page if it is not to be relied on.
func (r *Renderer) begin() {
	r.clear()
	r.flat = r.flat[:0]
	if !r.fresh {
		return
	}
	r.mount = &node{}
	r.nodes = map[uint32]*node{}
	r.names = map[string]uint32{}
	r.listened = map[string]bool{}
	r.op(opReset)
	r.uint(r.lastID + 1)
}

// Patch returns the batch that turns what the page shows into the tree of results, nil if it shows it already.
// The batch must be applied, and is valid until the next call. Results are not kept.
//
// Patch panics on a component that builds nothing and on vg-js handlers; the next Patch after a panic then
// builds the page from nothing.
func (r *Renderer) Patch(results *vugu.BuildResults) []byte {
	r.begin()
	r.results = results
	r.fresh = true // until all went well
	defer func() { r.results = nil }()
	if results.Out != nil {
		for _, v := range results.Out.Out {
			r.flatten(v)
		}
	}
	r.children(r.mount, 0, htmlSpace, false)
	r.fresh = false
	clear(r.flat[:cap(r.flat)])
	return r.finish()
}

// flatten appends what v puts on the page to r.flat: a template's children, a component's output, or v itself.
func (r *Renderer) flatten(v *vugu.VGNode) {
	switch {
	case v.Component != nil:
		out := r.results.ResultFor(v.Component)
		if out == nil {
			out = built(v.Component)
		}
		for _, o := range out.Out {
			r.flatten(o)
		}
	case v.IsTemplate():
		for c := v.FirstChild; c != nil; c = c.NextSibling {
			r.flatten(c)
		}
	case v.Type == vugu.ElementNode || v.Type == vugu.TextNode:
		r.flat = append(r.flat, v)
	}
}

// built is the output of a component that this pass did not build, because the nodes around it were handed out again. It is needed only
// where those are put on the page anew.
func built(component any) *vugu.BuildOut {
	b, ok := component.(vugu.Builder)
	if !ok {
		panic("render: a component that builds nothing")
	}
	env, _ := vugu.NewBuildEnv() // its error is always nil
	return env.RunBuild(b).Out
}

// create writes the operations that make v at the insertion point and returns its node.
func (r *Renderer) create(v *vugu.VGNode, parent *node, space namespace) *node {
	r.lastID++
	n := &node{id: r.lastID, parent: parent, data: v.Data}
	if v.Type == vugu.TextNode {
		n.text = true
		r.op(opText)
		r.str(v.Data)
		return n
	}
	n.space, n.key = space.of(v.Data), keyOf(v)
	r.nodes[n.id] = n
	r.op(opOpenHTML + op(n.space))
	r.name(v.Data)
	r.update(n, v, true)
	r.op(opClose)
	return n
}

// update makes the page's n like v, which must be compatible. With opened, n has just been created and is current.
func (r *Renderer) update(n *node, v *vugu.VGNode, opened bool) {
	if n.built == v && !n.touched {
		return
	}
	n.built, n.touched = v, false
	if n.text {
		if n.data != v.Data {
			n.data = v.Data
			r.op(opNode)
			r.uint(n.id)
			r.op(opData)
			r.str(v.Data)
		}
		return
	}
	if v.JSCreateHandler != nil || v.JSPopulateHandler != nil {
		panic("render: vg-js handlers are not supported")
	}
	e := editor{r: r, n: n, current: opened}
	// A control clamps or drops its value when its limits or options change, so the value is then set again.
	disturbed := e.attributes(v.Attr)
	e.handlers(v.DOMEventHandlerSpecList)
	before := len(r.ops)
	if v.InnerHTML != nil {
		e.html(*v.InnerHTML)
	} else {
		if n.hasHTML {
			e.clearHTML()
		}
		start := len(r.flat)
		for c := v.FirstChild; c != nil; c = c.NextSibling {
			r.flatten(c)
		}
		r.children(n, start, n.space.within(n.data), opened)
	}
	if len(r.ops) > before {
		// Opened children closed themselves, so a new n is current still; for any other that is not known.
		e.current = opened
		disturbed = disturbed || n.data == "select"
	}
	e.props(v.Prop, disturbed)
}

// editor writes operations on one element, and makes it current at the first one.
type editor struct {
	r       *Renderer
	n       *node
	current bool
}

func (e *editor) op(o op) {
	if !e.current {
		e.current = true
		e.r.op(opNode)
		e.r.uint(e.n.id)
	}
	e.r.op(o)
}

// attributes reports whether one changed that can change the value of a control.
func (e *editor) attributes(list []vugu.VGAttribute) (disturbed bool) {
	r, n := e.r, e.n
	if slices.Equal(list, n.attrs) {
		return false
	}
	want := r.attrs[:0]
next:
	for _, a := range list {
		if a.Namespace != "" && !strings.Contains(a.Key, ":") {
			a.Key = a.Namespace + ":" + a.Key
		}
		for i := range want {
			if want[i].Key == a.Key {
				want[i].Val = a.Val // the last of two wins, as it would with setAttribute
				continue next
			}
		}
		want = append(want, a)
	}
	r.attrs = want
	aligned := len(want) == len(n.attrs)
	for i := range want {
		a := &want[i]
		at := i
		if i >= len(n.attrs) || n.attrs[i].Key != a.Key {
			aligned = false
			at = slices.IndexFunc(n.attrs, func(o vugu.VGAttribute) bool { return o.Key == a.Key })
		}
		if at >= 0 && n.attrs[at].Val == a.Val {
			continue
		}
		e.op(opAttr)
		r.name(a.Key)
		r.str(a.Val)
		disturbed = disturbed || e.disturbs(a.Key)
	}
	if !aligned {
		for i := range n.attrs {
			key := n.attrs[i].Key
			if !slices.ContainsFunc(want, func(w vugu.VGAttribute) bool { return w.Key == key }) {
				e.op(opUnattr)
				r.name(key)
				disturbed = disturbed || e.disturbs(key)
			}
		}
	}
	n.attrs = append(n.attrs[:0], want...)
	return disturbed
}

func (e *editor) disturbs(attribute string) bool {
	switch attribute {
	case "type", "min", "max", "step":
		return e.n.data == "input"
	case "multiple", "size":
		return e.n.data == "select"
	}
	return false
}

func (e *editor) props(list []vugu.VGProperty, disturbed bool) {
	n := e.n
	for i := range list {
		if !isState(list[i].Key) && e.prop(&list[i], false) && n.data == "input" {
			disturbed = true // .min, .max and the like clamp as their attributes do
		}
	}
	for i := range list {
		if isState(list[i].Key) {
			e.prop(&list[i], disturbed)
		}
	}
}

// prop reports whether it wrote v.
func (e *editor) prop(v *vugu.VGProperty, force bool) bool {
	p := e.n.prop(v.Key)
	if p == nil {
		e.n.props = append(e.n.props, prop{name: v.Key})
		p, force = &e.n.props[len(e.n.props)-1], true
	}
	if !force && p.shows(v.JSONVal) {
		return false
	}
	if p.told || p.shown != string(v.JSONVal) {
		p.shown = string(v.JSONVal)
	}
	p.told, p.unknown = false, false
	e.op(opProp)
	e.r.name(v.Key)
	e.r.str(p.shown)
	return true
}

func (e *editor) html(raw string) {
	r, n := e.r, e.n
	if n.hasHTML && n.html == raw {
		return
	}
	r.forget(n.children)
	n.children = nil
	n.html, n.hasHTML = raw, true
	e.content(raw)
}

func (e *editor) content(raw string) {
	if text, ok := plainText(raw); ok {
		e.op(opContent)
		e.r.str(text)
		return
	}
	e.op(opHTML)
	e.r.str(raw)
}

func (e *editor) clearHTML() {
	e.n.html, e.n.hasHTML = "", false
	e.content("")
}

func (e *editor) handlers(list []vugu.DOMEventHandlerSpec) {
	r, n := e.r, e.n
	for i := range list {
		t := list[i].EventType
		if handles(list[:i], t) {
			continue
		}
		if !r.listened[t] {
			r.listened[t] = true
			r.op(opListen)
			r.name(t)
			r.uint(listenFlags(t))
		}
		if !handles(n.handlers, t) {
			e.op(opOn)
			r.name(t)
		}
	}
	for i := range n.handlers {
		t := n.handlers[i].EventType
		if !handles(list, t) && !handles(n.handlers[:i], t) {
			e.op(opOff)
			r.name(t)
		}
	}
	clear(n.handlers)
	n.handlers = append(n.handlers[:0], list...)
}

func handles(list []vugu.DOMEventHandlerSpec, eventType string) bool {
	for i := range list {
		if list[i].EventType == eventType {
			return true
		}
	}
	return false
}

// forget drops nodes that leave the page, so that no event finds their handlers.
func (r *Renderer) forget(list []*node) {
	for _, n := range list {
		n.walk(func(e *node) { delete(r.nodes, e.id) })
	}
}
