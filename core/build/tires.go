package build

// TireClass is one generic pneumatic tire. Rolling force is load × RollingC0 × (p/ReferenceP)^PressureExponent ×
// (load/ReferenceLoad)^LoadExponent × (1 + SpeedA·v + SpeedB·v²).
type TireClass struct {
	Class
	Radius           float64 // m, unloaded and inflated
	Width            float64 // m of tread
	Carcass          float64 // N/m with no air in it
	RollingC0        float64
	PressureExponent float64 // negative
	LoadExponent     float64 // on top of proportional; 0 is linear in load
	SpeedA           float64 // s/m
	SpeedB           float64 // s²/m²
	ReferenceP       float64 // Pa gauge
	ReferenceLoad    float64 // N
	GrowthK          float64 // s²/m², radius growth per speed squared
	MinP, MaxP       float64 // Pa gauge
	Mass             float64 // kg
	Rim              float64 // m, nominal diameter of the rim that it is made for
}

// inch is exact (international yard and pound, 1959); rims are named by it.
const inch = 0.0254

// Rolling coefficients lie between those published for kick-scooter tires (3.5–6 × a bicycle tire's 0.004–0.006, Stilwell
// et al. 2023, so 0.014–0.036) and those of kart tires (0.02–0.04, from memory). The pressure exponent lies in the
// published range −0.3…−0.5 (passenger tires, from memory; −0.477 bicycle, Grappe 1999, from memory). Linear in load: Tire Sci. Technol. 6(3):163.
const noteTire = "Class values: diameter and width of the size class; rolling coefficient between published kick-scooter (0.014–0.036) and kart (0.02–0.04) figures, pressure exponent −0.4 (published range −0.3 to −0.5). Measure the rolled-out circumference of yours."

// Tires is the catalog of tires. Ids are frozen: links carry them.
var Tires = []TireClass{
	{Class{"slick-6-narrow", "6-inch rim, narrow slick", noteTire}, 0.133, 0.100, 18e3, 0.019, -0.4, 0, 4e-3, 2e-4, 130e3, 950, 4e-5, 70e3, 240e3, 1.6, 6 * inch},
	{Class{"slick-6", "6-inch rim, wide slick", noteTire}, 0.141, 0.140, 22e3, 0.022, -0.4, 0, 4e-3, 2e-4, 130e3, 950, 4e-5, 60e3, 200e3, 2.1, 6 * inch},
	{Class{"trail-6", "6-inch rim, treaded trail", noteTire}, 0.143, 0.135, 24e3, 0.027, -0.4, 0, 5e-3, 2e-4, 130e3, 950, 4e-5, 60e3, 200e3, 2.4, 6 * inch},
	{Class{"slick-65", "6.5-inch rim, wide slick", noteTire}, 0.146, 0.135, 24e3, 0.022, -0.4, 0, 4e-3, 2e-4, 130e3, 950, 4e-5, 60e3, 200e3, 2.2, 6.5 * inch},
	{Class{"trail-65", "6.5-inch rim, treaded trail", noteTire}, 0.149, 0.130, 26e3, 0.028, -0.4, 0, 5e-3, 2e-4, 130e3, 950, 4e-5, 60e3, 200e3, 2.6, 6.5 * inch},
	{Class{"street-5", "5-inch rim, round street", noteTire}, 0.127, 0.085, 16e3, 0.018, -0.4, 0, 4e-3, 2e-4, 150e3, 950, 4e-5, 90e3, 280e3, 1.3, 5 * inch},
}

// SurfaceClass multiplies rolling resistance.
type SurfaceClass struct {
	Class
	Factor float64
}

const noteSurface = "Factor on rolling resistance. Common practice, no published source; fit yours to a ride."

// Surfaces is the catalog of surfaces. Ids are frozen: links carry them.
var Surfaces = []SurfaceClass{
	{Class{"smooth", "Smooth asphalt", noteSurface}, 1.0},
	{Class{"rough", "Rough asphalt", noteSurface}, 1.2},
	{Class{"hardpack", "Packed gravel, hard trail", noteSurface}, 1.4},
	{Class{"loose", "Loose gravel, dry grass", noteSurface}, 2.0},
	{Class{"soft", "Soft ground, wet grass", noteSurface}, 3.0},
}
