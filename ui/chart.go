package ui

import (
	"math"
	"strconv"
	"strings"

	"github.com/vugu/vugu"

	"headroom/core"
)

// Chart draws a plot, and lets it be read and saved.
type Chart struct {
	P    *Planner
	Plot *Plot
}

// Compute is called by vugu before each build.
func (c *Chart) Compute() { c.Plot.draw() }

func (c *Chart) innerHTML() vugu.HTML  { return vugu.HTML(c.Plot.drawn) }
func (c *Chart) legendHTML() vugu.HTML { return vugu.HTML(c.Plot.legend) }
func (c *Chart) crossHTML() vugu.HTML  { return c.Plot.crossing(c.P.charts.reading(c.Plot)) }
func (c *Chart) reads() bool           { return c.Plot.Cross != "" }
func (c *Chart) words() string         { return c.Plot.Title + ". " + c.Plot.Words }

func (c *Chart) limit(v float64) string { return shortest(c.Plot.X.onSlider(v), 6) }
func (c *Chart) step() string           { return shortest(c.Plot.X.step(), 6) }
func (c *Chart) at() string             { return c.limit(c.P.charts.reading(c.Plot)) }
func (c *Chart) sentence() string       { return c.Plot.sentence(c.P.charts.reading(c.Plot)) }

// charts is where the page's plots are being read, and what they are made of while someone looks.
type charts struct {
	at map[string]float64 // x by Plot.Cross, metric

	plan   int          // the plan that the plots below belong to
	pinned *core.Report // and the pinned one
	units  Units
	plots  map[string][]*Plot // by card
}

// reading is where a plot is read: on a step of its axis, so that what is said is what the slider stands at.
func (c *charts) reading(p *Plot) float64 {
	x, ok := c.at[p.Cross]
	if !ok {
		x = p.Start
	}
	step, lo := p.X.step(), p.X.onSlider(p.X.Lo)
	steps := math.Round((p.X.onSlider(math.Min(p.X.Hi, math.Max(p.X.Lo, x))) - lo) / step)
	return p.X.fromSlider(rounded(lo+steps*step, 9))
}

// ReadAt moves where a plot is read, to a number as shown.
func (p *Planner) ReadAt(plot *Plot, shown string) {
	v, err := strconv.ParseFloat(shown, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return
	}
	if p.charts.at == nil {
		p.charts.at = map[string]float64{}
	}
	p.charts.at[plot.Cross] = plot.X.fromSlider(v)
}

// logSteps is into how many steps of the same ratio a logarithmic axis is divided for reading.
const logSteps = 200

// onSlider is where the slider over a plot stands for a value: at the value as shown, on a logarithmic axis at its step.
func (a *Axis) onSlider(v float64) float64 {
	if a.Log {
		return logSteps * a.share(v)
	}
	return a.shown().shown(v)
}

func (a *Axis) fromSlider(at float64) float64 {
	if a.Log {
		return a.at(at / logSteps)
	}
	return a.shown().metric(at)
}

func (a *Axis) step() float64 {
	if a.Log {
		return 1
	}
	in := a.shown()
	return a.stepOf(in.shown(a.Lo), in.shown(a.Hi))
}

// figure is a value of the axis as shown.
func (a *Axis) figure(v float64, digits int) string {
	in := a.shown()
	return decimal(in.shown(v), max(0, digits+in.digits))
}

// place is a value of the x axis with as many digits as its steps have.
func (p *Plot) place(x float64) string {
	if p.X.Log {
		x = p.X.shown().shown(x)
		return shortest(x, max(0, 2-int(math.Floor(math.Log10(x)))))
	}
	digits := 0
	for step := p.X.step(); step < 0.9; step *= 10 {
		digits++
	}
	return decimal(p.X.shown().shown(x), digits)
}

// within is where the curves are read at x: where they end, if that is the same place to who reads it. ok is false past that.
func (p *Plot) within(x float64) (at float64, ok bool) {
	if p.Beyond == "" || x <= p.End {
		return x, true
	}
	return p.End, p.place(x) == p.place(p.End)
}

// sentence says what the curves are at x.
func (p *Plot) sentence(x float64) string {
	var s strings.Builder
	s.WriteString(p.Say + " " + p.place(x) + " " + p.X.shown().name)
	x, ok := p.within(x)
	if !ok {
		return s.String() + ": " + p.Beyond + "."
	}
	sep, unit := ": ", " "+p.Y.shown().name
	for i := range p.Data {
		if p.Data[i].After == "" {
			continue
		}
		s.WriteString(sep)
		y, ok := p.valueAt(p.Data[i].Points, x)
		switch {
		case ok && p.Spell != nil:
			s.WriteString(p.Spell(y) + p.Data[i].After)
		case ok:
			s.WriteString(p.Y.figure(y, p.Y.Digits) + unit + p.Data[i].After)
			unit = ""
		case p.None != "":
			s.WriteString(p.None + p.Data[i].After)
		default:
			s.WriteString("none" + p.Data[i].After)
		}
		sep = ", "
	}
	return s.String() + "."
}

// CSV is the plot's figures as RFC 4180 has it, a row for each point of each curve: metric to the last digit, and as shown beside it
// where that is another unit.
func (p *Plot) CSV() string {
	x, y := p.X.shown(), p.Y.shown()
	other := x.name != p.X.Unit || y.name != p.Y.Unit
	var s strings.Builder
	row := func(cells ...string) { csvRow(&s, cells...) }
	number := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
	head := []string{"curve", p.X.Label + " (" + p.X.Unit + ")", p.Y.Label + " (" + p.Y.Unit + ")"}
	if other {
		head = append(head, p.X.Label+" ("+x.name+")", p.Y.Label+" ("+y.name+")")
	}
	row(head...)
	for i := range p.Data {
		for _, q := range p.Data[i].Points {
			if math.IsNaN(q.Y) {
				continue
			}
			cells := []string{p.Data[i].Name, number(q.X), number(q.Y)}
			if other {
				cells = append(cells, number(x.shown(q.X)), number(y.shown(q.Y)))
			}
			row(cells...)
		}
	}
	return s.String()
}

// SavePicture and SaveTable hand a plot to the browser as a file.
func (p *Planner) SavePicture(plot *Plot) {
	p.save("headroom-"+plot.ID+".svg", "image/svg+xml", plot.File())
}

// SaveTable is the same for its figures.
func (p *Planner) SaveTable(plot *Plot) {
	p.save("headroom-"+plot.ID+".csv", "text/csv;charset=utf-8", plot.CSV())
}

func (p *Planner) save(name, mime, text string) {
	if p.OnSave != nil {
		p.OnSave(name, mime, []byte(text))
	}
}
