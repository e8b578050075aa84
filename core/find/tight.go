package find

import (
	"headroom/core/balance"
	"headroom/core/build"
	"headroom/core/charge"
	"headroom/core/limit"
	"headroom/core/pack"
	"headroom/core/protect"
	"headroom/core/ride"
)

// These look for what core.Plan judges tight, and only where clear builds alone are wished for. Each is exact or sees less than the plan
// does, so that no clear build is lost; whatever they do not see, the plan does.

// clearOnly tells whether a build that is tight is out.
func (s *Search) clearOnly() bool { return s.task.Want[Clear].Given }

// surelyTight tells whether the present build is.
func (s *Search) surelyTight(bd *ride.Board, worst *ride.Sample) bool {
	n := &s.now
	return controllerTight(&n.b, &n.p, &n.pack) || tireTight(&n.b, &n.p) || s.rideTight(bd, worst) || s.packTight()
}

// packTight is that of the present pack, found once.
func (s *Search) packTight() bool {
	n := &s.now
	if n.tight == nil {
		is := packTight(&n.b, &n.p, &n.pack)
		n.tight = &is
	}
	return *n.tight
}

func packTight(b *build.Build, p *build.Parts, k *pack.Pack) bool {
	fuse := protect.CheckFuse(b, p, k, protect.Loads{})
	charging := protect.CheckChargeFuse(b, p, k)
	switch {
	case b.BMS == build.BMSPath, b.BMS == build.BMSNone,
		!fuse.RatingOK, !fuse.GuardsLead,
		!charging.RatingOK, !charging.ClassOK,
		protect.LinkOhm(b, p) > b.JointResistance*(1+1e-9):
		return true
	}
	c := charge.Plan(b, p)
	return c.Cell.Status != limit.Clear || c.Voltage.Status != limit.Clear || c.Temperature.Status != limit.Clear || c.Current.Status != limit.Clear
}

func controllerTight(b *build.Build, p *build.Parts, k *pack.Pack) bool {
	return k.FullV > p.Controller.AbsoluteV*(1-b.VoltageMargin)
}

func tireTight(b *build.Build, p *build.Parts) bool {
	return b.Pressure < p.Tire.MinP || p.Tire.Rim != p.Motor.Rim
}

// rideTight looks at reserve, duty and cruise ceiling where the ride asks for most, at nose and tail, at a lifted wheel, and at what carries
// the phase current: that of the wheel held still is among those that the limits allow.
func (s *Search) rideTight(bd *ride.Board, worst *ride.Sample) bool {
	n := &s.now
	if worst.Shift*1e3 < n.b.Shift*1e3 || worst.Reached && worst.At.Duty*100 > min(n.b.CruiseDuty, n.b.MaxDuty)*100 ||
		s.below(bd, n.profile.TopSpeed) || balance.Of(&n.b, &n.p, n.road.Tire.LoadedRadius).Status != limit.Clear {
		return true
	}
	if n.b.WeakenA > 0 && bd.Drive.BackEMF(bd.Drive.FreeSpinWeakened(n.full)) > n.p.Controller.AbsoluteV*(1-n.b.VoltageMargin) {
		return true
	}
	still, _ := bd.Drive.MaxTorque(n.full, 0)
	amps := still.Phase()
	for _, rated := range [2]float64{n.p.Motor.PhaseA, n.p.Controller.PhaseA} {
		if amps/rated > 1-n.b.Margin {
			return true
		}
	}
	return false
}
