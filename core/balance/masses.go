package balance

import (
	"headroom/core/boxes"
	"headroom/core/build"
)

// Part is one mass and its middle.
type Part struct {
	Part string  `json:"part"`
	Kg   float64 `json:"kg"`
	XMm  float64 `json:"x_mm"` // before the axle
	ZMm  float64 `json:"z_mm"` // above the axle
}

// PartCount is how many parts the board is made of.
const PartCount = 12

// EmptyLength is the inner length in m of a second box without cells, if none is entered: room for the controller (common practice, no
// published source).
const EmptyLength = 0.12

// masses lists the parts with a number of series cells in the second box.
func masses(b *build.Build, p *build.Parts, split int) [PartCount]Part {
	share := float64(split) / float64(b.Series)
	cells := float64(b.Series*b.Parallel) * p.Cell.Mass
	main, second := spans(b, p, split)
	rear, front := middle(main), middle(second)
	return [PartCount]Part{
		at("cells, main box", cells*(1-share), rear, b.BoxZ),
		at("cells, second box", cells*share, front, b.BoxZ),
		at("links and leads, main box", p.LinksMass*(1-share), rear, b.BoxZ),
		at("links and leads, second box", p.LinksMass*share, front, b.BoxZ),
		at("main box", p.BoxesMass/2, rear, b.BoxZ),
		at("second box", p.BoxesMass/2, front, b.BoxZ),
		at("controller", p.Controller.Mass, b.ControllerX, b.BoxZ),
		at("front foot pad", p.PadsMass/2, b.PadX, b.PadZ),
		at("rear foot pad", p.PadsMass/2, -b.PadX, b.PadZ),
		at("rails", p.RailsMass, (b.Nose-b.Tail)/2, b.RailZ),
		at("motor", p.Motor.Mass, 0, 0),
		at("tire", p.Tire.Mass, 0, 0),
	}
}

func at(part string, kg, x, z float64) Part { return Part{part, kg, 1e3 * x, 1e3 * z} }

// span is the inside of a box from its tail end to its nose end, m before the axle.
type span struct{ from, to float64 }

func middle(s span) float64 { return (s.from + s.to) / 2 }

// spans returns where the boxes lie with a number of series cells in the second one. A main box that no length is enough for has none.
func spans(b *build.Build, p *build.Parts, split int) (main, second span) {
	length, _ := boxes.Inner(b, p, 0, b.Series-split)
	main.to = -p.Tire.Radius - b.Box[0].Gap
	main.from = main.to - length
	length, _ = boxes.Inner(b, p, 1, split)
	if split == 0 && b.Box[1].Length == 0 {
		length = EmptyLength
	}
	second.from = p.Tire.Radius + b.Box[1].Gap
	second.to = second.from + length
	return main, second
}

// fit reports whether both boxes take their cells.
func fit(b *build.Build, p *build.Parts, split int) bool {
	_, main := boxes.Inner(b, p, 0, b.Series-split)
	_, second := boxes.Inner(b, p, 1, split)
	return main && second
}
