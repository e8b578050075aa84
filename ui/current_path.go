package ui

import (
	"strconv"

	"github.com/vugu/vugu"

	"headroom/core/limit"
	"headroom/core/protect"
)

const pathID = "out-path"

// CurrentPath holds each part against the current.
type CurrentPath struct {
	P     *Planner
	parts []*PathPart
}

// part is kept here and not by vugu.
func (c *CurrentPath) part(i int) *PathPart {
	for len(c.parts) <= i {
		c.parts = append(c.parts, &PathPart{P: c.P, Index: len(c.parts)})
	}
	return c.parts[i]
}

func (c *CurrentPath) rows() []PathPartBody {
	list := make([]PathPartBody, len(c.P.Report.Protection.Rows))
	for i := range list {
		list[i].pathPart = c.P.pathPart(i)
	}
	return list
}

// PathPart is one part of the current path, held against the current.
type PathPart struct {
	P     *Planner
	Index int
	kept  kept[pathPart]
}

// pathPart is all that a part's lines are made of.
type pathPart struct {
	row   protect.Row
	index int
	bar   limit.Bar
}

// Build is called by vugu.
func (c *PathPart) Build(in *vugu.BuildIn) *vugu.BuildOut {
	of := c.P.pathPart(c.Index)
	return c.kept.build(of, func() *vugu.BuildOut { return (&PathPartBody{of}).Build(in) })
}

func (p *Planner) pathPart(i int) pathPart {
	row := p.Report.Protection.Rows[i]
	return pathPart{row: row, index: i, bar: *p.Report.Bar("protection." + row.Part)}
}

// PathPartBody is what it shows.
type PathPartBody struct{ pathPart }

// of names both loads with their ratings.
func (c *PathPartBody) of() string {
	r := &c.row
	return decimal(r.LoadA, 1) + " of " + decimal(r.RatingA, 0) + " " + r.Unit + " for long, " + decimal(r.PeakA, 0) + " of " + decimal(r.PeakRating, 0) + " for seconds"
}

// about says what the rating rests on, and the size that would be clear where this one is not.
func (c *PathPartBody) about() string {
	r := &c.row
	text := upperFirst(r.Why)
	if r.Derating < 1 {
		text += ". Heat and bundle leave " + decimal(100*r.Derating, 0) + " % of the lasting rating"
	}
	if r.ClearWith != "" {
		text += ". Clear with: " + r.ClearWith
	}
	return text + "."
}

func (c *PathPartBody) spare() string {
	a := c.row.MarginA
	if a < 0 {
		return decimal(-a, 0) + " A too much"
	}
	return decimal(a, 0) + " A"
}

func (c *PathPartBody) key() string {
	return "protection.rows." + strconv.Itoa(c.index) + ".margin_pct"
}

func (c *PathPartBody) value() string {
	return strconv.FormatFloat(c.row.MarginPct, 'g', 12, 64)
}

func (c *PathPartBody) margin() string {
	m := c.row.MarginPct
	if m < 0 {
		return decimal(-m, 0) + " % beyond"
	}
	return decimal(m, 0) + " % spare"
}
