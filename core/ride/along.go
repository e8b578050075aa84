package ride

import (
	"math"

	"headroom/core/pack"
)

// Passed is one place of a ride.
type Passed struct {
	Meters float64 // from the start
	Charge float64
	Worst  Sample // the moment of the profile that leaves the least reserve at this charge
}

// Along follows a ride that Range has found, in n places at equal steps of charge, n ≥ 2; in one where the ride ends as it begins, and
// in none where it uses no charge. Distance is that of the very slices that Range sums, even within each.
func (b *Board) Along(p *Profile, start float64, d Distance, n int) []Passed {
	if d.Endless {
		return nil
	}
	if d.End >= start || d.Meters <= 0 {
		return []Passed{{Charge: start, Worst: b.Worst(b.Pack.At(start), p)}}
	}
	edges := make([]float64, 1, rangeSteps+1)
	b.slices(p, start, d.End, func(_ pack.Source, _ Means, meters, _ float64) {
		edges = append(edges, edges[len(edges)-1]+meters)
	})
	out := make([]Passed, n)
	for i := range out {
		share := float64(i) / float64(n-1)
		whole, part := math.Modf(share * rangeSteps)
		from := int(whole)
		meters := edges[from]
		if part > 0 {
			meters += part * (edges[from+1] - edges[from])
		}
		z := start - share*(start-d.End)
		if i == n-1 {
			z = d.End
		}
		out[i] = Passed{meters, z, b.Worst(b.Pack.At(z), p)}
	}
	return out
}
