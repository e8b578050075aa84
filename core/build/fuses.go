package build

// FuseClass is one kind of fuse. VoltageDC and BreakingA are direct-current ratings.
type FuseClass struct {
	Class
	VoltageDC float64   // V
	BreakingA float64   // A
	MaxRating float64   // A, largest rating of the class
	DropV     float64   // V across it at its rating, cold
	Ratings   []float64 // A that the class is made in, rising
	Band      FuseBand  // which time-current gates hold for it
}

// FuseBand selects a table of time-current gates in package protect.
type FuseBand int

// The tables.
const (
	BladeBand  FuseBand = iota // ISO 8820-3 blades
	BoltBand                   // bolted strips and studs of ISO 8820-5 and -6
	ModuleBand                 // vehicle battery fuses of ISO 8820-8
	SolarBand                  // IEC 60269-6 gPV cartridges
	MidgetBand                 // small cartridges with a d.c. rating
)

// Standard ratings. Blades: usual series of ISO 8820-3 (from memory), at most 100 A (ISO 8820-3:2015). Bolted: usual steps up to the
// class's end (common practice). Cartridges and vehicle fuses: the UL 248 series, cut at the class's end.
var (
	bladeRatings  = []float64{5, 7.5, 10, 15, 20, 25, 30, 35, 40, 50, 60, 70, 80, 100}
	boltRatings   = []float64{30, 40, 50, 60, 70, 80, 100, 125, 150, 175, 200, 225, 250, 300}
	stripRatings  = []float64{30, 40, 50, 60, 70, 80, 100, 125, 150, 175, 200}
	midgetRatings = []float64{1, 3, 6, 10, 15, 20, 25, 30, 35, 40, 45, 50, 60}
	moduleRatings = []float64{15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400}
	solarRatings  = []float64{1, 3, 6, 10, 15, 20, 25, 30}
)

// Fuses is the catalog of fuse classes. Ids are frozen: links carry them.
var Fuses = []FuseClass{
	{Class{"blade-32", "Blade, 32 V", "ISO 8820-3:2015: 32 V, at most 100 A, breaking 1000 A. Drop 75–96 mV at rating: maker sheets of 40 A blades."}, 32, 1000, 100, 0.085, bladeRatings, BladeBand},
	{Class{"blade-58", "Blade, 58 V", "ISO 8820-3:2015: 58 V, at most 100 A, breaking 1000 A. Drop as for the 32 V blade."}, 58, 1000, 100, 0.085, bladeRatings, BladeBand},
	{Class{"bolt-58", "Bolted, 58 V", "ISO 8820-6:2019 single bolt: 58 V, at most 300 A, breaking 2000 A. Drop: common practice, no published source."}, 58, 2000, 300, 0.08, boltRatings, BoltBand},
	{Class{"strip-80", "Bolted strip, 80 V", "ISO 8820-5 strips: some are rated 70 or 80 V (from memory); breaking capacity 2000 A assumed as for ISO 8820-6. Read the marking."}, 80, 2000, 200, 0.08, stripRatings, BoltBand},
	{Class{"cyl-150", "Cylinder, 150 V d.c.", "Midget cartridge with a d.c. rating: 150 V and 10 kA are usual (common practice, no published source). Read the marking."}, 150, 10000, 60, 0.15, midgetRatings, MidgetBand},
	{Class{"battery-450", "Vehicle battery, 450 V", "ISO 8820-8 road-vehicle fuses above 60 V to 450 V (from memory); breaking 10 kA assumed. Read the marking."}, 450, 10000, 400, 0.1, moduleRatings, ModuleBand},
	{Class{"pv-1000", "Photovoltaic gPV, 1000 V", "IEC 60269-6 gPV cartridge 10 × 38 mm: up to 1000 V d.c., 30 A (from memory); breaking 10 kA and more. Read the marking."}, 1000, 10000, 30, 0.2, solarRatings, SolarBand},
}
