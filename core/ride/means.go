package ride

import (
	"headroom/core/drive"
	"headroom/core/pack"
)

// Means is what a stretch takes at one charge, each as its mean over time.
type Means struct {
	Amps   float64 // battery current, A
	Square float64 // the square of that, A²: what warms
	Power  float64 // at the controller, W
	Copper float64 // heat in the winding, W
	Iron   float64 // of iron drag, W
}

// add counts an operating point that holds for a share of the time.
func (m *Means) add(share float64, at *drive.Point) {
	m.Amps += share * at.BusA
	m.Square += share * at.BusA * at.BusA
	m.Power += share * at.BusW
	m.Copper += share * at.Copper
	m.Iron += share * at.Iron
}

// round rides one round of a profile with the pack as src. Braking beyond what the limits take back is left to the rider. ok is false
// where a moment cannot be carried at all.
func (b *Board) round(src pack.Source, p *Profile) (r Means, ok bool) {
	for i := range p.moments {
		m := &p.moments[i]
		point, ok := b.hold(src, m)
		if !ok {
			return r, false
		}
		r.add(m.seconds/p.Seconds, &point)
	}
	return r, true
}
