package balance

// Doors to the inner steps, for tests at their exact boundaries.
var (
	Touches = touches
	Judge   = judge
	Worse   = worse
)

// LetGo returns how a board with its center of mass at a place in mm comes to rest.
func LetGo(forward, up float64, nose, tail *float64) Balance {
	o := Balance{ForwardMm: forward, UpMm: up, NoseDeg: nose, TailDeg: tail}
	o.letGo()
	return o
}
