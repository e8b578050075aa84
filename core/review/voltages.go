package review

const (
	// voltStep is what a recommended voltage is rounded to, V.
	voltStep = 0.5
	// gentle is the share of the upper voltage over which current must fall, not to end in a step (common practice, no published source).
	gentle = 0.02
	// brakeRoom is how far above the full pack braking must be allowed to lift the voltage (common practice, no published source).
	brakeRoom = 0.01
	// meterRoom is what stays between a voltage limit that is set and the one that destroys: spikes and the error of a simple divider
	// (common practice, no published source).
	meterRoom = 0.03
)

func (d *board) series(cell float64) float64 { return float64(d.b.Series) * cell }

// cutoffBand stands above what harms the cells, and below what the pack still shows when the ride turns home: with the reserve asked for while
// clear, at the least that holds the ride while not over. Where the cells stand no such voltage no setting holds it, and the ride is judged.
func cutoffBand(d *board) band {
	k := newBand(voltStep)
	k.lowWins = true
	k.limitLow, k.low = d.series(d.p.Cell.EmptyV), d.series(d.p.Cell.CutoffV)
	k.high, k.limitHigh = or(d.f.FloorLoadedV, d.f.FloorRestV), d.f.FullV
	if d.f.NeedBusV != nil {
		k.high = min(k.high, *d.f.NeedBusV)
	}
	k.farAbove = "Even the full pack is below it."
	if hold := d.f.HoldBusV; hold != nil && *hold >= k.limitLow && *hold < k.limitHigh {
		k.limitHigh = *hold
		k.farAbove = tooLittle
	}
	k.farBelow = "The cells are emptied past what they stand."
	k.below = "The cells are emptied further than is careful."
	k.above = "Current is taken back before the charge to turn home is reached."
	k.basis = "Cells in series times " + say(d.p.Cell.CutoffV, "V") + " make " + say(k.low, "V") + ", times the empty " + say(d.p.Cell.EmptyV, "V") + " " + say(k.limitLow, "V") +
		". At the charge to turn home the pack shows " + say(d.f.FloorRestV, "V") + " at rest" + sayIf(d.f.FloorLoadedV, "V", " and at its lowest under load ", "; under load it cannot be told.") +
		sayIf(d.f.NeedBusV, "V", " With the reserve asked for it falls to ", "") + sayEdge(d.f.HoldBusV, "V", "Above")
	return k
}

// endBand leaves the current a stretch of voltage in which to fall. Where it ends in one step the nose drops with no warning.
func endBand(d *board) band {
	k := newBand(voltStep)
	k.lowWins = true
	from := d.value("vcut")
	k.limitLow = d.series(d.p.Cell.EmptyV)
	k.low = k.limitLow
	k.high, k.limitHigh, k.open = (1-gentle)*from, from, true
	k.farBelow = "The cells are emptied past what they stand."
	k.above = "Current falls to nothing over very few volts."
	k.farAbove = "Current ends in one step: the nose drops."
	k.basis = "Current falls from " + say(from, "V") + "; the cells are empty at " + say(k.low, "V") + ". 2 % between fall and end are wanted (common practice, no published source)."
	return k
}

// cellRoom is how far above the full pack braking may lift the voltage for moments, the pack's own resistance included.
const cellRoom = 0.03

// overVoltageBand lies between the full pack, which must still be able to brake, and what cells and controller stand.
func overVoltageBand(d *board) band {
	k := newBand(voltStep)
	stands := d.p.Controller.AbsoluteV
	k.limitLow, k.low = d.f.FullV, (1+brakeRoom)*d.f.FullV
	k.high, k.limitHigh = min((1-meterRoom)*stands, (1+cellRoom)*d.f.FullV), stands
	k.farBelow = "The full pack is above it: the controller refuses to start, or cannot brake at all."
	k.below = "Braking on a full pack is cut."
	k.above = "Braking may lift the cells far above their highest voltage, or too little is left for spikes and for the error of the measurement."
	k.farAbove = "The controller does not stand this."
	k.basis = "The full pack is " + say(d.f.FullV, "V") + ", the controller stands " + say(stands, "V") + "; 1 to 3 % above the one and 3 % below the other are wanted (common practice, no published source)."
	return k
}
