package render

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/vugu/vugu"
)

// told makes an event that tells one thing of its target.
func told(name string, value any) vugu.DOMEvent {
	return vugu.NewDOMEvent(nil, map[string]any{"target": map[string]any{name: value}})
}

func TestAnOldValueIsWrittenBack(t *testing.T) {
	s := newScreen()
	field := func(value any) *vugu.VGNode { return el("div", el("input", set("value", value))) }
	s.show(field("1"))
	id := s.find("input").id

	s.Dispatch(id, "input", told("value", "1x"))
	s.show(field("1"))
	assert.Equal(t, map[op]int{opNode: 1, opProp: 1}, s.count, "refused")

	s.Dispatch(id, "input", told("value", "1.0"))
	s.show(field("1.0"))
	assert.Empty(t, s.count, "accepted: what is shown is not touched")
	s.Dispatch(id, "input", told("value", "1.05"))
	s.show(field("1.05"))
	assert.Empty(t, s.count)
	s.show(field("2"))
	assert.Equal(t, `"2"`, s.find("input").props["value"])

	s.Dispatch(id, "change", told("value", "7"))
	s.show(field(7))
	assert.Empty(t, s.count, "a number and the text it shows as are the same")
	s.Dispatch(id, "change", told("value", `a"<b>`))
	s.show(field(`a"<b>`))
	assert.Empty(t, s.count)
	s.Dispatch(id, "change", told("value", ""))
	s.show(field(nil))
	assert.Empty(t, s.count)
	s.Dispatch(id, "click", told("value", "never mind"))
	s.show(field(nil))
	assert.Empty(t, s.count)
}

func TestAnOldCheckIsWrittenBack(t *testing.T) {
	s := newScreen()
	box := func(v bool) *vugu.VGNode { return el("input", "type=checkbox", set("checked", v)) }
	s.show(box(false))
	s.Dispatch(s.find("input").id, "change", told("checked", true))
	s.show(box(true))
	assert.Empty(t, s.count)
	s.Dispatch(s.find("input").id, "change", told("checked", false))
	s.show(box(true))
	assert.Equal(t, 1, s.count[opProp])
	assert.Equal(t, "true", s.find("input").props["checked"])
}

func TestTheOtherRadiosAreWrittenBackToo(t *testing.T) {
	s := newScreen()
	radios := func() *vugu.VGNode {
		return el("form",
			el("input", "type=radio", "name=unit", set("checked", true)),
			el("input", "type=radio", "name=unit", set("checked", false)),
			el("input", "type=radio", "name=else", set("checked", true)))
	}
	s.show(radios())
	s.Dispatch(s.find("form").children[1].id, "change", told("checked", true))
	s.show(radios())
	assert.Equal(t, 2, s.count[opProp])
}

func TestOpenAsAPropertyIsControlled(t *testing.T) {
	s := newScreen()
	fold := func(open bool) *vugu.VGNode { return el("details", set("open", open)) }
	s.show(fold(false))
	s.Dispatch(s.find("details").id, "toggle", told("open", true))
	s.show(fold(false))
	assert.Equal(t, 1, s.count[opProp])
	s.Dispatch(s.find("details").id, "toggle", told("open", true))
	s.show(fold(true))
	assert.Empty(t, s.count)
}

func TestRemovedHandlersDoNotRun(t *testing.T) {
	s := newScreen()
	runs := 0
	click := on("click", func(vugu.DOMEvent) { runs++ })
	s.show(el("div", el("b", click), el("i", click)))
	b, i := s.find("b").id, s.find("i").id
	assert.True(t, s.Dispatch(b, "click", told("", nil)))
	assert.Equal(t, 1, runs)

	s.show(el("div", el("b"), el("p")))
	assert.False(t, s.find("b").on["click"])
	assert.False(t, s.Dispatch(b, "click", told("", nil)))
	assert.False(t, s.Dispatch(i, "click", told("", nil)), "its node left the page")
	assert.Equal(t, 1, runs)
}

type stoppable struct {
	vugu.DOMEvent
	stopped bool
}

func (s *stoppable) Stopped() bool { return s.stopped }

func TestEventsGoOutwardUntilStopped(t *testing.T) {
	s := newScreen()
	var ran []string
	log := func(name string, stop bool) func(vugu.DOMEvent) {
		return func(e vugu.DOMEvent) {
			ran = append(ran, name)
			e.(*stoppable).stopped = stop
		}
	}
	capture := on("click", log("capture", false))
	capture.Capture = true
	show := func(stop bool) {
		s.show(el("main", on("click", log("outer", false)), capture,
			el("div", on("click", log("middle", stop)), el("p", on("click", log("inner", false))))))
	}
	show(false)
	s.Dispatch(s.find("p").id, "click", &stoppable{})
	assert.Equal(t, []string{"capture", "inner", "middle", "outer"}, ran)
	ran = nil
	show(true)
	s.Dispatch(s.find("p").id, "click", &stoppable{})
	assert.Equal(t, []string{"capture", "inner", "middle"}, ran)
}

func TestTypesAreListenedToOnceAndAsTheyNeed(t *testing.T) {
	s := newScreen()
	f := func(vugu.DOMEvent) {}
	s.show(el("div", on("click", f), on("focus", f), el("p", on("click", f), on("scroll", f), on("wheel", f))))
	assert.Equal(t, map[string]uint32{"click": 0, "focus": 1, "scroll": 3, "wheel": 2}, s.page.listened)
	assert.Equal(t, 4, s.count[opListen])
	s.show(el("div"))
	s.show(el("div", on("click", f)))
	assert.Zero(t, s.count[opListen])
	assert.True(t, s.find("div").on["click"])
}
