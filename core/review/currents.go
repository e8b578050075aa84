package review

import "math"

// ampereStep is what a recommended current is rounded to, A.
const ampereStep = 5

func phaseBand(d *board) band {
	left := or(d.f.LeftShare, 1)
	k := path(d, d.f.PhasePathA, d.f.PhasePathPart, grown(d.f.NeedPhaseA, left), grown(d.f.HoldPhaseA, left))
	if left < 1 {
		k.basis += " As warm as the winding gets, " + say(100*left, "%") + " of what is set is left; both allow for that."
	}
	k.below = "The nose drops in the ride's worst moment before the reserve asked for is used."
	return k
}

// leastShare is the share of a current below which none is taken to be left.
const leastShare = 0.01

// grown is what must be set for a current where only a share of it is left; nil where none is.
func grown(amps *float64, share float64) *float64 {
	if amps == nil || share < leastShare {
		return nil
	}
	v := *amps / share
	return &v
}

func batteryBand(d *board) band {
	k := path(d, d.f.BatteryPathA, d.f.BatteryPathPart, d.f.NeedBatteryA, d.f.HoldBatteryA)
	k.below = "The ride's worst moment can ask for more power than this lets through, with the reserve asked for."
	return k
}

// tooLittle is what is wrong with a limit that alone drops the rider.
const tooLittle = "This alone drops the nose on this ride, or leaves it no range with the reserve asked for."

// path is a current limit between what the ride needs and what the weakest part stands. A limit that leaves less reserve than asked for is
// tight; one that alone keeps the ride from being held is over. Where the parts do not stand what holds the ride, no setting does, and the
// ride itself is judged.
func path(d *board, rating float64, part string, need, hold *float64) band {
	k := newBand(ampereStep)
	k.limitHigh = rating
	k.high = (1 - d.b.Margin) * rating
	k.low = or(need, math.Inf(-1))
	if hold != nil && *hold <= rating {
		k.limitLow = *hold
	}
	k.farBelow = tooLittle
	k.farAbove = "More than the weakest part stands."
	k.above = "More than the margin asked for leaves."
	k.basis = "The weakest part, " + part + ", stands " + say(rating, "A") + " for seconds, " + say(k.high, "A") + " with the margin asked for." +
		sayIf(need, "A", " The ride with its reserve needs ", " What the ride with its reserve needs cannot be told.") +
		sayEdge(hold, "A", "Below")
	return k
}

const (
	// chargePeak is how many times the cells' lasting charge rating braking may push back for seconds (common practice, no published source).
	chargePeak = 3
	// leastBrakeA is the smallest limit that counts as braking at all, A: the step of the setting.
	leastBrakeA = 1
)

// regenBand lies between what braking on the ride pushes back, told with this limit lifted, and what the cells take. While the ride's way down
// is not held it is over: below the limit that holds it, or wherever it is set if none does or the cells do not stand it.
func regenBand(d *board) band {
	k := newBand(1)
	k.limitHigh = chargePeak * d.f.RegenCellsA
	k.high = (1 - d.b.Margin) * k.limitHigh
	k.farAbove = "More than the cells take even for seconds: lithium can plate out, and that stays."
	// Braking that lasts is a charge like any other.
	lasting := or(d.f.RideBrakesA, 0)
	if most := (1 - d.b.Margin) * d.f.RegenCellsA; lasting > most {
		k.high = most
	}
	if lasting > d.f.RegenCellsA {
		k.limitHigh = d.f.RegenCellsA
		k.farAbove = "Braking on this ride lasts, and pushes back more than the cells take for long: lithium can plate out, and that stays."
	}
	k.low = max(or(d.f.RideBrakeA, leastBrakeA), or(d.f.DescentWantA, leastBrakeA), or(d.f.StreetA, leastBrakeA), leastBrakeA)
	descent := d.f.DescentA
	switch {
	case descent != nil && *descent <= k.limitHigh:
		k.limitLow = *descent
	case descent != nil:
		k.stuck = "The ride's way down pushes back more than the cells take, and a lower limit does not hold it. Ride it slower, start it with a lower charge, or take more cells."
	case d.f.DescentOver:
		k.stuck = "The ride's way down is not held, and no setting here changes that: it is set by " + d.f.DescentBound + "."
	}
	k.farBelow = "The ride's way down is not held: past the limit nothing brakes."
	k.above = "More than the margin asked for leaves the cells."
	switch has := d.value("regen"); {
	case has < or(d.f.RideBrakeA, 0):
		k.below = "Braking on this ride asks for more than may be pushed back; past the limit nothing brakes."
	case has < or(d.f.DescentWantA, 0):
		k.below = "It holds this ride's way down, but not with a fifth of the slope and the reserve asked for to spare."
	default:
		k.below = "It holds no street's way down: past the limit nothing brakes."
	}
	k.basis = "The cells take " + say(d.f.RegenCellsA, "A") + " lasting and three times that for seconds (common practice, no published source), " +
		say(k.high, "A") + " with the margin asked for." + sayIf(d.f.RideBrakeA, "A", " With no limit, braking on this ride pushes back up to ", " What braking on this ride pushes back cannot be told.")
	if descent != nil && *descent > 0 {
		k.basis += " Its steepest way down asks for " + say(*descent, "A") + " at its highest speed, " + say(or(d.f.DescentWantA, *descent), "A") + " with a fifth of the slope and the reserve asked for to spare."
	}
	return k
}

// mostWeakenA stands for “any current”: the most that the setting takes, A.
const mostWeakenA = 300

// weakenBand keeps the back-EMF of a lifted wheel inside what the controller stands when it stops controlling, and the d current below
// λ/L_d, past which the magnet's flux turns around and torque per ampere falls again.
func weakenBand(d *board) band {
	k := newBand(1)
	most, limitHigh := d.f.MaxWeakenA, d.f.MaxWeakenLimitA
	if d.f.BackEMFOver {
		// The physics says over, so a figure that is missing cannot mean “any current”.
		safe := or(most, 0)
		beyond := or(limitHigh, safe)
		most, limitHigh = &safe, &beyond
	}
	k.limitHigh = or(limitHigh, k.limitHigh)
	k.high = min(or(most, mostWeakenA), d.f.CharacteristicA, mostWeakenA)
	k.farAbove = "A lifted wheel at its top speed makes more voltage than the controller stands, should it stop controlling."
	k.above = "Past what the voltage margin, or the motor's own flux, leaves."
	k.basis = sayIf(most, "A", "With the voltage margin asked for, the back-EMF of a lifted wheel allows ", "No weakening current of this motor brings the back-EMF to the controller's limit.") +
		" From " + say(d.f.CharacteristicA, "A") + " on, more of it gains nothing (λ/L_d)."
	return k
}
