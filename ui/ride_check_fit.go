package ui

import (
	"math"
	"strconv"
	"strings"

	rc "headroom/core/ridecheck"
)

type fitRow struct{ Label, Value, Before, After, Words string }

func (c *RideCheckBody) fitRows() (list []fitRow) {
	rows := c.fit().Rows
	entered := max(0, len(rows)-c.P.logUsed())
	_, ids := c.P.taken()
	for i, r := range rows[:entered] {
		info := r.Kind.Info()
		e := &info.Value
		x := c.P.Units.of(e.Unit)
		show := func(v float64) string { return borne(x.shown(v/e.Scale), x.factor*r.Reading/e.Scale) }
		row := fitRow{info.Label + c.under(&r.Measurement) + ", " + x.name, show(r.Value), show(r.Before), show(r.After), ""}
		if m := c.P.rowAt(ids[i]); m.units == c.P.Units {
			row.Value = strings.TrimSpace(m.texts[""])
		}
		switch {
		case r.Skipped != "":
			row.Before, row.After, row.Words = "", "", r.Skipped
		case r.Weight == 0:
			row.Words = "Left out: the others cannot be right with it."
		case r.Weight < doubted:
			row.Words = "Counts little: it does not agree with the others."
		}
		if r.Demanding() {
			row.Words = strings.TrimSpace("More duty than the plan has after the fit. " + row.Words)
		}
		list = append(list, row)
	}
	return append(list, c.logRows()...)
}

// fromLog names the log that the fit takes, "" for none.
func (c *RideCheckBody) fromLog() string {
	if len(c.r().logged) == 0 {
		return ""
	}
	text := strconv.Itoa(len(c.r().logged)) + " measurements from the ride log " + c.r().loggedOf
	if c.P.logUsed() == 0 {
		return text + " are of another board and are left out."
	}
	return text + " are fitted too."
}

// logRows sums up what the fit does to the measurements of a log, a line for each kind: there may be hundreds.
func (c *RideCheckBody) logRows() (list []fitRow) {
	rows := c.fit().Rows
	rows = rows[max(0, len(rows)-c.P.logUsed()):]
	for _, kind := range []rc.Kind{rc.PackResistance, rc.Duty, rc.BatteryAmps} {
		var n, out, over, before, after float64
		for _, r := range rows {
			if r.Kind != kind {
				continue
			}
			if r.Demanding() {
				over++
			}
			if n++; r.Skipped != "" || r.Weight == 0 {
				out++
				continue
			}
			before, after = before+(r.Value-r.Before)*(r.Value-r.Before), after+(r.Value-r.After)*(r.Value-r.After)
		}
		if n == 0 {
			continue
		}
		info := kind.Info()
		value := &info.Value
		row := fitRow{Label: info.Label, Value: strconv.Itoa(int(n)) + " in the log"}
		if n > out {
			row.Before = c.P.difference(value, math.Sqrt(before/(n-out))) + " off"
			row.After = c.P.difference(value, math.Sqrt(after/(n-out))) + " off"
		}
		if out > 0 {
			row.Words = strconv.Itoa(int(out)) + " left out: too far from all the others to be right."
		}
		if over > 0 {
			row.Words = strings.TrimSpace(strconv.Itoa(int(over)) + " with more duty than the plan has after the fit. " + row.Words)
		}
		list = append(list, row)
	}
	return list
}

// under tells measurements of one kind apart by speed and current.
func (c *RideCheckBody) under(k *rc.Measurement) string {
	switch {
	case k.At.Speed > 0:
		number, unit := c.P.Units.Figure(k.At.Speed*3.6, "km/h", 1)
		return ", " + number + " " + unit
	case k.At.Amps > 0:
		return ", " + sized(k.At.Amps, 3) + " A"
	case k.At.Weakened:
		return ", weakened"
	}
	return ""
}

type fitChange struct{ Key, Label, From, To, Sigma, Words string }

// changes are the inputs of the build that the fit tells of.
func (c *RideCheckBody) changes() (list []fitChange) {
	for _, k := range c.fit().Changes {
		if k.Key == "" || k.Left {
			continue
		}
		x := c.P.Units.of(k.Unit)
		sigma := 2 * k.Sigma * x.factor
		row := fitChange{Key: k.Key, Label: strings.TrimRight(k.Label+", "+x.name, ", "), From: fourDigits(x.shown(k.From)), To: borne(x.shown(k.To), sigma), Sigma: sized(sigma, 2)}
		if k.Unit == "%" {
			row.Sigma += " " + points
		}
		if k.AtEnd {
			row.Words = "At the end of what can be entered or believed: something else is off."
		}
		list = append(list, row)
	}
	return list
}

// fourDigits is a value in four digits at most, without those that say nothing.
func fourDigits(v float64) string {
	if v == 0 {
		return "0"
	}
	return shortest(v, max(0, 3-int(math.Floor(math.Log10(math.Abs(v))))))
}

// putting is what the button that takes the fit says; "" where there is none, and withheld says why.
func (c *RideCheckBody) putting() string {
	n := c.differing()
	if n == 0 || c.withheld() != "" {
		return ""
	}
	return "Put " + counted(n, "fitted input") + " into the build"
}

// differing counts the inputs of the build that the fit would have otherwise.
func (c *RideCheckBody) differing() (n int) {
	for _, k := range c.fit().Changes {
		if k.Key != "" && k.From != k.To {
			n++
		}
	}
	return n
}

// withheld says why nothing of the fit can be put in.
func (c *RideCheckBody) withheld() string {
	switch {
	case c.demanding() != "":
		return "Nothing can be put in: more duty was read than the fit has, so the fitted plan would promise more reserve than the board has."
	case c.fit().Contradictory():
		return "Nothing can be put in: the measurements are too far from one another, or from what can be believed of the build. Find the wrong one first."
	case c.differing() == 0:
		return "Nothing to put in: no input of the build is other than it was."
	}
	return ""
}

// besides tells what the fit has found that no input of the build holds.
func (c *RideCheckBody) besides() (list []string) {
	for _, k := range c.fit().Changes {
		if k.Key != "" || k.Left {
			continue
		}
		x := c.P.Units.of(k.Unit)
		off, sigma, way := x.shown(k.To), 2*k.Sigma*x.factor, "forward"
		if off < 0 {
			off, way = -off, "back"
		}
		text := borne(off, sigma) + " " + x.name + " ± " + sized(sigma, 2) + " further " + way + " than the parts make it."
		if off <= sigma {
			text = "where the parts make it, to ± " + sized(sigma, 2) + " " + x.name + "."
		}
		list = append(list, k.Label+": "+text)
	}
	return list
}

// untouched names what the measurements hardly tell of.
func (c *RideCheckBody) untouched() string {
	var names []string
	for _, k := range c.fit().Changes {
		if k.Left {
			names = append(names, lowerFirst(k.Label))
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "Hardly measured, and so left as they were: " + strings.Join(names, ", ") + "."
}

func lowerFirst(s string) string { return strings.ToLower(s[:1]) + s[1:] }

func (c *RideCheckBody) alike() (list []string) {
	for _, p := range c.fit().Alike {
		list = append(list, p.Text())
	}
	return list
}
