// Package ride is the board being ridden: how fast, with how much torque to spare, and how far.
//
//	reserve(v)     = T_max(v) − T_load(v)
//	cruise ceiling = highest level-ground speed that keeps the wanted reserve and stays under the wanted duty
//	range          = ∫ v̄·Q/Ī(z) dz from the start charge down to where the ride must end, v̄ and Ī means over one round
//
// The reserve and the ceiling are this planner's own reading of the balance of a single-wheel board (the deck stays level only
// while τ = m_rider·g·x can be supplied); the range is a quasi-steady walk down the discharge curve.
//
// A ride is a profile of legs: speed, grade and time, with the force that changes of speed ask for. What this leaves out: bumps
// themselves, the rider's own balance, and anything faster than the pack and the controller settle.
package ride

import (
	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/pack"
	"headroom/core/road"
	"headroom/core/solve"
)

// Board is everything a ride needs.
type Board struct {
	Drive drive.Drive
	Road  road.Road
	Pack  pack.Pack

	Shift    float64 // reserve wanted, m of center of pressure
	DutyGoal float64 // duty to stay under when riding steadily
}

// NewBoard makes the board of a build.
func NewBoard(b *build.Build, p *build.Parts) Board {
	return Board{
		Drive: drive.New(b, p), Road: road.New(b, p), Pack: pack.New(b, p),
		Shift: b.Shift, DutyGoal: b.CruiseDuty,
	}
}

// Sample is one speed at one charge.
type Sample struct {
	Speed   float64 // m/s
	Load    float64 // asked for at the axle, N·m
	Max     float64 // largest torque, N·m
	Reserve float64 // Max − Load
	Shift   float64 // m
	Grade   float64 // rise over run
	Bound   drive.Bound
	At      drive.Point // at the load torque
	Limit   drive.Point // at the largest torque
	Reached bool        // At holds: the pack and the iron can carry the load, limits aside
	OK      bool        // the load can be carried within every limit
}

// Sample computes one speed in m/s held steadily on a grade, with the pack as src.
func (b *Board) Sample(src pack.Source, v, grade float64) Sample {
	return b.sample(src, v, b.Road.Torque(v, grade))
}

func (b *Board) sample(src pack.Source, v, load float64) Sample {
	omega := b.Road.Omega(v)
	limit, bound := b.Drive.MaxTorque(src, omega)
	at, ok := b.Drive.At(src, omega, load)
	reserve := limit.Torque - load
	s := Sample{
		Speed: v, Load: load, Max: limit.Torque, Reserve: reserve,
		Shift: b.Road.Shift(reserve), Grade: b.Road.EqualGrade(reserve, v),
		Bound: bound, At: at, Limit: limit, Reached: ok, OK: ok && reserve >= 0,
	}
	s.OK = s.OK && b.Drive.Within(src, at)
	if load < 0 && s.OK { // downhill or with the wind the motor has to hold back
		brake, _ := b.Drive.MaxBraking(src, omega)
		s.OK = load >= brake.Torque
	}
	return s
}

// Worst returns the moment of a profile that leaves the least reserve at a charge.
func (b *Board) Worst(src pack.Source, p *Profile) Sample {
	var worst Sample
	for i := range p.moments {
		m := &p.moments[i]
		if s := b.sample(src, m.speed, m.torque); i == 0 || s.Reserve < worst.Reserve {
			worst = s
		}
	}
	return worst
}

// FreeSpin returns the road speed in m/s at which the lifted wheel stops gaining speed, without field weakening.
func (b *Board) FreeSpin(src pack.Source) float64 {
	return b.Road.Tire.Speed(b.Drive.FreeSpin(src))
}

// FreeSpinWeakened is FreeSpin with field weakening as it is set.
func (b *Board) FreeSpinWeakened(src pack.Source) float64 {
	return b.Road.Tire.Speed(b.Drive.FreeSpinWeakened(src))
}

// LevelTop returns the level-ground speed in m/s at which nothing is left. It is a fact to stay away from, not a speed to ride.
func (b *Board) LevelTop(src pack.Source) float64 {
	return b.keeping(src, 0, b.FreeSpinWeakened(src))
}

// keeping returns the highest level-ground speed up to top whose reserve is at least want N·m; 0 if there is none.
func (b *Board) keeping(src pack.Source, want, top float64) float64 {
	left := func(v float64) float64 {
		limit, _ := b.Drive.MaxTorque(src, b.Road.Omega(v))
		return limit.Torque - b.Road.Torque(v, 0) - want
	}
	if left(0) < 0 {
		return 0
	}
	if left(top) >= 0 {
		return top
	}
	return solve.Root(left, 0, top, 1e-7)
}

// Ceiling is a cruise ceiling and what it rests on.
type Ceiling struct {
	Speed float64 // m/s
	By    string  // "balance reserve" or "duty"
	Bound drive.Bound
}

// The two things that a cruise ceiling rests on.
const (
	ByReserve = "balance reserve"
	ByDuty    = "duty"
)

// Ceiling returns the highest level-ground speed that keeps the wanted reserve and stays under the wanted duty.
func (b *Board) Ceiling(src pack.Source) Ceiling {
	want := b.Shift * b.Road.Rider * road.Gravity
	v := b.keeping(src, want, b.FreeSpinWeakened(src))
	by := ByReserve
	spare := func(v float64) float64 { return b.spareDuty(src, v) }
	if spare(v) < 0 {
		by = ByDuty
		if spare(0) < 0 {
			v = 0
		} else {
			v = solve.Root(spare, 0, v, 1e-7)
		}
	}
	_, bound := b.Drive.MaxTorque(src, b.Road.Omega(v))
	return Ceiling{v, by, bound}
}

// spareDuty is what the wanted duty leaves at a level-ground speed in m/s; negative where the speed cannot be held at all. Weakening past the
// magnet's flux lets duty rise above the wanted one and fall again. A ceiling lies where it first gets there, which the rule alone shows: its
// duty goes on rising.
func (b *Board) spareDuty(src pack.Source, v float64) float64 {
	point := b.Drive.Ruled
	if b.DutyGoal > b.Drive.MaxDuty { // no duty is too high then, as long as there is torque
		point = b.Drive.At
	}
	p, ok := point(src, b.Road.Omega(v), b.Road.Torque(v, 0))
	if !ok {
		return -1
	}
	return b.DutyGoal - p.Duty
}

// nearLimit is the share of the battery's limit beyond which a board is taken to reach it.
const nearLimit = 0.95

// Peak returns the largest battery current in A that the limits allow at any speed, and the largest phase current in A peak. At a
// bus limit that limit is the answer; otherwise the battery current rises with speed while the phase limit binds and falls where
// duty does, and its top is searched for.
func (b *Board) Peak(src pack.Source, envelope []Sample) (battery, phase float64) {
	best := 0
	for i, s := range envelope {
		phase = max(phase, s.Limit.Phase())
		if s.Limit.BusA > envelope[best].Limit.BusA {
			best = i
		}
	}
	switch envelope[best].Bound {
	case drive.ByBattery, drive.ByCells, drive.ByCutoff, drive.ByPower:
		return envelope[best].Limit.BusA, phase
	}
	amps := func(v float64) float64 {
		p, _ := b.Drive.MaxTorque(src, b.Road.Omega(v))
		return p.BusA
	}
	// Weakening may give the battery current a second hump at low speed, so every hump that comes near the highest is climbed.
	for i, s := range envelope {
		before, after := envelope[max(0, i-1)], envelope[min(len(envelope)-1, i+1)]
		if a := s.Limit.BusA; a < before.Limit.BusA || a < after.Limit.BusA || a < 0.8*envelope[best].Limit.BusA {
			continue
		}
		// Each half by itself: the top may be a corner beside the sample, with a second one on its other side.
		_, left := solve.Max(amps, before.Speed, s.Speed, 1e-4)
		_, right := solve.Max(amps, s.Speed, after.Speed, 1e-4)
		battery = max(battery, s.Limit.BusA, left, right)
	}
	// Between two humps a search may miss the last percent; a board that comes so near its battery's limit is taken to reach it.
	if limit, _ := b.Drive.BusLimit(src); battery > nearLimit*limit {
		battery = limit
	}
	return battery, phase
}

// Envelope samples n level-ground speeds from standstill to the free-spin speed, evenly spaced, n ≥ 2.
func (b *Board) Envelope(src pack.Source, n int) []Sample {
	top := b.FreeSpinWeakened(src)
	out := make([]Sample, n)
	for i := range out {
		out[i] = b.Sample(src, top*float64(i)/float64(n-1), 0)
	}
	return out
}
