package core

import (
	"headroom/core/drive"
	"headroom/core/pack"
	"headroom/core/ride"
)

// linesPush is the pack while the motor is pushed as hard as the limits allow.
const linesPush = "\nV_p = E − ΔV\nΔV = R·I_p\nV_p ≥ U_c"

// push lists what linesPush holds, for a pack at some charge and the point of the largest torque.
func (x *basis) push(src pack.Source, p *drive.Point) []Quantity {
	return []Quantity{
		{"U_c", "low-voltage cut-off", x.board.Drive.CutoffV, "V"},
		{"E", "pack at rest at this charge", src.OpenCircuit, "V"},
		{"R", "resistance of the pack there", src.Resistance, "Ω"},
		{"I_p", "battery current, pushed hardest", p.BusA, "A"},
		{"ΔV", "sag at that current", src.Resistance * p.BusA, "V"},
		{"V_p", "voltage that is left", p.BusV, "V"},
	}
}

// plainly says in plain sentences what a bound does, by readout.
var plainly = map[string]func(*basis) string{
	"speed.cruise_ceiling_kmh.low":  func(x *basis) string { return x.plainCeiling(x.low) },
	"speed.cruise_ceiling_kmh.half": func(x *basis) string { return x.plainCeiling(x.half) },
	"speed.cruise_ceiling_kmh.full": func(x *basis) string { return x.plainCeiling(x.full) },
	"speed.level_top_kmh": func(x *basis) string {
		s := x.board.Sample(x.full, x.Speed.LevelTopKmh/perKmh, 0)
		return x.plainPush(x.full, &s)
	},
	"ride.shift_mm":   plainWorst,
	"ride.reserve_nm": plainWorst,
	"ride.grade_pct":  plainWorst,
	"range.km":        plainRange,
	"range.low_km":    plainRange,
	"range.high_km":   plainRange,
}

func plainWorst(x *basis) string {
	s := x.worst()
	return x.plainPush(x.low, &s)
}

func (x *basis) plainCeiling(src pack.Source) string {
	c := x.board.Ceiling(src)
	if c.By == ride.ByDuty {
		return "From this speed on riding alone takes more than the duty of " + fixed(x.in.CruiseDuty*100, 0) +
			" % that you asked to stay under. More cells in series or a motor of higher Kv takes less."
	}
	s := x.board.Sample(src, c.Speed, 0)
	return x.plainPush(src, &s)
}

// plainPush says what ends the torque where the motor is pushed at a moment.
func (x *basis) plainPush(src pack.Source, s *ride.Sample) string {
	d, p := &x.board.Drive, &s.Limit
	switch s.Bound {
	case drive.ByCutoff:
		if src.OpenCircuit <= d.CutoffV {
			return "At this charge the pack rests at " + fixed(src.OpenCircuit, 1) + " V, already below the cut-off of " + fixed(d.CutoffV, 1) +
				" V: the controller gives nothing."
		}
		return "Pushed hard, the pack sags by " + fixed(src.OpenCircuit-d.CutoffV, 1) + " V, from " + fixed(src.OpenCircuit, 1) + " V to the cut-off of " +
			fixed(d.CutoffV, 1) + " V, and the controller gives less. Twice the cells in parallel sag about half as much."
	case drive.ByPower:
		return "Pushed hard, half the pack's voltage is lost in its own resistance: no current brings more power than that. Twice the cells in parallel give about twice as much."
	case drive.ByBattery:
		return "Pushed hard, the motor takes the " + fixed(d.BatteryLimit, 0) + " A that the battery current limit allows, and gets no more power. A higher limit helps only where cells, fuse and leads stand it."
	case drive.ByCells:
		return "Pushed hard, the motor takes the " + fixed(d.BatteryLimit, 0) + " A that the cells are rated for, and gets no more power. More cells in parallel give more."
	case drive.ByPhase:
		return "Pushed hard, the motor takes the " + fixed(d.PhaseLimit, 0) + " A that the phase current limit allows, and torque goes with that current. A higher limit helps only where controller, plug and winding stand it."
	case drive.ByWinding:
		return "The winding is at " + fixed(x.in.WindingC, 0) + " °C, so the controller leaves the motor only " + fixed(d.PhaseLimit, 0) + " A of phase current, and torque goes with that current. A cooler winding gives more."
	case drive.ByDuty:
		return "Pushed hard at this speed, the motor asks for all the voltage there is: " + fixed(d.MaxDuty*100, 0) + " % duty of " + fixed(p.BusV, 1) +
			" V. More cells in series, a motor of higher Kv or a pack that sags less leaves more."
	case drive.ByWeakening:
		return "At this speed the motor pushes only with its field weakened, and the " + fixed(d.WeakenA, 0) + " A that may be spent on it are spent."
	}
	return ""
}

// atEnd is the moment of the ride with the least reserve, at the charge that ends it.
func (x *basis) atEnd() (src pack.Source, s ride.Sample) {
	src = x.board.Pack.At(x.Range.EndPct / 100)
	return src, x.board.Worst(src, x.route())
}

// plainRange says what ends the ride, and where the reserve does, what ends the reserve.
func plainRange(x *basis) string {
	src, s := x.atEnd()
	at := "At " + fixed(x.Range.EndPct, 0) + " % charge "
	switch ride.Stop(x.Range.StoppedBy) {
	case ride.StopFloor:
		return "The ride ends at the charge that you asked to turn home at; it is not the board that ends it."
	case ride.StopDuty:
		return at + "the ride's hardest moment takes the whole duty of " + fixed(x.in.CruiseDuty*100, 0) + " % that you asked to stay under."
	case ride.StopReserve:
		return at + "only the " + fixed(x.in.Shift*1e3, 0) + " mm of balance reserve that you asked for are left at the ride's hardest moment. " + x.plainPush(src, &s)
	case ride.StopCutoff, ride.StopNoTorque:
		return at + "less torque is left than the ride's hardest moment takes. " + x.plainPush(src, &s)
	}
	return ""
}
