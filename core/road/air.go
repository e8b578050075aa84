package road

import "math"

// The standard atmosphere of ISO 2533:1975 below 11 km.
const (
	Gravity        = 9.80665   // m/s²
	seaPressure    = 101325.0  // Pa
	seaTemperature = 288.15    // K
	lapse          = 0.0065    // K/m
	airConstant    = 287.05287 // J/(kg·K)
)

// Pressure returns the standard air pressure in Pa at a geopotential altitude in m, −2 000…11 000:
// p = p₀·(1 − L·h/T₀)^(g/(L·R)).
func Pressure(altitude float64) float64 {
	return seaPressure * math.Pow(1-lapse*altitude/seaTemperature, Gravity/(lapse*airConstant))
}

// AirDensity returns that of dry air in kg/m³ at the standard pressure of an altitude in m and a given temperature in °C:
// ρ = p/(R·T). Moist air is up to 1 % lighter.
func AirDensity(altitude, celsius float64) float64 {
	return Pressure(altitude) / (airConstant * (celsius + 273.15))
}
