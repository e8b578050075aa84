package render

import (
	"slices"
	"sort"

	"github.com/vugu/vugu"
)

// children makes the children of parent like r.flat[start:], which it takes off the stack. With opened, parent
// has just been created and is current.
func (r *Renderer) children(parent *node, start int, space namespace, opened bool) {
	// Deeper calls append to r.flat behind these, and may move it: want then still holds what was flattened here.
	want := r.flat[start:]
	switch {
	case !opened:
		r.reconcile(parent, want, space)
	case len(want) > 0:
		parent.children = make([]*node, len(want))
		for i, v := range want {
			parent.children[i] = r.create(v, parent, space)
		}
	}
	r.flat = r.flat[:start]
}

// reconcile updates what matches at both ends in place and rearranges the rest.
func (r *Renderer) reconcile(parent *node, want []*vugu.VGNode, space namespace) {
	have := parent.children
	head := 0
	for head < len(have) && head < len(want) && have[head].matches(want[head]) {
		r.update(have[head], want[head], false)
		head++
	}
	if head == len(have) && head == len(want) {
		return
	}
	tail := 0
	for tail < min(len(have), len(want))-head && have[len(have)-1-tail].matches(want[len(want)-1-tail]) {
		tail++
	}
	list := make([]*node, len(want))
	copy(list, have[:head])
	copy(list[len(want)-tail:], have[len(have)-tail:])
	r.rearrange(parent, have[head:len(have)-tail], list, head, want[head:len(want)-tail], space)
	for i := len(want) - tail; i < len(want); i++ {
		r.update(list[i], want[i], false)
	}
	parent.children = list
}

// rearrange turns have into want, and puts the nodes into list from head on.
func (r *Renderer) rearrange(parent *node, have, list []*node, head int, want []*vugu.VGNode, space namespace) {
	kept := match(have, want)
	for i, n := range have {
		if !slices.Contains(kept, i) {
			r.op(opRemove)
			r.uint(n.id)
			r.forget(have[i : i+1])
		}
	}
	stays := longestRising(kept)
	// Backwards, so that the child to insert before is in its place already.
	for i := len(want) - 1; i >= 0; i-- {
		place := head + i
		if !stays[i] {
			r.op(opAt)
			r.uint(parent.id)
			before := uint32(0)
			if place+1 < len(list) {
				before = list[place+1].id
			}
			r.uint(before)
		}
		if kept[i] < 0 {
			list[place] = r.create(want[i], parent, space)
			continue
		}
		n := have[kept[i]]
		list[place] = n
		if !stays[i] {
			r.op(opMove)
			r.uint(n.id)
		}
		r.update(n, want[i], false)
	}
}

// matches reports whether n can be turned into v by an update.
func (n *node) matches(v *vugu.VGNode) bool {
	if n.text || v.Type == vugu.TextNode {
		return n.text && v.Type == vugu.TextNode
	}
	if n.data != v.Data || n.key != keyOf(v) {
		return false
	}
	for i := range n.props {
		if i < len(v.Prop) && v.Prop[i].Key == n.props[i].name {
			continue
		}
		name := n.props[i].name
		if !slices.ContainsFunc(v.Prop, func(p vugu.VGProperty) bool { return p.Key == name }) {
			return false
		}
	}
	return true
}

// match returns for each of want the index of the node in have that becomes it, -1 for none.
func match(have []*node, want []*vugu.VGNode) []int {
	kept := make([]int, len(want))
	var keyed map[string]int
	for i, n := range have {
		if n.key != "" {
			if keyed == nil {
				keyed = make(map[string]int, len(have))
			}
			keyed[n.key] = i
		}
	}
	next := 0
	for i, v := range want {
		kept[i] = -1
		if key := keyOf(v); key != "" {
			if j, ok := keyed[key]; ok && have[j].matches(v) {
				kept[i] = j
				delete(keyed, key)
			}
			continue
		}
		for j := next; j < len(have); j++ {
			if have[j].matches(v) {
				kept[i], next = j, j+1
				break
			}
		}
	}
	return kept
}

// longestRising marks the members of a longest rising subsequence of list, leaving out negative ones:
// the nodes that need not move.
func longestRising(list []int) []bool {
	marks := make([]bool, len(list))
	before := make([]int, len(list)) // the member before i in the best sequence that ends at i
	var ends []int                   // where the best sequence of each length ends
	for i, v := range list {
		if v < 0 {
			continue
		}
		n := sort.Search(len(ends), func(k int) bool { return list[ends[k]] >= v })
		before[i] = -1
		if n > 0 {
			before[i] = ends[n-1]
		}
		if n == len(ends) {
			ends = append(ends, i)
		} else {
			ends[n] = i
		}
	}
	if len(ends) > 0 {
		for i := ends[len(ends)-1]; i >= 0; i = before[i] {
			marks[i] = true
		}
	}
	return marks
}
