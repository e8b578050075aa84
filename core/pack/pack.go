// Package pack is S·P cells with what connects them, seen from the controller's terminals.
//
//	E(z) = S·U(z)
//	R(z) = S·R_cell(z)/P + (S−1)·joint + leads + fuse + other
//	V    = (E + √(E² − 4·R·P_bus))/2 under a power P_bus; beyond E²/4R no voltage carries it
//
// The last line is Ohm's law and P = V·I solved for the branch that starts at E with no load; E²/4R is the maximum power
// transfer theorem (any circuits textbook). State of charge z is a fraction.
//
// What this leaves out: the spread from cell to cell, so the weakest group; and voltage that recovers slowly after a load.
package pack

import (
	"math"

	"headroom/core/build"
	"headroom/core/cell"
	"headroom/core/wire"
)

// warmest is how warm in °C a pack is taken to be at least where a dead short is to be stopped: the end of what data sheets allow while
// charging (common practice, no published source).
const warmest = 45

// Pack is one battery.
type Pack struct {
	Cells      int
	FullV      float64 // S × full cell voltage, V: what the charger must end at
	NominalV   float64
	EmptyV     float64
	CapacityAh float64 // usable: P × rated × state of health
	RatedWh    float64 // S·P × rated Ah × nominal V
	PathOhm    float64 // everything but the cells, Ω
	FuseOhm    float64 // the fuse's part of it, cold
	LeadOhm    float64 // the leads' part of it, between the boxes included
	cell       cell.Cell
	fresh      cell.Cell // new and warm
	series     float64
	parallel   float64
}

// New makes the pack of a build.
func New(b *build.Build, p *build.Parts) Pack {
	s, par := float64(b.Series), float64(b.Parallel)
	lead := wire.Resistance(p.LeadArea, 2*b.LeadLength, b.AmbientC)
	if p.Split > 0 {
		lead += wire.Resistance(p.CrossArea, 2*b.CrossLength, b.AmbientC)
	}
	fuse := p.Fuse.DropV / b.FuseRating
	return Pack{
		Cells:      b.Series * b.Parallel,
		FullV:      decimal(s * p.Cell.FullV),
		NominalV:   decimal(s * p.Cell.NominalV),
		EmptyV:     decimal(s * p.Cell.EmptyV),
		CapacityAh: par * p.Cell.CapacityAh * b.HealthFraction,
		RatedWh:    s * par * p.Cell.CapacityAh * p.Cell.NominalV,
		FuseOhm:    fuse,
		LeadOhm:    lead,
		PathOhm:    (s-1)*b.JointResistance + lead + fuse + b.OtherResistance,
		cell:       cell.New(p.Cell, b.AmbientC, b.ResistanceGrowth),
		fresh:      cell.New(p.Cell, math.Max(b.AmbientC, warmest), 0),
		series:     s, parallel: par,
	}
}

// decimal drops the dust of binary fractions (9 × 4.2 = 37.800000000000004), so that a limit typed as exactly the full pack is met and
// not passed.
func decimal(volts float64) float64 { return math.Round(volts*1e9) / 1e9 }

// At returns the source that the pack is at state of charge z.
func (p *Pack) At(z float64) Source {
	return Source{
		OpenCircuit: p.series * p.cell.OpenCircuit(z),
		Resistance:  p.series*p.cell.Resistance(z)/p.parallel + p.PathOhm,
	}
}

// Source is a battery at one state of charge: a voltage behind a resistance.
type Source struct {
	OpenCircuit float64 // V
	Resistance  float64 // Ω, > 0
}

// Under returns the terminal voltage in V under a current in A (negative while braking).
func (s Source) Under(current float64) float64 { return s.OpenCircuit - s.Resistance*current }

// UnderPower returns terminal voltage and current for a power in W drawn from the terminals (negative while braking).
// ok is false when the power passes E²/4R; the answer is then the point of maximum power, E/2.
func (s Source) UnderPower(power float64) (v, i float64, ok bool) {
	d := s.OpenCircuit*s.OpenCircuit - 4*s.Resistance*power
	if d < 0 {
		v = s.OpenCircuit / 2
		return v, v / s.Resistance, false
	}
	v = (s.OpenCircuit + math.Sqrt(d)) / 2
	return v, (s.OpenCircuit - v) / s.Resistance, true
}

// MaxPower returns the largest power in W that the source can give, E²/4R.
func (s Source) MaxPower() float64 {
	return s.OpenCircuit * s.OpenCircuit / (4 * s.Resistance)
}

// ShortCircuit returns the prospective short-circuit current E/R of the full pack in A. The fuse does not count: prospective
// current is by definition (IEC 60269-1) what would flow with the fuse replaced by a link of no impedance.
func (p *Pack) ShortCircuit() float64 {
	s := p.At(1)
	return s.OpenCircuit / (s.Resistance - p.FuseOhm)
}

// MostShortCircuit is the same with new cells that a ride or the sun has warmed, in A: what the fuse may have to stop one day, whatever the
// weather and age that the ride is planned for. Warm, a cell's 10 s pulse resistance is hardly more than the ohmic one of the first instant.
func (p *Pack) MostShortCircuit() float64 {
	cells := p.series * p.fresh.Resistance(1) / p.parallel
	return p.series * p.fresh.OpenCircuit(1) / (cells + p.PathOhm - p.FuseOhm)
}
