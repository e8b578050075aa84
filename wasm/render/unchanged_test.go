package render

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/vugu/vugu"
)

func TestTheSameNodesAreNotComparedAgain(t *testing.T) {
	s := newScreen()
	kept := el("p", "class=a", "words")
	s.show(el("h1"), kept)
	// Against the promise, to see that nobody looks.
	kept.Attr[0].Val = "b"
	kept.FirstChild.Data = "others"
	assert.Nil(t, s.Patch(tree(el("h1"), kept)))
	assert.Equal(t, "a", s.find("p").attrs["class"])
	// Nodes made anew are compared, and so are others in their place.
	s.show(el("h1"), el("p", "class=c"))
	assert.Equal(t, "c", s.find("p").attrs["class"])
	assert.Empty(t, s.find("p").children)
	s.show(el("h1"), kept)
	assert.Equal(t, "b", s.find("p").attrs["class"])
}

// What a person made of a control is written back by the same nodes, however deep it lies below them.
func TestTheSameNodesAreWrittenBackOverWhatAPersonDid(t *testing.T) {
	s := newScreen()
	input := el("input", set("value", "5"), on("input", func(vugu.DOMEvent) {}))
	kept := el("section", el("div", input))
	s.show(kept)
	n := s.Renderer.mount.children[0].children[0].children[0]
	assert.Nil(t, s.Patch(tree(kept)))
	n.tell("value", "7")
	assert.NotNil(t, s.Patch(tree(kept)), "5 is to be shown and the person sees 7")
	assert.Nil(t, s.Patch(tree(kept)), "and then it is")
}

// status is a component inside of others; it counts how often it is built.
type status struct{ built int }

func (s *status) Build(*vugu.BuildIn) *vugu.BuildOut {
	s.built++
	return &vugu.BuildOut{Out: []*vugu.VGNode{el("b", "clear")}}
}

// Nodes that hold a component and are handed out again do not ask for it, unless they are put on the page anew.
func TestTheSameNodesNeedNoComponent(t *testing.T) {
	s, inner := newScreen(), &status{}
	around := el("p")
	around.AppendChild(&vugu.VGNode{Component: inner})
	first := build(vugu.NewBuilderFunc(func(*vugu.BuildIn) *vugu.BuildOut {
		return &vugu.BuildOut{Out: []*vugu.VGNode{around}, Components: []vugu.Builder{inner}}
	}))
	s.apply(s.Patch(first))
	assert.Equal(t, "clear", s.find("b").children[0].data)
	assert.Equal(t, 1, inner.built)
	assert.Nil(t, s.Patch(tree(around)))
	assert.Equal(t, 1, inner.built, "nobody asks for it")
	s.Reset()
	s.apply(s.Patch(tree(around)))
	assert.Equal(t, "clear", s.find("b").children[0].data, "the page was emptied and is as before")
	assert.Equal(t, 2, inner.built)
}
