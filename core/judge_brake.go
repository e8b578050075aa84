package core

import (
	"math"

	"headroom/core/build"
	"headroom/core/charge"
	"headroom/core/drive"
	"headroom/core/limit"
	"headroom/core/ride"
	"headroom/core/road"
)

// brakeNotes lists what a person must know of braking: whether it holds the board, and what it does to the cells. The shares are those of a
// recorded way (route.go).
func brakeNotes(b *build.Build, p *build.Parts, r *Report, add func(string, limit.Status, string)) {
	g := &r.Regen
	if s, text := descentOf(b, g); s != limit.Clear {
		add("descent", s, text)
	}
	if g.OverfullPct != nil {
		if s := limit.Judge(*g.OverfullPct/100, overfullTight, overfullOver); s != limit.Clear {
			text := "Braking on this ride pushes " + fixed(*g.OverfullPct, 1) + " % of a charge into a pack that is full already: the cells are overcharged, or the BMS opens and braking is gone."
			if g.RoomPct != nil {
				text += " Start it with " + fixed(*g.RoomPct, 0) + " % or less."
			}
			add("overfull", s, text)
		}
	}
	if g.RideA == nil || *g.RideA <= 0 {
		return
	}
	if g.CellV != nil && *g.CellV > p.Cell.FullV+cellLift {
		add("brake-voltage", limit.Tight, "Braking on this ride lifts the cells to "+fixed(*g.CellV, 2)+" V with the pack at "+fixed(g.ChargePct, 0)+" %; "+fixed(p.Cell.FullV, 2)+" V is full. A BMS may open there, and braking is gone. Start with a lower charge.")
	}
	rating := float64(b.Parallel) * p.Cell.ChargeA
	switch c := charge.JudgeTemperature(b.AmbientC); {
	case *g.LastingA > pulses*rating, r.Range.StoppedBy == string(ride.StopNever):
		if c.Status != limit.Clear {
			add("brake-temperature", c.Status, "Braking on this ride charges the cells, "+fixed(*g.LastingA, 1)+" A for ten minutes. "+c.Text)
		}
	case c.Status == limit.Over: // now and then: cells are harmed a little each time
		add("brake-temperature", limit.Tight, "Each braking on this ride charges the cells for a moment. "+c.Text)
	}
	if s := limit.Judge(*g.LastingA, (1-b.Margin)*rating, rating); s != limit.Clear {
		add("brake-current", s, "Braking on this ride pushes back "+fixed(*g.LastingA, 1)+" A for ten minutes; the cells may be charged with "+fixed(rating, 1)+" A for long.")
	}
}

// descentOf judges whether braking holds the ride's own way down with something to spare, and a street's.
func descentOf(b *build.Build, g *Regen) (s limit.Status, text string) {
	k := &g.Least
	at := "with the pack at " + fixed(k.ChargePct, 0) + " % "
	holds := func(most float64) string {
		return "This ride goes down " + fixed(g.RidePct, 1) + " %; " + at + "the board holds " + fixed(most, 1) + " % at " + fixed(g.SpeedKmh, 0) + " km/h, set by " + k.BoundBy + ". "
	}
	d, shift := k.MaxDescentPct, k.ShiftMm
	switch {
	case d != nil && *d < g.RidePct:
		return limit.Over, holds(*d) + "Past it nothing brakes."
	case d != nil && shift != nil && *shift < noBraking:
		return limit.Over, holds(*d) + "No braking reserve is left: lean back and nothing answers."
	case shift != nil && *shift < max(b.Shift, leastShift)*1e3:
		return limit.Tight, "On the way down of this ride, " + at + "only " + fixed(*shift, 0) + " mm of braking reserve are left; you asked for " + fixed(b.Shift*1e3, 0) + " mm. " + remedy(k.BoundBy)
	case d != nil && g.RidePct > (1-descentSpare)*(*d):
		return limit.Tight, holds(*d) + "A fifth of that should stay free. " + remedy(k.BoundBy)
	case d != nil && *d < tooShallow:
		return limit.Tight, "With the pack at " + fixed(k.ChargePct, 0) + " % the steepest descent that can be held at " + fixed(g.SpeedKmh, 0) + " km/h is " + fixed(*d, 0) + " %, set by " + k.BoundBy + ". Past it the board pushes on and the controller lets go. " + remedy(k.BoundBy)
	}
	return limit.Clear, ""
}

// remedy is what a rider can do about too little braking.
func remedy(bound string) string {
	switch drive.Bound(bound) {
	case drive.ByBusV:
		return "Start a descent with a lower charge, or slower."
	case drive.ByRegen:
		return "A higher limit helps where the cells take it; so does riding a descent slower. A lower charge does not."
	}
	return "Take a less steep way down."
}

const (
	// cellLift is how far above its full voltage braking may lift a cell for seconds, V: the tolerance of chargers in many data sheets, and
	// where protection begins to open (common practice, no published source).
	cellLift = 0.05
	// pulses is the share of the lasting charge rating up to which braking, as r.m.s. of ten minutes, is taken for pulses and not for a
	// charge (engineering judgment, no published source). A ride that uses no charge at all is one.
	pulses = 0.1
	// packHot is the mean temperature of the cells in °C past which data sheets usually allow no discharge (common practice from cell data
	// sheets, no published source): tight, for the rise leaves out what the air takes. Past packOver no air helps (engineering judgment).
	packHot, packOver = 60, 75
)

// packBar holds what the ride warms the pack by against what the air leaves.
func packBar(b *build.Build, r *Report) (bar limit.Bar, ok bool) {
	if r.Heat.PackRiseK == nil {
		return bar, false
	}
	rise := *r.Heat.PackRiseK
	return limit.Bar{Key: "heat.pack_rise_k", Used: max(0, rise), Limit: packOver - b.AmbientC, Want: packHot - b.AmbientC,
		Status: limit.Judge(b.AmbientC+rise, packHot, packOver), Text: "what the ride warms the pack by, if no heat gets out, against the 60 °C up to which data sheets usually allow a ride; past 75 °C no air helps"}, true
}

// warmNotes lists what a person must know of pack and winding where their temperatures are not those that the figures rest on.
func warmNotes(b *build.Build, r *Report, add func(string, limit.Status, string)) {
	if bar := r.Bar("heat.pack_rise_k"); bar != nil && bar.Status != limit.Clear {
		add("pack-heat", bar.Status, "On this ride the cells come to "+fixed(b.AmbientC+*r.Heat.PackRiseK, 1)+" °C on average if no heat gets out; data sheets usually allow no ride past 60 °C, and the middle of a pack is hotter.")
	}
	if warm := r.Heat.warmShift; warm != nil {
		text := "On this ride the winding settles at " + fixed(*r.Heat.WindingC, 0) + " °C; the figures assume " + fixed(b.WindingC, 0) + " °C, so reserve, speed and range are told too high."
		if *warm < noShift {
			add("winding-assumed", limit.Over, text+" As warm as that hardly any balance reserve is left: the nose drops.")
		} else {
			add("winding-assumed", limit.Tight, text+" As warm as that "+fixed(*warm, 0)+" mm of balance reserve are left. Enter the higher one as winding temperature.")
		}
	}
}

// saturationNote tells where the model needs more of a saturation current than there is, which gives more torque. It is over where the torque
// that the lower one leaves at the phase limit does not keep the wanted reserve: iron gives 1/√(1 + (I/I_sat)²) of it (see motor).
func saturationNote(b *build.Build, p *build.Parts, r *Report, add func(string, limit.Status, string)) {
	has, used := p.Motor.SaturationA, r.Model.Motor.SaturationA
	if used <= has {
		return
	}
	left := func(amps float64) float64 { return 1 / math.Hypot(1, b.PhaseLimit/amps) }
	s := limit.Tight
	if r.Ride.MaxNm*left(has)/left(used)-r.Ride.LoadNm < max(b.Shift, leastShift)*b.Rider*road.Gravity {
		s = limit.Over
	}
	text := "The motor's saturation current, " + fixed(has, 0) + " A, is below what the model's form can carry; " + fixed(used, 0) + " A is used instead. Torque and reserve are told too high"
	if s == limit.Over {
		text += ", and what is really there may not hold you"
	}
	add("saturation", s, text+".")
}
