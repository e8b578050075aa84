package ui

import (
	"math"
	"sort"
	"strconv"
	"strings"

	"github.com/vugu/vugu"

	"headroom/core"
	finds "headroom/core/find"
	"headroom/core/limit"
	"headroom/core/link"
)

// The dots of the picture, in units of the drawing: the lightest build and the heaviest.
const leastDot, mostDot = 3.0, 9.0

// byRange are the builds of an answer as the picture is read: in order of range, those that use no charge left out.
func byRange(r *findRun) []finds.Found {
	var list []finds.Found
	found := r.result().Found
	for i := range found {
		if found[i].RangeKm != nil {
			list = append(list, found[i])
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return *list[i].RangeKm < *list[j].RangeKm })
	return list
}

// findPlot draws range against cruise ceiling, a dot for each build, larger the heavier; nil where there is nothing to draw.
func (p *Planner) findPlot() *Plot {
	list := byRange(p.finds.run)
	if len(list) == 0 {
		return nil
	}
	plot := &Plot{
		ID: "found", Title: "What was found: range and cruise ceiling",
		X: Axis{Label: "range", Unit: "km", In: p.Units.of("km")}, Y: Axis{Label: "ceiling at low charge", Unit: "km/h", In: p.Units.of("km/h")},
		Words: "A dot for each build, larger the heavier it is: round where it is clear, a square on its corner where it is tight. The table below holds the same builds.",
	}
	light, heavy := math.Inf(1), math.Inf(-1)
	low, high := math.Inf(1), math.Inf(-1)
	for i := range list {
		light, heavy = min(light, list[i].MassKg), max(heavy, list[i].MassKg)
		low, high = min(low, list[i].CeilingKmh), max(high, list[i].CeilingKmh)
	}
	plot.X.fit(*list[0].RangeKm, *list[len(list)-1].RangeKm)
	plot.Y.fit(low, high)
	for i := range list {
		share := 0.5
		if heavy > light {
			share = (list[i].MassKg - light) / (heavy - light)
		}
		plot.Dots = append(plot.Dots, Dot{*list[i].RangeKm, list[i].CeilingKmh, leastDot + (mostDot-leastDot)*share, list[i].Status})
	}
	mass := func(kg float64) string { number, unit := p.Units.Figure(kg, "kg", 1); return number + " " + unit }
	plot.Sizes = []DotSize{{mass(light), leastDot, ""}, {mass(heavy), mostDot, ""}}
	for _, s := range []limit.Status{limit.Clear, limit.Tight} {
		for i := range list {
			if list[i].Status == s {
				plot.Sizes = append(plot.Sizes, DotSize{string(s), (leastDot + mostDot) / 2, s})
				break
			}
		}
	}
	return plot
}

func (c *FindBuildsBody) innerHTML() vugu.HTML  { return vugu.HTML(c.plot.drawn) }
func (c *FindBuildsBody) legendHTML() vugu.HTML { return vugu.HTML(c.plot.legend) }

// at is which dot is read.
func (c *FindBuildsBody) at() int { return max(0, min(len(c.plot.Dots)-1, c.f().at)) }

func (c *FindBuildsBody) reader() string { return strconv.Itoa(c.at() + 1) }
func (c *FindBuildsBody) dots() string   { return strconv.Itoa(len(c.plot.Dots)) }

func (c *FindBuildsBody) crossHTML() vugu.HTML {
	var d drawing
	d.ring(c.plot, &c.plot.Dots[c.at()])
	return vugu.HTML(d.String())
}

func (c *FindBuildsBody) read() *finds.Found { return &byRange(c.f().run)[c.at()] }

func (c *FindBuildsBody) sentence() string {
	f := c.read()
	l := link.Decode(f.Link)
	because := ""
	if f.Code != "" {
		because = ": " + core.Words(f.Code)
	}
	return c.figure(*f.RangeKm, "km", 0) + ", " + c.figure(f.CeilingKmh, "km/h", 0) + ", " + c.figure(f.MassKg, "kg", 1) + ": " + about(&l.Build) + ". " + upperFirst(string(f.Status)) + because + "."
}

// SaveFoundPicture and SaveFoundTable hand the answer to the browser as files.
func (p *Planner) SaveFoundPicture() {
	if plot := p.findPlot(); plot != nil {
		p.SavePicture(plot)
	}
}

// SaveFoundTable writes it as RFC 4180 has it, metric to the last digit.
func (p *Planner) SaveFoundTable() {
	var s strings.Builder
	s.WriteString("link,range (km),ceiling (km/h),reserve (mm),mass (kg),price (" + p.currency().Code + "),status,because of\r\n")
	number := func(v float64) string {
		if math.IsInf(v, 0) {
			return ""
		}
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	found := p.finds.run.result().Found
	for i := range found {
		f := &found[i]
		s.WriteString(`"` + f.Link + `",` + number(rangeOf(f)) + "," + number(f.CeilingKmh) + "," + number(f.ShiftMm) + "," + number(f.MassKg) + "," + number(priceOf(f)) + "," + string(f.Status) + "," + f.Code + "\r\n")
	}
	p.save("headroom-found.csv", "text/csv;charset=utf-8", s.String())
}
