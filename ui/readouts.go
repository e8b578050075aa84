package ui

import (
	"github.com/vugu/vugu"

	"headroom/core"
	"headroom/core/limit"
)

// sectionIDs are the names of the sections.
var sectionIDs = func() (list []string) {
	for i := range core.Readouts {
		list = append(list, "out-"+core.Readouts[i].Title)
	}
	return list
}()

// Readouts is one section of readouts.
type Readouts struct {
	P      *Planner
	Index  int
	rows   []ReadoutRow
	folded []Hidden
}

// hidden is kept here, like row.
func (c *Readouts) hidden(i int) *Hidden {
	if c.folded == nil {
		c.folded = make([]Hidden, len(c.section().Rows))
	}
	h := &c.folded[i]
	h.figure = c.P.Readout(&c.section().Rows[i])
	return h
}

// Hidden is one readout of a folded section, the figure alone: for scripts, and for who opens the section next.
type Hidden struct {
	figure Figure
	kept   kept[HiddenBody]
}

// Build is called while the section is built.
func (c *Hidden) Build(in *vugu.BuildIn) *vugu.BuildOut {
	of := HiddenBody{c.figure.Key, c.figure.Value, c.figure.Number}
	return c.kept.build(of, func() *vugu.BuildOut { return of.Build(in) })
}

// HiddenBody is what it holds.
type HiddenBody struct{ key, value, number string }

// row is kept here and not by vugu.
func (c *Readouts) row(i int) *ReadoutRow {
	if c.rows == nil {
		c.rows = make([]ReadoutRow, len(c.section().Rows))
	}
	r := &c.rows[i]
	r.P, r.Readout = c.P, &c.section().Rows[i]
	return r
}

func (c *Readouts) section() *core.Section { return &core.Readouts[c.Index] }
func (c *Readouts) id() string             { return sectionIDs[c.Index] }

// worst is the worst status in the section, so that a folded one does not hide it.
func (c *Readouts) worst() limit.Status { return c.section().Worst(&c.P.Report) }

// ReadoutRow is one readout of an open section.
type ReadoutRow struct {
	P       *Planner
	Readout *core.Readout
	kept    kept[shown]
}

// shown is all that a row is made of.
type shown struct {
	Figure
	bar   limit.Bar
	units Units
}

// Build is called by vugu.
func (c *ReadoutRow) Build(in *vugu.BuildIn) *vugu.BuildOut {
	f := c.P.Readout(c.Readout)
	of := shown{Figure: f, units: c.P.Units}
	if f.Bar != nil {
		of.bar, of.Bar = *f.Bar, nil
	}
	return c.kept.build(of, func() *vugu.BuildOut {
		return (&ReadoutRowBody{c.P, f}).Build(in)
	})
}

// ReadoutRowBody is what it shows of one figure.
type ReadoutRowBody struct {
	P *Planner
	f Figure
}

// whyID is where the focus returns to; a leading readout has its own place in the bar.
func (c *ReadoutRowBody) whyID() string {
	f := c.f
	if o := core.ReadoutFor(f.Key); o.Lead {
		return "why-" + f.Key + "-row"
	}
	return "why-" + f.Key
}

func (c *ReadoutRowBody) about() string {
	f := c.f
	if f.Detail != "" {
		return c.P.Units.cite(f.Help) + " Now: " + c.P.Units.say(f.Detail) + "."
	}
	return c.P.Units.cite(f.Help)
}
