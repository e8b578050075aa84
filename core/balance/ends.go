package balance

import (
	"math"

	"headroom/core/limit"
)

// TightDeg is the tilt in degrees that nose and tail should have free: less strikes on slopes and curbs, and in hard braking (common
// practice, no published source).
const TightDeg = 8.0

// touches returns the tilt in degrees at which an end l m from the axle and h above it touches flat ground r below the axle; nil where
// the end is no further from the axle than the ground, and never touches it.
func touches(l, h, r float64) *float64 {
	// asin(r/√(l² + h²)) as the angle between two sides of its triangle: exact where an end lies just on the ground. The other side is
	// √(l² + h² − r²).
	square := l*l + (h*h - r*r)
	if square <= 0 {
		return nil
	}
	deg := degrees(math.Atan2(r, math.Sqrt(square)) + math.Atan2(h, l))
	return &deg
}

func judge(deg *float64) limit.Status {
	switch {
	case deg == nil:
		return limit.Clear
	case *deg <= 0:
		return limit.Over
	case *deg < TightDeg:
		return limit.Tight
	}
	return limit.Clear
}

// ends says what the status of an end means.
var ends = map[limit.Status]string{
	limit.Clear: "Nose and tail have room to tilt.",
	limit.Tight: " touches the ground at less than 8° of tilt: slopes, curbs and hard braking ask for more.",
	limit.Over:  " touches the ground when the board is level.",
}

// worse returns the worse status of nose and tail, and a sentence for it.
func worse(nose, tail limit.Status) (limit.Status, string) {
	status, who := nose, "The nose"
	switch {
	case tail.Worse(nose):
		status, who = tail, "The tail"
	case tail == nose:
		who = "Each of nose and tail"
	}
	if status == limit.Clear {
		who = ""
	}
	return status, who + ends[status]
}
