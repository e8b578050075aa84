package core

import (
	"math"

	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/heat"
	"headroom/core/ride"
	"headroom/core/solve"
)

const (
	// cellHeat is the specific heat of a lithium-ion cell, J/(kg·K): 900–1100 is usual (from memory).
	cellHeat = 1000.0
	// climbHorizon is how long a climb is looked ahead, s. No hill is longer.
	climbHorizon = 4 * 3600.0
)

// OwnWindingC is the winding temperature in °C that the ride settles at, as far as the controller lets it.
func OwnWindingC(b *build.Build, p *build.Parts, bd *ride.Board, profile *ride.Profile) float64 {
	d := bd.Range(profile, b.StartCharge, b.FloorCharge)
	s, ok := settled(b, p, profile, d)
	if !ok || !d.EndHeld {
		return b.LimitC
	}
	return math.Min(b.LimitC, s.Winding)
}

func settled(b *build.Build, p *build.Parts, profile *ride.Profile, d ride.Distance) (heat.State, bool) {
	m := heat.New(p.Motor, profile.Meters/profile.Seconds, b.AmbientC)
	return m.Settled(heat.LossesAt(d.Copper, d.Iron, b.WindingC))
}

// heatOf computes how warm the ride makes motor and pack.
func heatOf(b *build.Build, p *build.Parts, bd *ride.Board, profile *ride.Profile, d ride.Distance) Heat {
	h := Heat{LimitC: b.DerateC, ClimbPct: profile.TopGrade * 100, ClimbKmh: profile.AtGrade * perKmh}
	if d.EndHeld {
		if s, ok := settled(b, p, profile, d); ok {
			h.WindingC, h.HubC = &s.Winding, &s.Hub
		}
	}
	// All of the heat stays in the cells: short rides come close, long ones shed some.
	if cells := bd.Pack.At(0.5); cells.Resistance > 0 {
		rise := d.HeatWh * 3600 * (1 - bd.Pack.PathOhm/cells.Resistance) / (float64(bd.Pack.Cells) * p.Cell.Mass * cellHeat)
		h.PackRiseK = &rise
	}

	model := heat.New(p.Motor, profile.AtGrade, b.AmbientC)
	src := bd.Pack.At(0.5)
	omega := bd.Road.Omega(profile.AtGrade)
	if t, ok := steadyTorque(&bd.Drive, &model, b, omega); ok {
		h.SteadyNm = &t
	}
	climb, ok := bd.Drive.At(src, omega, bd.Road.Torque(profile.AtGrade, profile.TopGrade))
	if !ok {
		return h
	}
	l := heat.LossesAt(climb.Copper, climb.Iron, b.WindingC)
	if s, ok := model.TimeTo(heat.State{Winding: b.AmbientC, Hub: b.AmbientC}, l, b.DerateC, climbHorizon); ok {
		minutes := s / 60
		h.MinutesToLimit = &minutes
		h.climb = climbOf(b, bd, profile, &h, &model, l)
	}
	return h
}

// coldSlack is how many K a winding may settle above the temperature that the figures assume before that is said: 4 % of its resistance
// (engineering judgment, no published source).
const coldSlack = 10

// warmShift is the least reserve of the ride at low charge, mm, where the winding gets warmer than the figures assume: as far as the controller
// lets it, and with the current that is left then.
func warmShift(b *build.Build, p *build.Parts, profile *ride.Profile, h *Heat) *float64 {
	if b.HeatFeeds == build.On || h.WindingC == nil || *h.WindingC <= b.WindingC+coldSlack {
		return nil
	}
	warm := *b
	warm.WindingC = math.Min(*h.WindingC, b.LimitC)
	bd := board(&warm, p)
	worst := bd.Worst(bd.Pack.At(b.FloorCharge), profile)
	mm := worst.Shift * 1e3
	return &mm
}

// climbTimes are how long the ride's steepest climb may last, min.
type climbTimes struct {
	warm float64 // from a motor as warm as the ride makes it until the controller takes current back
	pack float64 // from the charge the ride starts with until the pack has no more for it
}

// ends tells whether the motor ends a climb before the pack does.
func (c climbTimes) ends() bool { return c.warm < c.pack }

func climbOf(b *build.Build, bd *ride.Board, profile *ride.Profile, h *Heat, model *heat.Motor, l heat.Losses) climbTimes {
	from := heat.State{Winding: b.AmbientC, Hub: b.AmbientC}
	if h.WindingC != nil {
		from = heat.State{Winding: *h.WindingC, Hub: *h.HubC}
	}
	c := climbTimes{warm: math.Inf(1)}
	if s, ok := model.TimeTo(from, l, b.DerateC, climbHorizon); ok {
		c.warm = s / 60
	}
	steady := ride.Steady(bd, profile.AtGrade, profile.TopGrade)
	c.pack = bd.Range(&steady, b.StartCharge, b.FloorCharge).Seconds / 60
	return c
}

// steadyTorque is the shaft torque in N·m that settles the winding just at the temperature where the controller begins to take current
// back, at a speed in rad/s; without field weakening. ok is false where iron drag alone is too hot.
func steadyTorque(d *drive.Drive, m *heat.Motor, b *build.Build, omega float64) (float64, bool) {
	drag := d.Motor.Drag(omega)
	left := func(torque float64) float64 {
		iq, ok := d.Motor.CurrentFor(torque+drag, 0)
		if !ok {
			return -1e6
		}
		s, ok := m.Settled(heat.LossesAt(1.5*d.Motor.Resistance*iq*iq, drag*omega, b.WindingC))
		if !ok {
			return -1e6
		}
		return math.Max(-1e6, b.DerateC-s.Winding)
	}
	if left(0) < 0 {
		return 0, false
	}
	top := 1.5 * d.Motor.PolePairs * d.Motor.Flux * d.Motor.SaturationA
	return solve.Root(left, 0, top, 1e-6*top), true
}
