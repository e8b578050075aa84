package core

import (
	"strings"

	"headroom/core/balance"
	"headroom/core/boxes"
	"headroom/core/build"
	"headroom/core/limit"
)

// partBars draws the bars of leads, charger, boxes and clearance.
func partBars(b *build.Build, p *build.Parts, r *Report) []limit.Bar {
	full := r.Charge.FullV
	bars := []limit.Bar{
		{Key: "charge.charger_v", Used: r.Charge.ChargerV, Limit: full, Want: full, Status: r.Charge.Voltage.Status, Text: "charger against the full pack: they must be alike"},
		r.Charge.Current,
	}
	if t := r.Protection.Leads.Battery.SteadyC; t != nil {
		air, most := r.Protection.Leads.AirC, r.Protection.Leads.LimitC
		bars = append(bars, limit.Bar{Key: "protection.leads.battery.steady_c", Used: max(0, *t), Limit: max(0, most),
			Want: max(0, min(most, air+(1-b.Margin)*(most-air))), Status: r.Protection.Leads.Battery.Status, Text: "settled copper of the battery lead against what its jacket stands for long"})
	}
	for _, end := range [2]struct {
		key    string
		deg    *float64
		status limit.Status
	}{{"weight.nose_deg", r.Weight.NoseDeg, r.Weight.NoseStatus}, {"weight.tail_deg", r.Weight.TailDeg, r.Weight.TailStatus}} {
		if end.deg != nil {
			bars = append(bars, limit.Bar{Key: end.key, Used: balance.TightDeg, Limit: max(0, *end.deg), Want: max(0, *end.deg), Status: end.status,
				Text: "8 degrees that nose and tail should have free against what there is"})
		}
	}
	for _, box := range [2]*boxes.Box{&r.Boxes.Main, &r.Boxes.Second} {
		if need := box.NeedLength; need != nil && box.LengthGiven && box.Cells > 0 {
			given := lengthOf(b, box) * 1e3
			bars = append(bars, limit.Bar{Key: "boxes." + box.Name + ".need_length_mm", Used: *need, Limit: given, Want: given, Status: box.Status, Text: "length that the cells need against the length there is"})
		}
	}
	return bars
}

func lengthOf(b *build.Build, box *boxes.Box) float64 {
	if box.Name == "main" {
		return b.Box[0].Length
	}
	return b.Box[1].Length
}

// partNotes lists what a person must know of fuse, leads, charger, boxes, balance and settings.
func partNotes(b *build.Build, p *build.Parts, r *Report) []Note {
	var list []Note
	add := func(code string, s limit.Status, text string) { list = append(list, Note{code, s, text}) }
	f := &r.Protection.Fuse
	switch {
	case !f.LeadOK:
		add("fuse-lead", limit.Over, "At a dead short this fuse may let "+fixed(f.ShortCircuitA, 0)+" A flow for longer than the lead stands: "+fixed(f.LeadWithstand, 2)+" s. The lead burns before the fuse opens.")
	case !f.GuardsLead:
		add("fuse-lead", limit.Tight, fuseLeadText(b, f))
	}
	if worst, name := leadHeat(r); worst != limit.Clear {
		add("lead-heat", worst, "On the hardest stretch of this ride the copper of the "+name+" comes close to or past the "+fixed(r.Protection.Leads.LimitC, 0)+" °C that its jacket stands for long.")
	}
	if full := r.Pack.FullV; p.Connector.VoltageDC < full {
		add("connector-voltage", limit.Over, "The battery connector is rated "+fixed(p.Connector.VoltageDC, 0)+" V, the full pack is "+fixed(full, 1)+" V.")
	} else if p.MotorPlug.VoltageDC < full {
		add("connector-voltage", limit.Over, "The motor plug is rated "+fixed(p.MotorPlug.VoltageDC, 0)+" V, the full pack is "+fixed(full, 1)+" V.")
	}
	if strip := r.Protection.LinkOhm; strip > b.JointResistance*(1+1e-9) {
		add("link-resistance", limit.Tight, "The strip of one link alone is "+fixed(strip*1e3, 2)+" mΩ, more than the "+fixed(b.JointResistance*1e3, 2)+" mΩ entered for link and welds: the pack sags more than told here.")
	}
	switch b.BMS {
	case build.BMSPath:
		add("bms", limit.Tight, "The riding current passes the BMS. If it opens on the ride the motor is gone at once and the nose drops: its limits must lie beyond the controller's, so that the controller gives way first and slowly.")
	case build.BMSNone:
		add("bms", limit.Tight, "No BMS: nothing stops one weak group from being charged over its limit. Measure every group at each charge.")
	}
	chargeNotes(b, r, add)
	warmNotes(b, r, add)
	if s := r.Weight.Status; s != limit.Clear {
		add("clearance", s, r.Weight.Text)
	}
	for _, box := range [2]*boxes.Box{&r.Boxes.Main, &r.Boxes.Second} {
		if box.Status == limit.Over {
			add("box-"+box.Name, limit.Over, box.Text)
		}
	}
	if n, ok := settingsNote(r); ok {
		list = append(list, n)
	}
	return list
}

func chargeNotes(b *build.Build, r *Report, add func(string, limit.Status, string)) {
	if c := r.Charge.Cell; c.Status != limit.Clear {
		add("cell-voltage", c.Status, c.Text)
	}
	if c := r.Charge.Voltage; c.Status != limit.Clear {
		add("charger-voltage", c.Status, c.Text)
	}
	if c := r.Charge.Temperature; c.Status != limit.Clear {
		add("charge-temperature", c.Status, c.Text)
	}
	if c := r.Charge.Current; c.Status != limit.Clear {
		add("charge-current", c.Status, c.Text)
	}
	switch f := &r.Charge.Fuse; {
	case !f.VoltageOK:
		add("charge-fuse", limit.Over, "The charge fuse is rated "+fixed(f.VoltageDC, 0)+" V d.c., the full pack is "+fixed(r.Pack.FullV, 1)+" V. Its arc may not go out: fire.")
	case !f.BreakingOK:
		add("charge-fuse", limit.Over, "A short in the charge lead is fed by the pack: "+fixed(f.ShortCircuitA, 0)+" A; the charge fuse can stop "+fixed(f.BreakingA, 0)+" A.")
	case !f.RatingOK:
		add("charge-fuse", limit.Tight, "The charge fuse carries "+fixed(f.CarriesA, 1)+" A for hours, the charger gives "+fixed(b.ChargerA, 1)+" A: it will age and open.")
	case !f.ClassOK:
		add("charge-fuse", limit.Tight, "This class of charge fuse is not made in "+fixed(b.ChargeFuse, 0)+" A.")
	}
}

// leadHeat is the worst of the leads' temperatures and whose it is.
func leadHeat(r *Report) (worst limit.Status, name string) {
	worst = r.Protection.Leads.Battery.Status
	name = "battery lead"
	if l := r.Protection.Leads.Between; l != nil && l.Status.Worse(worst) {
		worst, name = l.Status, "lead between the boxes"
	}
	if l := r.Protection.Leads.Phase; l.Status.Worse(worst) {
		worst, name = l.Status, "phase lead"
	}
	return worst, name
}

// settingsNote sums the settings check up in one line; ok is false where every setting is clear.
func settingsNote(r *Report) (n Note, ok bool) {
	n = Note{Code: "settings", Status: limit.Clear}
	var names []string
	for i := range r.Settings {
		row := &r.Settings[i]
		if row.Status != limit.Over && row.Status != limit.Tight {
			continue
		}
		if row.Status.Worse(n.Status) {
			n.Status = row.Status
		}
		names = append(names, lowerFirst(row.Label)+" ("+string(row.Status)+side(row.By)+")")
	}
	n.Text = "Settings to go through: " + strings.Join(names, ", ") + "."
	return n, len(names) > 0
}
