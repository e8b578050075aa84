package ui

import (
	"strings"

	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/review"
)

const settingsID = "out-settings"

// SettingsCheck holds the settings of a board against what this build should have.
type SettingsCheck struct {
	P    *Planner
	rows []*review.Row
}

// Compute is called by vugu before each build. Rows stand in order of danger; while one is being typed in they keep their places, so that
// none moves away under a finger.
func (c *SettingsCheck) Compute() {
	list := c.P.Report.Settings
	if c.P.typing(list) && len(c.rows) == len(list) {
		for i, old := range c.rows {
			for j := range list {
				if list[j].Key == old.Key {
					c.rows[i] = &list[j]
				}
			}
		}
		return
	}
	c.rows = c.rows[:0]
	for i := range list {
		c.rows = append(c.rows, &list[i])
	}
}

// typing tells whether a setting is being typed, or holds a text that cannot be used.
func (p *Planner) typing(list []review.Row) bool {
	for i := range list {
		if _, ok := p.drafts[list[i].Key]; ok {
			return true
		}
	}
	return false
}

func (c *SettingsCheck) row(i int) *review.Row { return c.rows[i] }
func (c *SettingsCheck) id(i int) string       { return "set-" + c.row(i).Key }
func (c *SettingsCheck) entry(i int) Entry     { return c.P.Entry(c.row(i).Key) }

// name is the word that the form above has for it.
func (c *SettingsCheck) name(i int) string { return build.FieldFor(c.row(i).Key).Label + ", as set" }

func (c *SettingsCheck) invalid(i int) string {
	if c.entry(i).Message != "" {
		return "true"
	}
	return "false"
}

// worst is the status of the first row, since the worst stands first.
func (c *SettingsCheck) worst() limit.Status {
	if len(c.P.Report.Settings) == 0 {
		return ""
	}
	return c.P.Report.Settings[0].Status
}

func (c *SettingsCheck) figure(v float64, unit string) string {
	x := c.P.Units.of(unit)
	return shortest(x.shown(v), 1) + " " + x.name
}

func (c *SettingsCheck) should(i int) string { return c.figure(c.row(i).Should, c.row(i).Unit) }

// band is the range in which the setting is clear.
func (c *SettingsCheck) band(i int) string {
	r := c.row(i)
	switch {
	case r.Low != nil && r.High != nil && *r.Low <= *r.High:
		return "clear from " + c.figure(*r.Low, r.Unit) + " to " + c.figure(*r.High, r.Unit)
	case r.Low != nil && r.High != nil:
		return "nothing is clear: " + c.figure(*r.Low, r.Unit) + " are needed, " + c.figure(*r.High, r.Unit) + " are allowed"
	case r.High != nil:
		return "clear up to " + c.figure(*r.High, r.Unit)
	case r.Low != nil:
		return "clear from " + c.figure(*r.Low, r.Unit)
	}
	return "any is clear"
}

// offers tells whether a press can bring the setting to what it should be.
func (c *SettingsCheck) offers(i int) bool {
	r := c.row(i)
	return r.Has == nil || r.Status != limit.Clear && *r.Has != r.Should
}

func (c *SettingsCheck) why(i int) string {
	r := c.row(i)
	text := c.P.Units.cite(r.Why)
	if r.Has != nil && r.By != 0 && r.Status != limit.Clear {
		word := " above"
		by := r.By
		if by < 0 {
			word, by = " below", -by
		}
		x := c.P.Units.of(r.Unit)
		text = strings.TrimSpace(shortest(by*x.factor, 1)+" "+x.name) + word + " what is clear. " + text
	}
	return text
}

// TakeSetting sets a setting to what the check recommends.
func (p *Planner) TakeSetting(key string, v float64) {
	f := build.FieldFor(key)
	delete(p.drafts, key)
	f.SetValue(&p.Build, v)
	p.edited()
	p.Focus = "set-" + key
}

// PrintSettings has the settings check printed by itself.
func (p *Planner) PrintSettings() {
	p.SetOpen(settingsID, true)
	p.Printing = "settings"
}
