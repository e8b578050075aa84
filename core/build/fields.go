package build

import "fmt"

const (
	milli   = 1e-3
	micro   = 1e-6
	kilo    = 1e3
	percent = 1e-2
	kmh     = 1 / 3.6
)

// Fields is every input of the planner, in canonical link order. The first four rows of Main are the page's sliders.
var Fields = []Field{
	{Key: "s", Label: "Cells in series", Group: GroupPack, Kind: Whole, Min: 8, Max: 40, Step: 1, Default: 18,
		Help: "More volts, more speed; parts must stand it.", whole: func(b *Build) *int { return &b.Series }},
	{Key: "p", Label: "Cells in parallel", Group: GroupPack, Kind: Whole, Min: 1, Max: 12, Step: 1, Default: 2,
		Help: "They share the current: less sag, farther.", whole: func(b *Build) *int { return &b.Parallel }},
	{Key: "motor", Label: "Motor", Group: GroupDrive, Kind: Choice, Chosen: "hub6-wide", options: optionsOf(Motors),
		Help: "From small and fast to large and strong.", choice: func(b *Build) *string { return &b.Motor }},
	{Key: "kpa", Label: "Tire pressure", Group: GroupWheel, Unit: "kPa", Scale: kilo, Min: 30, Max: 300, Step: 5, Default: 130,
		Help: "Gauge, cold. Softer grips, harder rolls farther.", number: func(b *Build) *float64 { return &b.Pressure }},

	{Key: "cell", Label: "Cell", Group: GroupPack, Kind: Choice, Chosen: "21700-balanced", options: optionsOf(Cells),
		Help: "Cell class: size, chemistry and what it is built for.", choice: func(b *Build) *string { return &b.Cell }},
	{Key: "soh", Label: "State of health", Group: GroupPack, Unit: "%", Scale: percent, Min: 50, Max: 100, Step: 1, Default: 100,
		Help: "Usable charge today against rated charge.", number: func(b *Build) *float64 { return &b.HealthFraction }},
	{Key: "rgrow", Label: "Resistance growth", Group: GroupPack, Unit: "%", Scale: percent, Min: 0, Max: 200, Step: 5, Default: 0,
		Help: "How much the cells' resistance has grown with age.", number: func(b *Build) *float64 { return &b.ResistanceGrowth }},
	{Key: "start", Label: "Charge at the start", Group: GroupPack, Unit: "%", Scale: percent, Min: 20, Max: 100, Step: 1, Default: 100,
		Help: "State of charge when the ride begins.", number: func(b *Build) *float64 { return &b.StartCharge }},
	{Key: "floor", Label: "Charge to turn home at", Group: GroupPack, Unit: "%", Scale: percent, Min: 5, Max: 60, Step: 1, Default: 15,
		Help: "The low charge that range ends at and the cruise ceiling is judged at. Common practice, no published source: keep 10 % or more.", number: func(b *Build) *float64 { return &b.FloorCharge }},
	{Key: "cellah", Label: "Cell capacity", Group: GroupPack, Unit: "Ah", Scale: 1, Min: 0.5, Max: 60, Step: 0.1, Optional: true,
		Help: "Rated charge of one cell.", part: func(p *Parts) *float64 { return &p.Cell.CapacityAh }},
	{Key: "cellr", Label: "Cell resistance", Group: GroupPack, Unit: "mΩ", Scale: milli, Min: 0.3, Max: 300, Step: 0.5, Optional: true,
		Help: "Direct-current resistance of one cell at 25 °C and half charge, 10 s pulse.", part: func(p *Parts) *float64 { return &p.Cell.Resistance }},
	{Key: "cella", Label: "Cell continuous current", Group: GroupPack, Unit: "A", Scale: 1, Min: 1, Max: 400, Step: 1, Optional: true,
		Help: "Continuous discharge rating of one cell.", part: func(p *Parts) *float64 { return &p.Cell.ContinuousA }},
	{Key: "cellpeak", Label: "Cell peak current", Group: GroupPack, Unit: "A", Scale: 1, Min: 1, Max: 800, Step: 1, Optional: true,
		Help: "Discharge rating of one cell for a few seconds.", part: func(p *Parts) *float64 { return &p.Cell.PeakA }},
	{Key: "cellmax", Label: "Cell full voltage", Group: GroupPack, Unit: "V", Scale: 1, Min: 3.4, Max: 4.4, Step: 0.01, Optional: true, Rare: true,
		Help: "Charge voltage of one cell.", part: func(p *Parts) *float64 { return &p.Cell.FullV }},
	{Key: "cellnom", Label: "Cell nominal voltage", Group: GroupPack, Unit: "V", Scale: 1, Min: 3, Max: 3.9, Step: 0.01, Optional: true, Rare: true,
		Help: "The voltage that the rated energy is stated with.", part: func(p *Parts) *float64 { return &p.Cell.NominalV }},
	{Key: "cellmin", Label: "Cell empty voltage", Group: GroupPack, Unit: "V", Scale: 1, Min: 1.8, Max: 3.2, Step: 0.05, Optional: true, Rare: true,
		Help: "Resting voltage of an empty cell.", part: func(p *Parts) *float64 { return &p.Cell.EmptyV }},
	{Key: "cellg", Label: "Cell mass", Group: GroupPack, Unit: "g", Scale: milli, Min: 10, Max: 3000, Step: 1, Optional: true, Rare: true,
		Help: "Mass of one cell.", part: func(p *Parts) *float64 { return &p.Cell.Mass }},
	{Key: "linkr", Label: "Resistance group to group", Group: GroupPack, Unit: "mΩ", Scale: milli, Min: 0, Max: 5, Step: 0.05, Default: 0.25, Rare: true,
		Help: "Each link between neighbouring groups, welds and strip together.", number: func(b *Build) *float64 { return &b.JointResistance }},
	{Key: "packr", Label: "BMS and connectors", Group: GroupPack, Unit: "mΩ", Scale: milli, Min: 0, Max: 50, Step: 0.5, Default: 3, Rare: true,
		Help: "Everything else that the battery current passes through.", number: func(b *Build) *float64 { return &b.OtherResistance }},

	{Key: "ctrl", Label: "Controller", Group: GroupDrive, Kind: Choice, Chosen: "c100", options: optionsOf(Controllers),
		Help: "Controller class by the highest voltage it stands.", choice: func(b *Build) *string { return &b.Controller }},
	{Key: "phase", Label: "Phase current limit", Group: GroupDrive, Unit: "A", Scale: 1, Min: 10, Max: 600, Step: 5, Default: 120,
		Help: "Setting, peak amperes. It sets the torque from standstill.", number: func(b *Build) *float64 { return &b.PhaseLimit }},
	{Key: "batt", Label: "Battery current limit", Group: GroupDrive, Unit: "A", Scale: 1, Min: 5, Max: 400, Step: 1, Default: 50,
		Help: "Setting. It sets the power at speed.", number: func(b *Build) *float64 { return &b.BatteryLimit }},
	{Key: "regen", Label: "Regeneration limit", Group: GroupDrive, Unit: "A", Scale: 1, Min: 0, Max: 300, Step: 1, Default: 30,
		Help: "Setting: the most current that braking may push back into the battery.", number: func(b *Build) *float64 { return &b.RegenLimit }},
	{Key: "fw", Label: "Field-weakening current", Group: GroupDrive, Unit: "A", Scale: 1, Min: 0, Max: 300, Step: 1, Default: 0,
		Help: "Setting: d-axis current spent on going faster than the voltage allows. 0 is none. The reserve it gives is gone the moment the controller stops.", number: func(b *Build) *float64 { return &b.WeakenA }},
	{Key: "fwduty", Label: "Field weakening from duty", Group: GroupDrive, Unit: "%", Scale: percent, Min: 30, Max: 99, Step: 1, Default: 70,
		Help: "Setting: duty where field weakening begins; it is full at the highest duty.", number: func(b *Build) *float64 { return &b.WeakenDuty }},
	{Key: "celllimit", Label: "Cells limit the current", Group: GroupDrive, Kind: Choice, Chosen: Off, options: yesNo, Rare: true,
		Help: "Whether the torque left is judged within the cells' peak rating too, should it be below the battery current limit.", choice: func(b *Build) *string { return &b.CellsLimit }},
	{Key: "duty", Label: "Highest duty", Group: GroupDrive, Unit: "%", Scale: percent, Min: 60, Max: 100, Step: 1, Default: 95,
		Help: "Share of the bus voltage that the controller may use at most.", number: func(b *Build) *float64 { return &b.MaxDuty }},
	{Key: "kv", Label: "Motor Kv", Group: GroupDrive, Unit: "rpm/V", Scale: 1, Min: 3, Max: 80, Step: 0.1, Optional: true,
		Help: "Unloaded rpm per volt of bus at full modulation, without field weakening.", part: func(p *Parts) *float64 { return &p.Motor.Kv }},
	{Key: "vmax", Label: "Controller voltage limit", Group: GroupDrive, Unit: "V", Scale: 1, Min: 20, Max: 300, Step: 1, Optional: true,
		Help: "Absolute limit of the controller, from its data sheet.", part: func(p *Parts) *float64 { return &p.Controller.AbsoluteV }},
	{Key: "vcut", Label: "Low-voltage cut-off", Group: GroupDrive, Unit: "V", Scale: 1, Min: 10, Max: 160, Step: 0.5, Optional: true,
		Help: "The controller gives less and less below this pack voltage.", derived: true, part: func(p *Parts) *float64 { return &p.CutoffV }},
	{Key: "heat", Label: "Ride heats the winding", Group: GroupDrive, Kind: Choice, Chosen: Off, options: yesNo, Rare: true,
		Help: "Yes: every figure is for the winding temperature that this ride settles at, derating included, instead of the one below.", choice: func(b *Build) *string { return &b.HeatFeeds }},
	{Key: "coil", Label: "Winding temperature", Group: GroupDrive, Unit: "°C", Scale: 1, Min: -20, Max: 180, Step: 5, Default: 80, Rare: true,
		Help: "Assumed for the figures; copper resists more when hot.", number: func(b *Build) *float64 { return &b.WindingC }},
	{Key: "derate", Label: "Winding: current falls from", Group: GroupDrive, Unit: "°C", Scale: 1, Min: 40, Max: 200, Step: 5, Default: 100, Rare: true,
		Help: "Setting: winding temperature above which the controller takes phase current back.", number: func(b *Build) *float64 { return &b.DerateC }},
	{Key: "coilmax", Label: "Winding: none left at", Group: GroupDrive, Unit: "°C", Scale: 1, Min: 50, Max: 220, Step: 5, Default: 130, Rare: true,
		Help: "Setting: winding temperature at which no phase current is left. 130 °C is insulation class B, 155 °C class F (IEC 60085).", number: func(b *Build) *float64 { return &b.LimitC }},
	{Key: "motorr", Label: "Motor phase resistance", Group: GroupDrive, Unit: "mΩ", Scale: milli, Min: 2, Max: 500, Step: 1, Optional: true, Rare: true,
		Help: "One phase to neutral at 20 °C: half of what a meter shows between two leads.", part: func(p *Parts) *float64 { return &p.Motor.Resistance }},
	{Key: "ld", Label: "Inductance, d axis", Group: GroupDrive, Unit: "µH", Scale: micro, Min: 10, Max: 3000, Step: 5, Optional: true, Rare: true,
		Help: "Phase inductance with the magnet in line.", part: func(p *Parts) *float64 { return &p.Motor.Ld }},
	{Key: "lq", Label: "Inductance, q axis", Group: GroupDrive, Unit: "µH", Scale: micro, Min: 10, Max: 3000, Step: 5, Optional: true, Rare: true,
		Help: "Phase inductance with the magnet across.", part: func(p *Parts) *float64 { return &p.Motor.Lq }},
	{Key: "poles", Label: "Pole pairs", Group: GroupDrive, Unit: "", Scale: 1, Kind: Whole, Min: 2, Max: 40, Step: 1, Optional: true, Rare: true,
		Help: "Magnets divided by two.", part: func(p *Parts) *float64 { return &p.Motor.PolePairs }},
	{Key: "isat", Label: "Saturation current", Group: GroupDrive, Unit: "A", Scale: 1, Min: 30, Max: 2000, Step: 5, Optional: true, Rare: true,
		Help: "Phase current at which the iron gives 1/√2 of its unsaturated flux.", part: func(p *Parts) *float64 { return &p.Motor.SaturationA }},
	{Key: "hyst", Label: "Iron drag, constant", Group: GroupDrive, Unit: "mN·m", Scale: milli, Min: 0, Max: 500, Step: 1, Optional: true, Rare: true,
		Help: "Hysteresis drag per pole pair.", part: func(p *Parts) *float64 { return &p.Motor.HysteresisK }},
	{Key: "eddy", Label: "Iron drag, with speed", Group: GroupDrive, Unit: "µN·m·s", Scale: micro, Min: 0, Max: 1000, Step: 1, Optional: true, Rare: true,
		Help: "Eddy-current drag per pole pair and electrical rad/s.", part: func(p *Parts) *float64 { return &p.Motor.EddyK }},
	{Key: "motorkg", Label: "Motor mass", Group: GroupDrive, Unit: "kg", Scale: 1, Min: 1, Max: 40, Step: 0.1, Optional: true, Rare: true,
		Help: "Hub motor without tire.", part: func(p *Parts) *float64 { return &p.Motor.Mass }},
	{Key: "cw", Label: "Winding heat capacity", Group: GroupDrive, Unit: "J/K", Scale: 1, Min: 20, Max: 5000, Step: 10, Optional: true, Rare: true,
		Help: "Of the copper.", part: func(p *Parts) *float64 { return &p.Motor.WindingJ }},
	{Key: "ch", Label: "Hub heat capacity", Group: GroupDrive, Unit: "J/K", Scale: 1, Min: 100, Max: 50000, Step: 50, Optional: true, Rare: true,
		Help: "Of stator iron, hub and shell.", part: func(p *Parts) *float64 { return &p.Motor.HubJ }},
	{Key: "rwh", Label: "Winding to hub", Group: GroupDrive, Unit: "K/W", Scale: 1, Min: 0.02, Max: 5, Step: 0.01, Optional: true, Rare: true,
		Help: "Thermal resistance.", part: func(p *Parts) *float64 { return &p.Motor.WindingToHub }},
	{Key: "rha", Label: "Hub to air, standing", Group: GroupDrive, Unit: "K/W", Scale: 1, Min: 0.05, Max: 10, Step: 0.05, Optional: true, Rare: true,
		Help: "Thermal resistance with no wind; riding lowers it.", part: func(p *Parts) *float64 { return &p.Motor.HubToAir }},
	{Key: "ctrlbatt", Label: "Controller battery rating", Group: GroupDrive, Unit: "A", Scale: 1, Min: 5, Max: 600, Step: 5, Optional: true, Rare: true,
		Help: "What the controller's battery side carries continuously.", part: func(p *Parts) *float64 { return &p.Controller.BatteryA }},
	{Key: "ctrlphase", Label: "Controller phase rating", Group: GroupDrive, Unit: "A", Scale: 1, Min: 10, Max: 1000, Step: 5, Optional: true, Rare: true,
		Help: "What the controller's phases carry for seconds, peak amperes.", part: func(p *Parts) *float64 { return &p.Controller.PhaseA }},
	{Key: "ron", Label: "Switch resistance", Group: GroupDrive, Unit: "mΩ", Scale: milli, Min: 0.1, Max: 50, Step: 0.1, Optional: true, Rare: true,
		Help: "One conducting switch of the inverter, hot.", part: func(p *Parts) *float64 { return &p.Controller.OnResistance }},
	{Key: "ksw", Label: "Switching loss", Group: GroupDrive, Unit: "mW/VA", Scale: milli, Min: 0, Max: 50, Step: 0.1, Optional: true, Rare: true,
		Help: "Inverter loss per volt of bus and peak phase ampere.", part: func(p *Parts) *float64 { return &p.Controller.SwitchingK }},
	{Key: "standby", Label: "Standby power", Group: GroupDrive, Unit: "W", Scale: 1, Min: 0, Max: 100, Step: 1, Optional: true, Rare: true,
		Help: "Controller, sensors and lights.", part: func(p *Parts) *float64 { return &p.Controller.StandbyW }},
	{Key: "ctrlkg", Label: "Controller mass", Group: GroupDrive, Unit: "kg", Scale: 1, Min: 0.1, Max: 10, Step: 0.1, Optional: true, Rare: true,
		Help: "With heat sink and leads.", part: func(p *Parts) *float64 { return &p.Controller.Mass }},

	{Key: "tire", Label: "Tire", Group: GroupWheel, Kind: Choice, Chosen: "trail-6", options: optionsOf(Tires),
		Help: "Tire class by rim and use.", choice: func(b *Build) *string { return &b.Tire }},
	{Key: "tirer", Label: "Tire radius", Group: GroupWheel, Unit: "mm", Scale: milli, Min: 80, Max: 300, Step: 1, Optional: true,
		Help: "Unloaded, inflated: half of the diameter.", part: func(p *Parts) *float64 { return &p.Tire.Radius }},
	{Key: "rub", Label: "Tire clearance", Group: GroupWheel, Unit: "mm", Scale: milli, Min: 0, Max: 60, Step: 1, Default: 8,
		Help: "Gap between the tire at rest and the nearest thing it would rub on.", number: func(b *Build) *float64 { return &b.RubClearance }},
	{Key: "tirew", Label: "Tire width", Group: GroupWheel, Unit: "mm", Scale: milli, Min: 40, Max: 250, Step: 1, Optional: true, Rare: true,
		Help: "Of the tread that meets the ground.", part: func(p *Parts) *float64 { return &p.Tire.Width }},
	{Key: "crr", Label: "Rolling coefficient", Group: GroupWheel, Unit: "", Scale: 1, Min: 0.004, Max: 0.1, Step: 0.001, Optional: true,
		Help: "Rolling force per load on smooth asphalt at the class's reference pressure and load.", part: func(p *Parts) *float64 { return &p.Tire.RollingC0 }},
	{Key: "carcass", Label: "Carcass stiffness", Group: GroupWheel, Unit: "N/mm", Scale: kilo, Min: 0, Max: 200, Step: 1, Optional: true, Rare: true,
		Help: "Stiffness of the tire with no air in it.", part: func(p *Parts) *float64 { return &p.Tire.Carcass }},
	{Key: "tirekg", Label: "Tire mass", Group: GroupWheel, Unit: "kg", Scale: 1, Min: 0.3, Max: 10, Step: 0.1, Optional: true, Rare: true,
		Help: "Tire and tube.", part: func(p *Parts) *float64 { return &p.Tire.Mass }},

	{Key: "rider", Label: "Rider", Group: GroupRoad, Unit: "kg", Scale: 1, Min: 25, Max: 160, Step: 1, Default: 80,
		Help: "Dressed, with pads, helmet and bag.", number: func(b *Build) *float64 { return &b.Rider }},
	{Key: "cruise", Label: "Riding speed", Group: GroupRoad, Unit: "km/h", Scale: kmh, Min: 5, Max: 100, Step: 1, Default: 24,
		Help: "Highest speed of the ride that range, loads and heat are computed for.", number: func(b *Build) *float64 { return &b.Cruise }},
	{Key: "shift", Label: "Balance reserve wanted", Group: GroupRoad, Unit: "mm", Scale: milli, Min: 0, Max: 100, Step: 1, Default: 25,
		Help: "How much further forward your weight may move before the nose drops. Common practice, no published source.", number: func(b *Build) *float64 { return &b.Shift }},
	{Key: "rideduty", Label: "Duty to stay under", Group: GroupRoad, Unit: "%", Scale: percent, Min: 30, Max: 100, Step: 1, Default: 80,
		Help: "Highest duty when riding steadily. Common practice, no published source.", number: func(b *Build) *float64 { return &b.CruiseDuty }},
	{Key: "surface", Label: "Surface", Group: GroupRoad, Kind: Choice, Chosen: "hardpack", options: optionsOf(Surfaces),
		Help: "What the wheel rolls on; multiplies rolling resistance.", choice: func(b *Build) *string { return &b.Surface }},
	{Key: "profile", Label: "Ride", Group: GroupRoad, Kind: Choice, Chosen: "steady", options: optionsOf(Profiles),
		Help: "What the ride is like; speeds are scaled so that its highest is the riding speed.", choice: func(b *Build) *string { return &b.Profile }},
	{Key: "own", Label: "A ride of your own", Group: GroupRoad, Kind: Rows, Rare: true,
		Help: "Up to 12 rows of distance in m, speed in km/h and grade in %, as 500~20~2_800~25~-1: taken as they are, one after the other and again from the start.", choice: func(b *Build) *string { return &b.Own }},
	{Key: "grade", Label: "Grade", Group: GroupRoad, Unit: "%", Scale: percent, Min: -30, Max: 30, Step: 0.5, Default: 0,
		Help: "Slope of a steady ride, rise over run. The cruise ceiling is for level ground.", number: func(b *Build) *float64 { return &b.Grade }},
	{Key: "wind", Label: "Headwind", Group: GroupRoad, Unit: "km/h", Scale: kmh, Min: -60, Max: 60, Step: 1, Default: 0,
		Help: "Positive against the rider.", number: func(b *Build) *float64 { return &b.Headwind }},
	{Key: "temp", Label: "Temperature", Group: GroupRoad, Unit: "°C", Scale: 1, Min: -20, Max: 50, Step: 1, Default: 20,
		Help: "Of the air and of the pack.", number: func(b *Build) *float64 { return &b.AmbientC }},
	{Key: "alt", Label: "Altitude", Group: GroupRoad, Unit: "m", Scale: 1, Min: -400, Max: 5000, Step: 50, Default: 0,
		Help: "Thinner air drags less.", number: func(b *Build) *float64 { return &b.Altitude }},
	{Key: "cda", Label: "Drag area", Group: GroupRoad, Unit: "m²", Scale: 1, Min: 0.2, Max: 1.2, Step: 0.01, Default: 0.6,
		Help: "Drag coefficient times frontal area of the standing rider.", number: func(b *Build) *float64 { return &b.DragArea }},
	{Key: "frame", Label: "Rails, boxes, pads", Group: GroupRoad, Unit: "kg", Scale: 1, Min: 1, Max: 30, Step: 0.1, Default: 5.5, Rare: true,
		Help: "Everything that is not cells, motor, tire or controller.", number: func(b *Build) *float64 { return &b.Frame }},
	{Key: "board", Label: "Board mass", Group: GroupRoad, Unit: "kg", Scale: 1, Min: 4, Max: 80, Step: 0.1, Optional: true, Rare: true,
		Help: "From the scale; otherwise summed from the parts.", derived: true, part: func(p *Parts) *float64 { return &p.BoardMass }},

	{Key: "fuse", Label: "Fuse rating", Group: GroupProtection, Unit: "A", Scale: 1, Min: 5, Max: 500, Step: 5, Default: 80,
		Help: "Amperes printed on the fuse.", number: func(b *Build) *float64 { return &b.FuseRating }},
	{Key: "fusetype", Label: "Fuse class", Group: GroupProtection, Kind: Choice, Chosen: "strip-80", options: optionsOf(Fuses),
		Help: "Its d.c. voltage rating must reach the full pack; an a.c. rating does not count.", choice: func(b *Build) *string { return &b.FuseClass }},
	{Key: "fusev", Label: "Fuse d.c. voltage", Group: GroupProtection, Unit: "V", Scale: 1, Min: 12, Max: 1500, Step: 1, Optional: true,
		Help: "D.c. voltage rating printed on the fuse.", part: func(p *Parts) *float64 { return &p.Fuse.VoltageDC }},
	{Key: "fusebreak", Label: "Fuse breaking capacity", Group: GroupProtection, Unit: "A", Scale: 1, Min: 100, Max: 200000, Step: 100, Optional: true, Rare: true,
		Help: "Largest d.c. short-circuit current that the fuse can stop.", part: func(p *Parts) *float64 { return &p.Fuse.BreakingA }},
	{Key: "awg", Label: "Battery lead gauge", Group: GroupProtection, Unit: "AWG", Kind: Whole, Min: 4, Max: 20, Step: 1, Default: 10,
		Help: "American wire gauge of the copper lead.", whole: func(b *Build) *int { return &b.LeadAWG }},
	{Key: "lead", Label: "Battery lead length", Group: GroupProtection, Unit: "m", Scale: 1, Min: 0.05, Max: 3, Step: 0.05, Default: 0.4,
		Help: "One way; the current goes there and back.", number: func(b *Build) *float64 { return &b.LeadLength }},
	{Key: "margin", Label: "Current margin wanted", Group: GroupProtection, Unit: "%", Scale: percent, Min: 0, Max: 60, Step: 1, Default: 20,
		Help: "Below this a part is tight. Common practice, no published source.", number: func(b *Build) *float64 { return &b.Margin }},
	{Key: "vmargin", Label: "Voltage margin wanted", Group: GroupProtection, Unit: "%", Scale: percent, Min: 0, Max: 40, Step: 1, Default: 10,
		Help: "Spare below the controller's limit, for braking on a full pack. Common practice, no published source.", number: func(b *Build) *float64 { return &b.VoltageMargin }},
}

func yesNo() []Option { return yesNoOptions }

var yesNoOptions = []Option{{ID: Off, Name: "No"}, {ID: On, Name: "Yes"}}

// Main lists the link keys of the four leading sliders, in the page's order.
var Main = []string{"s", "p", "motor", "kpa"}

var (
	fieldByKey   = map[string]*Field{}
	overrideRows []int
	defaultBuild Build
)

func init() {
	for i := range Fields {
		f := &Fields[i]
		if f.Scale == 0 {
			f.Scale = 1
		}
		if fieldByKey[f.Key] != nil {
			panic(fmt.Sprintf("build: two fields share the link key %q", f.Key))
		}
		fieldByKey[f.Key] = f
		if f.Optional {
			f.slot = len(overrideRows)
			overrideRows = append(overrideRows, i)
			continue
		}
		f.Clear(&defaultBuild)
	}
}

// FieldFor returns the field with a link key, nil if there is none.
func FieldFor(key string) *Field { return fieldByKey[key] }

// Default is the build the page opens with: a trail board of 18s2p.
func Default() Build { return defaultBuild }
