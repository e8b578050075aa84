package ui

import (
	"math"
	"strconv"

	"headroom/core/limit"
	"headroom/core/ridelog"
)

// signsLine says which current seems to have its sign the other way round.
func (c *RideLogBody) signsLine() string {
	text := ""
	switch r := c.ride(); {
	case r.BatteryDoubt && r.PhaseDoubt:
		text = "More energy came back into the battery than went out, and phase current braked more than it drove. Both currents most likely have their signs the other way round."
	case r.BatteryDoubt:
		text = "More energy came back into the battery than went out. The current most likely has its sign the other way round."
	default:
		text = "Phase current drove where the battery took current back, or braked more than it drove. It most likely has its sign the other way round."
	}
	return text + " Until the signs are right, the reserve told here may be far too large."
}

// reserveStatus judges a reserve as the plan does: with none left the nose drops.
func reserveStatus(shift, wanted float64) limit.Status {
	switch {
	case shift <= 0:
		return limit.Over
	case shift < wanted:
		return limit.Tight
	}
	return limit.Clear
}

// leastStatus judges the least reserve. Where the log cannot vouch for it, it is not called clear: there is no status then.
func (c *RideLogBody) leastStatus() limit.Status {
	x := c.ride().Reserve
	status := reserveStatus(x.Least.Value, x.Wanted)
	if status == limit.Clear && c.aloneShort() {
		status = limit.Tight
	}
	if status == limit.Clear && c.doubtful() {
		return ""
	}
	return c.vouched(status)
}

// aloneShort tells that a single row stood under the wanted reserve, though those beside it do not bear it out.
func (c *RideLogBody) aloneShort() bool {
	x := c.ride().Reserve
	return x.Least.Alone != nil && x.Least.Alone.Value < x.Wanted
}

// aloneText tells of a reading further out than what is borne out, where that makes a difference.
func (c *RideLogBody) aloneText(e *ridelog.Extreme, scale float64, unit string, digits int) string {
	const little = 0.05 // less is the noise of any logger
	if e.Alone == nil || math.Abs(e.Alone.Value-e.Value) <= little*math.Abs(e.Value) {
		return ""
	}
	number, name := c.P.Units.Figure(e.Alone.Value*scale, unit, digits)
	return "; once read as " + number + " " + name + " at " + clockText(e.Alone.At) + ", line " + strconv.Itoa(e.Alone.Line) +
		", by a single row: a spike of the logger, or a real peak"
}

// eventsLine sums the events up.
func (c *RideLogBody) eventsLine() string {
	x := c.ride().Reserve
	if x == nil {
		l := &c.ride().Layout
		if l.Column(ridelog.Speed) >= 0 && l.Column(ridelog.PackV) >= 0 {
			return "The reserve cannot be told: speed and pack voltage never stand in one row."
		}
		return "Without speed and pack voltage the reserve cannot be told."
	}
	text := c.metLine()
	if c.ride().SignDoubt {
		text = "The signs of the currents are in doubt, and what follows with them. " + text
	}
	if c.ride().Reserve.Met == 0 && c.aloneShort() {
		number, unit := c.P.Units.Figure(x.Least.Alone.Value*1e3, "mm", 0)
		text += " But once it was read as " + number + " " + unit + ", by a single row: a spike of the logger, or a real peak."
	}
	return text + c.roadLine()
}

// roadLine says what is missing where no current was logged.
func (c *RideLogBody) roadLine() string {
	const missing = "torque is that of steady riding on a level road: hills, starts and wind are not in it."
	switch road := c.ride().Reserve.Road; {
	case road == 1:
		return " No current is in the log, so " + missing
	case road > 0:
		return " In " + sized(100*road, 2) + " % of the rows no current is in the log; there " + missing
	}
	return ""
}

// metLine tells how often the reserve was short.
func (c *RideLogBody) metLine() string {
	x := c.ride().Reserve
	wanted, unit := c.P.Units.Figure(x.Wanted*1e3, "mm", 0)
	wanted += " " + unit
	never := "The balance reserve never fell under the wanted "
	if c.leastStatus() != limit.Clear {
		never = "By these figures the balance reserve did not fall under the wanted "
	}
	times := strconv.Itoa(x.Met) + " times the balance reserve fell under the wanted " + wanted + ", for " + decimal(x.Under, 1) + " s in all"
	switch {
	case x.Met == 0:
		return never + wanted + "."
	case x.Met > len(x.Events):
		return times + "; below are the worst " + strconv.Itoa(len(x.Events)) + "."
	case x.Met == 1:
		return "Once the balance reserve fell under the wanted " + wanted + "."
	}
	return times + "."
}
