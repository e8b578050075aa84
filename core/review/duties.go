package review

const (
	// weakenLead is how far below the highest duty weakening must begin, points of duty (common practice, no published source).
	weakenLead = 5
	// restDuty is the highest duty that leaves the switches time in which the currents are measured, % (common practice, no published source).
	restDuty = 95
	// warnLead is how far below the highest duty a warning must come, points of duty (common practice, no published source).
	warnLead = 10
	// leastWarn is the lowest duty that a warning can be set to, %.
	leastWarn = 30
)

// weakenDutyBand asks for room to come in gradually; a current that comes in one step is felt as a jolt, where balance has least to spare.
func weakenDutyBand(d *board) band {
	k := newBand(1)
	if d.value("fw") > 0 {
		k.high = d.value("duty") - weakenLead
		k.basis = "Weakening is full at the highest duty, " + say(d.value("duty"), "%") + "; it wants 5 points to come in (common practice, no published source)."
	} else {
		k.basis = "The weakening current is 0 A, so this has no effect."
	}
	k.above = "The current comes in as a step."
	return k
}

// dutyBand lies between what the ride asks for and what leaves the switches time. Where that is not enough no setting holds the ride, and the
// ride itself is judged.
func dutyBand(d *board) band {
	k := newBand(1)
	k.high, k.limitHigh = restDuty, 100
	k.basis = "Switches need time to rest, in which the currents are measured: 95 % leaves enough (common practice, no published source)."
	if d.f.NeedDuty != nil {
		need := 100 * *d.f.NeedDuty
		k.low = min(need, restDuty)
		k.basis += " At the charge to turn home the ride with its reserve needs " + say(need, "%") + "."
	}
	if d.f.HoldDuty != nil {
		hold := 100 * *d.f.HoldDuty
		if hold <= restDuty {
			k.limitLow = hold
		}
		k.basis += sayEdge(&hold, "%", "Below")
	}
	k.farBelow = tooLittle
	k.below = "Less voltage than the ride with the reserve asked for needs."
	k.above = "Too little time is left in which the switches rest and the currents are measured; the controller steers blind."
	k.farAbove = "There is no more than the whole voltage."
	return k
}

// warnBand wants a warning while there is still something to slow down with: not above the duty to stay under, well below the highest, and
// best at the cruise ceiling, past which the wanted reserve is gone.
func warnBand(d *board) band {
	k := newBand(1)
	top, stay := d.value("duty"), d.value("rideduty")
	k.limitHigh, k.open = top, true
	k.high = min(stay, top-warnLead)
	ceiling := d.f.CeilingDuty
	if ceiling != nil {
		points := 100 * *ceiling
		ceiling = &points
	}
	// Where the ceiling lies below the ride a warning there would never end, and nobody heeds it: the ceiling itself is what is wrong then.
	k.most = k.high
	if least := max(leastWarn, 100*or(d.f.RideDuty, 0)); ceiling != nil && *ceiling > least {
		k.most = min(k.high, *ceiling)
	}
	k.farAbove = "It warns when nothing is left."
	k.above = "It warns late."
	k.basis = "The duty to stay under is " + say(stay, "%") + ", the highest is " + say(top, "%") + "; 10 points between warning and the highest are wanted (common practice, no published source)." +
		sayIf(ceiling, "%", " At the cruise ceiling at low charge the duty is ", "")
	return k
}
