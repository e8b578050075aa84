package balance

import "headroom/core/build"

// Rect is an upright rectangle in a side view, mm from the axle, forward and up positive.
type Rect struct {
	Name string  `json:"name"`
	X0   float64 `json:"x0_mm"` // tail end
	X1   float64 `json:"x1_mm"` // nose end
	Z0   float64 `json:"z0_mm"` // bottom
	Z1   float64 `json:"z1_mm"` // top
}

// Point is a named place in a side view.
type Point struct {
	Name string  `json:"name"`
	X    float64 `json:"x_mm"`
	Z    float64 `json:"z_mm"`
}

// Side is the board from its right side, nose to the right, in mm from the axle, forward and up positive: all that a page draws.
type Side struct {
	WheelMm    float64  `json:"wheel_radius_mm"` // unloaded; the wheel's center is 0, 0
	GroundMm   float64  `json:"ground_z_mm"`     // negative: the loaded radius below the axle
	Boxes      [2]Rect  `json:"boxes"`           // insides, main and second
	Rails      [2]Point `json:"rails"`           // tail end and nose end of a line
	Pads       [2]Point `json:"pads"`            // middles, rear and front; soles stand here
	Controller Point    `json:"controller"`
	Nose       Point    `json:"nose"` // what touches the ground first
	Tail       Point    `json:"tail"`
	Center     Point    `json:"cg"`    // center of mass of the board without rider
	Stand      Point    `json:"stand"` // where the rider's center of pressure asks nothing of the motor
}

// Outline returns the side view of a build on a tire of a loaded radius in m.
func Outline(b *build.Build, p *build.Parts, radius float64) Side {
	m := masses(b, p, p.Split)
	c := center(&m)
	main, second := spans(b, p, p.Split)
	return Side{
		WheelMm: 1e3 * p.Tire.Radius, GroundMm: -1e3 * radius,
		Boxes:      [2]Rect{inside("main box", main, b, 0), inside("second box", second, b, 1)},
		Rails:      [2]Point{place("rails, tail end", -b.Tail, b.RailZ), place("rails, nose end", b.Nose, b.RailZ)},
		Pads:       [2]Point{place("rear foot pad", -b.PadX, b.PadZ), place("front foot pad", b.PadX, b.PadZ)},
		Controller: place("controller", b.ControllerX, b.BoxZ),
		Nose:       place("nose", b.Nose, b.EndZ),
		Tail:       place("tail", -b.Tail, b.EndZ),
		Center:     Point{"center of mass", c.x, c.z},
		Stand:      Point{"center of pressure", trim(c, b.Rider), 1e3 * b.PadZ},
	}
}

func inside(name string, s span, b *build.Build, i int) Rect {
	half := b.Box[i].Height / 2
	return Rect{name, 1e3 * s.from, 1e3 * s.to, 1e3 * (b.BoxZ - half), 1e3 * (b.BoxZ + half)}
}

func place(name string, x, z float64) Point { return Point{name, 1e3 * x, 1e3 * z} }
