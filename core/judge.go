package core

import (
	"math"
	"sort"
	"strconv"

	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/protect"
	"headroom/core/ride"
)

// tooShallow is a descent in % that ordinary streets pass; a board that cannot hold it is warned about. Common practice, no published
// source.
const tooShallow = 10.0

// limits draws the bar of every readout that has a limit.
func limits(b *build.Build, p *build.Parts, r *Report) []limit.Bar {
	bars := []limit.Bar{
		limit.NewBar("pack.full_v", r.Pack.FullV, p.Controller.AbsoluteV, b.VoltageMargin,
			"full pack against the controller's absolute limit"),
		ceilingBar(b, r),
		reserveBar(b, r),
		dutyBar(b, r),
		rangeBar(b, r),
		limit.NewBar("overspeed.back_emf_v", r.Overspeed.BackEMFV, p.Controller.AbsoluteV, b.VoltageMargin,
			"back-EMF at the weakened free-spin speed against the controller's absolute limit"),
		limit.NewBar("tire.clearance_m", r.Tire.GrowthM, b.RubClearance, 0.5, "growth of the tire at full spin against the gap around it; half is wanted for dirt and bumps"),
	}
	if r.Heat.WindingC != nil {
		bars = append(bars, limit.Bar{Key: "heat.winding_c", Used: max(0, *r.Heat.WindingC), Limit: b.LimitC, Want: min(b.DerateC, b.LimitC),
			Status: limit.Judge(*r.Heat.WindingC, min(b.DerateC, b.LimitC), b.LimitC), Text: "settled winding against where no current is left; the notch is where the controller begins to take it back"})
	}
	if bar, ok := packBar(b, r); ok {
		bars = append(bars, bar)
	}
	for i := range r.Protection.Rows {
		row := &r.Protection.Rows[i]
		used := 100 - row.MarginPct
		bars = append(bars, limit.Bar{
			Key: "protection." + row.Part, Used: used, Limit: 100, Want: 100 * (1 - b.Margin), Status: row.Status, Text: row.Why,
		})
		if row.Part == r.Protection.Weakest {
			bars = append(bars, limit.Bar{
				Key: "protection.margin_pct", Used: used, Limit: 100, Want: 100 * (1 - b.Margin), Status: row.Status,
				Text: row.Part + ": " + row.Why,
			})
		}
	}
	// A fuse must reach the pack's voltage; there is nothing to gain by reaching further.
	bars = append(bars,
		limit.NewBar("protection.fuse.voltage_dc", r.Pack.FullV, r.Protection.Fuse.VoltageDC, 0, "full pack against the fuse's d.c. voltage rating"),
		limit.NewBar("protection.fuse.short_circuit_a", r.Protection.Fuse.MostShortA, r.Protection.Fuse.BreakingA, 0,
			"prospective short-circuit current with new cells at 45 °C against the fuse's breaking capacity"),
	)
	bars = append(bars, partBars(b, p, r)...)
	pressure := limit.NewBar("build.kpa", b.Pressure/1e3, p.Tire.MaxP/1e3, 0, "against the highest pressure of the tire class")
	if b.Pressure < p.Tire.MinP {
		pressure.Status, pressure.Text = limit.Tight, "below the lowest pressure of the tire class: rim strikes, rolling off the bead"
	}
	return append(bars, pressure)
}

// ceilingBar holds the riding speed against the cruise ceiling at low charge.
func ceilingBar(b *build.Build, r *Report) limit.Bar {
	low := r.Speed.CruiseCeilingKmh.Low
	bar := limit.Bar{Key: "speed.cruise_ceiling_kmh.low", Used: r.Ride.SpeedKmh, Limit: low, Want: low,
		Text: "riding speed against the cruise ceiling at low charge", Status: limit.Clear}
	switch {
	case r.Ride.SpeedKmh > low && r.reserveGone():
		bar.Status = limit.Over // past what the motor can hold there is nothing left at all
	case r.Ride.SpeedKmh > low, b.Shift < leastShift: // past the ceiling the wanted reserve is eaten into
		bar.Status = limit.Tight
	}
	return bar
}

const (
	// leastShift in m is the reserve wanted below which nothing that rests on it is clear: a board that is ridden to the last millimeter of it
	// drops its nose at the next bump. Engineering judgment, no published source.
	leastShift = 0.015
	// noShift in mm is as good as nothing: who stands still sways by some 5 mm (from memory), so that standing alone uses it up.
	noShift = 5
	// noBraking in mm is what is told as 0 mm of braking reserve: a board that cannot brake harder rolls on, it does not throw its rider.
	noBraking = 0.5
)

// reserveGone tells whether nothing to speak of is left to balance with.
func (r *Report) reserveGone() bool { return r.Ride.ReserveNm <= 0 || r.Ride.ShiftMm < noShift }

// reserveBar holds the torque that riding asks for against what the motor can give, with the wanted reserve as the notch.
func reserveBar(b *build.Build, r *Report) limit.Bar {
	bar := limit.Bar{Key: "ride.shift_mm", Used: max(0, r.Ride.LoadNm), Limit: max(0, r.Ride.MaxNm), Status: limit.Clear,
		Text: "torque for the ride against the most the motor can give at this speed and low charge"}
	if r.Ride.ShiftMm > 0 {
		bar.Want = max(0, bar.Limit-r.Ride.ReserveNm*b.Shift*1e3/r.Ride.ShiftMm)
	}
	switch {
	case r.reserveGone():
		bar.Status = limit.Over
	case r.Ride.ShiftMm < max(b.Shift, leastShift)*1e3:
		bar.Status = limit.Tight
	}
	if warm := r.Heat.warmShift; warm != nil && *warm < noShift { // see "winding-assumed"
		bar.Status = limit.Over
	}
	return bar
}

func dutyBar(b *build.Build, r *Report) limit.Bar {
	bar := limit.Bar{Key: "ride.duty_pct", Limit: b.MaxDuty * 100, Want: min(b.CruiseDuty, b.MaxDuty) * 100, Status: limit.Over,
		Text: "duty at the riding speed and low charge against the highest duty"}
	if r.Ride.DutyPct == nil {
		bar.Used = bar.Limit // more than everything; the readout itself is absent
		return bar
	}
	bar.Used = *r.Ride.DutyPct
	bar.Status = limit.Judge(bar.Used, bar.Want, bar.Limit)
	return bar
}

// rangeBar shows the charge that the ride uses and what is left when it ends; the notch is the charge to turn home at.
func rangeBar(b *build.Build, r *Report) limit.Bar {
	start := b.StartCharge * 100
	bar := limit.Bar{Key: "range.km", Used: max(0, start-r.Range.EndPct), Limit: start, Want: max(0, start-b.FloorCharge*100), Status: limit.Clear,
		Text: "charge used by the ride, in % of a full pack, against the charge it starts with"}
	switch {
	case r.noRange():
		bar.Status = limit.Over
	case r.Range.StoppedBy != string(ride.StopFloor) && r.Range.StoppedBy != string(ride.StopNever):
		bar.Status = limit.Tight
	}
	return bar
}

// noRange tells whether the ride cannot even begin with the charge that there is. One that begins with just the charge to turn home at is
// a question about low charge and no fault.
func (r *Report) noRange() bool {
	return r.Range.Km != nil && *r.Range.Km == 0 && (r.Range.StoppedBy != string(ride.StopFloor) || r.Range.EndPct < r.Ride.ChargePct)
}

// notes lists what a person must know, worst first.
func notes(b *build.Build, p *build.Parts, r *Report) []Note {
	var list []Note
	add := func(code string, s limit.Status, text string) { list = append(list, Note{code, s, text}) }
	round := func(v float64, digits int) string { return strconv.FormatFloat(v, 'f', digits, 64) }

	// First what throws the rider.
	low := round(r.Ride.ChargePct, 0) + " % charge"
	switch {
	case r.Ride.ReserveNm > 0 && r.reserveGone():
		add("no-reserve", limit.Over, "At "+low+" hardly any balance reserve is left at this speed: standing takes as much, and the next bump drops the nose. "+blame(r)+"Ride slower or build stronger.")
	case r.reserveGone():
		add("no-reserve", limit.Over, "At "+low+" the motor cannot hold this speed: the nose drops with no warning. "+blame(r)+"Ride slower or build stronger.")
	case r.Ride.ShiftMm < max(b.Shift, leastShift)*1e3:
		add("low-reserve", limit.Tight, "At "+low+" "+reserveLeft(r.Ride.ShiftMm, b.Shift*1e3)+" A bump can throw you.")
	}
	if b.Shift < leastShift {
		add("little-wanted", limit.Tight, "You asked for "+round(b.Shift*1e3, 0)+" mm of balance reserve. The cruise ceiling and the range leave no more than that for a bump: less than "+round(leastShift*1e3, 0)+" mm is hardly any.")
	}
	if bar := r.Bar("speed.cruise_ceiling_kmh.low"); bar.Status == limit.Tight && bar.Used > bar.Limit {
		add("over-ceiling", limit.Tight, "The riding speed is above the cruise ceiling at "+low+".")
	}
	switch bar := r.Bar("pack.full_v"); bar.Status {
	case limit.Over:
		add("controller-voltage", limit.Over, "The full pack, "+round(bar.Used, 1)+" V, passes the controller's limit of "+round(bar.Limit, 0)+" V. It will fail, perhaps at the first charge.")
	case limit.Tight:
		add("controller-voltage", limit.Tight, "The full pack, "+round(bar.Used, 1)+" V, is close to the controller's limit of "+round(bar.Limit, 0)+" V. Braking on a full pack raises the voltage further.")
	}
	if f := r.Protection.Fuse; !f.VoltageOK {
		add("fuse-voltage", limit.Over, "The fuse is rated "+round(f.VoltageDC, 0)+" V d.c., the full pack is "+round(r.Pack.FullV, 1)+" V. Its arc may not go out: fire. Amperes do not matter here.")
	}
	if f := r.Protection.Fuse; !f.BreakingOK {
		add("fuse-breaking", limit.Over, "A dead short would draw "+round(f.MostShortA, 0)+" A with new cells at 45 °C; this fuse can stop "+round(f.BreakingA, 0)+" A. It may burst and burn on.")
	}
	if !r.Protection.Fuse.RatingOK {
		add("fuse-class", limit.Tight, "This class of fuse is made up to "+round(p.Fuse.MaxRating, 0)+" A, not "+round(b.FuseRating, 0)+" A.")
	}
	for _, row := range r.Protection.Rows {
		if row.Status == limit.Clear {
			continue
		}
		text := upperFirst(row.Part) + ": "
		if row.PeakA/row.PeakRating >= row.LoadA/row.RatingA {
			text += loadOf(row.PeakA, row.PeakRating, 0, "peak")
		} else {
			text += loadOf(row.LoadA, row.RatingA, 1, "steady")
		}
		add("current-"+row.Part, row.Status, text)
	}
	if r.Range.StoppedBy == string(ride.StopNever) {
		add("no-range", limit.Clear, "This ride uses no charge, so no range can be stated: downhill, or with the wind.")
	} else if r.noRange() && r.Range.StoppedBy == string(ride.StopFloor) {
		add("no-ride", limit.Over, "There is no range: the ride starts with "+round(b.StartCharge*100, 0)+" % charge and is to turn home at "+round(b.FloorCharge*100, 0)+" %.")
	} else if r.noRange() {
		add("no-ride", limit.Over, "There is no range: already at "+round(r.Range.EndPct, 0)+" % charge the ride is stopped by "+r.Range.StoppedBy+".")
	} else if r.Range.StoppedBy != string(ride.StopFloor) {
		add("range-cut-short", limit.Tight, "The range ends early, at "+round(r.Range.EndPct, 0)+" % charge: "+r.Range.StoppedBy+".")
	}
	if bar := r.Bar("overspeed.back_emf_v"); bar.Status != limit.Clear {
		add("overspeed", bar.Status, overspeedText(b, r, bar))
	}
	brakeNotes(b, p, r, add)
	if r.Speed.StopM == nil {
		add("no-brake", limit.Over, "At the cruise ceiling this board cannot brake at all with the pack it starts with.")
	}
	if h := r.Heat; h.WindingC == nil {
		add("heat", limit.Over, "On this ride the winding finds no temperature to settle at.")
	} else if *h.WindingC > b.DerateC {
		add("heat", r.Bar("heat.winding_c").Status, "On this ride the winding settles at "+round(*h.WindingC, 0)+" °C; the controller takes current back from "+round(b.DerateC, 0)+" °C.")
	}
	if h := r.Heat; h.MinutesToLimit != nil && h.ClimbPct > 0 && h.climb.ends() && h.climb.warm > 0 { // at 0 it is the ride's own heat, told above
		add("climb", limit.Tight, "The climb of "+round(h.ClimbPct, 0)+" % can be held for "+round(h.climb.warm, 0)+" minutes with the motor as warm as this ride makes it, for "+round(*h.MinutesToLimit, 0)+" from cold, before the controller takes current back. The pack would feed it for "+round(h.climb.pack, 0)+".")
	}
	if bar := r.Bar("tire.clearance_m"); bar.Status != limit.Clear {
		add("rub", bar.Status, "At full spin the tire grows by "+round(1e3*r.Tire.GrowthM, 1)+" mm into a gap of "+round(1e3*b.RubClearance, 1)+" mm.")
	}
	saturationNote(b, p, r, add)
	switch bar := r.Bar("build.kpa"); {
	case bar.Status == limit.Over:
		add("pressure-high", limit.Over, "The tire is pumped past the highest pressure of its class, "+round(p.Tire.MaxP/1e3, 0)+" kPa.")
	case bar.Status == limit.Tight:
		add("pressure-low", limit.Tight, "The tire is below the lowest pressure of its class, "+round(p.Tire.MinP/1e3, 0)+" kPa.")
	}
	if p.Tire.Rim != p.Motor.Rim {
		add("rim", limit.Tight, "The hub carries a "+inches(p.Motor.Rim)+"-inch rim, the tire is made for a "+inches(p.Tire.Rim)+"-inch one. They fit together only with another rim or another tire.")
	}
	list = append(list, partNotes(b, p, r)...)
	sort.SliceStable(list, func(i, j int) bool { return list[i].Status.Worse(list[j].Status) })
	return append(list, cautions(r)...)
}

// inches names a rim.
func inches(m float64) string { return strconv.FormatFloat(math.Round(m/0.0254*10)/10, 'f', -1, 64) }

// cautions are true of every build and stand last.
func cautions(r *Report) []Note {
	var list []Note
	if r.Pack.FullV > protect.TouchableV {
		list = append(list, Note{"touch-voltage", limit.Clear, r.Protection.Touch.Text})
	}
	return append(list, Note{"estimate", limit.Clear,
		"All figures are estimates until checked on the finished board. Cell and part data sheets, local codes and licensed practice come first."})
}

func upperFirst(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
