package core

import "headroom/core/boxes"

const (
	sourceStatics = "Statics of a rigid body, parts taken as points at their middles."
	validStatics  = "Places as entered or as the boxes make them. A board mass from the scale does not move the center: which part is heavier than thought is not known."
	sourcePlane   = "Plane geometry."
)

var whyWeight = []explanation{
	{Method{"weight.cg_forward_mm", "x = M_x/m", sourceStatics, validStatics}, (*basis).forward, nil},
	{Method{"weight.cg_up_mm", "z = M_z/m", sourceStatics, validStatics},
		func(x *basis) []Quantity {
			_, up := x.moments()
			return []Quantity{{"M_z", "mass times height, all parts", up, "kg·mm"}, x.sum()}
		}, nil},
	{Method{"weight.tip_nm", "M = 9.80665·M_x/1000", sourceStatics, validStatics + " The board held level, nobody on it, the motor off."},
		func(x *basis) []Quantity { return x.forward()[:1] },
		func(x *basis) string { return "let go, the board drops " + x.Weight.Drops }},
	{Method{"weight.trim_mm", "x = −1000·M/(9.80665·m_r)", sourceStatics, validStatics + " Standing there the motor has nothing to hold; the balance reserve is counted from the axle all the same."},
		func(x *basis) []Quantity {
			return []Quantity{{"M", "torque about the axle", x.Weight.TipNm, "N·m"}, x.riderMass()}
		}, nil},
	{Method{"weight.nose_deg", "θ: touches where\nr_l = L·sin θ − h·cos θ", sourcePlane, "Flat ground and a tire that keeps its loaded radius while it tilts. Absent where the nose never touches."},
		func(x *basis) []Quantity { return x.end("nose", x.in.Nose) },
		func(x *basis) string { return "8° are wanted" + x.judged("weight.nose_deg") }},
	{Method{"weight.tail_deg", "θ: touches where\nr_l = L·sin θ − h·cos θ", sourcePlane, "Flat ground and a tire that keeps its loaded radius while it tilts. Absent where the tail never touches."},
		func(x *basis) []Quantity { return x.end("tail", x.in.Tail) },
		func(x *basis) string { return "8° are wanted" + x.judged("weight.tail_deg") }},
	{Method{"boxes.main.need_length_mm", "l = l_c + 2·c + b", sourcePlane, "Width and height as entered; a row counts with its full pitch. Absent where not one cell fits between the walls."},
		func(x *basis) []Quantity { return x.block(&x.Boxes.Main) },
		func(x *basis) string { return x.Boxes.Main.Text }},
	{Method{"boxes.second.need_length_mm", "l = l_c + 2·c + b", sourcePlane, "Width and height as entered; a row counts with its full pitch. 0 where no cells are in it."},
		func(x *basis) []Quantity { return x.block(&x.Boxes.Second) },
		func(x *basis) string { return x.Boxes.Second.Text }},
}

func (x *basis) moments() (forward, up float64) {
	for i := range x.Weight.Parts {
		p := &x.Weight.Parts[i]
		forward += p.Kg * p.XMm
		up += p.Kg * p.ZMm
	}
	return forward, up
}

func (x *basis) sum() Quantity { return Quantity{"m", "all parts of the board", x.Weight.SumKg, "kg"} }

func (x *basis) forward() []Quantity {
	forward, _ := x.moments()
	return []Quantity{{"M_x", "mass times place, all parts", forward, "kg·mm"}, x.sum()}
}

func (x *basis) end(name string, length float64) []Quantity {
	return []Quantity{
		{"r_l", "loaded radius of the tire", x.Model.Tire.LoadedRadiusM * 1e3, "mm"},
		{"L", "axle to " + name, length * 1e3, "mm"}, {"h", "its height above the axle", x.in.EndZ * 1e3, "mm"},
	}
}

func (x *basis) block(b *boxes.Box) []Quantity {
	if b.NeedLength == nil || b.Cells == 0 {
		return []Quantity{{"c", "lining of a wall", x.in.Lining * 1e3, "mm"}}
	}
	lining, room := x.in.Lining*1e3, x.in.BoxRoom*1e3
	return []Quantity{
		{"l_c", "the cells as they lie", *b.NeedLength - 2*lining - room, "mm"}, {"c", "lining of a wall", lining, "mm"}, {"b", "room for BMS and leads", room, "mm"},
	}
}
