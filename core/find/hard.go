package find

import (
	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/pack"
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
	case p.Fuse.BreakingA < k.ShortCircuit():
		return "fuse-breaking"
	case p.Connector.VoltageDC < k.FullV, p.MotorPlug.VoltageDC < k.FullV:
		return "connector-voltage"
	case p.ChargeFuse.VoltageDC < k.FullV:
		return "charge-fuse"
	case b.BatteryLimit > float64(b.Parallel)*p.Cell.PeakA+settingRoom,
		b.RegenLimit > 3*float64(b.Parallel)*p.Cell.ChargeA+settingRoom:
		return "settings"
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

// rideOver holds the back-EMF of a lifted wheel against the controller; without weakening it cannot pass the full pack.
func (s *Search) rideOver(bd *ride.Board) string {
	n := &s.now
	if n.b.WeakenA == 0 || n.b.HeatFeeds == build.On {
		return ""
	}
	if bd.Drive.BackEMF(bd.Drive.FreeSpinWeakened(n.full)) > n.p.Controller.AbsoluteV {
		return "overspeed"
	}
	return ""
}
