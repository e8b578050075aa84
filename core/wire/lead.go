package wire

import "math"

// MaxLeadC is where LeadC gives up, °C: no jacket lasts there, and the formulas of air end.
const MaxLeadC = 400.0

// LeadC returns the temperature in °C that the copper of a single horizontal lead settles at under a current in A r.m.s., in still air of
// airC (< MaxLeadC, °C). The lead has an area of copper in m² and a jacket of a wall in m. Heat made, I²ρ(T)/A, grows with the
// temperature; heat that leaves is CylinderLoss from the jacket. ok is false where they do not meet below MaxLeadC: the lead runs away.
func LeadC(current, area, wall, airC float64) (celsius float64, ok bool) {
	heat := max(1e-12, current*current) // not quite nothing, for the logarithm
	// balance is the logarithm of heat lost over heat made, over that of the rise. It is nearly straight with a slope of about 1, and always
	// rises: loss bends up over temperature and heat made is straight, so they cross once.
	balance := func(rise float64) float64 {
		return math.Log(LeadLoss(area, wall, airC+rise, airC) / (heat * Resistance(area, 1, airC+rise)))
	}
	highest := MaxLeadC - airC
	top := balance(highest)
	if math.Signbit(top) {
		return MaxLeadC, false
	}
	const leastRise = 1e-3 // K; less does not matter and drowns in rounding
	within := func(rise float64) float64 { return max(leastRise, min(highest, rise)) }

	// The start is where a parabola through low and top, with the usual slope at low, is 0. It mostly misses by hundredths.
	const usualSlope = 1.13
	low := min(10, highest/2)
	f, span := balance(low), math.Log(highest/low)
	bend := (top - f - usualSlope*span) / (span * span)
	root := math.Sqrt(max(0, usualSlope*usualSlope-4*bend*min(0, f)))
	rise := within(low * math.Exp(-2*f/(usualSlope+root)))
	for range 3 { // Newton's rule: each step doubles the digits
		const h = 1e-5
		f := balance(rise)
		slope := (balance(rise*(1+h)) - f) / math.Log1p(h)
		rise = within(rise * math.Exp(-f/slope))
	}
	return airC + rise, true
}

// LeadCurrent returns the current in A r.m.s. that holds the copper of the same lead at celsius (≥ airC): LeadC the other way round.
func LeadCurrent(celsius, area, wall, airC float64) float64 {
	return math.Sqrt(LeadLoss(area, wall, celsius, airC) / Resistance(area, 1, celsius))
}

// LeadLoss is the heat in W/m that the lead of LeadC sheds with its copper at celsius (≥ airC). The jacket counts as warm as the copper.
func LeadLoss(area, wall, celsius, airC float64) float64 {
	convection, radiation := CylinderLoss(SolidDiameter(area)+2*wall, celsius, airC, emissive)
	return convection + radiation
}
