package drive

import (
	"math"

	"headroom/core/pack"
	"headroom/core/solve"
)

// side is driving or braking at one speed, with what limits it there.
type side struct {
	*Drive
	src   pack.Source
	omega float64
	sign  float64 // +1 drives, −1 brakes: i_q = sign·u with u ≥ 0
	amps  float64 // the most battery current in A that may be drawn (driving) or pushed back (braking)
	bus   Bound   // what sets amps
	drawn float64 // braking: the most that may be drawn all the same, where reversing costs more than the wheel gives
	draws Bound   // what sets drawn
	low   float64 // the most negative i_d allowed
}

// MaxTorque returns the operating point of the largest driving shaft torque at a speed in rad/s ≥ 0 within every limit, and the limit
// that bound it. Where not even the wheel's own drag can be overcome the point has no current and its torque is minus the iron drag.
func (d *Drive) MaxTorque(src pack.Source, omega float64) (Point, Bound) {
	amps, by := d.BusLimit(src)
	s := side{Drive: d, src: src, omega: omega, sign: 1, amps: amps, bus: by, low: d.deepest()}
	return s.best()
}

// MaxBraking returns the operating point of the largest braking shaft torque (the most negative) at a speed in rad/s ≥ 0 within every
// limit, and the limit that bound it. Currents that burn in the winding what the battery may not take are not used: neither beyond the
// q current where the regeneration limit first binds, nor by d current that the torque has no need of. Controllers do not look for
// them, and they are the conservative side.
func (d *Drive) MaxBraking(src pack.Source, omega float64) (Point, Bound) {
	amps, by := d.RegenLimit, ByRegen
	if a := (d.AbsoluteV - src.OpenCircuit) / src.Resistance; a < amps {
		amps, by = max(a, 0), ByBusV
	}
	drawn, draws := d.BusLimit(src)
	s := side{Drive: d, src: src, omega: omega, sign: -1, amps: amps, bus: by, drawn: drawn, draws: draws, low: d.deepest()}
	return s.best()
}

// Within tells whether a point passes no limit of phase current, duty and what the battery gives, to within a millionth. The weakening rule may spend more current than the torque
// needs, and so pass one that MaxTorque would not.
func (d *Drive) Within(src pack.Source, p Point) bool {
	const slack = 1 + 1e-6
	amps, _ := d.BusLimit(src)
	return p.Phase() <= d.PhaseLimit*slack && p.Duty <= d.MaxDuty*slack && p.BusA <= amps*slack
}

// BusLimit returns the largest battery current in A and what sets it.
func (d *Drive) BusLimit(src pack.Source) (float64, Bound) {
	amps, by := d.BatteryLimit, d.BatteryBound
	if a := src.OpenCircuit / (2 * src.Resistance); a < amps {
		amps, by = a, ByPower
	}
	if a := (src.OpenCircuit - d.CutoffV) / src.Resistance; a < amps {
		amps, by = max(a, 0), ByCutoff
	}
	return amps, by
}

// deepest is the most negative d current that may be used: I_fw, within the phase limit, and never so deep that reluctance turns the
// torque around (only where L_d > L_q).
func (d *Drive) deepest() float64 {
	low := min(d.WeakenA, d.PhaseLimit)
	if dl := d.Motor.Ld - d.Motor.Lq; dl > 0 {
		low = min(low, 0.999*d.Motor.Flux/dl)
	}
	return -low
}

// best finds the largest torque on this side.
func (s *side) best() (Point, Bound) {
	if s.sign > 0 {
		id := s.rest()
		switch idle, ok := s.point(id, 0); {
		case !ok || !s.carries(idle):
			return s.none(), s.bus
		case idle.Duty > s.MaxDuty:
			return s.none(), s.dutyBound(id)
		}
	}
	// While currents bind, the least current for the torque is the most torque for the current.
	id, u, by := s.perAmpere()
	p, ok := s.point(id, u)
	if ok && p.Duty <= s.MaxDuty {
		return p, by
	}
	return s.alongVoltage(id)
}

// rest is the d current of least loss that keeps a wheel without q current within the highest duty; quietest where none does.
func (s *side) rest() float64 {
	over := func(id float64) float64 {
		p, _ := s.point(id, 0)
		return p.Duty - s.MaxDuty
	}
	if s.low == 0 || over(0) <= 0 {
		return 0
	}
	quiet := s.quietest()
	if over(quiet) > 0 {
		return quiet
	}
	tol := 1e-9 * -s.low
	return max(quiet, solve.Root(over, quiet, 0, tol)-tol)
}

// quietest is the d current of least voltage at rest: of (R·i_d)² + ω_e²·(λ + L_d·i_d)², within what is allowed.
func (s *side) quietest() float64 {
	m := &s.Motor
	w := m.PolePairs * s.omega
	x := w * w * m.Ld
	id := -x * m.Flux / (m.Resistance*m.Resistance + x*m.Ld)
	if math.IsNaN(id) { // no speed, and a motor without resistance: anything is quiet
		return 0
	}
	return max(s.low, id)
}

func (s *side) point(id, u float64) (Point, bool) { return s.Drive.bus(s.src, s.omega, id, s.sign*u) }

func (s *side) carries(p Point) bool { return s.sign*p.BusA <= s.amps }

// perAmpere follows the maximum torque per ampere from no current until a current limit binds. For T ∝ s(i_q)·i_q·(λ + ΔL·i_d) with
// ΔL = L_d − L_q, least i_d² + i_q² at a torque gives ΔL·i_d² + λ·i_d − ΔL·i_q²·(1 + (i_q/I_sat)²) = 0; without saturation that is
// the textbook's i_d² − i_q² + λ/(L_d − L_q)·i_d = 0.
func (s *side) perAmpere() (id, u float64, by Bound) {
	u, by = s.crest, s.PhaseBound
	if u == 0 || s.low == 0 {
		u = s.findCrest()
	}
	locus := func(u float64) float64 { return s.perAmpereD(u, s.low) }
	if at, bus, binds := s.busEdge(locus, u); binds {
		return locus(at), at, bus
	}
	return locus(u), u, by
}

// perAmpereD is the d current of maximum torque per ampere at a q current, no deeper than low.
func (d *Drive) perAmpereD(u, low float64) float64 {
	m := &d.Motor
	dl := m.Ld - m.Lq
	if dl == 0 || low == 0 {
		return 0
	}
	x := u / m.SaturationA
	k := 1 + x*x
	q := dl * u
	// Written so that the difference of near-equal roots keeps its digits.
	return max(low, min(0, 2*q*u*k/(m.Flux+math.Sqrt(m.Flux*m.Flux+4*q*q*k))))
}

// findCrest finds where maximum torque per ampere meets the phase limit.
func (d *Drive) findCrest() float64 {
	low := d.deepest()
	if low == 0 || d.Motor.Ld == d.Motor.Lq {
		return d.PhaseLimit
	}
	spare := func(u float64) float64 {
		id := d.perAmpereD(u, low)
		return d.PhaseLimit - math.Sqrt(id*id+u*u)
	}
	tol := 1e-10 * d.PhaseLimit
	return max(0, solve.Root(spare, 0, d.PhaseLimit, tol)-tol)
}

// busEdge returns the largest u up to high, reached from 0 without passing a limit of the battery, and which limit that is; binds is
// false when none is met.
func (s *side) busEdge(locus func(float64) float64, high float64) (u float64, by Bound, binds bool) {
	v := s.src.Under(s.sign * s.amps) // where the bus stands when the limit binds
	if v <= 0 {
		return 0, s.bus, true
	}
	if s.sign > 0 {
		spare := func(u float64) float64 { return v*s.amps - s.power(locus(u), u, v) }
		if spare(high) >= 0 {
			return high, "", false
		}
		return inside(spare, 0, high), s.bus, true
	}
	// Power pushed back grows with u, then falls once copper eats more than the wheel gives, and in the end braking draws power.
	crest, most := solve.Max(func(u float64) float64 { return -s.power(locus(u), u, v) }, 0, high, 1e-6*high)
	if most > v*s.amps {
		return inside(func(u float64) float64 { return v*s.amps + s.power(locus(u), u, v) }, 0, crest), s.bus, true
	}
	v = s.src.Under(s.drawn)
	spare := func(u float64) float64 { return v*s.drawn - s.power(locus(u), u, v) }
	switch {
	case spare(high) >= 0:
		return high, "", false
	case spare(crest) < 0:
		return 0, s.draws, true
	}
	return inside(spare, crest, high), s.draws, true
}

// power is what a point draws from a bus at v volts, W.
func (s *side) power(id, u, v float64) float64 {
	iq := s.sign * u
	vd, vq := s.Motor.Voltage(s.Motor.PolePairs*s.omega, id, iq)
	i2 := id*id + u*u
	return 1.5*(vd*id+vq*iq) + 1.5*s.OnResistance*i2 + s.SwitchingK*math.Sqrt(i2)*v + s.StandbyW
}

// inside returns the current between low and high where spare reaches zero, stepped back by the solver's tolerance so that no limit is
// passed even in the last digit.
func inside(spare func(float64) float64, low, high float64) float64 {
	tol := 1e-9 * high
	return max(low, solve.Root(spare, low, high, tol)-tol)
}

// currentEdge returns the largest u at one d current that phase and battery allow, and which of them binds.
func (s *side) currentEdge(id float64) (float64, Bound) {
	high := math.Sqrt(max(0, s.PhaseLimit*s.PhaseLimit-id*id)) * (1 - 1e-12)
	if u, by, binds := s.busEdge(func(float64) float64 { return id }, high); binds {
		return u, by
	}
	return high, s.PhaseBound
}

// edge returns the point of largest torque at one d current, and what bound it; ok is false where none fits, and short then says by
// how much a limit is passed, as a share of it.
func (s *side) edge(id float64) (p Point, by Bound, ok bool, short float64) {
	if s.sign > 0 {
		rest, ok := s.point(id, 0)
		if !ok || !s.carries(rest) {
			return rest, s.bus, false, rest.BusA/max(s.amps, 1e-3) - 1
		}
	}
	u, by := s.currentEdge(id)
	p, ok = s.point(id, u)
	if ok && p.Duty <= s.MaxDuty {
		return p, by, true, 0
	}
	by = s.dutyBound(id)
	spare := func(u float64) float64 {
		q, ok := s.point(id, u)
		if !ok {
			return -q.Duty
		}
		return s.MaxDuty - q.Duty
	}
	// Duty grows with torque when driving. When braking, resistance and the rising bus lower it first, inductance raises it then.
	from := 0.0
	if s.sign < 0 {
		from, _ = solve.Max(spare, 0, u, 1e-6*u)
	}
	if left := spare(from); left < 0 {
		p, _ = s.point(id, from)
		return p, by, false, -left
	}
	p, _ = s.point(id, inside(spare, from, u))
	return p, by, true, 0
}

// dutyBound says whether more field weakening would help.
func (s *side) dutyBound(id float64) Bound {
	if s.WeakenA > 0 && id <= s.low*(1-1e-6) {
		return ByWeakening
	}
	return ByDuty
}

// alongVoltage finds the largest torque where the voltage binds; from is the i_d of most torque that the currents alone would allow.
func (s *side) alongVoltage(from float64) (Point, Bound) {
	torque := func(id float64) float64 {
		p, _, ok, short := s.edge(id)
		if !ok {
			return -1e3 * (1 + short) // outside; more so, the farther out
		}
		return math.Abs(p.Torque + s.Motor.Drag(s.omega))
	}
	if s.low == 0 {
		if p, by, ok, _ := s.edge(0); ok {
			return p, by
		}
		return s.none(), ByDuty
	}
	// Torque along the voltage limit rises with weakening up to one point (maximum torque per volt), and the usual setting stops
	// before it: then the deepest current allowed is the best, unless a current limit binds there.
	deep, by, ok, _ := s.edge(s.low)
	if ok && (by == ByDuty || by == ByWeakening) && torque(s.low*(1-1e-5)) <= math.Abs(deep.Torque+s.Motor.Drag(s.omega)) {
		return deep, by
	}
	if ok && by != ByDuty && by != ByWeakening {
		// A current binds at the deepest and the voltage at from: the best lies where both do.
		both := func(id float64) float64 {
			u, _ := s.currentEdge(id)
			p, fine := s.point(id, u)
			if !fine {
				return -1
			}
			return s.MaxDuty - p.Duty
		}
		tol := 1e-9 * -s.low
		low := max(s.low, solve.Root(both, s.low, from, tol)-tol)
		p, by, ok, _ := s.edge(low)
		if ok && torque(low*(1-1e-5)) <= math.Abs(p.Torque+s.Motor.Drag(s.omega)) {
			return p, by
		}
		// Torque along the voltage limit has its top before the currents bind.
		id, _ := solve.Max(torque, low, 0, 1e-7*-s.low)
		if p, by, ok, _ := s.edge(id); ok {
			return p, by
		}
	}
	id, _ := solve.Max(torque, s.low, 0, 1e-7*-s.low)
	if p, by, ok, _ := s.edge(id); ok {
		return p, by
	}
	return s.none(), s.dutyBound(s.low)
}

// none is the point where nothing can be done on this side: no current, and the wheel's own drag.
func (s *side) none() Point {
	return Point{Omega: s.omega, Torque: -s.Motor.Drag(s.omega), BusV: s.src.OpenCircuit}
}
