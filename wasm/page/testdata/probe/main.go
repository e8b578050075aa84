//go:build js

// Probe is the program that the browser test of wasm/page runs.
package main

import (
	"encoding/json"
	"fmt"
	"strings"
	"syscall/js"

	"github.com/hack-pad/safejs"
	"github.com/vugu/vugu"

	"headroom/wasm/page"
)

type probe struct {
	page                       *page.Page
	env                        vugu.EventEnv
	clicks, outer, inputs      int
	text, refused, unit, order string
	slider, hooks              int
	opened                     bool
	panics                     []string
	breakBuild, spoil, left    bool
	keys                       string
	focused                    string
	activeTarget               string
}

func main() {
	p := &probe{text: "1", refused: "fixed", unit: "mi", slider: 50, keys: "abc"}
	mount, err := safejs.Safe(js.Global()).Get("document")
	if err != nil {
		panic(err)
	}
	if mount, err = mount.Call("getElementById", "app"); err != nil {
		panic(err)
	}
	p.page = page.Start(mount, p, func(v any) { p.panics = append(p.panics, fmt.Sprint(v)) })
	p.env = p.page.EventEnv()
	p.page.AfterRender(func() { p.hooks++ })
	// An update from outside of any event.
	js.Global().Set("later", js.FuncOf(func(js.Value, []js.Value) any {
		go func() {
			p.env.Lock()
			p.text = "later"
			p.env.UnlockRender()
		}()
		return nil
	}))
	js.Global().Set("stats", js.FuncOf(func(js.Value, []js.Value) any {
		s := p.page.Stats()
		return []any{s.Frames, s.BatchBytes, s.BuildMs, s.DiffMs, s.ApplyMs, p.hooks, len(p.panics)}
	}))
	select {}
}

func (p *probe) Build(*vugu.BuildIn) *vugu.BuildOut {
	if p.breakBuild {
		p.breakBuild = false
		panic("broken build")
	}
	drawing := el("svg", "drawing", el("g", "group", el("path", "path"), el("foreignObject", "foreign", el("p", "inner"))))
	drawing.FirstChild.FirstChild.Attr = append(drawing.FirstChild.FirstChild.Attr,
		vugu.VGAttribute{Namespace: "xlink", Key: "xlink:href", Val: "#group"})
	if p.spoil {
		p.spoil = false
		drawing.Attr = append(drawing.Attr, vugu.VGAttribute{Key: "not a name", Val: ""})
	}
	list := el("ul", "list")
	for _, k := range strings.Split(p.keys, "") {
		li := el("li", "", &vugu.VGNode{Type: vugu.ElementNode, Data: "input",
			Attr: []vugu.VGAttribute{{Key: "id", Val: "item-" + k}}})
		li.Attr = append(li.Attr, vugu.VGAttribute{Key: "data-k", Val: k})
		list.AppendChild(li)
	}
	style := el("p", "styled")
	style.Attr = append(style.Attr, vugu.VGAttribute{Key: "style", Val: "color: rgb(1, 2, 3)"})
	unit := prop(on(el("select", "unit", option("km"), option("mi")), "change", func(e vugu.DOMEvent) {
		p.unit = e.PropString("target", "value")
		p.order += "change " + e.PropString("target", "name") + ";"
	}), "value", p.unit)
	unit.Attr = append(unit.Attr, vugu.VGAttribute{Key: "name", Val: "unit"})
	return &vugu.BuildOut{Out: []*vugu.VGNode{on(el("main", "main",
		on(el("div", "around", on(el("button", "add", text("add")), "click", func(vugu.DOMEvent) { p.clicks++ })),
			"click", func(vugu.DOMEvent) { p.outer++ }),
		on(el("div", "around2", on(el("button", "stop", text("stop")), "click", func(e vugu.DOMEvent) {
			p.clicks++
			e.StopPropagation()
		})), "click", func(vugu.DOMEvent) { p.outer++ }),
		on(el("a", "link", text("link")), "click", func(e vugu.DOMEvent) { e.PreventDefault() }),
		on(prop(el("input", "text"), "value", p.text), "input", func(e vugu.DOMEvent) {
			p.inputs++
			p.text = e.PropString("target", "value")
			p.order += "input;"
			p.activeTarget = fmt.Sprint(e.JSEventTarget().Get("id"))
		}),
		on(prop(el("input", "refused"), "value", p.refused), "input", func(vugu.DOMEvent) {}),
		on(prop(rangeInput(), "value", p.slider), "input", func(e vugu.DOMEvent) {
			p.inputs++
			_, err := fmt.Sscan(e.PropString("target", "value"), &p.slider)
			if err != nil {
				panic(err)
			}
			p.order += "slide;"
		}),
		unit,
		on(el("details", "fold", el("summary", "summary", text("more"))), "toggle", func(e vugu.DOMEvent) {
			p.opened = e.PropBool("target", "open")
		}),
		on(el("button", "panic", text("panic")), "click", func(vugu.DOMEvent) { panic("broken handler") }),
		on(el("button", "break", text("break")), "click", func(vugu.DOMEvent) { p.breakBuild = true }),
		on(el("button", "reverse", text("reverse")), "click", func(vugu.DOMEvent) { p.keys = "cba" }),
		on(el("input", "focusable"), "focus", func(e vugu.DOMEvent) { p.focused += "focus;" }),
		p.leaving(),
		on(el("button", "leave", text("leave")), "click", func(vugu.DOMEvent) { p.left = true }),
		on(el("button", "spoil", text("spoil")), "click", func(vugu.DOMEvent) { p.spoil = true }),
		drawing, style, list,
		el("pre", "state", text(p.state())),
	), "focus", func(vugu.DOMEvent) { p.focused += "not to bubble;" })}}
}

// leaving is a field that goes when left is set, or else an empty text in its place.
func (p *probe) leaving() *vugu.VGNode {
	if p.left {
		return text("")
	}
	return on(el("input", "leaving"), "blur", func(vugu.DOMEvent) { p.focused += "blur;" })
}

func (p *probe) state() string {
	b, err := json.Marshal(map[string]any{
		"clicks": p.clicks, "outer": p.outer, "inputs": p.inputs, "text": p.text, "unit": p.unit,
		"order": p.order, "slider": p.slider, "opened": p.opened, "panics": p.panics, "focused": p.focused,
		"activeTarget": p.activeTarget,
	})
	if err != nil {
		panic(err)
	}
	return string(b)
}

func el(tag, id string, children ...*vugu.VGNode) *vugu.VGNode {
	n := &vugu.VGNode{Type: vugu.ElementNode, Data: tag, Attr: []vugu.VGAttribute{{Key: "id", Val: id}}}
	for _, c := range children {
		n.AppendChild(c)
	}
	return n
}

func rangeInput() *vugu.VGNode {
	n := el("input", "slider")
	n.Attr = append(n.Attr, vugu.VGAttribute{Key: "type", Val: "range"}, vugu.VGAttribute{Key: "max", Val: "200"})
	return n
}

func option(value string) *vugu.VGNode {
	n := el("option", "option-"+value, text(value))
	n.Attr = append(n.Attr, vugu.VGAttribute{Key: "value", Val: value})
	return n
}

func text(s string) *vugu.VGNode { return &vugu.VGNode{Type: vugu.TextNode, Data: s} }

func on(n *vugu.VGNode, eventType string, f func(vugu.DOMEvent)) *vugu.VGNode {
	n.DOMEventHandlerSpecList = append(n.DOMEventHandlerSpecList, vugu.DOMEventHandlerSpec{EventType: eventType, Func: f})
	return n
}

func prop(n *vugu.VGNode, name string, value any) *vugu.VGNode {
	b, err := json.Marshal(value)
	if err != nil {
		panic(err)
	}
	n.Prop = append(n.Prop, vugu.VGProperty{Key: name, JSONVal: b})
	return n
}
