package ui

import (
	"strconv"

	"github.com/vugu/vugu"

	"headroom/core"
	"headroom/core/limit"
)

// RouteCard rides a recorded track with the build.
type RouteCard struct {
	P    *Planner
	kept kept[routeOf]
}

// routeOf is all that the card is made of.
type routeOf struct {
	open, tabular bool
	file, fault   string
	ridden        *core.Route
	fresh, busy   bool
	share         int
	units         Units
	at            float64
	moved         bool
	wanted        float64
}

// Build is called by vugu.
func (c *RouteCard) Build(in *vugu.BuildIn) *vugu.BuildOut {
	of := routeOf{open: c.P.IsOpen(routeID)}
	r := &c.P.routing
	if of.open {
		of = routeOf{true, c.P.IsOpen(routeID + "-table"), r.file, r.fault, r.ridden, r.fresh(&c.P.Build), c.P.hasRoute(), r.share, c.P.Units, 0, false, c.P.Build.Shift}
		of.at, of.moved = c.P.charts.at["route"]
	} else {
		of.file, of.ridden, of.fresh = r.file, r.ridden, r.fresh(&c.P.Build)
	}
	return c.kept.build(of, func() *vugu.BuildOut { return (&RouteCardBody{P: c.P, of: of}).Build(in) })
}

// RouteCardBody is what it shows.
type RouteCardBody struct {
	P  *Planner
	of routeOf
}

func (c *RouteCardBody) r() *routing { return &c.P.routing }
func (c *RouteCardBody) has() bool   { return c.r().path != nil }

// worst is the status of the whole ride; none where it does not belong to this build.
func (c *RouteCardBody) worst() limit.Status {
	if !c.of.fresh {
		return ""
	}
	worst := limit.Clear
	for _, l := range c.lines() {
		if l.Status.Worse(worst) {
			worst = l.Status
		}
	}
	return worst
}

func (c *RouteCardBody) brief() string {
	if !c.has() {
		return "no track yet"
	}
	return c.r().file
}

func (c *RouteCardBody) pickWord() string {
	if c.has() {
		return "Pick another track"
	}
	return "Pick a track"
}

func (c *RouteCardBody) said() string { return c.r().tell(c.P.Units) }

// state says what is going on.
func (c *RouteCardBody) state() string {
	switch {
	case !c.has() || c.of.fresh:
		return ""
	case c.of.busy && c.of.ridden != nil:
		return "Riding it with the build as it is now: " + strconv.Itoa(c.of.share) + " %. Below is the build before."
	case c.of.busy:
		return "Riding it: " + strconv.Itoa(c.of.share) + " %."
	}
	return "The build has changed; it is ridden again once the build rests."
}

// routeLine is one figure of the ride.
type routeLine struct {
	Key, Label, Value, Number, Unit string
	Status                          limit.Status
	About                           string
	Bar                             *limit.Bar // nil where there is no limit
}

func (c *RouteCardBody) figure(v float64, unit string, digits int) string {
	number, name := c.P.Units.Figure(v, unit, digits)
	return number + " " + name
}

func (c *RouteCardBody) line(key, label string, v float64, unit string, digits int, status limit.Status, about string) routeLine {
	number, name := c.P.Units.Figure(v, unit, digits)
	key = "route." + key
	return routeLine{key, label, strconv.FormatFloat(v, 'g', -1, 64), number, name, status, about, c.of.ridden.Bar(key)}
}

// lines are the figures, the ones that can hurt first.
func (c *RouteCardBody) lines() []routeLine {
	r := c.of.ridden
	if r == nil {
		return nil
	}
	at := func(km float64) string { return "At " + c.figure(km, "km", 1) + ". " }
	unknown := func(words string) string {
		if r.Ground == limit.Clear {
			return ""
		}
		return words
	}
	end := "It gets to the end."
	if r.StoppedBy != "" {
		end = "It ends after " + c.figure(r.RiddenKm, "km", 1) + " of " + c.figure(r.Km, "km", 1) + ": " + r.StoppedBy + "."
	} else if r.End != limit.Clear {
		end += " Wind, weight" + unknown(", hills that the file does not show") + " or soft ground against you may take what is left above the charge to turn home at."
	}
	list := []routeLine{
		c.line("end_pct", "Charge where it ends", r.EndPct, "%", 0, r.End, end),
		c.line("lowest.value", "Least balance reserve", r.Lowest.Value, "mm", 0, r.Lowest.Status,
			at(r.Lowest.Km)+"The speed is lowered wherever that keeps the "+c.figure(c.of.wanted*1e3, "mm", 0)+" that you want."+unknown(" Unknown slopes may leave less.")),
		c.line("hottest.value", "Warmest winding", r.Hottest.Value, "°C", 0, r.Hottest.Status, at(r.Hottest.Km)+"It begins the way as warm as the air."+unknown(" Unknown slopes may warm it more.")),
	}
	if d := r.Descent; d != nil {
		about := at(d.Km) + "No limit of braking is met there."
		if d.CeilingPct != nil {
			about = at(d.Km) + "At " + c.figure(d.SpeedKmh, "km/h", 0) + " and the charge there " + decimal(*d.CeilingPct, 1) + " % can be held; what limits it: " + d.BoundBy + "."
		}
		list = append(list, c.line("descent.grade_pct", "Hardest way down", d.GradePct, "%", 1, d.Status, about+unknown(" Unknown slopes may be steeper.")))
	}
	if r.Unheld != limit.Clear {
		list = append(list, c.line("unheld_m", "Way without enough braking", r.UnheldM, "m", 0, r.Unheld,
			"There braking is asked for that the board does not have: walk it down, or start with less charge."))
	}
	if r.Ground != limit.Clear {
		list = append(list, c.line("unknown_km", "Way with slopes unknown", r.UnknownKm, "km", 1, r.Ground, "Of "+c.figure(r.Km, "km", 1)+
			". The file has no elevations there, a gap, or points so far apart that hills fit between them: it counts as straight and even. Hills take more reserve, charge and braking than this says, so nothing here is called clear."))
	}
	if r.Overfull != limit.Clear {
		list = append(list, c.line("overfull_wh", "Pushed into a full pack", r.OverfullWh, "Wh", 1, r.Overfull,
			"Braking charges cells that are full already, or the BMS cuts braking off. Start a way that begins downhill with less charge."))
	}
	used := "Braking counted back."
	if r.WhPerKm != nil {
		used = c.figure(*r.WhPerKm, "Wh/km", 1) + ", braking counted back."
	}
	list = append(list,
		c.line("energy_wh", "Energy used", r.EnergyWh, "Wh", 0, "", used),
		c.line("minutes", "Time on the way", r.Minutes, "min", 0, "", "On average "+c.figure(r.MeanKmh, "km/h", 1)+"."+c.slower()))
	return list
}

// slower says what kept the board below the riding speed.
func (c *RouteCardBody) slower() string {
	text := ""
	for i, s := range c.of.ridden.Slower {
		if i == 0 {
			text = " Slower than the riding speed: "
		} else {
			text += "; "
		}
		text += c.figure(s.Km, "km", 1) + " for " + s.By
	}
	if text != "" {
		text += "."
	}
	return text
}

func (c *RouteCardBody) plots() []*Plot { return c.P.routePlots() }

func (c *RouteCardBody) tables() []curveTable {
	if !c.of.tabular {
		return nil
	}
	var list []curveTable
	for _, p := range c.plots() {
		list = append(list, p.table())
	}
	return list
}
