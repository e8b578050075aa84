package route

import (
	"math"

	"headroom/core/pack"
	"headroom/core/ride"
	"headroom/core/solve"
)

// cap finds the highest speed on a segment, at the charge that the round before had there.
func (t *Traveler) cap(i int) {
	b := &t.rider.Board
	t.thin(i)
	z, grade := t.charge[i], t.path.Grade[i]
	src := b.Pack.At(z)
	var why ride.Stop
	keeps := func(v float64) float64 {
		left, by := b.Spare(z, v, grade)
		why = by
		return left
	}
	held := func(v float64) float64 {
		left, _ := b.Braking(src, v, grade)
		return left
	}
	v, by := t.rider.Wanted, ByWish
	t.ends[i] = ""
	if keeps(v) < 0 {
		by = string(why)
		if keeps(walking) < 0 {
			t.caps[i], t.by[i], t.ends[i] = walking, string(why), why
			return
		}
		v = solve.Root(keeps, walking, v, 1e-4)
		keeps(v + 1e-3) // the reason is read just above, where it has come true
		if why != "" {
			by = string(why)
		}
	}
	if grade < 0 && held(v) < 0 {
		by = ByBraking
		if held(walking) < 0 {
			v = walking // beyond every limit; it is told, and left to the rider
		} else {
			v = solve.Root(held, walking, v, 1e-4)
		}
	}
	t.caps[i], t.by[i] = v, by
}

// lookAhead makes the plan: from each node everything that comes can be met by slowing down without hurry.
func (t *Traveler) lookAhead() {
	n := len(t.plan)
	for i := range t.plan {
		v := math.Inf(1)
		if i > 0 {
			v = t.caps[i-1]
		}
		if i < n-1 {
			v = math.Min(v, t.caps[i])
		}
		if k := t.path.Curve[i]; k > 0 {
			v = math.Min(v, math.Sqrt(lateral/k))
		}
		t.plan[i] = v
	}
	t.plan[0] = math.Min(t.plan[0], t.rider.From)
	t.plan[n-1] = math.Min(t.plan[n-1], t.rider.To)
	for i := n - 2; i >= 0; i-- {
		t.plan[i] = math.Min(t.plan[i], math.Sqrt(t.plan[i+1]*t.plan[i+1]+2*slow*t.length(i)))
	}
}

// march rides one segment; it tells whether the ride goes on.
func (t *Traveler) march(i int) bool {
	b := &t.rider.Board
	t.thin(i)
	if t.ends[i] != "" {
		t.ride.Stop = t.ends[i]
		return false
	}
	grade, length := t.path.Grade[i], t.length(i)
	src := b.Pack.At(t.z)
	from, to := t.v, t.plan[i+1]
	if to > from {
		room := t.room(src, from, grade)
		reached := math.Min(to, math.Sqrt(from*from+2*math.Max(0, math.Min(gather, room))*length))
		room = math.Min(room, t.room(src, reached, grade))
		if room < stuck && from < walking {
			_, t.ride.Stop = b.Spare(t.z, walking, grade)
			if t.ride.Stop == "" {
				t.ride.Stop = ride.StopReserve
			}
			return false
		}
		to = math.Min(to, math.Sqrt(from*from+2*math.Max(0, math.Min(gather, room))*length))
	}
	seconds := 2 * length / (from + to)
	passing, ok := b.Pass(src, ride.Leg{From: from, To: to, Grade: grade, Seconds: seconds})
	if !ok || passing.Reserve < 0 {
		_, t.ride.Stop = b.Spare(t.z, (from+to)/2, grade)
		if t.ride.Stop == "" || t.ride.Stop == ride.StopReserve || t.ride.Stop == ride.StopDuty {
			t.ride.Stop = ride.StopNoTorque
		}
		return false
	}
	used, left := passing.Amps*seconds/(b.Pack.CapacityAh*3600), t.z-t.rider.Floor
	if used > 0 && left <= 0 {
		t.ride.Stop = ride.StopFloor
		return false
	}
	t.ride.Places = append(t.ride.Places, Place{
		Meters: t.path.Step * float64(i), Ele: t.path.Ele[i], Grade: grade, Speed: from, Charge: t.z,
		Shift: passing.Shift, Most: passing.Most, Winding: t.state.Winding, By: t.reason(i, math.Max(from, to)),
	})
	t.downhill(i, (from+to)/2)
	if used > 0 && used > left {
		share := left / used
		t.advance(i, share, seconds, &passing, src, (from+to)/2)
		t.z, t.ride.Stop = t.rider.Floor, ride.StopFloor
		t.v = math.Sqrt(from*from + share*(to*to-from*from))
		return false
	}
	t.advance(i, 1, seconds, &passing, src, (from+to)/2)
	t.v = to
	if t.z -= used; t.z > 1 {
		t.ride.Overfull += t.z - 1
		t.z = 1
	}
	return true
}

// reason is what sets the speed on a segment: whatever it comes close to.
func (t *Traveler) reason(i int, v float64) string {
	const near = 0.1 // m/s
	if v > t.caps[i]-near {
		return t.by[i]
	}
	if k := math.Max(t.path.Curve[i], t.path.Curve[i+1]); k > 0 && v > math.Sqrt(lateral/k)-near {
		return ByCurve
	}
	return ByChange
}

// room is how much a rider may accelerate at a speed before the wanted reserve is touched, m/s².
func (t *Traveler) room(src pack.Source, v, grade float64) float64 {
	b := &t.rider.Board
	most, _ := b.Drive.MaxTorque(src, b.Road.Omega(v))
	left := most.Torque - b.Road.Torque(v, grade) - t.wantedNm()
	return left / (b.Road.Accelerating(1) * b.Road.Tire.Radius(v))
}

// downhill remembers the way down that comes nearest to what braking can hold at a steady speed.
func (t *Traveler) downhill(i int, v float64) {
	b := &t.rider.Board
	grade := t.path.Grade[i]
	if grade >= 0 || b.Road.Torque(v, grade) >= 0 {
		return
	}
	src := b.Pack.At(t.z)
	if left, _ := b.Braking(src, v, grade); left < t.least {
		t.least = left
		t.ride.Descent = Descent{At: i, Ceiling: b.Descent(src, v)}
	}
}
