package core

import (
	"math"

	"headroom/core/boxes"
	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/limit"
	"headroom/core/pack"
	"headroom/core/protect"
	"headroom/core/review"
	"headroom/core/ride"
	"headroom/core/road"
	"headroom/core/rules"
)

// mostWeakening bounds the search for the largest field-weakening current, A: what the form takes at most.
const mostWeakening = 300.0

// factsOf gathers what the settings are held against.
func factsOf(b *build.Build, p *build.Parts, bd *ride.Board, r *Report, h *hard, full, low pack.Source, worst *ride.Sample, profile *ride.Profile, end float64) review.Facts {
	f := review.Facts{
		FullV: bd.Pack.FullV, FloorRestV: low.OpenCircuit,
		RegenCellsA: float64(b.Parallel) * p.Cell.ChargeA, RideBrakesA: h.BrakesA,
		MaxWeakenA:      weakenedWithin(bd, full, p.Controller.AbsoluteV*(1-b.VoltageMargin)),
		MaxWeakenLimitA: weakenedWithin(bd, full, p.Controller.AbsoluteV),
		BackEMFOver:     r.Overspeed.Status == limit.Over,
		CharacteristicA: bd.Drive.Motor.Flux / p.Motor.Ld,
	}
	f.BatteryPathA, f.BatteryPathPart = leastRating(r.Protection.Rows, protect.UnitDC)
	f.PhasePathA, f.PhasePathPart = leastRating(r.Protection.Rows, protect.UnitPeak, protect.UnitRMS)
	if worst.Reached {
		f.FloorLoadedV, f.RideDuty = &worst.At.BusV, &worst.At.Duty
	}
	omega := bd.Road.Omega(worst.Speed)
	if at, ok := bd.Drive.At(low, omega, worst.Load+b.Shift*b.Rider*road.Gravity); ok {
		phase, battery := at.Phase(), math.Max(0, at.BusA)
		f.NeedPhaseA, f.NeedBatteryA = &phase, &battery
	}
	v := r.Speed.CruiseCeilingKmh.Low / perKmh
	if at, ok := bd.Drive.At(low, bd.Road.Omega(v), bd.Road.Torque(v, 0)); ok && v > 0 {
		f.CeilingDuty = &at.Duty
	}
	rideNeeds(&f, b, bd, low, profile)
	brakeNeeds(&f, b, bd, r, h, profile, end)
	warmth(&f, b, p, r, h, low)
	return f
}

// rideNeeds finds how low a limit may be before the ride drops its rider: where at low charge nothing is left to balance with, or where the
// ride cannot even begin with the reserve asked for. Every other limit of current is lifted, so that each setting answers for itself.
func rideNeeds(f *review.Facts, b *build.Build, bd *ride.Board, low pack.Source, profile *ride.Profile) {
	lifted := *bd
	lifted.Drive.PhaseLimit, lifted.Drive.WeakenA = math.Inf(1), b.WeakenA
	if want, ok := lifted.Needs(low, profile, b.Shift); ok {
		f.NeedDuty, f.NeedBusV = &want.Duty, &want.BusV
		// The moment that asks for most of one limit need not be the one that leaves the least reserve.
		f.NeedPhaseA, f.NeedBatteryA = most(f.NeedPhaseA, want.PhaseA), most(f.NeedBatteryA, want.BatteryA)
	}
	hold, ok := lifted.Needs(low, profile, noShift/1e3)
	if !ok {
		return
	}
	if b.StartCharge > b.FloorCharge {
		if begin, ok := lifted.Needs(bd.Pack.At(b.StartCharge), profile, b.Shift); ok {
			hold = hold.And(begin)
		}
	}
	f.HoldDuty, f.HoldPhaseA, f.HoldBatteryA, f.HoldBusV = &hold.Duty, &hold.PhaseA, &hold.BatteryA, &hold.BusV
}

func most(a *float64, b float64) *float64 {
	if a == nil || *a < b {
		return &b
	}
	return a
}

// brakeNeeds finds what braking on the ride pushes back with the limit of that lifted, and what the steepest way down asks for: at the charge
// that the ride starts with, where voltage leaves least, and at the one that it ends with, where the same power is most amperes.
func brakeNeeds(f *review.Facts, b *build.Build, bd *ride.Board, r *Report, h *hard, profile *ride.Profile, end float64) {
	f.RideBrakeA = h.BrakeA
	lifted := *bd
	lifted.Drive.RegenLimit = math.Inf(1)
	// Where the ride came near the limit it was cut there.
	if h.BrakeA != nil && *h.BrakeA >= 0.99*bd.Drive.RegenLimit {
		if long, ok := lifted.Hardest(bd.Pack.At(end), profile); ok {
			f.RideBrakeA = &long.BrakeA
		}
	}
	v, grade := profile.TopSpeed, profile.LowGrade
	if amps, ok := lifted.BrakeNeed(bd.Pack.At(r.Regen.Least.ChargePct/100), v, -tooShallow/100, 0); ok {
		f.StreetA = &amps
	}
	if grade >= 0 || bd.Road.Torque(v, grade) >= 0 {
		return
	}
	var hold, want float64
	for _, charge := range [2]float64{b.StartCharge, end} {
		src := bd.Pack.At(charge)
		need := func(grade, reserve float64) float64 {
			amps, ok := lifted.BrakeNeed(src, v, grade, reserve)
			if !ok { // the iron cannot brake so hard, whatever the limit
				return 0
			}
			return amps
		}
		hold = max(hold, need(grade, noBraking/1e3))
		want = max(want, hold, need(grade/(1-descentSpare), 0), need(grade, max(b.Shift, leastShift)))
		if !bd.Holds(src, v, grade, noBraking/1e3) {
			f.DescentOver = true
			if !lifted.Holds(src, v, grade, noBraking/1e3) {
				f.DescentBound = string(lifted.Descent(src, v).Bound)
			}
		}
	}
	if f.DescentOver && f.DescentBound == "" && b.RegenLimit >= hold {
		// Faster than the free spin duty may bind with little braking and not with more.
		f.DescentBound = string(bd.Descent(bd.Pack.At(b.StartCharge), v).Bound)
	}
	if f.DescentBound == "" {
		f.DescentA, f.DescentWantA = &hold, &want
	}
}

// warmth is how warm the ride makes what the temperature limits look at.
func warmth(f *review.Facts, b *build.Build, p *build.Parts, r *Report, h *hard, low pack.Source) {
	f.BoxAirC = b.AmbientC + b.BoxWarmth
	switch settled := r.Heat.WindingC; {
	case b.HeatFeeds == build.On:
		f.WindingC = settled // the temperature of the figures is cut at the setting that is looked at
	case settled != nil && *settled > b.WindingC:
		f.WindingC = settled
	default:
		f.WindingC = &b.WindingC
	}
	if f.WindingC != nil {
		left := drive.Derating(*f.WindingC, b.DerateC, b.LimitC)
		f.LeftShare = &left
	}
	if h.BrakeA == nil { // the ride cannot be held
		return
	}
	loss := func(amps float64) float64 {
		return 1.5*p.Controller.OnResistance*amps*amps + p.Controller.SwitchingK*low.OpenCircuit*amps + p.Controller.StandbyW
	}
	// At full duty and no angle between voltage and current, P = 1.5·(V/√3)·I makes the phase current 2/√3 of the battery's.
	if rated := loss(2 / math.Sqrt(3) * p.Controller.BatteryA); rated > 0 {
		share := loss(h.SteadyPhase) / rated
		f.LossShare = &share
	}
}

// leastRating is the lowest peak rating among the rows with one of these units, told in peak amperes, and the part that has it.
func leastRating(rows []protect.Row, units ...string) (least float64, part string) {
	least = math.Inf(1)
	for i := range rows {
		for _, unit := range units {
			rating := rows[i].PeakRating
			if unit == protect.UnitRMS {
				rating *= math.Sqrt2
			}
			if rows[i].Unit == unit && rating < least {
				least, part = rating, rows[i].Part
			}
		}
	}
	return least, part
}

// weakenedWithin returns the largest field-weakening current in A that keeps the back-EMF at the weakened free-spin speed at or under volts; nil
// where any does.
func weakenedWithin(bd *ride.Board, full pack.Source, volts float64) *float64 {
	amps, ok := bd.Drive.WeakeningTo(full, volts/bd.Drive.BackEMF(1), math.Min(mostWeakening, bd.Drive.PhaseLimit))
	if !ok {
		return nil
	}
	return &amps
}

func boxesOf(b *build.Build, p *build.Parts) Boxes {
	both := boxes.Summary(b, p)
	return Boxes{both[0], both[1]}
}

func rulesOf(b *build.Build, p *build.Parts, r *Report) []rules.Fact {
	return rules.Facts(b, p, rules.Figures{
		EnergyWh: r.Pack.EnergyWh, CellWh: p.Cell.CapacityAh * p.Cell.NominalV, FullV: r.Pack.FullV,
		CruiseKmh: r.Ride.SpeedKmh, BoardKg: r.Weight.BoardKg,
	})
}
