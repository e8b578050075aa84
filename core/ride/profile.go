package ride

import (
	"math"

	"headroom/core/build"
)

// moment is one instant of a ride that stands for a share of its time.
type moment struct {
	seconds float64
	speed   float64 // m/s
	grade   float64
	omega   float64
	torque  float64 // asked for at the axle, N·m
}

// Profile is one ride in moments, ready to be asked for power. Steady stretches are one moment; a change of speed is two, at the
// points of Gauss and Legendre's two-point rule, which integrates the cubic that force times speed is there exactly.
type Profile struct {
	moments  []moment
	Seconds  float64 // of one round
	Meters   float64 // of one round
	TopSpeed float64 // m/s
	TopGrade float64 // steepest climb
	LowGrade float64 // steepest descent
	AtGrade  float64 // speed in m/s on the steepest climb
}

// gauss is half the distance between the two points, in units of the interval.
var gauss = 0.5 / math.Sqrt(3)

// NewProfile makes the ride of a build on a board. A ride of one's own without rows is a steady one.
func NewProfile(b *build.Build, board *Board) Profile {
	var p Profile
	legs := legsOf(b)
	at := 0.0
	if len(legs) > 0 {
		at = legs[len(legs)-1].Share // rounds follow each other
	}
	for _, l := range legs {
		p.add(board, at*b.Cruise, l.Share*b.Cruise, l.Grade, l.Seconds)
		at = l.Share
	}
	if b.Profile == "own" {
		rows, _ := build.ParseRows(b.Own)
		for _, r := range rows {
			v := r.Speed / 3.6
			p.add(board, v, v, r.Grade/100, r.Distance/v)
		}
	}
	if len(p.moments) == 0 {
		p.add(board, b.Cruise, b.Cruise, b.Grade, 1)
	}
	return p
}

// Steady makes a ride at one speed in m/s on one grade.
func Steady(board *Board, v, grade float64) Profile {
	var p Profile
	p.add(board, v, v, grade, 1)
	return p
}

func legsOf(b *build.Build) []build.Leg {
	for i := range build.Profiles {
		if build.Profiles[i].ID == b.Profile {
			return build.Profiles[i].Legs
		}
	}
	return nil
}

func (p *Profile) add(board *Board, from, to, grade, seconds float64) {
	p.Seconds += seconds
	p.Meters += (from + to) / 2 * seconds
	p.TopSpeed = max(p.TopSpeed, max(from, to))
	if fastest := max(from, to); len(p.moments) == 0 || grade > p.TopGrade {
		p.TopGrade, p.AtGrade = grade, fastest
	}
	if len(p.moments) == 0 || grade < p.LowGrade {
		p.LowGrade = grade
	}
	if from == to {
		p.moment(board, from, 0, grade, seconds)
		return
	}
	a := (to - from) / seconds
	for _, at := range [2]float64{0.5 - gauss, 0.5 + gauss} {
		p.moment(board, from+(to-from)*at, a, grade, seconds/2)
	}
}

func (p *Profile) moment(board *Board, v, a, grade, seconds float64) {
	m := moment{seconds: seconds, speed: v, grade: grade, omega: board.Road.Omega(v)}
	if v > 0 { // standing still the ground holds the wheel
		m.torque = (board.Road.Force(v, grade) + board.Road.Accelerating(a)) * board.Road.Tire.Radius(v)
	}
	p.moments = append(p.moments, m)
}
