package review

import "math"

// ampereStep is what a recommended current is rounded to, A.
const ampereStep = 5

func phaseBand(d *board) band {
	k := path(d, d.f.PhasePathA, d.f.PhasePathPart, d.f.NeedPhaseA)
	k.below = "The nose drops in the ride's worst moment before the reserve asked for is used."
	return k
}

func batteryBand(d *board) band {
	k := path(d, d.f.BatteryPathA, d.f.BatteryPathPart, d.f.NeedBatteryA)
	k.below = "The ride's worst moment can ask for more power than this lets through, with the reserve asked for."
	return k
}

// path is a current limit between what the ride needs and what the weakest part stands. A limit that is too low leaves less reserve than
// asked for; that is tight, and whether the ride can be held at all is judged by the ride itself.
func path(d *board, rating float64, part string, need *float64) band {
	k := newBand(ampereStep)
	k.limitHigh = rating
	k.high = (1 - d.b.Margin) * rating
	k.low = or(need, math.Inf(-1))
	k.farAbove = "More than the weakest part stands."
	k.above = "More than the margin asked for leaves."
	k.basis = "The weakest part, " + part + ", stands " + say(rating, "A") + " for seconds, " + say(k.high, "A") + " with the margin asked for." +
		sayIf(need, "A", " The ride with its reserve needs ", " What the ride with its reserve needs cannot be told.")
	return k
}

const (
	// chargePeak is how many times the cells' lasting charge rating braking may push back for seconds (common practice, no published source).
	chargePeak = 3
	// leastBrakeA is the smallest limit that counts as braking at all, A: the step of the setting.
	leastBrakeA = 1
)

func regenBand(d *board) band {
	k := newBand(1)
	k.limitHigh = chargePeak * d.f.RegenCellsA
	k.high = (1 - d.b.Margin) * k.limitHigh
	k.low = max(or(d.f.RideBrakeA, leastBrakeA), leastBrakeA)
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
	k.above = "More than the margin asked for leaves the cells."
	k.below = "Braking on this ride asks for more than may be pushed back; past the limit nothing brakes."
	k.basis = "The cells take " + say(d.f.RegenCellsA, "A") + " lasting and three times that for seconds (common practice, no published source), " +
		say(k.high, "A") + " with the margin asked for." + sayIf(d.f.RideBrakeA, "A", " Braking on this ride pushes back up to ", " What braking on this ride pushes back cannot be told.")
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
