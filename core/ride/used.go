package ride

// usedSteps is how many pieces a ridden distance is taken in; what a meter takes changes little from one to the next.
const usedSteps = 6

// Used returns the charge in C out of the battery and the energy in J at the controller that a distance in m takes on a profile, from a
// charge (fraction) on. Whether the rider should still have gone on is not asked: it was ridden. ok is false where a moment of it cannot be
// carried at all.
func (b *Board) Used(p *Profile, start, meters float64) (coulombs, joules float64, ok bool) {
	r, ok := b.round(b.Pack.At(start), p)
	if !ok {
		return 0, 0, false
	}
	seconds := meters / (p.Meters / p.Seconds) / usedSteps
	whole := b.Pack.CapacityAh * 3600
	z := start
	for range usedSteps {
		// The middle of a piece is where the piece before leads to.
		middle := min(1, max(0, z-r.Amps*seconds/2/whole))
		if r, ok = b.round(b.Pack.At(middle), p); !ok {
			return 0, 0, false
		}
		coulombs += r.Amps * seconds
		joules += r.Power * seconds
		z = min(1, max(0, z-r.Amps*seconds/whole))
	}
	return coulombs, joules, true
}
