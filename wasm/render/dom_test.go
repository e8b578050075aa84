package render

import (
	"encoding/binary"
	"fmt"
	"html"
	"slices"
	"sort"
	"strings"
	"unicode/utf16"
)

// dom is a node of a stand-in for the page: what public/page.js keeps, without a browser.
type dom struct {
	id       uint32
	space    namespace
	tag      string // "" is a text
	data     string
	attrs    map[string]string
	props    map[string]string
	html     string
	on       map[string]bool
	children []*dom
	parent   *dom
	labels   []string // of handlers, in expected trees alone
}

// page applies batches as public/page.js does, and panics on one that is wrong in any way.
type page struct {
	mount    *dom
	nodes    map[uint32]*dom
	names    []string
	nextID   uint32
	listened map[string]uint32
	count    map[op]int // operations of the last batch
}

func newPage() *page {
	return &page{
		mount:    &dom{tag: "mount", children: []*dom{{tag: "prerendered"}}},
		nodes:    map[uint32]*dom{},
		listened: map[string]uint32{},
	}
}

type reader struct {
	ops  []byte
	text []uint16
}

func (r *reader) uint() uint32 {
	v, n := binary.Uvarint(r.ops)
	if n <= 0 {
		panic("bad uvarint")
	}
	r.ops = r.ops[n:]
	return uint32(v)
}

func (r *reader) str() string {
	n := r.uint()
	s := string(utf16.Decode(r.text[:n]))
	r.text = r.text[n:]
	return s
}

func (p *page) name(r *reader) string {
	if n := r.uint(); n > 0 {
		return p.names[n-1]
	}
	s := r.str()
	if slices.Contains(p.names, s) {
		panic("name told twice: " + s)
	}
	p.names = append(p.names, s)
	return s
}

func (p *page) get(id uint32) *dom {
	n := p.nodes[id]
	if n == nil {
		panic(fmt.Sprintf("node %d is not on the page", id))
	}
	return n
}

func (p *page) make(n *dom) *dom {
	n.id = p.nextID
	p.nodes[n.id] = n
	p.nextID++
	n.attrs, n.props, n.on = map[string]string{}, map[string]string{}, map[string]bool{}
	return n
}

func (p *page) drop(n *dom) {
	delete(p.nodes, n.id)
	for _, c := range n.children {
		p.drop(c)
	}
}

// insert detaches n and puts it before a child, nil for the end.
func (n *dom) insert(c, before *dom) {
	c.detach()
	at := len(n.children)
	if before != nil {
		if at = slices.Index(n.children, before); at < 0 {
			panic("insert before a node that is no child")
		}
	}
	n.children = slices.Insert(n.children, at, c)
	c.parent = n
}

func (n *dom) detach() {
	if n.parent != nil {
		i := slices.Index(n.parent.children, n)
		n.parent.children = slices.Delete(n.parent.children, i, i+1)
		n.parent = nil
	}
}

type place struct{ parent, before, current *dom }

func (p *page) apply(batch []byte) {
	p.count = map[op]int{}
	size, n := binary.Uvarint(batch)
	batch = batch[n:]
	r := &reader{ops: batch[:size], text: utf16.Encode([]rune(string(batch[size:])))}
	var at place
	var stack []place
	for len(r.ops) > 0 {
		o := op(r.ops[0])
		r.ops = r.ops[1:]
		p.count[o]++
		switch o {
		case opReset:
			p.nextID, p.names = r.uint(), nil
			p.mount.children = nil
			p.nodes = map[uint32]*dom{0: p.mount}
		case opAt:
			at.parent, at.before = p.get(r.uint()), nil
			if id := r.uint(); id > 0 {
				at.before = p.get(id)
			}
		case opNode:
			at.current = p.get(r.uint())
		case opOpenHTML, opOpenSVG, opOpenMath:
			stack = append(stack, at)
			e := p.make(&dom{tag: p.name(r), space: namespace(o - opOpenHTML)})
			at = place{e, nil, e}
		case opClose:
			e := at.parent
			at = stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			at.parent.insert(e, at.before)
		case opText:
			at.parent.insert(p.make(&dom{data: r.str()}), at.before)
		case opData:
			at.current.data = r.str()
		case opAttr:
			key := p.name(r)
			at.current.attrs[key] = r.str()
			settle(at.current)
		case opUnattr:
			delete(at.current.attrs, p.name(r))
			settle(at.current)
		case opProp:
			key := p.name(r)
			at.current.set(key, r.str())
		case opHTML, opContent:
			for _, c := range at.current.children {
				p.drop(c)
			}
			at.current.children = nil
			at.current.html = r.str()
			if o == opContent {
				at.current.html = html.EscapeString(at.current.html)
			}
		case opOn:
			at.current.on[p.name(r)] = true
		case opOff:
			key := p.name(r)
			if !at.current.on[key] {
				panic("off without on")
			}
			delete(at.current.on, key)
		case opRemove:
			n := p.get(r.uint())
			parent := n.parent
			p.drop(n)
			n.detach()
			settle(parent)
		case opMove:
			at.parent.insert(p.get(r.uint()), at.before)
		case opListen:
			key := p.name(r)
			p.listened[key] = r.uint()
		default:
			panic(fmt.Sprintf("unknown operation %d", o))
		}
	}
	if len(r.text) > 0 || len(stack) > 0 {
		panic("batch is not used up")
	}
}

// settle has the select around an option lose its value if the option was what gave it.
func settle(n *dom) {
	for ; n != nil; n = n.parent {
		if json, ok := n.props["value"]; ok && n.tag == "select" {
			n.set("value", json)
		}
	}
}

// set behaves like a select in that a value without its option is lost.
func (n *dom) set(key, json string) {
	if n.tag == "select" && key == "value" && !n.hasOption(plain([]byte(json))) {
		json = "lost"
	}
	n.props[key] = json
}

func (n *dom) hasOption(value string) bool {
	return slices.ContainsFunc(n.children, func(c *dom) bool {
		return c.tag == "option" && c.attrs["value"] == value || c.hasOption(value)
	})
}

// String writes the tree so that two that look alike to a browser are the same text.
func (n *dom) String() string {
	var b strings.Builder
	n.write(&b, "\n")
	return b.String()
}

func (n *dom) write(b *strings.Builder, indent string) {
	if n.tag == "" {
		fmt.Fprintf(b, "%s%q", indent, n.data)
		return
	}
	fmt.Fprintf(b, "%s<%s %d", indent, n.tag, n.space)
	for _, m := range []struct {
		sep  string
		vals map[string]string
	}{{"", n.attrs}, {".", n.props}} {
		for _, k := range sorted(m.vals) {
			fmt.Fprintf(b, " %s%s=%q", m.sep, k, m.vals[k])
		}
	}
	for _, k := range sorted(n.on) {
		fmt.Fprintf(b, " @%s", k)
	}
	fmt.Fprintf(b, "> %q", n.html)
	for _, c := range n.children {
		c.write(b, indent+"  ")
	}
}

func sorted[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}
