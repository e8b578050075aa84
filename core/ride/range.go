package ride

import (
	"math"

	"headroom/core/drive"
	"headroom/core/pack"
	"headroom/core/solve"
)

// rangeSteps is how many slices of charge a range walks through. The integrand is smooth between the points of the cell's
// tables; at 20 slices the midpoint rule is within 5e-4 of 4000 slices on the whole catalog (a test holds it there).
const rangeSteps = 20

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

// Distance is a whole ride.
type Distance struct {
	Meters   float64
	Seconds  float64
	EnergyWh float64 // drawn at the controller, braking counted back
	HeatWh   float64 // left in the pack's resistance
	End      float64 // state of charge where it ended
	By       Stop
	EndAmps  float64 // battery current at the end: r.m.s. over one round of the ride
	Copper   float64 // W in the winding, mean over the ride's last round
	Iron     float64 // W of iron drag, the same
	EndHeld  bool    // the pack can carry the ride at its end; EndAmps, Copper and Iron hold only then
	Endless  bool    // the ride uses no charge; Meters has no meaning
}

// Range returns how far the board goes on a profile, from charge start down to floor (fractions), and why it stops: at the floor, at
// the cut-off, or where the wanted reserve or duty can no longer be kept at the profile's worst moment.
func (b *Board) Range(p *Profile, start, floor float64) Distance {
	d := b.walk(p, start, floor)
	if r, ok := b.round(b.Pack.At(d.End), p); ok {
		d.EndAmps, d.EndHeld, d.Copper, d.Iron = math.Sqrt(r.Square), true, r.Copper, r.Iron
	}
	return d
}

func (b *Board) walk(p *Profile, start, floor float64) Distance {
	by, end := StopFloor, start
	if floor < start {
		if left, _ := b.left(floor, p); left >= 0 {
			end = floor
		} else if left, why := b.left(start, p); left < 0 {
			by = why
		} else {
			spare := func(z float64) float64 {
				left, _ := b.left(z, p)
				return left
			}
			end = solve.Root(spare, floor, start, 1e-6)
			// The reason is read just below, where it has come true.
			_, by = b.left(max(floor, end-1e-4), p)
		}
	}
	d := Distance{End: end, By: by}
	stopped := b.slices(p, start, end, func(src pack.Source, r Means, meters, seconds float64) {
		d.Seconds += seconds
		d.Meters += meters
		d.EnergyWh += r.Power * seconds / 3600
		d.HeatWh += src.Resistance * r.Square * seconds / 3600
	})
	if stopped != "" {
		return Distance{End: start, By: stopped, Endless: stopped == StopNever}
	}
	return d
}

// slices rides a profile through equal slices of charge and tells of each. It returns why the ride cannot be: "" where it can.
func (b *Board) slices(p *Profile, start, end float64, each func(src pack.Source, r Means, meters, seconds float64)) Stop {
	slice := (start - end) / rangeSteps
	if slice <= 0 {
		return ""
	}
	coulombs := b.Pack.CapacityAh * 3600 * slice
	speed := p.Meters / p.Seconds
	for i := range rangeSteps {
		src := b.Pack.At(start - (float64(i)+0.5)*slice)
		r, ok := b.round(src, p)
		if !ok {
			return StopNoTorque
		}
		if r.Amps <= 0 { // downhill or with the wind: no distance uses up the charge
			return StopNever
		}
		seconds := coulombs / r.Amps
		each(src, r, speed*seconds, seconds)
	}
	return ""
}

// left is how much of what the rider wants is left at a charge on a profile: the least, over all its moments, of the
// reserve beyond the wanted one and of the duty below the wanted one, both as a share of what is wanted. Below 0 the ride cannot go on,
// and why says what ends it.
func (b *Board) left(z float64, p *Profile) (least float64, why Stop) {
	src := b.Pack.At(z)
	least = math.Inf(1)
	for i := range p.moments {
		m := &p.moments[i]
		limit, bound := b.Drive.MaxTorque(src, m.omega)
		reserve := limit.Torque - m.torque
		// A hundredth of a meter keeps the share finite where no reserve is wanted.
		if l := (b.Road.Shift(reserve) - b.Shift) / max(b.Shift, 0.01); l < least {
			least, why = l, reason(reserve, bound)
		}
		at, ok := b.Drive.At(src, m.omega, m.torque)
		if !ok {
			return -1, StopNoTorque
		}
		if l := 1 - at.Duty/b.DutyGoal; l < least {
			least, why = l, StopDuty
		}
	}
	if least >= 0 {
		why = ""
	}
	return least, why
}

func reason(reserve float64, bound drive.Bound) Stop {
	switch {
	case reserve >= 0:
		return StopReserve
	case bound == drive.ByCutoff:
		return StopCutoff
	}
	return StopNoTorque
}
