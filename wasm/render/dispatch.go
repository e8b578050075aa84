package render

import "github.com/vugu/vugu"

// Stopper is implemented by a DOMEvent that knows whether StopPropagation was called.
type Stopper interface{ Stopped() bool }

// Dispatch runs the handlers of an event on the node with this id and, if its type bubbles, on the elements
// around it, until a [Stopper] says it is stopped. It reports whether a handler ran; for a node that is no longer
// on the page none does. What the event tells of its target's state (target value and checked of input and change,
// target open of toggle) is what the page shows from now on.
func (r *Renderer) Dispatch(id uint32, eventType string, e vugu.DOMEvent) bool {
	n := r.nodes[id]
	if n == nil {
		return false
	}
	r.record(n, eventType, e)
	d := dispatch{eventType: eventType, event: e, alone: listenFlags(eventType)&listenCapture != 0}
	d.capture(n)
	d.bubble(n)
	return d.ran
}

type dispatch struct {
	eventType string
	event     vugu.DOMEvent
	alone     bool // only the target's handlers run
	ran       bool
}

func (d *dispatch) capture(n *node) {
	if n.parent != nil && !d.alone {
		d.capture(n.parent)
	}
	d.run(n, true)
}

func (d *dispatch) bubble(n *node) {
	for ; n != nil; n = n.parent {
		d.run(n, false)
		if d.alone {
			return
		}
	}
}

func (d *dispatch) run(n *node, capture bool) {
	if s, ok := d.event.(Stopper); ok && s.Stopped() {
		return
	}
	for i := range n.handlers {
		h := &n.handlers[i]
		if h.EventType == d.eventType && h.Capture == capture && h.Func != nil {
			d.ran = true
			h.Func(d.event)
		}
	}
}

func (r *Renderer) record(n *node, eventType string, e vugu.DOMEvent) {
	switch eventType {
	case "input", "change":
		if value, ok := e.Prop("target", "value").(string); ok {
			n.tell("value", value)
		}
		if checked, ok := e.Prop("target", "checked").(bool); ok {
			n.tell("checked", boolText(checked))
		}
		switch {
		case n.data == "select":
			n.walk(func(o *node) { o.doubt("selected") })
		case n.data == "input" && n.attr("type") == "radio":
			group := n.attr("name")
			r.mount.walk(func(o *node) {
				if o != n && o.data == "input" && o.attr("name") == group {
					o.doubt("checked") // choosing one clears the others, silently
				}
			})
		}
	case "toggle":
		if open, ok := e.Prop("target", "open").(bool); ok {
			n.tell("open", boolText(open))
		}
	}
}

func (n *node) tell(name, shown string) {
	if p := n.prop(name); p != nil {
		p.tell(shown)
		n.touch()
	}
}

func (n *node) doubt(name string) {
	if p := n.prop(name); p != nil {
		p.unknown = true
		n.touch()
	}
}

func boolText(b bool) string {
	if b {
		return "true"
	}
	return "false"
}

const (
	listenCapture = 1 << iota
	listenPassive
)

func listenFlags(eventType string) uint32 {
	switch eventType {
	case "focus", "blur", "toggle", "beforetoggle", "invalid", "load", "error", "cancel", "close",
		"mouseenter", "mouseleave", "pointerenter", "pointerleave", "scrollend":
		return listenCapture
	case "scroll":
		return listenCapture | listenPassive
	case "touchstart", "touchmove", "wheel":
		return listenPassive
	}
	return 0
}
