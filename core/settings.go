package core

import (
	"math"

	"headroom/core/boxes"
	"headroom/core/build"
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
func factsOf(b *build.Build, p *build.Parts, bd *ride.Board, r *Report, h *hard, full, low pack.Source, worst *ride.Sample) review.Facts {
	f := review.Facts{
		FullV: bd.Pack.FullV, FloorRestV: low.OpenCircuit,
		RegenCellsA: float64(b.Parallel) * p.Cell.ChargeA, RideBrakeA: h.BrakeA, RideBrakesA: h.BrakesA,
		MaxWeakenA:      weakenedWithin(bd, full, p.Controller.AbsoluteV*(1-b.VoltageMargin)),
		MaxWeakenLimitA: weakenedWithin(bd, full, p.Controller.AbsoluteV),
		BackEMFOver:     r.Overspeed.Status == limit.Over,
		CharacteristicA: bd.Drive.Motor.Flux / p.Motor.Ld,
	}
	f.BatteryPathA, f.BatteryPathPart = leastRating(r.Protection.Rows, protect.UnitDC)
	f.PhasePathA, f.PhasePathPart = leastRating(r.Protection.Rows, protect.UnitPeak, protect.UnitRMS)
	if worst.Reached {
		f.FloorLoadedV = &worst.At.BusV
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
	return f
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
