package ride

import (
	"math"

	"headroom/core/pack"
	"headroom/core/solve"
)

// Charging is what a ride's braking does to the pack that it begins with.
type Charging struct {
	PeakA    float64 // the most that a moment pushes back, A ≥ 0
	Overfull float64 // charge pushed into a pack that is full already, as a share of its charge
}

// Charging computes it for a ride that begins at a charge (fraction). A ride may charge the pack without end; it is followed for one round,
// ten minutes at least (see Hardest), each moment at the voltage that the pack begins with. What the pack has no room for is counted and
// not kept. ok is false where a moment cannot be carried at all.
func (b *Board) Charging(p *Profile, start float64) (c Charging, ok bool) {
	src := b.Pack.At(start)
	gains := make([]float64, len(p.moments)) // of one round, fractions
	most := 0.0
	for i := range p.moments {
		point, ok := b.hold(src, &p.moments[i])
		if !ok {
			return Charging{}, false
		}
		c.PeakA = max(c.PeakA, -point.BusA)
		gains[i] = -point.BusA * p.moments[i].seconds / (b.Pack.CapacityAh * 3600)
		most += max(0, gains[i])
	}
	rounds := max(1, math.Ceil(hardTime/p.Seconds))
	if start+rounds*most <= 1 { // whatever the order
		return c, true
	}
	z := start
	for range int(rounds) {
		for _, gain := range gains {
			if z += gain; z > 1 {
				c.Overfull += z - 1
				z = 1
			}
		}
	}
	return c, true
}

// brakeSpeeds is at how many speeds the current of braking is looked at before its top is searched for.
const brakeSpeeds = 24

// BrakePeak returns the largest battery current in A ≥ 0 that the limits let braking push back, at any speed up to the free spin.
func (b *Board) BrakePeak(src pack.Source) float64 {
	amps := func(v float64) float64 {
		p, _ := b.Drive.MaxBraking(src, b.Road.Omega(v))
		return -p.BusA
	}
	top := b.FreeSpinWeakened(src)
	most, at := 0.0, 0.0
	for i := 1; i <= brakeSpeeds; i++ {
		v := top * float64(i) / brakeSpeeds
		if a := amps(v); a > most {
			most, at = a, v
		}
		if most > nearLimit*b.Drive.RegenLimit {
			return b.Drive.RegenLimit // as with Peak: a board that comes so near its limit is taken to reach it
		}
	}
	step := top / brakeSpeeds
	// Each half by itself: the top may be a corner.
	_, before := solve.Max(amps, max(0, at-step), at, 1e-4)
	_, after := solve.Max(amps, at, min(top, at+step), 1e-4)
	return max(most, before, after)
}
