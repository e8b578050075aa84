package ui

import (
	"strconv"
	"strings"

	"headroom/core/limit"
	"headroom/core/ridelog"
)

// leastRidden is how many s of riding a judgment takes. Engineering judgment with no published source.
const leastRidden = 30

// scant says why too little of a log was read to judge the ride by it; "" where it is enough.
func (c *RideLogBody) scant() string {
	r := c.ride()
	ridden := r.Moving
	if r.SpeedS == 0 { // no speed was logged
		ridden = r.Seconds
	}
	switch {
	case 2*r.Used < r.Rows && r.Backward:
		return "Most rows were left out because time runs backward in this file. Sort it with the oldest row first and read it again. Nothing is judged by what was read."
	case 2*r.Used < r.Rows:
		return "Less than half of the rows could be used; what was wrong stands at the end. Nothing is judged by the few that were."
	case ridden < leastRidden:
		return "Less than " + strconv.Itoa(leastRidden) + " s of riding are in this log. That is too little to judge a ride by."
	}
	return ""
}

// vouched is a status as far as enough of the log was read: a limit that was met counts however little that is.
func (c *RideLogBody) vouched(status limit.Status) limit.Status {
	if status != limit.Over && c.scant() != "" {
		return ""
	}
	return status
}

// few tells that the reserve could be told for fewer than half of the rows used.
func (c *RideLogBody) few() bool { return 2*c.ride().Reserve.Moments < c.ride().Used }

// reserveDoubts say beside the reserve what speaks against it.
func (c *RideLogBody) reserveDoubts() string {
	r := c.ride()
	x := r.Reserve
	var list []string
	if x.Full > 0 {
		share := "In " + strconv.Itoa(x.Full) + " rows the duty stood at the plan's highest"
		if x.Full == 1 {
			share = "In one row the duty stood at the plan's highest"
		}
		if x.Weakens {
			list = append(list, share+". How much field weakening left there the log cannot tell.")
		} else {
			list = append(list, share+". Nothing is left to push with there, whatever the plan says.")
		}
	}
	if by, above := r.AbovePlan(); above {
		fit := "Change the plan until it agrees"
		if c.fits() {
			fit = "Fit the plan to the log"
		}
		list = append(list, "The plan promises more than this board has: the duty logged is up to "+decimal(100*by, 0)+
			" points above the plan's at the same speed, volts and current. The reserve told is too high. "+fit+" first, then hold the log against it.")
	}
	if r.Layout.Assumes(ridelog.Speed) {
		list = append(list, "The unit of the speed is assumed.")
	}
	if c.few() {
		list = append(list, "In more than half of the rows speed or pack voltage is missing: the reserve is not told there.")
	}
	if c.scant() != "" {
		list = append(list, "Too little was read to judge it.")
	}
	return strings.Join(list, " ")
}

// doubtful tells that the log cannot vouch for a reserve that looks clear.
func (c *RideLogBody) doubtful() bool {
	r := c.ride()
	_, above := r.AbovePlan()
	return r.SignDoubt || r.Reserve.Road > 0 || above || r.Reserve.Full > 0 || r.Layout.Assumes(ridelog.Speed) || c.few()
}

// assumed says which units stand nowhere in the file; "" where all do.
func (c *RideLogBody) assumed() string {
	list := c.ride().Layout.Assumed()
	if len(list) == 0 {
		return ""
	}
	var parts []string
	for _, x := range list {
		parts = append(parts, x.Unit+" assumed for "+x.Quantity.String())
	}
	text := "No unit in the file: " + strings.Join(parts, ", ") + "."
	if c.ride().Layout.Assumes(ridelog.Speed) {
		text += " Until the unit of the speed is known the reserve is not called clear."
	}
	return text
}

// GoToColumns shows the columns of the log.
func (p *Planner) GoToColumns() {
	p.SetOpen(columnsID, true)
	p.Focus = "log-columns"
}

// TakeLogUnits takes the units that were assumed for right.
func (p *Planner) TakeLogUnits() {
	l := &p.log
	if l.ride == nil || l.reading {
		return
	}
	l.ride.Layout.TakeUnits()
	l.layout.TakeUnits()
	l.said = "The units are taken as they stand."
	p.Focus = "log-headline"
	l.rev++
}

// nearlyAll is the share of a ride from which on no share is told.
const nearlyAll = 0.98

// shareText says over how much of the ride energy was summed, where that is not nearly all.
func (c *RideLogBody) shareText() string {
	r := c.ride()
	share := r.Summed()
	if !r.Powered || share >= nearlyAll {
		return ""
	}
	return "summed over " + sized(100*share, 2) + " % of the ride; in the rest volts or current are missing, or the log has a gap"
}

// energyLine says why there is no energy, or none per distance.
func (c *RideLogBody) energyLine() string {
	r := c.ride()
	has := func(q ridelog.Quantity) bool { return r.Layout.Column(q) >= 0 }
	const none = "Energy was not summed: "
	switch {
	case r.Powered && r.PairedM < ridelog.LeastWay:
		number, unit := c.P.Units.Figure(ridelog.LeastWay, "m", 0)
		return "Energy per distance is not told: it takes " + number + " " + unit + " over which speed or distance is known, and the energy too."
	case r.Powered:
		return ""
	case !has(ridelog.BatteryA) && !has(ridelog.Power):
		return none + "no battery current and no power is in the log."
	case has(ridelog.BatteryA) && !has(ridelog.PackV):
		return none + "no pack voltage is in the log."
	}
	return none + "voltage and current, or power, stand too seldom or too far apart in time. They must come at least once a second."
}

// wayText says over how much of the time a distance by speed was summed, where that is not nearly all.
func (c *RideLogBody) wayText() string {
	r := c.ride()
	if r.ByCounter || r.SpeedS >= nearlyAll*r.Seconds {
		return ""
	}
	return " (by the speed, known in " + sized(100*r.SpeedS/r.Seconds, 2) + " % of the time)"
}
