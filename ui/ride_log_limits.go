package ui

import (
	"headroom/core/limit"
	"headroom/core/ridelog"
)

// voltSlip is what a logger may read beside the truth before a limit counts as met. Engineering judgment with no published source.
const voltSlip = 0.005 // of the voltage, as a controller reads it

// judgeLogged judges a highest figure; one that a single row alone read is no more than tight.
func judgeLogged(e *ridelog.Extreme, judge func(v float64) limit.Status) limit.Status {
	status := judge(e.Value)
	if status == limit.Clear && e.Alone != nil && judge(e.Alone.Value) != limit.Clear {
		return limit.Tight
	}
	return status
}

// dutyStatus: at the highest duty that the controller may use there is nothing left to push with.
func (c *RideLogBody) dutyStatus(v float64) limit.Status {
	b := &c.l().of
	if v >= b.MaxDuty-ridelog.DutySlip {
		return limit.Over
	}
	return limit.Judge(v, min(b.CruiseDuty, b.MaxDuty), b.MaxDuty)
}

func (c *RideLogBody) dutyLimits() string {
	b := &c.l().of
	return "to stay under " + decimal(100*b.CruiseDuty, 0) + " %, no more than " + decimal(100*b.MaxDuty, 0) + " % is there"
}

// voltStatus: past its limit a controller fails; past the full pack braking charged cells that were full.
func (c *RideLogBody) voltStatus(v float64) limit.Status {
	l := c.l()
	parts := l.of.Parts()
	most := parts.Controller.AbsoluteV
	status := limit.Judge(v, most*(1-l.of.VoltageMargin), most)
	if status == limit.Clear && v > l.fullV*(1+voltSlip) {
		return limit.Tight
	}
	return status
}

func (c *RideLogBody) voltLimits() string {
	parts := c.l().of.Parts()
	return "the controller bears " + decimal(parts.Controller.AbsoluteV, 0) + " V, the full pack has " + decimal(c.l().fullV, 1) + " V"
}
