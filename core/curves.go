package core

import (
	"headroom/core/charge"
	"headroom/core/ride"
	"headroom/core/road"
)

// alongPoints is how many places of the ride Along tells of.
const alongPoints = 25

// RangeBandPoint is the band of the range at one steady speed. LowKm and HighKm are nil where there is no such end; see Range.
type RangeBandPoint struct {
	SpeedKmh float64  `json:"speed_kmh"`
	LowKm    *float64 `json:"low_km,omitempty"`
	HighKm   *float64 `json:"high_km,omitempty"`
}

// AlongPoint is one place of the ride. What the worst moment of the ride asks for there is nil where the pack cannot give it.
type AlongPoint struct {
	Km        float64  `json:"km"`
	ChargePct float64  `json:"charge_pct"`
	RestV     float64  `json:"rest_v"`             // open circuit
	BusV      *float64 `json:"bus_v,omitempty"`    // at the ride's worst moment, the one with the least reserve
	DutyPct   *float64 `json:"duty_pct,omitempty"` // the same
	ShiftMm   float64  `json:"shift_mm"`           // reserve left there
}

// RangeBand is the band of Range.BySpeed, at the same speeds and from the same corners as that of the ride itself. It takes twice the
// ranges that a plan does, so it is worked out when it is asked for.
func (r *Report) RangeBand() []RangeBandPoint {
	x := r.basis()
	one, two := newCorner(&x.in, &x.parts, 1), newCorner(&x.in, &x.parts, -1)
	list := make([]RangeBandPoint, len(r.Range.BySpeed))
	for i, s := range r.Range.BySpeed {
		v := s.SpeedKmh / perKmh
		mid := ride.Distance{Endless: s.Km == nil}
		if s.Km != nil {
			mid.Meters = *s.Km * 1e3
		}
		list[i].SpeedKmh = s.SpeedKmh
		list[i].LowKm, list[i].HighKm = band(mid, one.steady(v), two.steady(v))
	}
	return list
}

// Along follows the ride from its start to where it ends, in equal steps of charge: one place where it ends as it begins, none where it
// uses no charge.
func (r *Report) Along() []AlongPoint {
	x := r.basis()
	passed := x.board.Along(x.route(), x.in.StartCharge, *x.ridden(), alongPoints)
	list := make([]AlongPoint, len(passed))
	for i := range passed {
		at := &passed[i]
		list[i] = AlongPoint{
			Km: at.Meters / 1e3, ChargePct: at.Charge * 100, RestV: x.board.Pack.At(at.Charge).OpenCircuit, ShiftMm: at.Worst.Shift * 1e3,
		}
		if at.Worst.Reached {
			duty := at.Worst.At.Duty * 100
			list[i].BusV, list[i].DutyPct = &at.Worst.At.BusV, &duty
		}
	}
	return list
}

// Charging is the course of one charge from the wall.
func (r *Report) Charging() []charge.Point {
	return charge.Curve(&r.Build.build, &r.Build.parts)
}

// WantedNm is the balance reserve that the rider asks for as torque at the axle: what a shift of the center of pressure needs,
// m_rider·g·x.
func (r *Report) WantedNm() float64 {
	b := &r.Build.build
	return b.Shift * b.Rider * road.Gravity
}
