package core

import (
	"math"

	"headroom/core/build"
	"headroom/core/pack"
	"headroom/core/protect"
	"headroom/core/ride"
)

// hard is what the parts must stand.
type hard struct {
	protect.Loads
	BrakeA  *float64 // the most that the ride pushes back; nil where the ride cannot be held
	BrakesA *float64 // its r.m.s. over the ten minutes that push back most
}

// hardOf collects the currents that the parts must stand: the hardest ten minutes at the charge where the ride ends, the highest that the
// limits allow driving or braking, and a wheel held still. A ride that cannot be held is taken at the limits: whoever tries gets them.
func hardOf(bd *ride.Board, profile *ride.Profile, low pack.Source, worst *ride.Sample, d ride.Distance, most peaks) hard {
	still, _ := most.cool.MaxTorque(low, 0)
	h := hard{Loads: protect.Loads{
		SteadyA: most.BusA, PeakA: math.Max(most.BusA, most.BrakeA), StallA: math.Max(0, still.BusA), SteadyPhase: most.Iq, PeakPhase: most.Iq,
	}}
	if d.EndHeld {
		if long, ok := bd.Hardest(bd.Pack.At(d.End), profile); ok {
			h.SteadyA, h.SteadyPhase = long.BatteryA, long.PhaseA
			h.BrakeA, h.BrakesA = &long.BrakeA, &long.BrakesA
			return h
		}
		h.SteadyA = d.EndAmps // the climb cannot be held for long, the ride can
	}
	if worst.Reached {
		h.SteadyPhase = worst.At.Phase()
	}
	return h
}

func protectionOf(b *build.Build, p *build.Parts, k *pack.Pack, l protect.Loads) Protection {
	rows := protect.Rows(b, p, k, l)
	weakest := protect.Weakest(rows)
	return Protection{
		Rows: rows, Weakest: weakest.Part, MarginPct: weakest.MarginPct, SpareA: weakest.MarginA,
		Fuse: protect.CheckFuse(b, p, k, l), Suggest: protect.Suggest(b, p, k, l), Leads: protect.CheckLeads(b, p, k, l),
		LinkOhm: protect.LinkOhm(b, p), Precharge: protect.CheckPrecharge(b, p, k), Touch: protect.CheckTouch(k),
	}
}
