package ui

import (
	"strconv"

	"headroom/core/limit"
	"headroom/core/protect"
)

// CurrentPath holds each part against the current.
type CurrentPath struct{ P *Planner }

func (c *CurrentPath) row(i int) *protect.Row { return &c.P.Report.Protection.Rows[i] }

func (c *CurrentPath) name(i int) string { return c.row(i).Part }

// of names both loads with their ratings.
func (c *CurrentPath) of(i int) string {
	r := c.row(i)
	return decimal(r.LoadA, 1) + " of " + decimal(r.RatingA, 0) + " " + r.Unit + " for long, " + decimal(r.PeakA, 0) + " of " + decimal(r.PeakRating, 0) + " for seconds"
}

// about says what the rating rests on, and the size that would be clear where this one is not.
func (c *CurrentPath) about(i int) string {
	r := c.row(i)
	text := upperFirst(r.Why)
	if r.Derating < 1 {
		text += ". Heat and bundle leave " + decimal(100*r.Derating, 0) + " % of the lasting rating"
	}
	if r.ClearWith != "" {
		text += ". Clear with: " + r.ClearWith
	}
	return text + "."
}

func (c *CurrentPath) spare(i int) string {
	a := c.row(i).MarginA
	if a < 0 {
		return decimal(-a, 0) + " A too much"
	}
	return decimal(a, 0) + " A"
}

func (c *CurrentPath) key(i int) string { return "protection.rows." + strconv.Itoa(i) + ".margin_pct" }

func (c *CurrentPath) value(i int) string {
	return strconv.FormatFloat(c.row(i).MarginPct, 'g', 12, 64)
}

func (c *CurrentPath) margin(i int) string {
	m := c.row(i).MarginPct
	if m < 0 {
		return decimal(-m, 0) + " % beyond"
	}
	return decimal(m, 0) + " % spare"
}

func (c *CurrentPath) bar(i int) *limit.Bar { return c.P.Report.Bar("protection." + c.row(i).Part) }
