// Package wire gives the resistance of copper leads.
//
// Sources: American wire gauge, ASTM B258 (diameter formula); annealed copper, IEC 60028 (58.0 MS/m at 20 °C, 0.00393 /K).
// What this leaves out: commercial copper is 97–101 % of the standard conductivity, and stranded conductors may by IEC 60228
// resist 11–16 % more than their ideal area.
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
