package core

import (
	"headroom/core/limit"
	"headroom/core/ride"
	"headroom/core/route"
)

// Route is a recorded way as this build rides it, from standing to standing.
type Route struct {
	Km         float64        `json:"km"` // of the whole way
	ClimbM     float64        `json:"climb_m"`
	FallM      float64        `json:"fall_m"`
	Level      bool           `json:"level"`      // the file knows no elevations
	UnknownKm  float64        `json:"unknown_km"` // of the way whose slopes nobody knows, see route.Path
	RiddenKm   float64        `json:"ridden_km"`  // less than Km where it stops before the end
	StoppedBy  string         `json:"stopped_by,omitempty"`
	EndPct     float64        `json:"end_pct"` // charge where it ends
	End        limit.Status   `json:"end"`
	Minutes    float64        `json:"minutes"`
	MeanKmh    float64        `json:"mean_kmh"`
	EnergyWh   float64        `json:"energy_wh"`           // drawn at the controller, braking counted back
	WhPerKm    *float64       `json:"wh_per_km,omitempty"` // nil where nothing was ridden
	Lowest     RoutePlace     `json:"lowest"`              // where the least balance reserve is left, mm
	Hottest    RoutePlace     `json:"hottest"`             // where the winding is warmest, °C
	Descent    *RouteDescent  `json:"descent,omitempty"`   // nil where no way down had to be held
	UnheldM    float64        `json:"unheld_m"`            // of the way where braking passes its limits
	Unheld     limit.Status   `json:"unheld"`              // over where there is any
	Ground     limit.Status   `json:"ground"`              // tight where that leaves too much out: then nothing that hills take from is clear
	OverfullWh float64        `json:"overfull_wh"`         // pushed into a pack that is full
	Overfull   limit.Status   `json:"overfull"`
	Slower     []RouteSlower  `json:"slower"` // what kept it below the riding speed
	Points     []RoutePlaceAt `json:"points"` // at most some 600, those named above among them
	Limits     []limit.Bar    `json:"limits"`
}

// RoutePlace is one place of the way with a figure.
type RoutePlace struct {
	Km     float64      `json:"km"`
	Value  float64      `json:"value"`
	Status limit.Status `json:"status"`
}

// RouteDescent is the way down that comes nearest to what braking can hold.
type RouteDescent struct {
	Km         float64      `json:"km"`
	GradePct   float64      `json:"grade_pct"`   // how steep it is, > 0
	CeilingPct *float64     `json:"ceiling_pct"` // how steep it might be at the speed and charge there; nil where no limit was met
	SpeedKmh   float64      `json:"speed_kmh"`
	BoundBy    string       `json:"bound_by"`
	Status     limit.Status `json:"status"`
}

// RouteSlower is how much of the way one thing took speed from.
type RouteSlower struct {
	By string  `json:"by"`
	Km float64 `json:"km"`
}

// RoutePlaceAt is one point of the way as ridden.
type RoutePlaceAt struct {
	Km        float64 `json:"km"`
	EleM      float64 `json:"ele_m"`
	GradePct  float64 `json:"grade_pct"`
	SpeedKmh  float64 `json:"speed_kmh"`
	ChargePct float64 `json:"charge_pct"`
	ShiftMm   float64 `json:"shift_mm"`
	WindingC  float64 `json:"winding_c"`
}

const (
	routePoints = 600
	// A pack that is told to take more than it holds is tight from here and over from there, as shares of its charge: engineering judgment, no
	// published source.
	overfullTight = 0.0005
	overfullOver  = 0.005
	// descentSpare is how much of the ceiling of a way down should stay free: a fifth, as of the currents (common practice, no published
	// source).
	descentSpare = 0.2
	// endSpare is how much charge above the one to turn home at lets the end of a way be clear, at least: a way is longer than its record.
	// Where the band of the range takes more than that, so much is asked for (engineering judgment, no published source).
	endSpare = 0.10
	// unknownGround is the share of a way with unknown slopes from which on all of it counts as such (engineering judgment).
	unknownGround = 0.05
)

// RouteRiding rides a way a piece at a time.
type RouteRiding struct {
	x    basis
	path *route.Path
	work *route.Traveler
	more float64 // how much more charge the same way takes at the low end of the range's band, as a share
	out  *Route
}

// NewRouteRiding begins; nothing is computed yet.
func (r *Report) NewRouteRiding(path *route.Path) *RouteRiding {
	x := r.basis()
	rider := route.Rider{
		Board: x.board, Motor: x.parts.Motor, AmbientC: x.in.AmbientC, WindingC: x.in.WindingC,
		Wanted: x.in.Cruise, Start: x.in.StartCharge, Floor: x.in.FloorCharge,
	}
	w := &RouteRiding{x: x, path: path, work: route.NewTraveler(rider, path)}
	if km, low := r.Range.Km, r.Range.LowKm; km != nil && low != nil && *low > 0 {
		w.more = max(0, *km / *low - 1)
	}
	return w
}

// Step does one piece and tells whether there was any.
func (w *RouteRiding) Step() bool { return w.work.Step() }

// Done tells whether all is done.
func (w *RouteRiding) Done() bool { return w.work.Done() }

// Share is how much of it is done, 0…1.
func (w *RouteRiding) Share() float64 { return w.work.Share() }

// Route is the outcome; nil until Done.
func (w *RouteRiding) Route() *Route {
	if w.out == nil && w.Done() {
		w.out = w.route()
	}
	return w.out
}

func (w *RouteRiding) route() *Route {
	d, p, b := w.work.Ride(), w.path, &w.x.in
	last := &d.Places[len(d.Places)-1]
	r := &Route{
		Km: p.Meters() / 1e3, ClimbM: p.Climb, FallM: p.Fall, Level: p.Level, UnknownKm: p.BlindM / 1e3,
		RiddenKm: d.Meters / 1e3, StoppedBy: string(d.Stop), EndPct: last.Charge * 100,
		Minutes: d.Seconds / 60, EnergyWh: d.EnergyWh, UnheldM: d.Unheld,
		OverfullWh: d.Overfull * w.x.board.Pack.CapacityAh * w.x.full.OpenCircuit,
	}
	if d.Seconds > 0 {
		perKm := d.EnergyWh / r.RiddenKm
		r.WhPerKm, r.MeanKmh = &perKm, d.Meters/d.Seconds*perKmh
	}
	switch {
	case d.Stop != "":
		r.End = limit.Over
	case last.Charge < b.FloorCharge+w.spare(last.Charge):
		r.End = limit.Tight
	default:
		r.End = limit.Clear
	}
	r.Unheld, r.Ground = limit.Clear, limit.Clear
	if r.UnheldM > 0 {
		r.Unheld = limit.Over
	}
	if p.BlindM > unknownGround*p.Meters() {
		r.Ground = limit.Tight
	}
	r.Overfull = limit.Judge(d.Overfull, overfullTight, overfullOver)
	r.Lowest, r.Hottest = w.lowest(d), w.hottest(d)
	r.Descent = w.descent(d)
	if r.Ground != limit.Clear {
		r.doubt()
	}
	r.Slower = slower(d, p)
	r.Points = points(d)
	r.Limits = w.bars(d, r)
	return r
}

// doubt takes back that anything is clear which a hill that the file does not show would take from.
func (r *Route) doubt() {
	of := []*limit.Status{&r.End, &r.Lowest.Status, &r.Hottest.Status}
	if r.Descent != nil {
		of = append(of, &r.Descent.Status)
	}
	for _, s := range of {
		if *s == limit.Clear {
			*s = limit.Tight
		}
	}
}

// spare is how much charge is wanted at the end above the one to turn home at.
func (w *RouteRiding) spare(end float64) float64 {
	return max(endSpare, w.more*(w.x.in.StartCharge-end))
}

// bars draws the bar of every figure that has a limit.
func (w *RouteRiding) bars(d *route.Ride, r *Route) []limit.Bar {
	b := &w.x.in
	least := &d.Places[d.Lowest]
	// In the reserve's own unit: what the road takes, of what the limits leave.
	most := w.x.board.Road.Shift(least.Most) * 1e3
	list := []limit.Bar{
		{Key: "route.end_pct", Used: 100 - r.EndPct, Limit: 100 * (1 - b.FloorCharge), Want: max(0, 100*(1-b.FloorCharge-w.spare(r.EndPct/100))), Status: r.End,
			Text: "charge used against the charge to turn home at; wanted above it is what the band of the range may take, a tenth at least"},
		{Key: "route.lowest.value", Used: max(0, most-r.Lowest.Value), Limit: max(0, most), Want: max(0, most-b.Shift*1e3), Status: r.Lowest.Status,
			Text: "torque that the road takes where least is left, against what the limits leave; the notch is the reserve you want"},
		{Key: "route.hottest.value", Used: max(0, r.Hottest.Value), Limit: b.LimitC, Want: min(b.DerateC, b.LimitC), Status: r.Hottest.Status,
			Text: "warmest winding against where no current is left; the notch is where the controller begins to take it back"},
	}
	if d := r.Descent; d != nil && d.CeilingPct != nil {
		list = append(list, limit.Bar{Key: "route.descent.grade_pct", Used: d.GradePct, Limit: *d.CeilingPct, Want: (1 - descentSpare) * *d.CeilingPct, Status: d.Status,
			Text: "way down against what braking can hold at that speed and charge"})
	}
	return list
}

// Bar returns the bar of a figure by its key, nil if it has no limit.
func (r *Route) Bar(key string) *limit.Bar {
	for i := range r.Limits {
		if r.Limits[i].Key == key {
			return &r.Limits[i]
		}
	}
	return nil
}

func (w *RouteRiding) lowest(d *route.Ride) RoutePlace {
	q := &d.Places[d.Lowest]
	place := RoutePlace{q.Meters / 1e3, q.Shift * 1e3, limit.Clear}
	switch {
	case d.Stop == ride.StopNoTorque || d.Stop == ride.StopCutoff || q.Shift < 0:
		place.Status = limit.Over
	case q.Shift < w.x.in.Shift-1e-3: // the speed keeps it to a fraction of a millimeter
		place.Status = limit.Tight
	}
	return place
}

func (w *RouteRiding) hottest(d *route.Ride) RoutePlace {
	q, b := &d.Places[d.Hottest], &w.x.in
	return RoutePlace{q.Meters / 1e3, q.Winding, limit.Judge(q.Winding, min(b.DerateC, b.LimitC), b.LimitC)}
}

func (w *RouteRiding) descent(d *route.Ride) *RouteDescent {
	if d.Descent.At < 0 {
		return nil
	}
	q := &d.Places[d.Descent.At]
	c := &d.Descent.Ceiling
	out := &RouteDescent{
		Km: q.Meters / 1e3, GradePct: -q.Grade * 100, SpeedKmh: q.Speed * perKmh, BoundBy: string(c.Bound), Status: limit.Clear,
	}
	if c.Grade > -1 { // see ride.Descent
		ceiling := -c.Grade * 100
		out.CeilingPct = &ceiling
		// The speed comes down to what can be held, to a ten-thousandth of a meter a second.
		out.Status = limit.Judge(out.GradePct, (1-descentSpare)*ceiling, ceiling*(1+1e-2))
	}
	return out
}

// slower sums what took speed, the most first; gathering and losing it is no reason of its own.
func slower(d *route.Ride, p *route.Path) []RouteSlower {
	list := []RouteSlower{}
	for _, by := range [...]string{route.ByReserve, route.ByDuty, string(ride.StopCutoff), string(ride.StopNoTorque), route.ByBraking, route.ByCurve} {
		n := 0
		for i := range d.Places {
			if d.Places[i].By == by {
				n++
			}
		}
		if n > 0 {
			list = append(list, RouteSlower{by, float64(n) * p.Step / 1e3})
		}
	}
	return list
}

// points thins the places out.
func points(d *route.Ride) []RoutePlaceAt {
	stride := (len(d.Places) + routePoints - 1) / routePoints
	var list []RoutePlaceAt
	for i := range d.Places {
		if i%stride != 0 && i != len(d.Places)-1 && i != d.Lowest && i != d.Hottest && i != d.Descent.At {
			continue
		}
		q := &d.Places[i]
		list = append(list, RoutePlaceAt{q.Meters / 1e3, q.Ele, q.Grade * 100, q.Speed * perKmh, q.Charge * 100, q.Shift * 1e3, q.Winding})
	}
	return list
}
