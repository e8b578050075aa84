package find

import (
	"headroom/core/balance"
	"headroom/core/boxes"
	"headroom/core/build"
	"headroom/core/heat"
	"headroom/core/limit"
	"headroom/core/pack"
	"headroom/core/protect"
	"headroom/core/ride"
)

const over = limit.Over

// settingRoom keeps the looks at settings on the safe side of the rounding in the settings check.
const settingRoom = 1e-5

// These are hard limits that core.Plan judges over, each where it first can be told; the code is that of the note. A test holds every one
// against the plan. Whatever they do not see the plan does.

func packOver(b *build.Build, p *build.Parts, k *pack.Pack) string {
	switch {
	case p.Fuse.VoltageDC < k.FullV:
		return "fuse-voltage"
	case p.Fuse.BreakingA < k.MostShortCircuit():
		return "fuse-breaking"
	case p.Connector.VoltageDC < k.FullV, p.MotorPlug.VoltageDC < k.FullV:
		return "connector-voltage"
	case p.ChargeFuse.VoltageDC < k.FullV, p.ChargeFuse.BreakingA < k.MostShortCircuit():
		return "charge-fuse"
	case b.ChargerA/float64(b.Parallel) > p.Cell.ChargeA:
		return "charge-current"
	case b.BatteryLimit > float64(b.Parallel)*p.Cell.PeakA+settingRoom,
		b.RegenLimit > 3*float64(b.Parallel)*p.Cell.ChargeA+settingRoom:
		return "settings"
	}
	if fuse := protect.CheckFuse(b, p, k, protect.Loads{}); !fuse.LeadOK { // whatever the loads
		return "fuse-lead"
	}
	for _, box := range boxes.Summary(b, p) {
		if box.Status == over {
			return "box-" + box.Name
		}
	}
	return ""
}

func controllerOver(b *build.Build, p *build.Parts, k *pack.Pack) string {
	switch {
	case k.FullV > p.Controller.AbsoluteV:
		return "controller-voltage"
	case b.BatteryLimit > p.Controller.BatteryA+settingRoom, b.PhaseLimit > p.Controller.PhaseA+settingRoom:
		return "settings"
	}
	return ""
}

func motorOver(b *build.Build, p *build.Parts) string {
	if b.PhaseLimit > p.Motor.PhaseA+settingRoom {
		return "settings"
	}
	return ""
}

func tireOver(b *build.Build, p *build.Parts) string {
	if b.Pressure/1e3 > p.Tire.MaxP/1e3 {
		return "pressure-high"
	}
	return ""
}

// rideOver looks at what the ride asks for: back-EMF of a lifted wheel (without weakening it cannot pass the full pack), nose and tail, and the
// steepest descent.
func (s *Search) rideOver(bd *ride.Board) string {
	n := &s.now
	if balance.Of(&n.b, &n.p, n.road.Tire.LoadedRadius).Status == over {
		return "clearance"
	}
	if n.b.WeakenA > 0 && bd.Drive.BackEMF(bd.Drive.FreeSpinWeakened(n.full)) > n.p.Controller.AbsoluteV {
		return "overspeed"
	}
	if n.profile.LowGrade < 0 {
		d := bd.Descent(n.pack.At(n.b.StartCharge), n.profile.TopSpeed)
		if d.Grade > -1 && -100*d.Grade < -100*n.profile.LowGrade {
			return "descent"
		}
	}
	return ""
}

// hotter tells whether the winding settles on the ride above a temperature in °C; windingC is what its resistance was taken at.
func (s *Search) hotter(d ride.Distance, windingC, most float64) bool {
	n := &s.now
	if !d.EndHeld {
		return true // no such temperature
	}
	m := heat.New(n.p.Motor, n.profile.Meters/n.profile.Seconds, n.b.AmbientC)
	settled, ok := m.Settled(heat.LossesAt(d.Copper, d.Iron, windingC))
	return !ok || settled.Winding > most
}
