package ui

import (
	"html"
	"math"
	"strings"

	"github.com/vugu/vugu"

	"headroom/core/limit"
)

// drawing is SVG in the making. Everything that is put into it is escaped here, so that no text can be more than a text. One string is
// smaller in the program and faster on the page than a hundred nodes.
type drawing struct{ strings.Builder }

func (d *drawing) path(class, to string) {
	if to != "" {
		d.put(`<path class="`, html.EscapeString(class), `" d="`, html.EscapeString(to), `"/>`)
	}
}

func (d *drawing) text(class, anchor string, x, y float64, words string) {
	d.put(`<text class="`, html.EscapeString(class), `" text-anchor="`, anchor, `" x="`, coord(x), `" y="`, coord(y), `">`, html.EscapeString(typeset(words)), `</text>`)
}

func (d *drawing) put(parts ...string) {
	for _, p := range parts {
		d.WriteString(p)
	}
}

// draw makes the plot's inside and its legend, once.
func (p *Plot) draw() {
	if p.drawn != "" {
		return
	}
	var d, l drawing
	p.inner(&d)
	for _, s := range p.samples() {
		l.put(`<li><svg width="30" height="12" overflow="visible" aria-hidden="true">`)
		l.path(s.Class, s.Shape)
		l.put(`</svg><span>`, html.EscapeString(typeset(s.Name)), `</span></li>`)
	}
	p.drawn, p.legend = d.String(), l.String()
}

func (p *Plot) inner(d *drawing) {
	xs, ys := p.X.ticks(), p.Y.ticks()
	d.put(`<g class="grid">`)
	for _, t := range xs {
		d.path("", p.upright(t.At))
	}
	for _, t := range ys {
		d.path("", p.across(t.At))
	}
	d.put(`</g>`)
	for i := range p.Bands {
		d.path("area "+p.Bands[i].Style, p.area(&p.Bands[i]))
	}
	for i := range p.Marks {
		if m := &p.Marks[i]; m.Across {
			d.path("mark "+m.Style, p.across(m.Y))
		} else {
			d.path("mark "+m.Style, p.upright(m.X))
		}
	}
	for i := range p.Lines {
		d.path("curve "+p.Lines[i].Style, p.path(p.Lines[i].Points))
	}
	for i := range p.Dots {
		q := &p.Dots[i]
		d.path("dot "+string(q.Status), dotShape(q.Status, p.px(q.X), p.py(q.Y), q.R))
	}
	for _, t := range xs {
		d.text("tick", "middle", min(p.px(t.At), plotWidth-1-wide(t.Text)/2), plotHeight-plotBottom+14, t.Text)
	}
	for _, t := range ys {
		d.text("tick", "end", plotLeft-4, p.py(t.At)+4, t.Text)
	}
	p.names(d)
	d.text("axis", "end", plotWidth-plotRight, plotHeight-6, axisName(&p.X)+" →")
	d.text("axis", "start", 2, plotHeight-6, "↑ "+axisName(&p.Y))
}

func (p *Plot) upright(x float64) string {
	return "M" + coord(p.px(x)) + " " + coord(plotTop) + "V" + coord(plotHeight-plotBottom)
}

func (p *Plot) across(y float64) string {
	return "M" + coord(plotLeft) + " " + coord(p.py(y)) + "H" + coord(plotWidth-plotRight)
}

func axisName(a *Axis) string {
	if name := a.shown().name; name != "" {
		return a.Label + ", " + name
	}
	return a.Label
}

// sample is one line of the legend.
type sample struct{ Name, Class, Shape string }

func (p *Plot) samples() []sample {
	var list []sample
	for _, l := range p.Lines {
		if l.Name != "" {
			list = append(list, sample{l.Name, "curve " + l.Style, "M1 6H29"})
		}
	}
	for _, s := range p.Sizes {
		list = append(list, sample{s.Name, "dot " + string(s.Status), dotShape(s.Status, 15, 6, s.R)})
	}
	for _, b := range p.Bands {
		if b.Name != "" {
			list = append(list, sample{b.Name, "area " + b.Style, "M1 1H29V11H1z"})
		}
	}
	return list
}

// dotShape is a dot of radius r around a place: round, or a square on its corner, as large, where it is tight.
func dotShape(s limit.Status, x, y, r float64) string {
	if s == limit.Tight {
		r *= math.Sqrt(math.Pi / 2)
		d := coord(r)
		return "M" + coord(x) + " " + coord(y-r) + "l" + d + " " + d + "l-" + d + " " + d + "l-" + d + "-" + d + "z"
	}
	round := coord(r)
	arc := "a" + round + " " + round + " 0 1 1 "
	return "M" + coord(x-r) + " " + coord(y) + arc + coord(2*r) + " 0" + arc + coord(-2*r) + " 0z"
}

// crossing draws where the plot is read: a line, and a dot on each curve that is read.
func (p *Plot) crossing(x float64) vugu.HTML {
	var d drawing
	d.path("", p.upright(x))
	x, ok := p.within(x)
	if !ok {
		return vugu.HTML(d.String())
	}
	dot := func(points []XY) {
		if y, ok := p.valueAt(points, x); ok {
			d.put(`<circle r="4" cx="`, coord(p.px(x)), `" cy="`, coord(p.py(y)), `"/>`)
		}
	}
	for i := range p.Lines {
		if p.Lines[i].Style != "want" {
			dot(p.Lines[i].Points)
		}
	}
	if len(p.Lines) == 0 { // a band alone is read at its edges
		for i := range p.Data {
			dot(p.Data[i].Points)
		}
	}
	return vugu.HTML(d.String())
}

// ring marks the dot that is read.
func (d *drawing) ring(p *Plot, q *Dot) {
	d.put(`<circle r="`, coord(q.R+4), `" cx="`, coord(p.px(q.X)), `" cy="`, coord(p.py(q.Y)), `"/>`)
}

// fileStyle is what a saved picture brings along: the page's style on white paper.
const fileStyle = `text{font:11px system-ui,sans-serif;fill:#1d2327}.tick,.axis{fill:#545f66}.title{font-size:13px;font-weight:700}` +
	`.grid path{stroke:#d3ccbc;fill:none}.area{fill:#8b8574;fill-opacity:.28;stroke:#8b8574}.area.load{fill-opacity:.34;stroke:none}.area.spread{fill-opacity:.22}.area.log{fill:#0f5c68;fill-opacity:.3;stroke:#0f5c68}.curve{fill:none;stroke:#1d2327;stroke-width:2;stroke-linejoin:round}` +
	`.mark{fill:none;stroke:#1d2327;stroke-width:1.6}.name{font-weight:700;paint-order:stroke;stroke:#fff;stroke-width:4px;stroke-linejoin:round}` +
	`.curve.full,.curve.rest{stroke:#0f5c68;stroke-dasharray:2 3}.curve.half{stroke:#545f66;stroke-dasharray:8 3}.curve.low{stroke-width:2.6}` +
	`.curve.log{stroke:#0f5c68;stroke-width:2.6}.name.log{fill:#0f5c68}.curve.want,.mark.want{stroke:#8f5200;stroke-dasharray:6 3 2 3}.dot{fill:#0f5c68;fill-opacity:.45;stroke:#0f5c68}.dot.tight{fill:#8f5200;stroke:#8f5200}.curve.pinned{stroke:#8b8574;stroke-width:1.4;stroke-dasharray:1 4}` +
	`.tie{fill:none;stroke:#1d2327;stroke-width:1}.tie.dotted{stroke-width:5;stroke-linecap:round}.tie.full,.tie.rest{stroke:#0f5c68}.tie.half{stroke:#545f66}.name.half{fill:#545f66}.name.want{fill:#8f5200}.name.full,.name.rest{fill:#0f5c68}.mark.riding,.mark.stall{stroke-dasharray:2 3}.mark.ceiling,.mark.peak{stroke-dasharray:6 3}`

// File is the plot as a picture that needs nothing beside it.
func (p *Plot) File() string {
	samples := p.samples()
	const head, row = 24.0, 16.0
	height := head + plotHeight + row*float64(len(samples)) + 4
	var d drawing
	d.put(`<svg xmlns="http://www.w3.org/2000/svg" width="720" height="`, coord(2*height), `" viewBox="0 `, coord(-head), ` 360 `, coord(height), `"><title>`,
		html.EscapeString(p.Title), `</title><desc>`, html.EscapeString(p.Words), `</desc><style>`, fileStyle, `</style><path fill="#fff" d="M0 `, coord(-head), `h360v`, coord(height), `H0z"/>`)
	d.text("title", "start", 2, -8, p.Title)
	p.inner(&d)
	for i, s := range samples {
		y := plotHeight + row*float64(i)
		d.put(`<g transform="translate(4 `, coord(y), `)">`)
		d.path(s.Class, s.Shape)
		d.text("", "start", 36, 10, s.Name)
		d.put(`</g>`)
	}
	d.put(`</svg>`)
	return d.String()
}
