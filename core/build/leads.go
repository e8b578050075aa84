package build

// StripClass is one metal of the links from group to group.
type StripClass struct {
	Class
	Resistivity float64 // Ω·m at 20 °C
	PerK        float64 // growth of it, 1/K
	HeatJ       float64 // heat capacity, J/(m³·K)
}

// Strips is the catalog of link metals. Ids are frozen: links carry them.
// Heat capacities per volume are density times specific heat of any handbook (from memory): copper 8.9 × 385, nickel 8.9 × 444, steel
// 7.85 × 470 J/(cm³·K).
var Strips = []StripClass{
	{Class{"copper", "Copper", "Resistivity 1/58 Ω·mm²/m and 0.00393 /K: IEC 60028. It welds badly without a nickel or steel cap."}, 1.0 / 58e6, 0.00393, 3.43e6},
	{Class{"nickel", "Pure nickel", "Resistivity 0.0699 Ω·mm²/m and 0.006 /K: handbook tables of metals."}, 6.99e-8, 0.006, 3.95e6},
	{Class{"plated", "Nickel-plated steel", "Resistivity 0.13 to 0.2 Ω·mm²/m (from memory), 0.17 taken; often sold as nickel. A drop of salt water shows rust in a day."}, 1.7e-7, 0.005, 3.69e6},
}

// InsulationClass is the jacket of a lead.
type InsulationClass struct {
	Class
	LimitC float64 // °C of the conductor, lasting
	ShortC float64 // °C of the conductor at the end of a short circuit
	Wall   float64 // m, usual thickness
}

// Insulations is the catalog of lead jackets. Ids are frozen: links carry them.
var Insulations = []InsulationClass{
	{Class{"pvc", "PVC", "70 °C lasting, 160 °C after a short circuit: IEC 60364-5-52 and IEC 60724 (from memory)."}, 70, 160, 0.8e-3},
	{Class{"xlpe", "Cross-linked polyethylene", "90 °C lasting, 250 °C after a short circuit: IEC 60364-5-52 and IEC 60724 (from memory)."}, 90, 250, 0.8e-3},
	{Class{"silicone", "Silicone rubber", "180 °C lasting, 350 °C after a short circuit: IEC 60724 (from memory). What lies beside it may stand less: keep leads off cells."}, 180, 350, 1.2e-3},
}

// Where a battery monitoring board stands.
const (
	BMSNone   = "none"
	BMSCharge = "charge"
	BMSPath   = "path"
)

var bmsOptions = []Option{
	{BMSCharge, "Serves charging only", "It watches every group and opens the charging lead; riding current goes past it. Nothing but the controller's cut-off then stops a discharge."},
	{BMSPath, "In the riding current", "It watches every group and can open the main lead. A board whose BMS opens on the ride drops its nose."},
	{BMSNone, "None", "Nothing watches the groups: one weak group is charged over its limit and discharged under it without a sign."},
}

var layOptions = []Option{
	{"across", "Lying across the board", "Axis of the cells from side to side: rows are seen from the side."},
	{"upright", "Standing upright", "Axis of the cells up: rows are seen from above."},
	{"along", "Lying along the board", "Axis of the cells from nose to tail: rows are seen from the end."},
}

var nestOptions = []Option{
	{"square", "Square rows", "Rows straight above each other: every cell has four neighbours, and holders fit."},
	{"nested", "Nested rows", "Every second row is moved by half a pitch and sinks between the cells below: 13 % shallower, six neighbours."},
}
