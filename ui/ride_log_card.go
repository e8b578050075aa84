package ui

import (
	"math"
	"strconv"

	"github.com/vugu/vugu"

	"headroom/core/limit"
	"headroom/core/ridelog"
)

// RideLog shows what a board's logger wrote.
type RideLog struct {
	P    *Planner
	kept kept[logShown]
}

// logShown is all that the card is made of.
type logShown struct {
	open, columns bool
	rev, drawn    int
	units         Units
	plans         int  // for what is drawn of the plan
	other         bool // the build is not the one that the log was held against
	at            [2]float64
	moved         [2]bool
}

// Build is called by vugu.
func (c *RideLog) Build(in *vugu.BuildIn) *vugu.BuildOut {
	l := &c.P.log
	of := logShown{open: c.P.IsOpen(rideLogID), rev: l.rev}
	if of.open {
		of.columns, of.units, of.other = c.P.IsOpen(columnsID), c.P.Units, l.of != c.P.Build
		if l.ride != nil {
			of.plans, of.drawn = c.P.plans, l.plots.drawn
			for i, cross := range []string{logCross, "speed"} {
				of.at[i], of.moved[i] = c.P.charts.at[cross]
			}
		}
	}
	return c.kept.build(of, func() *vugu.BuildOut { return (&RideLogBody{P: c.P}).Build(in) })
}

// RideLogBody is what it shows.
type RideLogBody struct{ P *Planner }

func (c *RideLogBody) l() *rideLog         { return &c.P.log }
func (c *RideLogBody) ride() *ridelog.Ride { return c.P.log.ride }
func (c *RideLogBody) open() bool          { return c.P.IsOpen(rideLogID) }

func (c *RideLogBody) brief() string {
	switch l := c.l(); {
	case l.reading:
		return "reading, " + strconv.Itoa(l.percent) + " %"
	case l.ride != nil:
		return l.file.Name
	}
	return "nothing read yet"
}

func (c *RideLogBody) percent() string { return strconv.Itoa(c.l().percent) }

// headline says what was read.
func (c *RideLogBody) headline() string {
	r := c.ride()
	text := c.l().file.Name + ": " + strconv.Itoa(r.Used) + " of " + strconv.Itoa(r.Rows) + " rows read, " + clockText(r.Seconds)
	if r.Meters > 0 {
		number, unit := c.P.Units.Figure(r.Meters/1e3, "km", 2)
		text += ", " + number + " " + unit + c.wayText()
	}
	return text + "."
}

// clockText is a time in the log: minutes and seconds, hours before them where there are any.
func clockText(s float64) string {
	n := int(math.Round(s))
	text := strconv.Itoa(n % 60)
	if n%60 < 10 {
		text = "0" + text
	}
	if n < 3600 {
		return strconv.Itoa(n/60) + ":" + text
	}
	minutes := strconv.Itoa(n / 60 % 60)
	if n/60%60 < 10 {
		minutes = "0" + minutes
	}
	return strconv.Itoa(n/3600) + ":" + minutes + ":" + text
}

// logFigure is one figure of the log.
type logFigure struct {
	Key, Label, Number, Unit string
	Value                    string // plain and metric, for scripts
	Where                    string // when it was
	Doubt                    string // what speaks against it
	Status                   limit.Status
}

func (c *RideLogBody) figures() []logFigure {
	r := c.ride()
	var list []logFigure
	add := func(key, label string, v float64, unit string, digits int) *logFigure {
		number, name := c.P.Units.Figure(v, unit, digits)
		list = append(list, logFigure{Key: key, Label: label, Number: number, Unit: name, Value: strconv.FormatFloat(v, 'g', -1, 64)})
		return &list[len(list)-1]
	}
	extreme := func(key, label string, e *ridelog.Extreme, scale float64, unit string, digits int) *logFigure {
		if e == nil {
			return new(logFigure)
		}
		f := add(key, label, e.Value*scale, unit, digits)
		f.Where = "at " + clockText(e.At) + ", line " + strconv.Itoa(e.Line) + c.aloneText(e, scale, unit, digits)
		return f
	}
	if x := r.Reserve; x != nil {
		f := extreme("reserve_mm", "Least balance reserve", &x.Least, 1e3, "mm", 0)
		f.Status = c.leastStatus()
		f.Where += ", torque by " + x.By + "; to push forward only, braking is not judged"
		f.Doubt = c.reserveDoubts()
	}
	if f := extreme("duty_pct", "Highest duty", r.HighestDuty, 100, "%", 1); r.HighestDuty != nil {
		f.Status = c.vouched(judgeLogged(r.HighestDuty, c.dutyStatus))
		f.Where += "; " + c.dutyLimits()
	}
	extreme("top_kmh", "Highest speed", r.TopSpeed, 3.6, "km/h", 1)
	extreme("low_v", "Lowest voltage", r.LowestV, 1, "V", 1)
	if f := extreme("high_v", "Highest voltage", r.HighestV, 1, "V", 1); r.HighestV != nil {
		f.Status = c.vouched(judgeLogged(r.HighestV, c.voltStatus))
		f.Where += "; " + c.voltLimits()
	}
	extreme("sag_v", "Worst sag within ten seconds", r.WorstSag, 1, "V", 1)
	extreme("battery_a", "Most battery current", r.MostA, 1, "A", 1)
	extreme("back_a", "Most current back", r.MostBackA, 1, "A", 1)
	extreme("phase_a", "Most phase current", r.MostPhaseA, 1, "A", 1)
	extreme("motor_c", "Motor, warmest", r.MotorC, 1, "°C", 0)
	extreme("controller_c", "Controller, warmest", r.ControllerC, 1, "°C", 0)
	if r.Powered {
		add("out_wh", "Energy out of the battery", r.Out/3600, "Wh", 1).Where = c.shareText()
		add("back_wh", "Energy back into it", r.Back/3600, "Wh", 1)
	}
	if per, ok := r.PerMeter(); ok {
		add("wh_per_km", "Energy per distance", per/3.6, "Wh/km", 1)
	}
	if x := r.Resistance; x != nil {
		f := add("resistance_mohm", "Pack resistance", x.Ohm*1e3, "mΩ", 0)
		f.Where = "± " + sized(2e3*x.Sigma, 2) + " mΩ, from " + strconv.Itoa(x.Spans) + " pieces of the ride"
	}
	if r.Stretches > 0 {
		add("steady", "Stretches at steady speed", float64(r.Stretches), "", 0)
	}
	return list
}

// problems are what was wrong with the file, a line each.
func (c *RideLogBody) problems() (list []string) {
	for _, p := range c.ride().Problems {
		text := p.Trouble.String()
		if p.Of != ridelog.None && p.Of != ridelog.Time {
			text = p.Of.String() + ", " + text
		}
		line := ", in line "
		if p.Count > 1 {
			line = ", first in line "
		}
		list = append(list, upperFirst(text)+": "+strconv.Itoa(p.Count)+line+strconv.Itoa(p.Line)+".")
	}
	return list
}

// logEvent is one time in which the reserve stood under the wanted one.
type logEvent struct {
	At, Lasted, Reserve, Speed, Duty, Volts, Line string
	Status                                        limit.Status
}

func (c *RideLogBody) events() (list []logEvent) {
	if k := &c.P.log.plots; c.ride().Reserve == nil || k.rev != c.l().rev || k.drawn == 0 { // they come in a frame of their own
		return nil
	}
	figure := func(v float64, unit string, digits int) string {
		if math.IsNaN(v) {
			return "–"
		}
		number, name := c.P.Units.Figure(v, unit, digits)
		return number + " " + name
	}
	for _, e := range c.ride().Reserve.Events {
		status := c.vouched(reserveStatus(e.Shift, c.ride().Reserve.Wanted))
		duty := figure(e.Duty*100, "%", 0)
		if e.Full { // says why nothing is left
			duty += ", the highest"
		}
		lasted := "< 0.1 s"
		if e.Seconds >= 0.05 {
			lasted = decimal(e.Seconds, 1) + " s"
		}
		list = append(list, logEvent{clockText(e.At), lasted, figure(e.Shift*1e3, "mm", 1), figure(e.Speed*3.6, "km/h", 1),
			duty, figure(e.PackV, "V", 1), strconv.Itoa(e.Line), status})
	}
	return list
}

func (c *RideLogBody) columns() []ridelog.Column        { return c.l().layout.Columns }
func (c *RideLogBody) column(i int) *ridelog.Column     { return &c.l().layout.Columns[i] }
func (c *RideLogBody) quantities() []ridelog.Quantity   { return ridelog.Quantities() }
func (c *RideLogBody) number(q ridelog.Quantity) string { return strconv.Itoa(int(q)) }
func (c *RideLogBody) unitsOf(i int) []ridelog.Unit     { return c.column(i).Quantity.Units() }
func (c *RideLogBody) columnID(i int, of string) string {
	return "log-column-" + strconv.Itoa(i) + "-" + of
}
func (c *RideLogBody) tabular() bool { return c.P.IsOpen(columnsID) }
func (c *RideLogBody) another() bool { return c.l().ride != nil && c.l().of != c.P.Build }
func (c *RideLogBody) example(i int) string {
	if text := c.l().layout.Example[i]; text != "" {
		return "such as " + text
	}
	return "empty"
}

// flips tells whether a column's sign can be turned around.
func (c *RideLogBody) flips(i int) bool {
	switch c.column(i).Quantity {
	case ridelog.BatteryA, ridelog.PhaseA, ridelog.Power:
		return true
	}
	return false
}

func (c *RideLogBody) plots() []*Plot { return c.P.nextLogPlots() }

// fits tells whether the log holds something for a ride check.
func (c *RideLogBody) fits() bool { return len(c.ride().Steady) > 0 || c.ride().Resistance != nil }

// unfit says why the plan is not to be fitted to the log; "" where it may be.
func (l *rideLog) unfit() string {
	if l.ride == nil || !l.ride.SignDoubt {
		return ""
	}
	return "Not yet: a current seems to have its sign the wrong way round, and a fit would take braking for driving. Set the signs right first. " +
		"If they are right and the ride was mostly downhill, take a log of a level ride."
}

func (c *RideLogBody) refused() string { return strconv.FormatBool(c.l().unfit() != "") }
