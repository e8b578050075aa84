// Package balance tells where the weight of the board sits, where the rider must stand to hold it level, and how far it can tilt.
//
//	center    x = Σ m·x / Σ m       z = Σ m·z / Σ m             from the axle, forward and up positive
//	tip       M = g·Σ m·x                                       torque about the axle, positive lowers the nose
//	trim      x = −M / (m_rider·g)                              where the rider's center of pressure asks nothing of the motor
//	hangs at  θ = atan2(x, −z)                                  nose down; the center of mass is then straight below the axle
//	touches   L·sin θ − h·cos θ = r  →  θ = asin(r/√(L² + h²)) + atan2(h, L)
//
// L and h are the place of nose or tail from the axle, r is the loaded radius of the tire. Source: statics of a rigid body, and plane
// geometry: turned by θ, the end lies L·sin θ − h·cos θ below the axle, and the ground lies r below it.
//
// Each part is a point at its middle: cells in the middle of their box's inside, rails between nose and tail. Motor and tire are at the
// axle. What this leaves out: what lies off the middle of its box, sideways balance, drag of the motor and the tire when the board is let
// go, the tire's shape that changes as it tilts, and bumps in the ground. A board mass from the scale does not move the center: which part
// is heavier than thought is not known.
package balance

import (
	"math"

	"headroom/core/build"
	"headroom/core/limit"
)

// Gravity is the standard acceleration of free fall, m/s² (ISO 80000-3).
const Gravity = 9.80665

// Balance is where the weight sits. Places are from the axle in mm, forward and up positive; angles are in degrees, nose down positive.
type Balance struct {
	Parts     [PartCount]Part `json:"parts"`
	SumKg     float64         `json:"sum_kg"`   // of the parts
	BoardKg   float64         `json:"board_kg"` // from the scale if entered, else the sum
	TotalKg   float64         `json:"total_kg"` // board and rider
	ForwardMm float64         `json:"cg_forward_mm"`
	UpMm      float64         `json:"cg_up_mm"`
	TipNm     float64         `json:"tip_nm"`  // about the axle, without rider; positive lowers the nose
	TrimMm    float64         `json:"trim_mm"` // where the rider's center of pressure holds the board level without the motor
	Drops     string          `json:"drops"`   // "nose" or "tail" that goes down to the ground when the board is let go, else "neither"
	// HangsDeg is the angle that the board hangs at when let go; nil where an end touches first.
	HangsDeg *float64 `json:"hangs_deg,omitempty"`
	// RestDeg is how the board lies when let go: on an end, or hanging.
	RestDeg float64 `json:"rest_deg"`
	// NoseDeg and TailDeg are how far the board tilts before the end touches flat ground: 0 or less where it touches when the board is
	// level, nil where it never touches.
	NoseDeg    *float64     `json:"nose_deg,omitempty"`
	TailDeg    *float64     `json:"tail_deg,omitempty"`
	NoseStatus limit.Status `json:"nose_status"` // over: touches when level; tight: below TightDeg
	TailStatus limit.Status `json:"tail_status"`
	Status     limit.Status `json:"status"` // the worse of nose and tail
	Text       string       `json:"text"`   // one sentence for it
	Compare    Compare      `json:"compare"`
}

// Of returns the balance of a build on a tire of a loaded radius in m > 0 (axle to ground).
func Of(b *build.Build, p *build.Parts, radius float64) Balance {
	m := masses(b, p, p.Split)
	c := center(&m)
	nose, tail := touches(b.Nose, b.EndZ, radius), touches(b.Tail, b.EndZ, radius)
	out := Balance{
		Parts: m, SumKg: c.kg, BoardKg: p.BoardMass, TotalKg: p.BoardMass + b.Rider,
		ForwardMm: c.x, UpMm: c.z, TipNm: tip(c), TrimMm: trim(c, b.Rider),
		NoseDeg: nose, TailDeg: tail, NoseStatus: judge(nose), TailStatus: judge(tail),
		Compare: Compare{OneBox: variant(b, p, 0), TwoBoxes: variant(b, p, b.Series/2)},
	}
	out.Status, out.Text = worse(out.NoseStatus, out.TailStatus)
	out.letGo()
	return out
}

// letGo says how the board comes to rest without rider and without torque: it turns toward its heavy end until that touches or the center
// of mass is straight below the axle, whichever comes first. A center above the axle and exactly over it would stay as it is put, level.
func (o *Balance) letGo() {
	o.Drops = "neither"
	hangs := 0.0
	side, end, down := "nose", o.NoseDeg, 1.0
	switch {
	case o.ForwardMm > 0:
		hangs = degrees(math.Atan2(o.ForwardMm, -o.UpMm))
	case o.ForwardMm < 0:
		side, end, down = "tail", o.TailDeg, -1
		hangs = degrees(math.Atan2(-o.ForwardMm, -o.UpMm))
	}
	if end != nil && *end < hangs {
		// An end that touches when the board is level holds it there; adding 0 takes the minus from −0.
		o.Drops, o.RestDeg = side, down*max(0, *end)+0
		return
	}
	o.RestDeg = down * hangs
	angle := o.RestDeg
	o.HangsDeg = &angle
}

// Compare is the same board with all cells in the main box, and with half of the series cells in the second.
type Compare struct {
	OneBox   Variant `json:"one_box"`
	TwoBoxes Variant `json:"two_boxes"`
}

// Variant is the balance of one way to share the cells. The masses are the same, and so are lengths that were entered.
type Variant struct {
	Split     int     `json:"split"` // series cells in the second box
	Fits      bool    `json:"fits"`  // whether the boxes take these cells
	ForwardMm float64 `json:"cg_forward_mm"`
	TrimMm    float64 `json:"trim_mm"`
}

func variant(b *build.Build, p *build.Parts, split int) Variant {
	m := masses(b, p, split)
	c := center(&m)
	return Variant{Split: split, Fits: fit(b, p, split), ForwardMm: c.x, TrimMm: trim(c, b.Rider)}
}

// point is a mass in kg at a place in mm.
type point struct{ kg, x, z float64 }

func center(m *[PartCount]Part) point {
	var c point
	for i := range m {
		c.kg += m[i].Kg
		c.x += m[i].Kg * m[i].XMm
		c.z += m[i].Kg * m[i].ZMm
	}
	c.x /= c.kg
	c.z /= c.kg
	return c
}

// tip returns the torque in N·m about the axle; motor and tire are in the center, but not off the axle.
func tip(c point) float64 { return Gravity * c.kg * c.x * 1e-3 }

// trim returns in mm where a rider of a mass in kg balances the board.
func trim(c point, rider float64) float64 { return 0 - c.kg*c.x/rider }

func degrees(radians float64) float64 { return radians * 180 / math.Pi }
