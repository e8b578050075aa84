package build

// Build is one board as chosen. It is a plain comparable value: copy it freely. The zero Build is not valid; start from
// Default.
type Build struct {
	Series   int // cells in series, S
	Parallel int // cells in parallel, P

	Cell       string // catalog ids
	Motor      string
	Controller string
	Tire       string
	FuseClass  string
	Surface    string
	Profile    string // id of the ride's speed and grade profile
	Own        string // rows of the profile of one's own, canonical text (see ParseRows)
	HeatFeeds  string // On: the ride's own steady winding temperature stands in for WindingC

	HealthFraction   float64 // usable share of rated charge, 0.5…1
	ResistanceGrowth float64 // extra cell resistance from age, fraction ≥ 0
	JointResistance  float64 // one group-to-group link, Ω
	OtherResistance  float64 // BMS and connectors in the battery's path, Ω
	LeadAWG          int     // battery lead, American wire gauge
	LeadLength       float64 // one way, m
	StartCharge      float64 // state of charge at the start of the ride, 0…1
	FloorCharge      float64 // state of charge at which the rider stops, 0…1

	PhaseLimit   float64 // controller setting, A peak
	BatteryLimit float64 // controller setting, A
	RegenLimit   float64 // controller setting, A back into the battery
	CellsLimit   string  // On: the cells' peak rating limits the battery current too
	MaxDuty      float64 // highest duty, fraction of the linear limit V/√3
	WeakenA      float64 // field-weakening current I_fw, A peak
	WeakenDuty   float64 // duty where field weakening begins, fraction
	WindingC     float64 // winding temperature assumed, °C
	DerateC      float64 // winding temperature at which the controller begins to take phase current back, °C
	LimitC       float64 // winding temperature at which none is left, °C

	Pressure     float64 // tire inflation, Pa gauge
	RubClearance float64 // between the tire at rest and what it would rub on, m

	Rider    float64 // kg, dressed
	Frame    float64 // rails, boxes, foot pads, kg
	DragArea float64 // CdA, m²
	Grade    float64 // slope of the ride, rise over run
	Headwind float64 // m/s, positive against the rider
	Altitude float64 // m above sea level
	AmbientC float64 // air and pack temperature, °C

	Cruise     float64 // steady riding speed, m/s
	Shift      float64 // balance reserve asked for, m of center of pressure
	CruiseDuty float64 // duty to stay under when riding steadily, fraction

	FuseRating    float64 // A
	Margin        float64 // current margin asked for, fraction
	VoltageMargin float64 // voltage margin asked for, fraction

	overrides [maxOverrides]Override
}

// On and Off are the ids of every yes-or-no choice.
const (
	On  = "on"
	Off = "off"
)

// maxOverrides bounds the optional rows of the Fields table; a test fails when the table outgrows it.
const maxOverrides = 48

// Override is a class value replaced by hand. Value is SI and has no meaning unless Given.
type Override struct {
	Value float64
	Given bool
}

// Parts is a build with its catalog classes looked up, every override applied, and the values that follow from others
// filled in. Physics reads Parts, never the catalogs.
type Parts struct {
	Cell       CellClass
	Motor      MotorClass
	Controller ControllerClass
	Tire       TireClass
	Fuse       FuseClass
	Surface    SurfaceClass

	CutoffV   float64 // low-voltage cut-off of the pack, V
	BoardMass float64 // everything but the rider, kg
}

// Parts resolves the build. An id that no catalog holds resolves to the catalog's first class; builds that come through
// the Fields table never hold one.
func (b *Build) Parts() Parts {
	p := Parts{
		Cell:       pick(Cells, b.Cell),
		Motor:      pick(Motors, b.Motor),
		Controller: pick(Controllers, b.Controller),
		Tire:       pick(Tires, b.Tire),
		Fuse:       pick(Fuses, b.FuseClass),
		Surface:    pick(Surfaces, b.Surface),
	}
	b.apply(&p, false)
	// These two follow from values that may themselves be overridden, so they come second.
	p.CutoffV = float64(b.Series) * p.Cell.CutoffV
	p.BoardMass = float64(b.Series*b.Parallel)*p.Cell.Mass + p.Motor.Mass + p.Tire.Mass + p.Controller.Mass + b.Frame
	b.apply(&p, true)
	return p
}

func (b *Build) apply(p *Parts, derived bool) {
	for _, i := range overrideRows {
		f := &Fields[i]
		if o := b.overrides[f.slot]; o.Given && f.derived == derived {
			*f.part(p) = o.Value
		}
	}
}
