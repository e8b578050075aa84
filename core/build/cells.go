package build

// Chemistry selects a cell's open-circuit-voltage and resistance-shape tables.
type Chemistry int

// The chemistries with tables in package cell.
const (
	NickelRich    Chemistry = iota // nickel-rich layered oxide, graphite with some silicon
	NickelCobalt                   // nickel-cobalt-aluminium oxide, graphite
	IronPhosphate                  // lithium iron phosphate, graphite
)

// CellClass is one generic cell. Resistance is the direct-current 10 s pulse value at 25 °C and half charge, Ω.
type CellClass struct {
	Class
	Chemistry   Chemistry
	CapacityAh  float64
	NominalV    float64
	FullV       float64 // charge voltage
	EmptyV      float64 // resting voltage at 0 %
	CutoffV     float64 // under load, where a careful controller stops
	Resistance  float64 // Ω
	ContinuousA float64
	PeakA       float64 // a few seconds
	Mass        float64 // kg
	ChargeA     float64 // highest lasting charge current
	Diameter    float64 // m
	Length      float64 // m
}

// EndV is the voltage in V under load below which a cell is harmed.
func (c *CellClass) EndV() float64 { return c.EmptyV }

// Sizes are the trade's five-digit codes (diameter mm, length 0.1 mm). Voltages: 4.2 V and 3.6 V for nickel-rich, 3.65 V
// and 3.2 V for iron phosphate, are common practice. Resistances of the power and energy types lie in the
// usual ranges (from memory: power types 10–20 mΩ, energy types 25–45 mΩ for 18650 and 21700); iron phosphate follows
// the published 18650 of the 2022 open BPX set (19.3 mΩ ohmic) scaled by capacity. Charge current: half to twice the capacity per hour by
// type (common practice, no published source).
const (
	notePower    = "Class values: capacity and mass as usual for the size, resistance 10–20 mΩ for power types of 18650 and 21700 size (from memory), current as the class is sold. No published source; check the data sheet of your cell."
	noteBalanced = "Class values: between the power and the energy type of the same size. No published source; check the data sheet of your cell."
	noteEnergy   = "Class values: highest capacity of the size, resistance 25–45 mΩ for energy types of 18650 and 21700 size (from memory). No published source; check the data sheet of your cell."
	noteIron     = "Class values: voltage table and resistance per capacity follow the iron-phosphate 18650 of the 2022 open BPX set (19.3 mΩ ohmic at 2 Ah), scaled by capacity for a power type. Check the data sheet of your cell."
	noteLarge    = "Class values: resistance scaled by capacity from the 21700 class, as the cells are wound alike. No published source; check the data sheet of your cell."
)

// Cells is the catalog of cell classes. Ids are frozen: links carry them.
var Cells = []CellClass{
	{Class{"18650-power", "18650, high power", notePower}, NickelRich, 2.5, 3.6, 4.2, 2.5, 3.0, 0.018, 20, 30, 0.046, 4, 18e-3, 65e-3},
	{Class{"18650-balanced", "18650, balanced", noteBalanced}, NickelCobalt, 3.0, 3.6, 4.2, 2.7, 3.0, 0.026, 15, 20, 0.047, 3, 18e-3, 65e-3},
	{Class{"18650-energy", "18650, high energy", noteEnergy}, NickelCobalt, 3.5, 3.6, 4.2, 2.7, 3.0, 0.038, 8, 12, 0.048, 1.75, 18e-3, 65e-3},
	{Class{"21700-power", "21700, high power", notePower}, NickelRich, 4.0, 3.6, 4.2, 2.5, 3.0, 0.012, 35, 50, 0.068, 8, 21e-3, 70e-3},
	{Class{"21700-balanced", "21700, balanced", noteBalanced}, NickelRich, 4.5, 3.6, 4.2, 2.5, 3.0, 0.016, 25, 35, 0.069, 6.75, 21e-3, 70e-3},
	{Class{"21700-energy", "21700, high energy", noteEnergy}, NickelRich, 5.0, 3.6, 4.2, 2.5, 3.0, 0.027, 12, 18, 0.070, 3.5, 21e-3, 70e-3},
	{Class{"26650-balanced", "26650, balanced", noteLarge}, NickelRich, 5.5, 3.6, 4.2, 2.5, 3.0, 0.020, 20, 30, 0.093, 5.5, 26e-3, 65e-3},
	{Class{"46800-balanced", "46800, balanced", noteLarge}, NickelRich, 23, 3.6, 4.2, 2.5, 3.0, 0.0038, 70, 120, 0.355, 23, 46e-3, 80e-3},
	{Class{"18650-iron", "18650, iron phosphate", noteIron}, IronPhosphate, 1.5, 3.2, 3.65, 2.0, 2.6, 0.024, 12, 25, 0.040, 1.5, 18e-3, 65e-3},
	{Class{"26650-iron", "26650, iron phosphate power", noteIron}, IronPhosphate, 2.6, 3.2, 3.65, 2.0, 2.6, 0.012, 35, 60, 0.078, 5.2, 26e-3, 65e-3},
	{Class{"32700-iron", "32700, iron phosphate", noteIron}, IronPhosphate, 6.0, 3.2, 3.65, 2.0, 2.6, 0.010, 18, 36, 0.143, 6, 32e-3, 70e-3},
}
