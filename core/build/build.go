package build

import "headroom/core/wire"

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

	Strip           string // catalog ids
	BMS             string
	Connector       string
	MotorPlug       string
	Insulation      string
	ChargeFuseClass string
	Lay             string // which way the cells' axis points
	Nest            string // square or nested rows

	StripArea   float64 // m², all strips of one link together
	StripLength float64 // m, one link
	BMSRating   float64 // A
	CrossAWG    int     // leads between the boxes
	CrossLength float64 // one way, m
	PhaseAWG    int
	PhaseLength float64 // m
	Bundle      int     // circuits that lie together, ≥ 1
	BoxWarmth   float64 // K above air around fuse, leads and plugs
	Precharge   float64 // s to 95 %

	ChargerA          float64 // A
	ChargeFrom        float64 // state of charge, fraction
	ChargeTo          float64 // state of charge, fraction
	ChargeC           float64 // °C of the cells while charging
	ChargeFuse        float64 // A
	Taper             float64 // current where the charger stops, in rated charges per hour
	ChargerEfficiency float64 // fraction
	Tariff            float64 // money per kWh

	Split       int    // series cells wanted in the second box; Parts holds what can be
	Box         [2]Box // main and second
	BoxRoom     float64
	Lining      float64 // m on every wall and between layers
	ControllerX float64 // m before the axle
	BoxZ        float64 // m above the axle, as all that follow
	PadX        float64 // m from the axle, both ways
	PadZ        float64
	RailZ       float64
	Nose        float64 // m from the axle
	Tail        float64 // m from the axle
	EndZ        float64

	FuseRating    float64 // A
	Margin        float64 // current margin asked for, fraction
	VoltageMargin float64 // voltage margin asked for, fraction

	overrides [maxOverrides]Override
}

// Box is the inside of one box, m. Length 0 is as long as the cells need.
type Box struct {
	Length, Width, Height float64
	Gap                   float64 // from the tire to the inside
}

// On and Off are the ids of every yes-or-no choice.
const (
	On  = "on"
	Off = "off"
)

// maxOverrides bounds the optional rows of the Fields table; a test fails when the table outgrows it.
const maxOverrides = 64

const (
	// controllerC is a usual temperature for the switches to begin to give less, °C (common practice, no published source).
	controllerC = 85.0
	// sleeve is what a cell's wrap, ring and glue add to its diameter, m (common practice, no published source).
	sleeve = 0.6e-3
)

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

	Strip      StripClass
	Connector  ConnectorClass
	MotorPlug  ConnectorClass
	Insulation InsulationClass
	ChargeFuse FuseClass

	CutoffV   float64 // low-voltage cut-off of the pack, V
	BoardMass float64 // everything but the rider, kg
	RailsMass float64 // these four are what Build.Frame is made of, kg
	BoxesMass float64
	PadsMass  float64
	LinksMass float64

	LeadArea  float64 // copper of one battery lead, m²
	CrossArea float64 // of one lead between the boxes
	PhaseArea float64 // of one phase lead
	Split     int     // series cells in the second box, less than the series count
	Pitch     float64 // of the cells, m

	ChargerV    float64 // V
	OverV       float64 // bus voltage that braking may not pass, V
	EndV        float64 // pack voltage where nothing is left, V
	WarnDuty    float64 // fraction
	ControllerC float64 // °C
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
		Strip:      pick(Strips, b.Strip),
		Connector:  pick(Connectors, b.Connector),
		MotorPlug:  pick(Connectors, b.MotorPlug),
		Insulation: pick(Insulations, b.Insulation),
		ChargeFuse: pick(Fuses, b.ChargeFuseClass),

		RailsMass: 0.5 * b.Frame, BoxesMass: 0.25 * b.Frame, PadsMass: 0.15 * b.Frame, LinksMass: 0.1 * b.Frame,
		LeadArea: wire.Area(b.LeadAWG), CrossArea: wire.Area(b.CrossAWG), PhaseArea: wire.Area(b.PhaseAWG),
		Split:    min(b.Split, b.Series-1),
		WarnDuty: b.CruiseDuty, ControllerC: controllerC,
	}
	frame := Parts{RailsMass: p.RailsMass, BoxesMass: p.BoxesMass, PadsMass: p.PadsMass, LinksMass: p.LinksMass}
	b.apply(&p, false)
	// These follow from values that may themselves be overridden, so they come second.
	p.CutoffV = float64(b.Series) * p.Cell.CutoffV
	p.EndV = float64(b.Series) * p.Cell.EndV()
	p.ChargerV = float64(b.Series) * p.Cell.FullV
	p.OverV = p.Controller.AbsoluteV
	p.Pitch = p.Cell.Diameter + sleeve
	p.BoardMass = float64(b.Series*b.Parallel)*p.Cell.Mass + p.Motor.Mass + p.Tire.Mass + p.Controller.Mass + b.Frame +
		(p.RailsMass - frame.RailsMass) + (p.BoxesMass - frame.BoxesMass) + (p.PadsMass - frame.PadsMass) + (p.LinksMass - frame.LinksMass)
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
