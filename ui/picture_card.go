package ui

import (
	"html"
	"strings"
	"unicode/utf8"

	"headroom/core/limit"
)

// The picture of a build for chats: one SVG that needs nothing but itself, drawn as PNG by the browser. It has the headroom bar, and light
// colors whatever the page's are: it is looked at elsewhere.
const (
	cardWidth  = 1200
	cardHeight = 630
	cardEdge   = 56 // free around everything
	// cardQR is the widest code, in modules, whose modules are still three pixels and more: a chat makes pictures smaller.
	cardQR = 65
)

// cardInk are the colors of the page in daylight.
var cardInk = struct{ paper, ink, quiet, clear, tight, over string }{"#f4f1e8", "#1d2327", "#545f66", "#0f5c68", "#8f5200", "#9b1c2e"}

func cardColor(s limit.Status) string {
	switch s {
	case limit.Clear:
		return cardInk.clear
	case limit.Tight:
		return cardInk.tight
	case limit.Over:
		return cardInk.over
	}
	return cardInk.quiet
}

// card is a picture in the making. Attributes carry the styles: the page's policy allows no style sheet within a picture.
type card struct{ drawing }

type lettering struct {
	size, weight float64
	fill, anchor string
}

func (d *card) words(x, y float64, l lettering, text string) {
	if l.anchor == "" {
		l.anchor = "start"
	}
	d.put(`<text x="`, coord(x), `" y="`, coord(y), `" font-size="`, coord(l.size), `" font-weight="`, coord(l.weight), `" fill="`, l.fill, `" text-anchor="`, l.anchor, `">`, html.EscapeString(text), `</text>`)
}

// figure writes a number with its unit behind it.
func (d *card) figure(x, y, size, small float64, number, unit string) {
	d.put(`<text x="`, coord(x), `" y="`, coord(y), `" font-size="`, coord(size), `" font-weight="750" fill="`, cardInk.ink, `">`, html.EscapeString(number),
		`<tspan dx="`, coord(.12*size), `" font-size="`, coord(small), `" font-weight="500" fill="`, cardInk.quiet, `">`, html.EscapeString(unit), `</tspan></text>`)
}

// em is about how wide a letter is, in parts of its height.
const em = 0.53

func fits(text string, size, width float64) bool {
	return float64(utf8.RuneCountInString(text))*size*em <= width
}

// fitted cuts a text to what fits a width, and says so with an ellipsis.
func fitted(text string, size, width float64) string {
	if fits(text, size, width) {
		return text
	}
	return strings.TrimRight(string([]rune(text)[:int(width/(size*em))-1]), " ,;:") + "…"
}

// twoLines sets parts one after the other, and on a second line what the first does not hold.
func twoLines(parts []string, size, width float64) (list [2]string) {
	at := 0
	for _, part := range parts {
		longer := part
		if list[at] != "" {
			longer = list[at] + " · " + part
		}
		if at == 0 && !fits(longer, size, width) {
			at, longer = 1, part
		}
		list[at] = longer
	}
	list[at] = fitted(list[at], size, width)
	return list
}

// bar draws a headroom bar: filled is used, open is spare, the notch is where the wanted spare begins.
func (d *card) bar(b *limit.Bar, x, y, width, height float64) {
	if b == nil {
		return
	}
	color := cardColor(b.Status)
	at := func(v float64) float64 {
		if b.Limit <= 0 {
			return width
		}
		return width * min(1, max(0, v/b.Limit))
	}
	d.put(`<rect x="`, coord(x), `" y="`, coord(y), `" width="`, coord(at(b.Used)), `" height="`, coord(height), `" fill="`, color, `"/>`)
	d.put(`<rect x="`, coord(x), `" y="`, coord(y), `" width="`, coord(width), `" height="`, coord(height), `" fill="none" stroke="`, color, `" stroke-width="3"/>`)
	if b.Limit > 0 && b.Want < b.Limit {
		d.put(`<path d="M`, coord(x+at(b.Want)), " ", coord(y-8), "v", coord(height+16), `" stroke="`, cardInk.paper, `" stroke-width="8"/>`)
		d.put(`<path d="M`, coord(x+at(b.Want)), " ", coord(y-8), "v", coord(height+16), `" stroke="`, cardInk.ink, `" stroke-width="4"/>`)
	}
}

// status draws the word with its shape before it, the word's foot on y.
func (d *card) status(s limit.Status, x, y, size float64) {
	if s == "" {
		return
	}
	d.put(`<path transform="translate(`, coord(x), " ", coord(y-.78*size), `) scale(`, coord(.08*size), `)" d="`, shapeAt(s, 0, 0), `" fill="`, cardColor(s), `"/>`)
	d.words(x+size, y, lettering{size, 700, cardColor(s), ""}, string(s))
}

// PictureCard is the build and its leading figures as SVG.
func (p *Planner) PictureCard() string {
	var d card
	const width = float64(cardWidth - 2*cardEdge)
	d.put(`<svg xmlns="http://www.w3.org/2000/svg" width="1200" height="630" viewBox="0 0 1200 630" font-family="system-ui, -apple-system, 'Segoe UI', Roboto, 'DejaVu Sans', sans-serif">`)
	d.put(`<rect width="1200" height="630" fill="`, cardInk.paper, `"/>`)
	room := width
	if q, err := makeQR(p.address(p.Link())); err == nil && q.side() <= cardQR && !p.fromDisk() {
		const side = 196.0
		scale := shortest(side/float64(q.side()), 4)
		d.put(`<g transform="translate(`, coord(cardWidth-cardEdge-side), ` 40)"><rect width="196" height="196" fill="#fff"/><path transform="scale(`, scale, `)" shape-rendering="crispEdges" d="`, q.path(), `"/></g>`)
		room -= side + 30
	}
	d.words(cardEdge, 74, lettering{26, 700, cardInk.quiet, ""}, "Headroom")
	title, size := p.title(), 50.0
	if !fits(title, size, .94*room) {
		size = 34
	}
	// An inner picture cuts off what letters wider than others would put into the code.
	d.put(`<svg x="56" y="88" width="`, coord(room), `" height="64">`)
	d.words(0, 46, lettering{size, 750, cardInk.ink, ""}, fitted(title, size, .94*room))
	d.put(`</svg>`)
	for i, line := range twoLines(p.cardAbout(), 24, room) {
		d.words(cardEdge, 178+32*float64(i), lettering{24, 400, cardInk.quiet, ""}, line)
	}

	leads := p.Leading()
	lead := leads[0]
	d.words(cardEdge, 262, lettering{26, 500, cardInk.quiet, ""}, lead.Label)
	d.figure(cardEdge, 352, 96, 38, lead.Number, lead.Unit)
	d.words(cardWidth-cardEdge, 352, lettering{24, 400, cardInk.quiet, "end"}, fitted("riding "+p.ridingSpeed()+", bound by "+lead.Detail, 24, 620))
	d.status(lead.Status, cardWidth-cardEdge-110, 312, 30)
	d.bar(lead.Bar, cardEdge, 374, width, 30)

	const column, gap = 254.0, 24.0
	for i, f := range leads[1:] {
		x := cardEdge + float64(i)*(column+gap)
		label := f.Label
		if f.Key == "protection.margin_pct" {
			label = "Weakest: " + f.Detail
		}
		d.words(x, 454, lettering{20, 500, cardInk.quiet, ""}, fitted(label, 20, column))
		d.figure(x, 500, 42, 22, f.Number, f.Unit)
		d.status(f.Status, x+column-86, 500, 22)
		d.bar(f.Bar, x, 512, column, 16)
	}

	worst := p.Worst()
	d.status(worst.Status, cardEdge, 572, 22)
	d.words(cardEdge+100, 572, lettering{20, 500, cardInk.ink, ""}, fitted(worst.Text, 20, width-100))
	d.words(cardEdge, 606, lettering{18, 400, cardInk.quiet, ""}, "Estimates until checked on the finished board. Filled is used, open is what is left.")
	d.put(`</svg>`)
	return d.String()
}

// cardAbout is what the build is made of, part by part; what the title says already is left out.
func (p *Planner) cardAbout() []string {
	var list []string
	if named := suggested(&p.Build); named != p.title() {
		list = append(list, named)
	}
	for _, key := range []string{"cell", "ctrl", "tire", "kpa"} {
		list = append(list, p.Entry(key).Spoken)
	}
	return append(list, "rider "+p.Entry("rider").Spoken)
}

func (p *Planner) ridingSpeed() string {
	speed, unit := p.Units.Figure(p.Report.Ride.SpeedKmh, "km/h", 0)
	return speed + " " + unit
}
