package review

const (
	// Winding classes, °C: IEC 60085.
	classB, classH = 130, 180
	// fallMost is the winding temperature where current should begin to fall at the latest, °C: 10 K below class B, since sensors read
	// less than the hottest turn (common practice, no published source), and the usual magnet grades weaken from about there (from memory).
	fallMost = 120
	// fallOver is the stretch of temperature over which current should fall, K (common practice, no published source).
	fallOver = 10
	// Switch temperatures, °C: usual begin of derating, and what the silicon's 150 °C leaves for the way from junction to sensor (common
	// practice, no published source).
	switchWarm, switchMost = 85, 110
	// ratedAir is the air in °C in which a controller's lasting rating is taken to bring its switches to switchMost (common practice, no
	// published source).
	ratedAir = 25
)

// tooWarm is why no setting is right on a ride that asks for more than the motor can give for long.
const tooWarm = "As warm as this ride makes the winding, no setting both holds the ride and protects the motor: ride it easier, or take a stronger motor."

// share is how much of the phase current that is set must be left to hold the ride; ok is false where that cannot be told, or where all of it
// is not enough.
func (d *board) share() (share float64, ok bool) {
	if d.f.HoldPhaseA == nil {
		return 0, false
	}
	share = *d.f.HoldPhaseA / d.b.PhaseLimit
	return share, share <= 1
}

// derateBand wants current to be whole at the temperature that the ride brings the winding to. It is over where what is left there does not
// hold the ride: with share h of the current needed at T and none left at E, (E − T)/(E − from) ≥ h. An end that is itself too low is judged
// in its own row; here the one that should be counts.
func derateBand(d *board) band {
	k := newBand(5)
	end := d.value("coilmax")
	if e := windingEndBand(d); end < e.limitLow || e.openLow && end <= e.limitLow {
		end = max(end, e.row(end, true).Should)
	}
	k.high, k.limitHigh, k.open = min(fallMost, end-fallOver), end, true
	k.basis = "No current is left at " + say(end, "°C") + ". "
	if set := d.value("coilmax"); set != end {
		k.basis = "Held against an end of " + say(end, "°C") + ", since " + say(set, "°C") + " is too low for this ride. "
	}
	k.basis += "Falling from 120 °C at most, over 10 K or more, is common practice with no published source."
	if d.f.WindingC != nil {
		t := *d.f.WindingC
		k.low = t
		if h, ok := d.share(); ok && t < end { // where no current is needed the bound is −∞
			k.limitLow = end - (end-t)/h
		}
		k.basis += windingText(t)
	}
	if k.limitLow > fallMost {
		k.stuck = tooWarm
	}
	k.farBelow = tooLittle
	k.below = "Current is taken back on this ride already."
	k.above = "Current begins to fall late."
	k.farAbove = "Current ends in one step: the nose drops."
	return k
}

func windingText(celsius float64) string {
	return " The winding comes to " + say(celsius, "°C") + ": what the figures are computed with, or what the ride settles at, if that is more."
}

// windingEndBand ends above what the ride brings the winding to. It is over where the current that is left there does not hold the ride, with
// the fall as it is set or, if no usual end makes up for that, as it should be. More than class B is never recommended: a ride that warms the
// winding so far is the fault.
func windingEndBand(d *board) band {
	k := newBand(5)
	k.high, k.limitHigh = classB, classH
	k.most = classB
	k.basis = "Insulation class B stands 130 °C, F 155 °C, H 180 °C (IEC 60085)."
	if d.f.WindingC != nil {
		t := *d.f.WindingC
		k.low = t + fallOver
		k.limitLow, k.openLow = t, true
		if h, ok := d.share(); ok && h > 0 {
			k.limitLow, k.openLow = leastEnd(t, d.value("derate"), h), false
		}
		k.basis += windingText(t)
	}
	if k.limitLow > classB {
		k.stuck = tooWarm
	}
	k.farBelow = tooLittle
	k.below = "Hardly any current is left as warm as this ride makes the winding."
	k.above = "Only a winding of class F or H stands this, and magnets may not."
	k.farAbove = "No usual winding stands this."
	return k
}

// leastEnd is the lowest end in °C that leaves share h of the current, 0 < h ≤ 1, at a temperature. A fall that begins above it takes 1 K at
// the least, which is how a controller reads an end that lies below its beginning.
func leastEnd(celsius, from, h float64) float64 {
	if celsius <= from {
		return celsius + h
	}
	if end := (celsius - h*from) / (1 - h); end <= classB { // where all of it is needed that is +∞
		return end
	}
	return celsius + h*fallOver
}

// controllerBand begins above what the ride brings the switches to. They are never cooler than the air around them: a limit there takes current
// back at once. How much warmer they are rests on the controller's losses, and is an estimate.
func controllerBand(d *board) band {
	k := newBand(1)
	k.high, k.limitHigh = switchWarm, switchMost
	air := d.f.BoxAirC
	k.limitLow, k.openLow = air, true
	k.low = air + 1
	k.basis = "A usual begin is 85 °C, the most 110 °C (common practice, no published source). The air in the box is at " + say(air, "°C") + "."
	if d.f.LossShare != nil {
		k.low = max(k.low, air+(switchMost-ratedAir)**d.f.LossShare)
		k.basis += " With the losses of this ride's hardest ten minutes the switches come to about " + say(k.low, "°C") +
			": an estimate, for a controller that comes to 110 °C at its lasting rating in air of 25 °C (common practice, no published source)."
	}
	k.farBelow = "Cooler than the air in the box: current is taken back before the ride begins."
	k.below = "Current is likely taken back on this ride."
	k.above = "The switches run hotter than is usual before anything is done about it."
	k.farAbove = "The switches may fail before current is taken back."
	return k
}
