package ride

import (
	"math"

	"headroom/core/drive"
	"headroom/core/pack"
)

// hardTime is the stretch of a ride in s that leads, plugs and fuses are held against: they have warmed up by then. Ten minutes: common
// practice, no published source.
const hardTime = 600.0

// Hardest is what a ride puts through battery and motor for long: the r.m.s. current of its hardest ten minutes, or of its steepest climb
// if that were ten minutes long, whichever is more.
type Hardest struct {
	BatteryA float64 // A r.m.s. over time
	PhaseA   float64 // A peak of the phase's sine, r.m.s. over time
	BrakeA   float64 // the most that a moment of the ride pushes back into the battery, A ≥ 0
	BrakesA  float64 // what is pushed back in the ten minutes that push back most, A r.m.s. over time
}

// Hardest computes it with the pack as src. ok is false where a moment or the climb cannot be carried at all.
func (b *Board) Hardest(src pack.Source, p *Profile) (h Hardest, ok bool) {
	seconds := make([]float64, len(p.moments))
	battery := make([]float64, len(p.moments))
	phase := make([]float64, len(p.moments))
	brake := make([]float64, len(p.moments))
	for i := range p.moments {
		point, ok := b.hold(src, &p.moments[i])
		if !ok {
			return Hardest{}, false
		}
		seconds[i], battery[i], phase[i] = p.moments[i].seconds, point.BusA*point.BusA, point.Id*point.Id+point.Iq*point.Iq
		back := max(0, -point.BusA)
		brake[i] = back * back
		h.BrakeA = max(h.BrakeA, back)
	}
	climb, ok := b.Drive.At(src, b.Road.Omega(p.AtGrade), b.Road.Torque(p.AtGrade, p.TopGrade))
	if !ok {
		return Hardest{}, false
	}
	h.BatteryA = max(math.Sqrt(mostMean(seconds, battery, hardTime)), climb.BusA)
	h.PhaseA = math.Sqrt(mostMean(seconds, phase, hardTime))
	h.BrakesA = math.Sqrt(mostMean(seconds, brake, hardTime))
	if p.TopGrade > 0 {
		h.PhaseA = max(h.PhaseA, climb.Phase())
	}
	return h, true
}

// hold is the operating point of one moment. Braking beyond what the limits take back is left to the rider.
func (b *Board) hold(src pack.Source, m *moment) (drive.Point, bool) {
	point, ok := b.Drive.At(src, m.omega, m.torque)
	if ok && m.torque < 0 && (-point.BusA > b.Drive.RegenLimit || point.BusV > b.Drive.AbsoluteV || point.Phase() > b.Drive.PhaseLimit) {
		point, _ = b.Drive.MaxBraking(src, m.omega)
	}
	return point, ok
}

// mostMean returns the largest mean over any window of a length in s of a quantity that holds value[i] for seconds[i] and repeats. The
// integral over a moving window changes at an even rate between the points where one of its ends meets a change of value, so the largest
// is at one of those.
func mostMean(seconds, value []float64, window float64) float64 {
	var round, whole float64
	for i := range seconds {
		round += seconds[i]
		whole += seconds[i] * value[i]
	}
	full := math.Floor(window / round)
	rest := window - full*round
	most := 0.0
	for i := range seconds {
		// A window that begins with stretch i, and one that ends with it, which begins the rest of the round after it.
		after := whole - partial(seconds, value, i+1, round-rest)
		most = max(most, partial(seconds, value, i, rest), after)
	}
	return (full*whole + most) / window
}

// partial is the integral over a length in s from the beginning of stretch i on, around the end if need be; length is at most one round.
func partial(seconds, value []float64, i int, length float64) (sum float64) {
	for n := 0; n < len(seconds) && length > 0; n++ {
		at := (i + n) % len(seconds)
		dt := min(seconds[at], length)
		sum += dt * value[at]
		length -= dt
	}
	return sum
}
