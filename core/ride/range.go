package ride

import (
	"headroom/core/drive"
	"headroom/core/solve"
)

// rangeSteps is how many slices of charge a range walks through. The integrand is smooth between the points of the cell's
// tables; at 40 slices the midpoint rule is within 1e-4 of 4000 slices on the whole catalog (a test holds it there).
const rangeSteps = 40

// Stop says why a ride ends.
type Stop string

// The reasons for a ride to end.
const (
	StopFloor    Stop = "charge floor"
	StopCutoff   Stop = "low-voltage cut-off"
	StopReserve  Stop = "balance reserve"
	StopDuty     Stop = "duty"
	StopNoTorque Stop = "no torque left"
	StopNever    Stop = "nothing: the ride uses no charge"
)

// Distance is a steady ride.
type Distance struct {
	Meters   float64
	EnergyWh float64 // drawn at the controller
	End      float64 // state of charge where it ended
	By       Stop
	EndAmps  float64 // battery current at the end, the highest of the ride
	Endless  bool    // the ride uses no charge; Meters has no meaning
	EndHeld  bool    // the pack can carry the ride at its end; EndAmps holds only then
}

// Range returns how far the board goes at a steady speed in m/s on a grade, from charge start down to floor (fractions), and
// why it stops: at the floor, at the cut-off, or where the wanted reserve or duty can no longer be kept.
func (b *Board) Range(v, grade, start, floor float64) Distance {
	by := StopFloor
	end := start
	if floor < start {
		holds := func(down float64) bool {
			why := b.fails(start-down, v, grade)
			if why != "" {
				by = why
			}
			return why == ""
		}
		end = start - solve.Edge(holds, 0, start-floor, 1e-6)
		if end <= floor {
			by = StopFloor
		}
	}
	d := Distance{End: end, By: by}
	omega, load := b.Road.Omega(v), b.Road.Torque(v, grade)
	slice := (start - end) / rangeSteps
	coulombs := b.Pack.CapacityAh * 3600 * slice
	if slice > 0 {
		for i := range rangeSteps {
			p, ok := b.Drive.At(b.Pack.At(start-(float64(i)+0.5)*slice), omega, load)
			if !ok {
				return Distance{End: start, By: StopNoTorque}
			}
			if p.BusA <= 0 { // downhill or with the wind: no distance uses up the charge
				return Distance{End: start, By: StopNever, Endless: true, EndAmps: p.BusA, EndHeld: true}
			}
			seconds := coulombs / p.BusA
			d.Meters += v * seconds
			d.EnergyWh += p.BusW * seconds / 3600
		}
	}
	if p, ok := b.Drive.At(b.Pack.At(end), omega, load); ok {
		d.EndAmps, d.EndHeld = p.BusA, true
	}
	return d
}

// fails says why a steady ride cannot go on at a charge; "" if it can.
func (b *Board) fails(z, v, grade float64) Stop {
	s := b.Sample(b.Pack.At(z), v, grade)
	switch {
	case !s.OK && s.Bound == drive.ByCutoff:
		return StopCutoff
	case !s.OK:
		return StopNoTorque
	case s.Shift < b.Shift:
		return StopReserve
	case s.At.Duty > b.DutyGoal:
		return StopDuty
	}
	return ""
}
