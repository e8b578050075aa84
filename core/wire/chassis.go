package wire

import "math"

// The gauges that leads are sold in and the handbook tabulates here.
const (
	ThickestGauge = 4
	ThinnestGauge = 20
)

// chassis is the handbook's current in A for gauge 4 and thinner.
var chassis = [...]float64{135, 118, 101, 89, 73, 64, 55, 47, 41, 35, 32, 28, 22, 19, 16, 14, 11}

// Gauge returns the gauge number of a copper area in m² > 0, whole for the standard's wires and between them otherwise: the formula of
// ASTM B258 solved for the number.
func Gauge(area float64) float64 {
	d := SolidDiameter(area)
	// Without the dust a standard wire's number is whole.
	return math.Round(1e9*(36-39*math.Log(d/0.127e-3)/math.Log(92))) / 1e9
}

// SolidDiameter returns the diameter in m of a round solid wire of an area in m². A stranded lead is about 15 % thicker.
func SolidDiameter(area float64) float64 { return math.Sqrt(4 * area / math.Pi) }

// ChassisA returns the current in A that the "Handbook of Electronic Tables and Formulas" gives a copper lead of an area in m² > 0 in a
// chassis: open air, not bundled, a rule of thumb. Gauges 4 to 20 are the handbook's own; between them the current is a straight line over
// the area on two logarithmic scales, and beyond them that line goes on.
func ChassisA(area float64) float64 {
	steps := Gauge(area) - ThickestGauge // even steps in gauge are even steps in the logarithm of the area
	i := int(max(0, min(math.Floor(steps), float64(len(chassis)-2))))
	return chassis[i] * math.Pow(chassis[i+1]/chassis[i], steps-float64(i))
}
