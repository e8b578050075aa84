package build

// ControllerClass is one generic field-oriented motor controller.
type ControllerClass struct {
	Class
	AbsoluteV    float64 // V that nothing may exceed, braking included
	BatteryA     float64 // A continuous on the battery side
	PhaseA       float64 // A peak for seconds on the phase side
	OnResistance float64 // Ω of one conducting switch, hot
	SwitchingK   float64 // inverter loss per volt of bus and peak phase ampere
	StandbyW     float64
	Mass         float64 // kg
	CapacitanceF float64 // F across the battery terminals
}

// Switching factor: three legs of ½·V·I·(t_r+t_f)·f averaged over a sine give 3·½·(2/π)·(t_r+t_f)·f per V and peak A:
// 100 ns at 20 kHz is 1.9e-3 (at 84 V and 70.7 A: 11.34 W; half a rectangle per edge as in MOSFET makers' application notes). Higher-voltage switches are slower and resist more.
// Capacitance: 1 to 2 mF across the terminals of boards of this size (common practice, no published source).
const noteController = "Class values: named by the absolute limit of its switches; switch resistance and speed as usual for that voltage (common practice, no published source). Take the limits from the data sheet."

// Controllers is the catalog of controllers by voltage class. Ids are frozen: links carry them.
var Controllers = []ControllerClass{
	{Class{"c60", "60 V class", noteController}, 60, 60, 150, 0.0012, 1.5e-3, 4, 0.35, 1000e-6},
	{Class{"c75", "75 V class", noteController}, 75, 70, 180, 0.0015, 1.7e-3, 4, 0.40, 1200e-6},
	{Class{"c100", "100 V class", noteController}, 100, 80, 200, 0.0020, 1.9e-3, 5, 0.50, 1500e-6},
	{Class{"c130", "130 V class", noteController}, 130, 100, 250, 0.0032, 2.5e-3, 6, 0.70, 1200e-6},
	{Class{"c170", "170 V class", noteController}, 170, 120, 300, 0.0055, 3.2e-3, 7, 0.90, 1000e-6},
}
