package build

// MotorClass is one generic hub motor: a star-equivalent three-phase permanent-magnet machine. Resistance and inductances
// are per phase, line to neutral; currents are peak amperes.
type MotorClass struct {
	Class
	Kv          float64 // rpm per volt of bus, unloaded, full modulation, no field weakening
	PolePairs   float64
	Resistance  float64 // Ω at 20 °C
	Ld, Lq      float64 // H
	SaturationA float64 // A peak
	HysteresisK float64 // N·m per pole pair
	EddyK       float64 // N·m·s per pole pair and electrical rad/s
	PhaseA      float64 // A peak that the winding stands for seconds
	Mass        float64 // kg
	Rim         float64 // m, nominal diameter of the rim that the hub carries

	WindingJ     float64 // heat capacity of the winding, J/K
	HubJ         float64 // heat capacity of iron, hub and shell, J/K
	WindingToHub float64 // thermal resistance, K/W
	HubToAir     float64 // thermal resistance standing still, K/W
}

// The hub classes are one family, scaled from the wide 6 inch hub by stator diameter and width: flux linkage and inductance
// with area, resistance with turns and copper, iron drag with iron mass.
// Heat: copper is taken as 12 % of the mass at 385 J/(kg·K), iron, hub and shell as 75 % at 480 J/(kg·K) (specific heats: any
// handbook); the resistances then follow from time constants of 80 s winding to hub and 30 min hub to air at 7 m/s (hub motors:
// 30–120 s and 15–60 min, from memory; no published source found).
const noteHub = "Class values: hub motors of this size have 15 pole pairs, tens of milliohms and 0.1 to 0.3 mH per phase; scaled within one family by stator diameter and width. Common practice, no published source: enter what you measured."

// Motors is the catalog of hub motors, from small and fast-turning to large and strong. Ids are frozen: links carry them.
var Motors = []MotorClass{
	{Class{"hub5-narrow", "5-inch hub, narrow stator", noteHub}, 17.5, 15, 0.058, 130e-6, 150e-6, 150, 0.022, 14e-6, 90, 4.1, 5 * inch, 190, 1500, 0.42, 1.81},
	{Class{"hub5-wide", "5-inch hub, wide stator", noteHub}, 16, 15, 0.050, 145e-6, 170e-6, 160, 0.026, 17e-6, 120, 5.0, 5 * inch, 230, 1800, 0.35, 1.51},
	{Class{"hub6-narrow", "6-inch hub, narrow stator", noteHub}, 15, 15, 0.046, 155e-6, 185e-6, 175, 0.030, 19e-6, 130, 5.6, 6 * inch, 260, 2000, 0.31, 1.35},
	{Class{"hub6-wide", "6-inch hub, wide stator", noteHub}, 13.5, 15, 0.040, 175e-6, 210e-6, 210, 0.036, 23e-6, 180, 6.9, 6 * inch, 320, 2500, 0.25, 1.09},
	{Class{"hub65-narrow", "6.5-inch hub, narrow stator", noteHub}, 12.5, 15, 0.037, 185e-6, 225e-6, 220, 0.038, 24e-6, 190, 7.4, 6.5 * inch, 340, 2650, 0.24, 1.02},
	{Class{"hub65-wide", "6.5-inch hub, wide stator", noteHub}, 11, 15, 0.033, 205e-6, 250e-6, 260, 0.045, 29e-6, 230, 8.8, 6.5 * inch, 410, 3150, 0.20, 0.86},
}
