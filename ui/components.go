package ui

import (
	"strconv"
	"strings"

	"github.com/vugu/vugu"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/protect"
)

// Root is the whole page.
type Root struct {
	P     *Planner
	cards map[string]vugu.Builder
}

// Main lists the link keys of the leading sliders.
func (c *Root) Main() []string { return build.Main }

// Groups lists the folded groups of inputs.
func (c *Root) Groups() []build.Group { return build.Groups }

// mode is how the page is shown: what a printed page holds, and contrast for sunlight.
func (c *Root) mode() string {
	mode := ""
	if c.P.Printing != "" {
		mode = " print-" + c.P.Printing
	}
	if c.P.Sun {
		mode += " sun"
	}
	return mode
}

func (c *Root) pressed() string { return strconv.FormatBool(c.P.Sun) }

// ReadoutBar stays in sight while sliders move.
type ReadoutBar struct {
	P       *Planner
	figures []Figure
}

// Compute is called by vugu before each build.
func (c *ReadoutBar) Compute() { c.figures = c.P.Leading() }

// Lead is the number that the planner leads with.
func (c *ReadoutBar) Lead() Figure { return c.figures[0] }

// Rest is the four beside it.
func (c *ReadoutBar) Rest() []Figure { return c.figures[1:] }

// Beside says how fast the ride is and what the ceiling rests on.
func (c *ReadoutBar) Beside() string {
	speed, unit := c.P.Units.Figure(c.P.Report.Ride.SpeedKmh, "km/h", 0)
	if ride := &c.P.Report; ride.Ride.SpeedKmh > ride.Speed.CruiseCeilingKmh.Low {
		return speed + " " + unit + " is above it: bound by " + c.Lead().Detail
	}
	return "riding " + speed + " " + unit + ", bound by " + c.Lead().Detail
}

// spareOf names a part of the current path so shortly that "spare" fits beside it: without that word the figure reads as a charge.
func spareOf(part string) string {
	switch part {
	case "controller":
		return "Ctrl"
	case "controller phases":
		return "Phase"
	case "connector":
		return "Conn."
	case "motor plug":
		return "Plug"
	case "motor winding":
		return "Motor"
	case "phase leads", "leads between boxes":
		return "Leads"
	}
	return upperFirst(part)
}

// Short is a label that fits a quarter of a phone.
func (c *ReadoutBar) Short(f Figure) string {
	switch f.Key {
	case "protection.margin_pct":
		return spareOf(f.Detail) + " spare"
	case "ride.shift_mm":
		return "Reserve"
	}
	return f.Label
}

func upperFirst(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// HeadroomBar is the motif: filled is used, open is spare, the notch is where the wanted spare begins.
type HeadroomBar struct{ Bar *limit.Bar }

func (c *HeadroomBar) status() string {
	if c.Bar == nil {
		return "none"
	}
	return string(c.Bar.Status)
}

func (c *HeadroomBar) used() string {
	if c.Bar == nil {
		return "0%"
	}
	return share(c.Bar.Used, c.Bar.Limit)
}

func (c *HeadroomBar) want() string { return share(c.Bar.Want, c.Bar.Limit) }

// A notch at the very end would only say that no margin was asked for.
func (c *HeadroomBar) notched() bool {
	return c.Bar != nil && c.Bar.Limit > 0 && c.Bar.Want < c.Bar.Limit
}

// share is used/limit as a percentage of the bar; a limit that can hold nothing is full.
func share(used, limit float64) string {
	if limit <= 0 {
		return "100%"
	}
	return decimal(100*min(1, max(0, used/limit)), 1) + "%"
}

// Status is a status word with its shape: a disc for clear, a diamond for tight, an octagon for over.
type Status struct{ Status limit.Status }

func (c *Status) shape() string { return shapeAt(c.Status, 0, 0) }

// shapeAt is the shape of a status in a square of 10 whose upper left corner is at x, y.
func shapeAt(s limit.Status, x, y float64) string {
	from := func(dx, dy float64) string { return "M" + coord(x+dx) + " " + coord(y+dy) }
	switch s {
	case limit.Clear:
		return from(5, 1) + "a4 4 0 1 1 0 8a4 4 0 1 1 0-8z"
	case limit.Tight:
		return from(5, 0) + "l5 5l-5 5l-5-5z"
	}
	return from(3, 0) + "h4l3 3v4l-3 3h-4l-3-3v-4z"
}

// input is what Slider and Field share.
type input struct {
	E Entry
}

// Bad adds a class when what was typed cannot be used.
func (c *input) Bad() string {
	if c.E.Message != "" {
		return " bad"
	}
	return ""
}

// Invalid is the aria-invalid of the text field.
func (c *input) Invalid() string {
	if c.E.Message != "" {
		return "true"
	}
	return "false"
}

// Choice tells a catalog from a number.
func (c *input) Choice() bool { return c.E.Field.Kind == build.Choice }

// Table tells a small table, typed as lines.
func (c *input) Table() bool { return c.E.Field.Kind == build.Rows }

// Numeric tells a number, whole or not.
func (c *input) Numeric() bool { return !c.Choice() && !c.Table() }

// Slider is one of the leading inputs.
type Slider struct {
	P    *Planner
	Key  string
	kept kept[slid]
}

// Build is called by vugu.
func (c *Slider) Build(in *vugu.BuildIn) *vugu.BuildOut {
	of := c.P.slid(c.Key)
	return c.kept.build(of, func() *vugu.BuildOut { return newSliderBody(c.P, c.Key, of).Build(in) })
}

// Field is one of the other inputs. The group around it keeps it, and sets what it shows.
type Field struct {
	P     *Planner
	entry Entry
	kept  kept[Entry]
}

// Build is called while the group is built.
func (c *Field) Build(in *vugu.BuildIn) *vugu.BuildOut {
	return c.kept.build(c.entry, func() *vugu.BuildOut { return (&FieldBody{c.P, input{c.entry}}).Build(in) })
}

// FieldBody is what it shows.
type FieldBody struct {
	P *Planner
	input
}

// help is the field's own help, and where a class value stands in, that it does.
func (c *FieldBody) help() string {
	switch {
	case c.E.Placeholder != "":
		return c.E.Help + " Empty: the class value, " + c.E.Spoken + "."
	case c.E.Note != "":
		return c.E.Help + " " + c.E.Note
	}
	return c.E.Help
}

// Messages is what has to be said about the link, an action or a fault.
type Messages struct{ P *Planner }

// from says whose quote the build in hand was opened from.
func (c *Messages) from() string {
	switch o := c.P.lastOffer; {
	case o.own:
		return "You are trying a build of your own quote. The quote stays as it was shown."
	case o.offer.Shop == "":
		return "You are trying a build of a quote. The quote stays as it is."
	default:
		return "You are trying a build of the quote by “" + o.offer.Shop + "”. The quote stays as it is."
	}
}

func (c *Messages) lines() []string {
	var out []string
	for _, p := range c.P.Problems {
		out = append(out, p.Text)
	}
	if c.P.Seen {
		return out
	}
	for _, u := range c.P.Unknown {
		out = append(out, "“"+build.Foreign(u.Key)+"” is not known here; it is kept in the link.")
	}
	return out
}

// Notes lists what is tight or over.
type Notes struct{ P *Planner }

func (c *Notes) list() []core.Note { return c.P.notes(true) }

// Cautions lists what is true of every build.
type Cautions struct{ P *Planner }

// The class of the voltage is said for every pack, also for one that may be touched.
func (c *Cautions) list() []core.Note {
	list := c.P.notes(false)
	if touch := &c.P.Report.Protection.Touch; touch.FullV <= protect.TouchableV {
		list = append([]core.Note{{Code: "touch-voltage", Status: limit.Clear, Text: touch.Text}}, list...)
	}
	return list
}

// Worst is the first thing that is over or tight, else a note that nothing is. The readout bar always shows it, so that no drag hides a
// danger, and always in the same space, so that nothing moves under a finger.
func (p *Planner) Worst() core.Note {
	if n := p.Report.Notes; len(n) > 0 && n[0].Status != limit.Clear {
		return p.Units.note(n[0])
	}
	return core.Note{Status: limit.Clear, Text: "Nothing is tight or over."}
}

// Others counts the rest of them.
func (p *Planner) Others() string {
	n := 0
	for i := range p.Report.Notes {
		if p.Report.Notes[i].Status != limit.Clear {
			n++
		}
	}
	if n > 1 {
		return "+" + strconv.Itoa(n-1)
	}
	return ""
}

// GoToNotes brings the list of them into sight.
func (p *Planner) GoToNotes() { p.Focus = "know" }

func (p *Planner) notes(troubles bool) []core.Note {
	var out []core.Note
	for _, n := range p.Report.Notes {
		if (n.Status != limit.Clear) == troubles {
			out = append(out, p.Units.note(n))
		}
	}
	return out
}

func (u Units) note(n core.Note) core.Note {
	n.Text = u.say(n.Text)
	return n
}

// WhySheet is what stands behind one figure.
type WhySheet struct {
	P   *Planner
	why core.Why
	fig Figure
}

// Compute is called by vugu before each build.
func (c *WhySheet) Compute() {
	o := core.ReadoutFor(c.P.Asked)
	if o == nil {
		return
	}
	c.fig = c.P.Readout(o)
	c.why, _ = c.P.Report.Why(c.P.Asked)
}

func (c *WhySheet) help() string    { return c.P.Units.cite(c.fig.Help) }
func (c *WhySheet) bound() string   { return c.P.Units.say(c.why.Bound) }
func (c *WhySheet) plainly() string { return c.P.Units.say(c.why.Plainly) }
func (c *WhySheet) valid() string   { return c.P.Units.cite(c.why.Valid) }
func (c *WhySheet) source() string  { return c.P.Units.cite(c.why.Source) }

// quantity formats one number of the equation; small and large ones keep four digits.
func (c *WhySheet) quantity(q core.Quantity) string {
	return strconv.FormatFloat(q.Value, 'g', 5, 64) + " " + q.Unit
}

// Helpers is what would help most.
type Helpers struct{ P *Planner }

// line says what one input does to one readout, in the unit system of the page.
func (c *Helpers) line(s core.Sensitivity, i core.Influence) string {
	f, o := build.FieldFor(i.Key), core.ReadoutFor(s.Readout)
	in, out := c.P.Units.of(f.Unit), c.P.Units.of(o.Unit)
	sign := "+"
	if i.Step < 0 {
		sign = "−"
	}
	step := strconv.FormatFloat(max(i.Step, -i.Step)*in.factor, 'g', 2, 64)
	change := "+"
	if i.Delta < 0 {
		change = "−"
	}
	delta := strconv.FormatFloat(max(i.Delta, -i.Delta)*out.factor, 'g', 2, 64)
	return strings.TrimSpace(f.Label+" "+sign+step+" "+in.name) + ": " + change + delta + " " + out.name
}

func (c *Helpers) label(s core.Sensitivity) string { return core.ReadoutFor(s.Readout).Label }
