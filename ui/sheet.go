package ui

import (
	"strconv"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/protect"
	"headroom/core/review"
)

// sheetMode is what Planner.Printing is while the build sheet is printed.
const sheetMode = "sheet"

// PrintSheet has the build sheet printed. It stands in the page only for that.
func (p *Planner) PrintSheet() {
	p.Printing = sheetMode
	p.drawQR()
}

// BuildSheet is the build on paper, for the workbench: what is wrong first, what to fit, what to set, what to check before the first ride.
type BuildSheet struct {
	P     *Planner
	boxes BoxesView
	check SettingsCheck
}

// Compute is called by vugu before each build.
func (c *BuildSheet) Compute() {
	c.boxes = BoxesView{P: c.P}
	c.boxes.lay()
	c.check = SettingsCheck{P: c.P}
	for _, key := range review.Keys() {
		for i := range c.P.Report.Settings {
			if c.P.Report.Settings[i].Key == key {
				c.check.rows = append(c.check.rows, &c.P.Report.Settings[i])
			}
		}
	}
}

func (c *BuildSheet) title() string     { return c.P.title() }
func (c *BuildSheet) about() string     { return about(&c.P.Build) }
func (c *BuildSheet) list() []stated    { return c.P.stated() }
func (c *BuildSheet) path() string      { return c.P.qr.path }
func (c *BuildSheet) box() string       { return c.P.qr.box }
func (c *BuildSheet) address() string   { return c.P.address(c.P.Link()) }
func (c *BuildSheet) v() *BoxesView     { return &c.boxes }
func (c *BuildSheet) k() *SettingsCheck { return &c.check }

// date is today, or a place to write it.
func (c *BuildSheet) date() string {
	if c.P.PrintDate != nil {
		if day := c.P.PrintDate(); day != "" {
			return "Printed " + day
		}
	}
	return "Date:"
}

// size sets a build of many inputs and many troubles smaller, so that three pages hold it, and a fine code larger, so that a camera reads it.
func (c *BuildSheet) size() string {
	size := "paper"
	if len(c.list())+2*len(c.troubles()) > 60 {
		size += " dense"
	}
	if c.P.qr.side > fineQR {
		size += " fine"
	}
	return size
}

// fineQR is the most modules a code has, quiet zone and all, whose modules are four tenths of a millimeter on paper without more room.
const fineQR = 75

func (c *BuildSheet) troubles() []core.Note { return c.P.notes(true) }

// sheetReadouts are the figures beside the leading ones that a workbench needs, by report key.
var sheetReadouts = []string{
	"speed.level_top_kmh", "speed.free_spin_kmh", "speed.free_spin_weakened_kmh", "ride.duty_pct", "ride.battery_a", "ride.phase_a", "range.low_km", "range.wh_per_km",
	"pack.nominal_v", "pack.energy_wh", "pack.sag_v", "regen.max_descent_pct", "overspeed.back_emf_v", "heat.winding_c", "tire.clearance_m", "weight.total_kg", "weight.trim_mm",
}

func (c *BuildSheet) figures() []Figure {
	list := c.P.Leading()
	for _, key := range sheetReadouts {
		if o := core.ReadoutFor(key); o != nil && !o.Lead {
			list = append(list, c.P.Units.figure(o, &c.P.Report))
		}
	}
	for i := range list {
		if f := &list[i]; f.Missing && f.Status == limit.Clear { // on paper that would read as a promise of nothing
			f.Status = ""
		}
	}
	return list
}

func (c *BuildSheet) rows() []protect.Row { return c.P.Report.Protection.Rows }

func (c *BuildSheet) steady(r protect.Row) string {
	return decimal(r.LoadA, 1) + " of " + decimal(r.RatingA, 0) + " " + r.Unit
}

func (c *BuildSheet) peak(r protect.Row) string {
	return decimal(r.PeakA, 0) + " of " + decimal(r.PeakRating, 0) + " " + r.Unit
}

func (c *BuildSheet) spare(r protect.Row) string { return decimal(r.MarginPct, 0) + " %" }

func (c *BuildSheet) partName(r protect.Row) string { return upperFirst(r.Part) }

// set is what a setting is set to.
func (c *BuildSheet) set(i int) string {
	r := c.check.row(i)
	if r.Has == nil {
		return "not entered"
	}
	return c.check.figure(*r.Has, r.Unit)
}

// should is what to enter: what it is set to where that is clear.
func (c *BuildSheet) should(i int) string {
	r := c.check.row(i)
	if r.Has != nil && r.Status == limit.Clear {
		return c.check.figure(*r.Has, r.Unit)
	}
	return c.check.should(i)
}

func (c *BuildSheet) spoken(key string) string { return c.P.Entry(key).Spoken }

// figure is a readout as shown.
func (c *BuildSheet) figure(key string) string {
	f := c.P.Units.figure(core.ReadoutFor(key), &c.P.Report)
	return f.spoken()
}

// lead names a lead's gauge, or its cross-section where that is given by hand.
func (c *BuildSheet) lead(gauge, area string) string {
	if build.FieldFor(area).Given(&c.P.Build) {
		return c.spoken(area)
	}
	return "AWG " + c.P.Entry(gauge).Value
}

// wiring is what to fit between cells and motor.
func (c *BuildSheet) wiring() []string {
	r, b := &c.P.Report, &c.P.Build
	fuse := &r.Protection.Fuse
	list := []string{
		"Pack: " + strconv.Itoa(b.Series) + " groups of " + strconv.Itoa(b.Parallel) + " in series, " + c.spoken("cell") + ". Links: " + c.spoken("link") + ", " + c.spoken("linkmm2") + " each.",
	}
	if r.Boxes.Second.Groups > 0 {
		list = append(list, "Groups: "+strconv.Itoa(r.Boxes.Main.Groups)+" in the main box, "+strconv.Itoa(r.Boxes.Second.Groups)+" in the second; leads between the boxes "+c.lead("crossawg", "crossmm2")+", "+c.spoken("cross")+" each. A lead between boxes carries pack voltage: fuse it at the pack and keep it from chafing.")
	}
	return append(list,
		"Main fuse: "+c.spoken("fusetype")+", "+c.spoken("fuse")+"; rated "+decimal(fuse.VoltageDC, 0)+" V d.c. for a full pack of "+decimal(r.Pack.FullV, 1)+" V. It can stop "+decimal(fuse.BreakingA, 0)+" A, a dead short draws "+decimal(fuse.ShortCircuitA, 0)+" A. Fit it at the pack, before anything that can short.",
		"Battery leads: "+c.lead("awg", "mm2")+", "+c.spoken("lead")+" each way, "+c.spoken("ins")+", connector "+c.spoken("conn")+". They drop "+c.figure("protection.leads.drop_v")+" at the highest current; copper settles at "+c.figure("protection.leads.battery.steady_c")+".",
		"Phase leads: "+c.lead("phawg", "phmm2")+", "+c.spoken("phlen")+", motor plug "+c.spoken("plug")+".",
		"Pre-charge: "+c.figure("protection.precharge.ohm")+", takes "+c.figure("protection.precharge.energy_j")+" each time and "+c.figure("protection.precharge.peak_w")+" at first; without it "+c.figure("protection.precharge.inrush_a")+" meet the contacts.",
		"BMS: "+c.spoken("bms")+".",
	)
}

// charging is what to charge with and how.
func (c *BuildSheet) charging() []string {
	r := &c.P.Report
	list := []string{
		"Charger: " + c.figure("charge.charger_v") + ", " + c.spoken("chga") + ", for a full pack of " + decimal(r.Charge.FullV, 1) + " V: " + decimal(r.Charge.CellA, 2) + " A in each cell of " + decimal(r.Charge.CellLimitA, 2) + " A allowed. Charge fuse: " + c.spoken("chgtype") + ", " + c.spoken("chgfuse") + ".",
		"From " + c.spoken("z0") + ": " + c.figure("charge.minutes") + " to " + decimal(r.Charge.EndPct, 0) + " %, " + c.figure("charge.wall_wh") + " from the wall.",
	}
	for _, check := range []struct {
		status limit.Status
		text   string
	}{{r.Charge.Cell.Status, r.Charge.Cell.Text}, {r.Charge.Voltage.Status, r.Charge.Voltage.Text}, {r.Charge.Temperature.Status, r.Charge.Temperature.Text}, {r.Charge.Current.Status, r.Charge.Current.Text}} {
		if check.status != limit.Clear {
			list = append(list, upperFirst(string(check.status))+": "+check.text)
		}
	}
	return append(list, "Store it at "+c.figure("charge.storage_v")+", cool and dry. Never charge below freezing, hot from a ride, wet or alone.")
}

// checks are to be ticked before the first ride: common practice, no published source; the figures are this build's.
func (c *BuildSheet) checks() []string {
	r := &c.P.Report
	under := "Stay under " + c.figure("speed.cruise_ceiling_kmh.low") + "."
	if r.Speed.CruiseCeilingKmh.Low < 1 {
		under = "This build has no cruise ceiling: do not ride it as it is."
	}
	weakened := ""
	if c.P.Build.WeakenA > 0 {
		weakened = ", and at " + c.figure("speed.free_spin_weakened_kmh") + " with it"
	}
	list := []string{
		"Every group rests at the same voltage, within 0.02 V; the full pack reads " + decimal(r.Pack.FullV, 1) + " V.",
		"Polarity of every plug is right, measured before the first one is closed; no voltage between either pole and the frame.",
		"The charger with nothing on it reads " + c.figure("charge.charger_v") + ".",
		"The pre-charge brings the controller to pack voltage before the main contact closes.",
		"Settings above are entered, read back and kept with this sheet.",
		"Tire at " + c.spoken("kpa") + "; it clears everything by " + c.spoken("rub") + ", also with the board loaded.",
		"Board fixed, wheel lifted, hands, laces and bystanders away from it, full pack: it turns the right way and spins at " + c.figure("speed.free_spin_kmh") +
			" without field weakening" + weakened + ". The ride check tells whether what you read fits this plan.",
		"Wheel still off the ground and clear of everything, for it spins up at once: the board answers a tilt in the right direction from both sides, and lets go beyond the angle that it is set to.",
		"Screws marked, leads clear of wheel and edges, lids closed.",
		"First ride on flat ground, helmet and pads on, charge above half, slowly; feel connectors, leads and motor after ten minutes. " + under,
	}
	if c.P.Worst().Status == limit.Over {
		list = append([]string{"All that is over above is settled, and this sheet is printed anew."}, list...)
	}
	if k := r.Regen.Least; k.MaxDescentPct != nil {
		list = append(list, "No descent steeper than "+decimal(*k.MaxDescentPct, 1)+" % with the pack at "+decimal(k.ChargePct, 0)+" %: past it nothing brakes.")
	}
	return list
}
