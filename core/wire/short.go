package wire

import "math"

// Adiabatic returns the current in A that brings copper of an area in m² from fromC to toC in °C within seconds > 0 when no heat leaves:
// k·A/√t with k = 226·√(ln(1 + (to − from)/(234.5 + from))) A·√s/mm² (IEC 60364-5-54, IEC 60949). It is 0 where toC is not above fromC.
// Good for some seconds; later heat leaves and the current is higher.
func Adiabatic(area, seconds, fromC, toC float64) float64 {
	return math.Sqrt(JouleIntegral(area, fromC, toC) / seconds)
}

// JouleIntegral returns the ∫I²dt in A²·s that brings copper of an area in m² from fromC to toC in °C when no heat leaves, k²A² of
// IEC 60949; 0 where toC is not above fromC.
func JouleIntegral(area, fromC, toC float64) float64 {
	const k = 226e6 // A·√s/m²
	return k * k * area * area * math.Log1p(max(0, toC-fromC)/(234.5+fromC))
}

// DensityFor returns the current density in A/m² that warms a metal of a resistivity in Ω·m and a heat capacity in J/(m³·K) by rise in K
// within seconds > 0 when no heat leaves and its resistance stays: J = √(ΔT·c/(ρ·t)), the balance of J²ρt with cΔT.
func DensityFor(rise, seconds, resistivity, heat float64) float64 {
	return math.Sqrt(rise * heat / (resistivity * seconds))
}
