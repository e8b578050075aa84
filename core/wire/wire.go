// Package wire gives resistance, current and temperature of copper leads.
//
//	R = ρ₂₀·l/A·(1 + α·(T − 20))           annealed copper, IEC 60028 (58.0 MS/m at 20 °C, 0.00393 /K)
//	d = 0.127 mm·92^((36−n)/39)            American wire gauge n, ASTM B258
//	I²·ρ(T)/A = q_convection + q_radiation  a lead in still air; convection by Churchill & Chu 1975
//	I²·t = k²·A²                           a short circuit, IEC 60364-5-54 and IEC 60949
//
// What a lead may carry in a chassis is the "Handbook of Electronic Tables and Formulas"; warm air and bundles take from it by
// IEC 60364-5-52.
//
// What this leaves out: commercial copper is 97–101 % of the standard conductivity, and stranded conductors may by IEC 60228
// resist 11–16 % more than their ideal area. The temperature of a lead leaves out the fall within its jacket, wind, height above the sea,
// and the heat that flows along the copper to plugs and terminals. The heat of a short circuit leaves out what leaves meanwhile.
package wire

import "math"

const (
	// Resistivity20 is that of annealed copper at 20 °C, Ω·m (IEC 60028: 1/58 Ω·mm²/m).
	Resistivity20 = 1.0 / 58e6
	// TemperatureCoefficient of copper's resistance at 20 °C, 1/K (IEC 60028).
	TemperatureCoefficient = 0.00393
)

// Diameter returns the diameter of a solid wire of gauge awg in m: 0.127 mm · 92^((36−n)/39) (ASTM B258). Gauge 0 is 1/0.
func Diameter(awg int) float64 {
	return 0.127e-3 * math.Pow(92, float64(36-awg)/39)
}

// Area returns the copper cross-section of gauge awg in m².
func Area(awg int) float64 {
	d := Diameter(awg)
	return math.Pi / 4 * d * d
}

// Resistance returns that of length m of copper with the given area in m² at a temperature in °C:
// ρ₂₀·l/A·(1 + α·(T − 20)).
func Resistance(area, length, celsius float64) float64 {
	return Resistivity20 * length / area * Heated(celsius)
}

// Heated returns R(T)/R(20 °C) of copper.
func Heated(celsius float64) float64 { return 1 + TemperatureCoefficient*(celsius-20) }
