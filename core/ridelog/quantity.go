package ridelog

// Quantity is what a column of a log holds.
type Quantity int

// The quantities that are read. A column of None is passed over.
const (
	None        Quantity = iota
	Time                 // s from the beginning of the log
	Speed                // m/s, without its sign
	Duty                 // fraction of V/√3, without its sign
	PackV                // V at the controller
	BatteryA             // A, positive while the board is driven
	PhaseA               // A peak, positive while the board is driven
	Power                // W out of the battery; stands in for BatteryA
	Distance             // m
	MotorC               // °C
	ControllerC          // °C
	Altitude             // m
	quantities  = iota   // how many there are
)

// Unit is one unit of a column: SI = value·Factor + Offset.
type Unit struct {
	ID     string
	Factor float64
	Offset float64
}

// Units of time that are no plain factor.
const (
	unitClock = "clock" // hh:mm:ss, with or without a date
)

// kind is one row of the table of quantities.
type kind struct {
	name   string
	units  []Unit  // the first is taken where nothing tells
	lo, hi float64 // beyond these, SI, no log of such a board can be: the cell is left out
	fine   float64 // what two readings of the same may differ by all the same, SI: noise, and the steps of a logger
}

// kinds is the table of quantities. The bounds only catch garbage; they are no limits of a board. Miles and feet are exact
// (international yard and pound, 1959).
var kinds = [quantities]kind{
	None:        {name: "not used"},
	Time:        {"time", []Unit{{"s", 1, 0}, {"ms", 1e-3, 0}, {"µs", 1e-6, 0}, {"min", 60, 0}, {unitClock, 1, 0}}, -1e15, 1e15, 0},
	Speed:       {"speed", []Unit{{"km/h", 1 / 3.6, 0}, {"mph", 0.44704, 0}, {"m/s", 1, 0}}, -60, 60, 0.15},
	Duty:        {"duty", []Unit{{"%", 0.01, 0}, {"0–1", 1, 0}}, -1.2, 1.2, 0.015},
	PackV:       {"pack voltage", []Unit{{"V", 1, 0}, {"mV", 1e-3, 0}}, 5, 400, 0.3},
	BatteryA:    {"battery current", []Unit{{"A", 1, 0}, {"mA", 1e-3, 0}}, -1000, 1000, 1.5},
	PhaseA:      {"phase current", []Unit{{"A peak", 1, 0}, {"A r.m.s.", 1.4142135623730951, 0}, {"mA peak", 1e-3, 0}}, -2000, 2000, 4},
	Power:       {"power", []Unit{{"W", 1, 0}, {"kW", 1e3, 0}}, -1e5, 1e5, 100},
	Distance:    {"distance", []Unit{{"km", 1e3, 0}, {"m", 1, 0}, {"mi", 1609.344, 0}, {"ft", 0.3048, 0}}, -1e9, 1e9, 10},
	MotorC:      {"motor temperature", []Unit{{"°C", 1, 0}, {"°F", 5. / 9, -160. / 9}}, -60, 250, 2},
	ControllerC: {"controller temperature", []Unit{{"°C", 1, 0}, {"°F", 5. / 9, -160. / 9}}, -60, 250, 2},
	Altitude:    {"altitude", []Unit{{"m", 1, 0}, {"ft", 0.3048, 0}}, -1000, 9000, 1},
}

// Quantities lists all that a column may hold, None first.
func Quantities() []Quantity {
	list := make([]Quantity, quantities)
	for i := range list {
		list[i] = Quantity(i)
	}
	return list
}

// String is the quantity in words.
func (q Quantity) String() string { return kinds[q].name }

// Units lists the units that a column of a quantity may be in, the usual one first.
func (q Quantity) Units() []Unit { return kinds[q].units }

func (q Quantity) unit(id string) (Unit, bool) {
	for _, u := range kinds[q].units {
		if u.ID == id {
			return u, true
		}
	}
	return Unit{}, false
}

// Row is one moment, by Quantity, in SI. What is missing is NaN.
type Row [quantities]float64
