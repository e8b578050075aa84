package core

import (
	"math"

	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/limit"
	"headroom/core/pack"
	"headroom/core/ride"
)

// peaks are the highest currents that the limits allow at any charge: BusA out of the battery, Iq of one phase.
type peaks struct {
	drive.Point
	BrakeA float64      // into the battery; only where it may pass BusA, else 0
	cool   *drive.Drive // what they are those of
}

// envelopes fills the three envelopes and returns the highest currents. A winding that is hot enough to take current from the ride is cool
// when the ride begins, and parts must stand what it takes then.
func envelopes(r *Report, bd *ride.Board, full, half, low pack.Source, curves bool) peaks {
	most := peaks{cool: &bd.Drive}
	cool := bd
	if d, hot := coolDrive(&r.Build.build, &r.Build.parts, &bd.Drive); hot {
		other := *bd
		other.Drive = d
		cool, most.cool = &other, &other.Drive
	}
	one := func(src pack.Source) []Point {
		samples := cool.Envelope(src, envelopePoints)
		battery, phase := cool.Peak(src, samples)
		most.BusA, most.Iq = math.Max(most.BusA, battery), math.Max(most.Iq, phase)
		if !curves {
			return nil
		}
		if cool != bd {
			samples = bd.Envelope(src, envelopePoints)
		}
		out := make([]Point, len(samples))
		values := make([]float64, 5*len(samples)) // one block for what the points point to
		for i, s := range samples {
			out[i] = point(s, values[5*i:5*i+5])
		}
		return out
	}
	r.Envelope = Envelope{one(full), one(half), one(low)}
	if most.cool.RegenLimit > most.BusA {
		// The ride's first charge may hold braking back by voltage; its last has the most amperes for the same power.
		for _, src := range [2]pack.Source{bd.Pack.At(r.Build.build.StartCharge), low} {
			most.BrakeA = math.Max(most.BrakeA, cool.BrakePeak(src))
		}
	}
	return most
}

// coolDrive is a drive before a hot winding takes current from it; hot is false where none is taken.
func coolDrive(b *build.Build, p *build.Parts, d *drive.Drive) (cool drive.Drive, hot bool) {
	if d.PhaseBound != drive.ByWinding {
		return cool, false
	}
	c := *b
	c.WindingC = math.Min(c.DerateC, c.LimitC-1) // see drive.Derating
	return drive.New(&c, p), true
}

// speeds computes how fast the wheel and the board go. Stopping is judged with the pack as the ride starts, where it takes back least.
func speeds(bd *ride.Board, full, half, low, start pack.Source) Speed {
	ceiling := bd.Ceiling(low)
	s := Speed{
		FreeSpinKmh:         bd.FreeSpin(full) * perKmh,
		FreeSpinWeakenedKmh: bd.FreeSpinWeakened(full) * perKmh,
		LevelTopKmh:         bd.LevelTop(full) * perKmh,
		CruiseCeilingKmh: Charges{
			bd.Ceiling(full).Speed * perKmh, bd.Ceiling(half).Speed * perKmh, ceiling.Speed * perKmh,
		},
		LimitedBy: limitedBy(ceiling),
		FallM:     ride.FallHeight(ceiling.Speed),
	}
	if m, ok := bd.StoppingDistance(start, ceiling.Speed); ok {
		s.StopM = &m
	}
	return s
}

func packOf(b *build.Build, p *build.Parts, k *pack.Pack, full, half pack.Source, peak float64) Pack {
	loaded := full.Under(peak)
	return Pack{
		FullV: k.FullV, NominalV: k.NominalV, EmptyV: k.EmptyV,
		DrawnA: peak, LoadedV: loaded, SagV: full.OpenCircuit - loaded,
		CapacityAh: k.CapacityAh, EnergyWh: k.RatedWh, ResistanceOhm: half.Resistance,
		ContinuousA: float64(b.Parallel) * p.Cell.ContinuousA, PeakA: float64(b.Parallel) * p.Cell.PeakA,
		MassKg: float64(k.Cells) * p.Cell.Mass, Cells: k.Cells,
	}
}

// tireOf holds the growth at the fastest that the wheel can spin against the gap around it.
func tireOf(b *build.Build, bd *ride.Board, topKmh float64) Tire {
	t := &bd.Road.Tire
	return Tire{
		DeflectionM: t.Deflection, PatchM2: t.PatchArea, GrowthM: t.Grown(topKmh / perKmh), ClearanceM: b.RubClearance - t.Grown(topKmh/perKmh),
	}
}

// regenOf tells of braking at the ride's highest speed, on its steepest descent. The charge that the ride starts with leaves least where
// voltage binds, the one that it ends with (fraction) where current does.
func regenOf(b *build.Build, bd *ride.Board, p *ride.Profile, end float64, h *hard) Regen {
	r := Regen{RidePct: max(0, -p.LowGrade*100), SpeedKmh: p.TopSpeed * perKmh, RideA: h.BrakeA, LastingA: h.BrakesA}
	least, d := brakingAt(bd, p, b.StartCharge)
	r.MaxDescentPct, r.ChargePct, r.BoundBy, r.BusV, r.BatteryA = least.MaxDescentPct, least.ChargePct, least.BoundBy, d.Point.BusV, math.Max(0, -d.Point.BusA)
	if r.Least = least; least.ShiftMm != nil && end < b.StartCharge {
		if other, _ := brakingAt(bd, p, end); *other.ShiftMm < *least.ShiftMm {
			r.Least = other
		}
	}
	if c, ok := bd.Charging(p, b.StartCharge); ok {
		src := bd.Pack.At(b.StartCharge)
		pct, cell := 100*c.Overfull, (src.OpenCircuit+c.PeakA*(src.Resistance-bd.Pack.PathOhm))/float64(b.Series)
		r.OverfullPct, r.CellV, r.RoomPct = &pct, &cell, roomFor(bd, p, b.StartCharge, c.Overfull)
	}
	return r
}

// roomFor is the whole percent of charge to start with so that nothing to speak of is pushed into a full pack, where a share is at a charge.
func roomFor(bd *ride.Board, p *ride.Profile, charge, share float64) *float64 {
	if share <= overfullTight {
		return nil
	}
	// A lower charge has less voltage, so more of it comes back.
	for share > overfullTight {
		charge = math.Floor((charge-share)*100) / 100
		if charge <= 0 {
			return nil
		}
		c, ok := bd.Charging(p, charge)
		if !ok {
			return nil
		}
		share = c.Overfull
	}
	pct := math.Round(charge * 100)
	return &pct
}

func brakingAt(bd *ride.Board, p *ride.Profile, charge float64) (Braking, ride.Descent) {
	d := bd.Descent(bd.Pack.At(charge), p.TopSpeed)
	k := Braking{ChargePct: charge * 100, BoundBy: string(d.Bound)}
	if d.Grade > -1 {
		pct := -100*d.Grade + 0
		k.MaxDescentPct = &pct
	}
	if load := bd.Road.Torque(p.TopSpeed, p.LowGrade); p.LowGrade < 0 && load < 0 {
		shift := bd.Road.Shift(load-d.Point.Torque) * 1e3
		k.ShiftMm = &shift
	}
	return k, d
}

// freeSpinCool is the weakened free-spin speed in rad/s, also of a winding that was not yet hot: then all of the current may weaken.
func freeSpinCool(b *build.Build, p *build.Parts, bd *ride.Board, full pack.Source) float64 {
	omega := bd.Drive.FreeSpinWeakened(full)
	if cool, hot := coolDrive(b, p, &bd.Drive); hot && b.WeakenA > 0 {
		omega = math.Max(omega, cool.FreeSpinWeakened(full))
	}
	return omega
}

func overspeedOf(b *build.Build, p *build.Parts, bd *ride.Board, full pack.Source) Overspeed {
	v := bd.Drive.BackEMF(freeSpinCool(b, p, bd, full))
	return Overspeed{BackEMFV: v, Status: limit.Judge(v, p.Controller.AbsoluteV*(1-b.VoltageMargin), p.Controller.AbsoluteV)}
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

// rideOf describes the worst moment of the ride at low charge.
func rideOf(s *ride.Sample, p *ride.Profile, b *build.Build) Ride {
	r := Ride{
		SpeedKmh: p.TopSpeed * perKmh, WorstKmh: s.Speed * perKmh, ChargePct: b.FloorCharge * 100, RoundM: p.Meters, RoundS: p.Seconds,
		LoadNm: s.Load, MaxNm: s.Max, ReserveNm: s.Reserve, ShiftMm: s.Shift * 1e3, GradePct: s.Grade * 100,
		BoundBy: string(s.Bound),
	}
	if s.Reached {
		duty, phase := s.At.Duty*100, s.At.Phase()
		r.DutyPct, r.BusV, r.BatteryA, r.PowerW, r.PhaseA = &duty, &s.At.BusV, &s.At.BusA, &s.At.BusW, &phase
	}
	return r
}
