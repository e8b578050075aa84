// Package core computes one board. Plan is its one door; the order of the calls in it is the order of the physics: cells make
// a pack, the pack feeds controller and motor, the tire meets the road, and the ride holds one against the other.
//
// The package and everything below it is pure: no input or output, no clock, no randomness, no browser.
package core

import (
	"math"

	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/pack"
	"headroom/core/protect"
	"headroom/core/ride"
	"headroom/core/road"
)

const (
	envelopePoints = 25
	rangePoints    = 9
	perKmh         = 3.6 // km/h per m/s
)

// The stated uncertainty of the inputs that make the band of a range. Drag area: published ±0.05 m² of 0.65 m² upright
// (Spring et al. 1988) is 8 %, clothing adds to it. The others are engineering judgment with no published source.
var uncertainty = UncertaintyNote{Rolling: 0.15, DragArea: 0.10, Mass: 0.03, Pressure: 0.10}

// board assembles the ride's view of a build.
func board(b *build.Build, p *build.Parts) ride.Board {
	return ride.Board{
		Drive: drive.New(b, p), Road: road.New(b, p), Pack: pack.New(b, p),
		Shift: b.Shift, DutyGoal: b.CruiseDuty,
	}
}

// Plan computes the report of a build. It fails only on a build that did not come through the Fields table; everything a person
// can enter is answered in the report.
func Plan(b build.Build) (Report, error) {
	if err := b.Validate(); err != nil {
		return Report{}, err
	}
	parts := b.Parts()
	bd := board(&b, &parts)
	full, half, low := bd.Pack.At(1), bd.Pack.At(0.5), bd.Pack.At(b.FloorCharge)

	var r Report
	r.Build = Inputs{b, parts}
	r.Weight = Weight{parts.BoardMass, bd.Road.Mass}
	r.Motor = Motor{bd.Drive.Motor.Flux, 1.5 * bd.Drive.Motor.PolePairs * bd.Drive.Motor.Flux}

	var most drive.Point // the highest currents that the limits allow at any charge
	envelope := func(src pack.Source) []Point {
		samples := bd.Envelope(src, envelopePoints)
		out := make([]Point, len(samples))
		values := make([]float64, 5*len(samples)) // one block for what the points point to
		battery, phase := bd.Peak(src, samples)
		most.BusA, most.Iq = math.Max(most.BusA, battery), math.Max(most.Iq, phase)
		for i, s := range samples {
			out[i] = point(s, values[5*i:5*i+5])
		}
		return out
	}
	r.Envelope = Envelope{envelope(full), envelope(half), envelope(low)}

	ceiling := bd.Ceiling(low)
	r.Speed = Speed{
		FreeSpinKmh: bd.FreeSpin(full) * perKmh,
		LevelTopKmh: bd.LevelTop(full) * perKmh,
		CruiseCeilingKmh: Charges{
			bd.Ceiling(full).Speed * perKmh, bd.Ceiling(half).Speed * perKmh, ceiling.Speed * perKmh,
		},
		LimitedBy: limitedBy(ceiling),
	}

	now := bd.Sample(low, b.Cruise, b.Grade)
	r.Ride = rideOf(&now, &b)
	r.Range = ranges(&b, &parts, &bd, r.Speed.FreeSpinKmh)

	loads := loadsOf(&bd, &b, &now, most)
	rows := protect.Rows(&b, &parts, loads)
	weakest := protect.Weakest(rows)
	r.Protection = Protection{rows, weakest.Part, weakest.MarginPct, weakest.MarginA, protect.CheckFuse(&b, &parts, &bd.Pack)}

	loaded := full.Under(loads.PeakA)
	r.Pack = Pack{
		FullV: bd.Pack.FullV, NominalV: bd.Pack.NominalV, EmptyV: bd.Pack.EmptyV,
		LoadedV: loaded, SagV: full.OpenCircuit - loaded,
		CapacityAh: bd.Pack.CapacityAh, EnergyWh: bd.Pack.RatedWh, ResistanceOhm: half.Resistance,
		ContinuousA: float64(b.Parallel) * parts.Cell.ContinuousA, PeakA: float64(b.Parallel) * parts.Cell.PeakA,
		MassKg: float64(bd.Pack.Cells) * parts.Cell.Mass, Cells: bd.Pack.Cells,
	}
	r.Model = model(&b, &parts, &bd, full, half, low)
	r.Limits = limits(&b, &parts, &r)
	r.Notes = notes(&b, &parts, &r)
	return r, nil
}

// limitedBy names what a person would have to change to ride faster: the limit that leaves too little reserve, or the duty asked for.
func limitedBy(c ride.Ceiling) string {
	if c.By == ride.ByDuty {
		return "duty to stay under"
	}
	return string(c.Bound)
}

func point(s ride.Sample, block []float64) Point {
	p := Point{
		SpeedKmh: s.Speed * perKmh, TorqueMax: s.Max, LoadTorque: s.Load,
		ReserveNm: s.Reserve, ShiftMm: s.Shift * 1e3, GradePct: s.Grade * 100, BoundBy: string(s.Bound),
	}
	if s.OK {
		block[0], block[1], block[2], block[3], block[4] = s.At.Duty, s.At.BusV, s.At.BusA, s.At.Id, s.At.Iq
		p.Duty, p.BusV, p.BatteryA, p.PhaseDA, p.PhaseQA = &block[0], &block[1], &block[2], &block[3], &block[4]
	}
	return p
}

func rideOf(s *ride.Sample, b *build.Build) Ride {
	r := Ride{
		SpeedKmh: s.Speed * perKmh, ChargePct: b.FloorCharge * 100,
		LoadNm: s.Load, MaxNm: s.Max, ReserveNm: s.Reserve, ShiftMm: s.Shift * 1e3, GradePct: s.Grade * 100,
		BoundBy: string(s.Bound),
	}
	if s.Reached {
		duty, phase := s.At.Duty*100, math.Abs(s.At.Iq)
		r.DutyPct, r.BusV, r.BatteryA, r.PowerW, r.PhaseA = &duty, &s.At.BusV, &s.At.BusA, &s.At.BusW, &phase
	}
	return r
}

// loadsOf collects the currents that the parts must stand. A ride that cannot be held is taken at the limits: whoever tries gets
// them.
func loadsOf(bd *ride.Board, b *build.Build, now *ride.Sample, most drive.Point) protect.Loads {
	l := protect.Loads{SteadyA: most.BusA, PeakA: most.BusA, SteadyPhase: most.Iq, PeakPhase: most.Iq}
	end := bd.Range(b.Cruise, b.Grade, b.StartCharge, b.FloorCharge)
	if end.EndHeld {
		l.SteadyA = math.Abs(end.EndAmps)
	}
	if now.Reached {
		l.SteadyPhase = math.Abs(now.At.Iq)
	}
	return l
}

// ranges computes the range, its band by the corner method (all four uncertain inputs against the rider, then all for; which way is
// against depends on hill and wind, so the band is whatever the corners span), and range against steady speed on the ride's grade.
func ranges(b *build.Build, p *build.Parts, bd *ride.Board, topKmh float64) Range {
	d := bd.Range(b.Cruise, b.Grade, b.StartCharge, b.FloorCharge)
	one, two := corner(b, p, 1), corner(b, p, -1)
	r := Range{StoppedBy: string(d.By), EndPct: d.End * 100, Km: km(d)}
	if !d.Endless {
		low := min(d.Meters, one.Meters, two.Meters) / 1e3
		if one.Endless || two.Endless {
			low = min(d.Meters, max(one.Meters, two.Meters)) / 1e3
		} else {
			high := max(d.Meters, one.Meters, two.Meters) / 1e3
			r.HighKm = &high
		}
		r.LowKm = &low
	}
	if d.Meters > 0 {
		w := d.EnergyWh / (d.Meters / 1e3)
		r.WhPerKm = &w
	}
	r.BySpeed = make([]RangeAtSpeed, rangePoints)
	for i := range r.BySpeed {
		v := topKmh / perKmh * (0.15 + 0.80*float64(i)/(rangePoints-1))
		at := bd.Range(v, b.Grade, b.StartCharge, b.FloorCharge)
		r.BySpeed[i] = RangeAtSpeed{v * perKmh, km(at), string(at.By)}
	}
	return r
}

func km(d ride.Distance) *float64 {
	if d.Endless {
		return nil
	}
	v := d.Meters / 1e3
	return &v
}

// corner returns the ride with every uncertain input moved by its uncertainty, in the direction that costs on level ground for sign 1,
// in the other for -1.
func corner(b *build.Build, p *build.Parts, sign float64) ride.Distance {
	c, q := *b, *p
	c.DragArea *= 1 + sign*uncertainty.DragArea
	c.Rider *= 1 + sign*uncertainty.Mass
	q.BoardMass *= 1 + sign*uncertainty.Mass
	c.Pressure *= 1 - sign*uncertainty.Pressure
	q.Tire.RollingC0 *= 1 + sign*uncertainty.Rolling
	bd := board(&c, &q)
	return bd.Range(c.Cruise, c.Grade, c.StartCharge, c.FloorCharge)
}

func model(b *build.Build, p *build.Parts, bd *ride.Board, full, half, low pack.Source) Model {
	var m Model
	m.Motor.ResistanceOhm, m.Motor.LdH, m.Motor.LqH = p.Motor.Resistance, p.Motor.Ld, p.Motor.Lq
	m.Motor.PolePairs, m.Motor.FluxWb, m.Motor.SaturationA = p.Motor.PolePairs, bd.Drive.Motor.Flux, bd.Drive.Motor.SaturationA
	m.Motor.HysteresisK, m.Motor.EddyK, m.Motor.WindingC = p.Motor.HysteresisK, p.Motor.EddyK, b.WindingC
	m.Controller.OnResistanceOhm, m.Controller.SwitchingK, m.Controller.StandbyW = p.Controller.OnResistance, p.Controller.SwitchingK, p.Controller.StandbyW
	t := &bd.Road.Tire
	m.Tire.RollingRadiusM, m.Tire.LoadedRadiusM, m.Tire.DeflectionM, m.Tire.GrowthK = t.RollingRadius, t.LoadedRadius, t.Deflection, p.Tire.GrowthK
	m.Road.Mass, m.Road.AirDensity, m.Road.CdaM2 = bd.Road.Mass, bd.Road.Density, b.DragArea
	m.Road.RollingForceN = make([]ForceAtSpeed, 6)
	for i := range m.Road.RollingForceN {
		v := 10 * float64(i)
		m.Road.RollingForceN[i] = ForceAtSpeed{v, t.Rolling(v / perKmh)}
	}
	m.Road.Uncertainty = uncertainty
	m.Pack.OpenCircuitV = Charges{full.OpenCircuit, half.OpenCircuit, low.OpenCircuit}
	m.Pack.ResistanceOhm = Charges{full.Resistance, half.Resistance, low.Resistance}
	return m
}
