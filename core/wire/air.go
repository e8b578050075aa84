package wire

import "math"

const (
	kelvin   = 273.15
	gravity  = 9.80665     // m/s²
	stefan   = 5.670374e-8 // W/(m²·K⁴)
	pressure = 101325.0    // Pa: sea level
	gasAir   = 287.05      // J/(kg·K)
	cpAir    = 1007.0      // J/(kg·K), within 1 % from −20 to 200 °C
	emissive = 0.9         // of rubber and plastics in the infrared (any heat transfer handbook, from memory)
)

// air is still air at one temperature in K and sea level. Conductivity and viscosity are the formulas of ISO 2533 (constants from memory);
// between 250 and 500 K they lie within 3 % of handbook tables.
type air struct{ conductivity, viscosity, prandtl float64 } // W/(m·K), m²/s, 1

func airAt(t float64) air {
	root := t * math.Sqrt(t)
	dynamic := 1.458e-6 * root / (t + 110.4)                                   // Pa·s
	conductivity := 2.648151e-3 * root / (t + 245.4*math.Exp(-12*math.Ln10/t)) // W/(m·K); 10^(−12/T) in the standard
	return air{conductivity, dynamic * gasAir * t / pressure, dynamic * cpAir / conductivity}
}

// Nusselt returns the mean Nusselt number of free convection from a long horizontal cylinder: S. W. Churchill & H. H. S. Chu, Int. J. Heat
// Mass Transfer 18 (1975) 1049, all Rayleigh numbers up to 10¹²:
// (0.60 + 0.387·Ra^(1/6)/(1 + (0.559/Pr)^(9/16))^(8/27))². Its powers are taken by roots, which cost a fraction.
func Nusselt(rayleigh, prandtl float64) float64 {
	half := math.Sqrt(0.559 / prandtl)
	sixteenth := math.Sqrt(math.Sqrt(math.Sqrt(half)))
	fluid := fourth(square(math.Cbrt(math.Cbrt(1 + half*sixteenth)))) // its cube root is wanted
	return square(0.60 + 0.387*math.Cbrt(math.Sqrt(rayleigh)/fluid))
}

func square(x float64) float64 { return x * x }
func fourth(x float64) float64 { return square(square(x)) }

// CylinderLoss returns the heat in W that one meter of a long horizontal cylinder of a diameter in m gives to still air and walls of airC
// by free convection and by radiation, when its surface is surfaceC ≥ airC (°C) with an emissivity of 0…1. Air properties are at the mean
// of both temperatures.
func CylinderLoss(diameter, surfaceC, airC, emissivity float64) (convection, radiation float64) {
	rise, film := surfaceC-airC, (surfaceC+airC)/2+kelvin
	a := airAt(film)
	rayleigh := gravity / film * rise * diameter * diameter * diameter * a.prandtl / (a.viscosity * a.viscosity)
	convection = Nusselt(rayleigh, a.prandtl) * a.conductivity * math.Pi * rise // h·π·D·ΔT with h = Nu·k/D
	radiation = emissivity * stefan * math.Pi * diameter * (fourth(surfaceC+kelvin) - fourth(airC+kelvin))
	return convection, radiation
}
