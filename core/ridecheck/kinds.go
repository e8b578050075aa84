package ridecheck

import "math"

// Entry is one number that is entered for a measurement: of its value or of one condition. Min and Max are in Unit, the value in a
// Measurement is SI: Unit × Scale.
type Entry struct {
	ID       string
	Label    string
	Unit     string // as the Fields table of package build writes it
	Scale    float64
	Min, Max float64
	// Optional: an empty one means what Help says.
	Optional bool
	Help     string
	at       func(*At) *float64 // nil for the value itself
}

// In returns the entry's value in m, SI; 0 where none is given.
func (e *Entry) In(m *Measurement) float64 { return *e.place(m) }

// Set puts a value in Unit into m.
func (e *Entry) Set(m *Measurement, v float64) { *e.place(m) = v * e.Scale }

func (e *Entry) place(m *Measurement) *float64 {
	if e.at == nil {
		return &m.Value
	}
	return e.at(&m.At)
}

// KindInfo is what a person must know of a kind, and what has to be entered for it.
type KindInfo struct {
	ID    Kind
	Label string
	Help  string
	Value Entry
	At    []Entry
	// Weakens tells that it may be measured with and without field weakening.
	Weakens bool

	volts int  // how many of the first entries of At say how full the pack is; one of them must be given, if there are any
	twice bool // and one of the others
	less  int  // 1 where a reading above the plan means less in reserve than planned, −1 where one below does, 0 where neither does

	share, fixed float64 // standard uncertainty of a reading: √((share·value)² + fixed²), SI
	unsure       []doubt // of what a reading is made under
}

// doubt is the standard uncertainty of one condition: share of its value and a fixed part, SI.
type doubt struct {
	share, fixed float64
	move         func(m *model, a *At, by float64)
	of           func(a *At) float64
}

const (
	kmh     = 1 / 3.6
	percent = 1e-2
	milli   = 1e-3
	rpm     = 2 * math.Pi / 60
	hour    = 3600
)

var (
	busVolts = Entry{ID: "bus", Label: "Pack voltage then", Unit: "V", Scale: 1, Min: 8, Max: 200, Optional: true, at: func(a *At) *float64 { return &a.BusV },
		Help: "As shown in that moment, under its load."}
	restVolts = Entry{ID: "rest", Label: "Pack voltage at rest", Unit: "V", Scale: 1, Min: 8, Max: 200, Optional: true, at: func(a *At) *float64 { return &a.RestV },
		Help: "After some minutes without load."}
	charge = Entry{ID: "charge", Label: "Or charge", Unit: "%", Scale: percent, Min: 1, Max: 100, Optional: true, at: func(a *At) *float64 { return &a.Charge },
		Help: "Used where no voltage is entered."}
	speed = Entry{ID: "speed", Label: "Speed", Unit: "km/h", Scale: kmh, Min: 2, Max: 100, at: func(a *At) *float64 { return &a.Speed },
		Help: "Held steadily, and true: by distance and time or by satellite."}
	rideSpeed = Entry{ID: "speed", Label: "Speed", Unit: "km/h", Scale: kmh, Min: 2, Max: 100, Optional: true, at: func(a *At) *float64 { return &a.Speed },
		Help: "Held steadily. Empty: the ride of this build."}
	grade = Entry{ID: "grade", Label: "Grade", Unit: "%", Scale: percent, Min: -30, Max: 30, Optional: true, at: func(a *At) *float64 { return &a.Grade },
		Help: "Empty: level, or there and back."}
	amps = Entry{ID: "amps", Label: "Battery current", Unit: "A", Scale: 1, Min: 0.5, Max: 600, at: func(a *At) *float64 { return &a.Amps },
		Help: "Held for some ten seconds."}
	meters = Entry{ID: "meters", Label: "Distance", Unit: "km", Scale: 1000, Min: 0.1, Max: 300, at: func(a *At) *float64 { return &a.Meters },
		Help: "Ridden in this time."}
	endVolts = Entry{ID: "endv", Label: "Pack voltage at rest after", Unit: "V", Scale: 1, Min: 8, Max: 200, Optional: true, at: func(a *At) *float64 { return &a.EndV },
		Help: "After some minutes without load."}
	endCharge = Entry{ID: "endz", Label: "Or charge after", Unit: "%", Scale: percent, Min: 0.1, Max: 99, Optional: true, at: func(a *At) *float64 { return &a.EndCharge },
		Help: "Used where no voltage is entered."}
	celsius = Entry{ID: "celsius", Label: "Winding temperature", Unit: "°C", Scale: 1, Min: -20, Max: 180, at: func(a *At) *float64 { return &a.Celsius },
		Help: "Of the air where the board stood overnight."}
)

// The standard uncertainties of instruments and conditions, all common practice with no published source: a hand-held meter or a
// controller reads volts to half a percent and amperes to three, a speed held by eye is good to two, a wheel turns by a tachometer to half
// a percent; a road taken for level leans by three in a thousand, a calm day moves by a third of a meter a second, cells are known to
// three kelvins and a winding to ten, an indicated charge to three points.
var (
	doubtBus    = doubt{0.005, 0, func(_ *model, a *At, by float64) { a.BusV += by }, func(a *At) float64 { return a.BusV }}
	doubtRest   = doubt{0.003, 0, func(_ *model, a *At, by float64) { a.RestV += by }, func(a *At) float64 { return a.RestV }}
	doubtEnd    = doubt{0.003, 0, func(_ *model, a *At, by float64) { a.EndV += by }, func(a *At) float64 { return a.EndV }}
	doubtCharge = doubt{0, 0.03, func(_ *model, a *At, by float64) { a.Charge += by }, func(a *At) float64 { return a.Charge }}
	doubtLast   = doubt{0, 0.03, func(_ *model, a *At, by float64) { a.EndCharge += by }, func(a *At) float64 { return a.EndCharge }}
	doubtSpeed  = doubt{0.02, 0, func(_ *model, a *At, by float64) { a.Speed += by }, func(a *At) float64 { return a.Speed }}
	doubtAmps   = doubt{0.03, 0, func(_ *model, a *At, by float64) { a.Amps += by }, func(a *At) float64 { return a.Amps }}
	doubtMeters = doubt{0.01, 0, func(_ *model, a *At, by float64) { a.Meters += by }, func(a *At) float64 { return a.Meters }}
	doubtGrade  = doubt{0, 0.003, func(_ *model, a *At, by float64) { a.Grade += by }, always}
	doubtWind   = doubt{0, 0.33, func(m *model, _ *At, by float64) { m.b.Headwind += by }, always}
	doubtCells  = doubt{0, 3, func(m *model, _ *At, by float64) { m.b.AmbientC += by }, always}
	doubtCoil   = doubt{0, 10, func(m *model, _ *At, by float64) { m.b.WindingC += by }, always}
	doubtMeter  = doubt{0, 2, func(_ *model, a *At, by float64) { a.Celsius += by }, always}
)

func always(*At) float64 { return 1 }

var (
	volts3  = []doubt{doubtBus, doubtRest, doubtCharge}
	steadyD = append(volts3[:3:3], doubtSpeed, doubtGrade, doubtWind, doubtCoil)
	usedD   = []doubt{doubtRest, doubtCharge, doubtSpeed, doubtMeters, doubtGrade, doubtWind, doubtCoil}
)

// Kinds is every kind of measurement, in the order in which a board is best measured: what stands still first.
var Kinds = []KindInfo{
	{ID: Rollout, Label: "Rolled in one turn of the wheel", Value: Entry{Unit: "mm", Scale: milli, Min: 400, Max: 2000},
		Help:  "Rider on the board, tire at its pressure: mark tire and ground, roll ten turns, measure, divide by ten.",
		share: 0.004},
	{ID: BoardMass, Label: "Board on a scale", Value: Entry{Unit: "kg", Scale: 1, Min: 2, Max: 100}, Help: "Ready to ride, without rider.",
		share: 0.005, fixed: 0.1},
	{ID: NoseMass, Label: "Scale under the nose", Value: Entry{Unit: "kg", Scale: 1, Min: 0, Max: 60}, Help: "Board level on nose and tail, the wheel free, without rider.",
		share: 0.005, fixed: 0.1},
	{ID: TailMass, Label: "Scale under the tail", Value: Entry{Unit: "kg", Scale: 1, Min: 0, Max: 60}, Help: "Board level on nose and tail, the wheel free, without rider.",
		share: 0.005, fixed: 0.1},
	{ID: LeadsOhm, Label: "Resistance between two motor leads", Value: Entry{Unit: "mΩ", Scale: milli, Min: 2, Max: 2000}, At: []Entry{celsius},
		Help: "By a known current and the volts across it: a plain meter cannot read so little.", share: 0.03, unsure: []doubt{doubtMeter}},
	{ID: PhaseOhm, Label: "Resistance of one motor phase", Value: Entry{Unit: "mΩ", Scale: milli, Min: 1, Max: 1000}, At: []Entry{celsius},
		Help: "As a controller's detection shows it: half of what is between two leads.", share: 0.05, unsure: []doubt{doubtMeter}},
	{ID: FreeSpinTurns, Label: "Free spin, turns of the wheel", Value: Entry{Unit: "rpm", Scale: rpm, Min: 30, Max: 10000}, At: []Entry{busVolts, restVolts, charge}, volts: 3, Weakens: true,
		less: -1, Help: "Wheel lifted, by a tachometer or from the electrical speed divided by the pole pairs. " + liftedCare, share: 0.005, unsure: volts3},
	{ID: FreeSpin, Label: "Free spin, speed as shown", Value: Entry{Unit: "km/h", Scale: kmh, Min: 3, Max: 300}, At: []Entry{busVolts, restVolts, charge}, volts: 3, Weakens: true,
		less: -1, Help: "Wheel lifted; right only where the wheel's size is entered right in what shows it. " + liftedCare, share: 0.01, unsure: volts3},
	{ID: FreeSpinAmps, Label: "Free spin, battery current", Value: Entry{Unit: "A", Scale: 1, Min: 0.05, Max: 60}, At: []Entry{busVolts, restVolts, charge}, volts: 3, Weakens: true,
		Help: "At the free-spin speed. " + liftedCare, share: 0.05, fixed: 0.05, unsure: volts3},
	{ID: LoadedVolts, Label: "Pack voltage under a current", Value: Entry{Unit: "V", Scale: 1, Min: 6, Max: 200}, At: []Entry{restVolts, charge, amps}, volts: 2,
		less: -1, Help: "At the controller. The drop from the voltage at rest is what counts: read both on the same meter.", fixed: 0.07, unsure: []doubt{doubtCharge, doubtAmps, doubtCells}},
	{ID: PackResistance, Label: "Pack resistance", Value: Entry{Unit: "mΩ", Scale: milli, Min: 1, Max: 3000}, At: []Entry{restVolts, charge}, volts: 2,
		less: 1, Help: "All of the battery's path: the slope of volts against amperes.", share: 0.04, unsure: []doubt{doubtRest, doubtCharge, doubtCells}},
	{ID: Capacity, Label: "Charge taken out between two rests", Value: Entry{Unit: "Ah", Scale: hour, Min: 0.05, Max: 1000}, At: []Entry{restVolts, charge, endVolts, endCharge}, volts: 2, twice: true,
		Help: "From one voltage at rest to a lower one. The further apart, the better.", share: 0.02, unsure: []doubt{doubtRest, doubtCharge, doubtEnd, doubtLast}},
	{ID: Duty, Label: "Duty at a steady speed", Value: Entry{Unit: "%", Scale: percent, Min: 1, Max: 100}, At: []Entry{busVolts, restVolts, charge, speed, grade}, volts: 3,
		less: 1, Help: "Both ways on the same stretch, averaged. " + rideCare, share: 0.005, fixed: 0.003, unsure: steadyD},
	{ID: BatteryAmps, Label: "Battery current at a steady speed", Value: Entry{Unit: "A", Scale: 1, Min: -300, Max: 600}, At: []Entry{busVolts, restVolts, charge, speed, grade}, volts: 3,
		less: 1, Help: "Both ways on the same stretch, averaged. " + rideCare, share: 0.03, fixed: 0.1, unsure: steadyD},
	{ID: EnergyUsed, Label: "Energy used on a ride", Value: Entry{Unit: "Wh", Scale: hour, Min: 0.5, Max: 20000}, At: []Entry{restVolts, charge, meters, rideSpeed, grade}, volts: 2,
		Help: "From the controller or a meter in the battery lead; braking counted back.", share: 0.03, unsure: usedD},
	{ID: ChargeUsed, Label: "Charge used on a ride", Value: Entry{Unit: "Ah", Scale: hour, Min: 0.01, Max: 1000}, At: []Entry{restVolts, charge, meters, rideSpeed, grade}, volts: 2,
		Help: "From the controller or a meter in the battery lead; braking counted back.", share: 0.03, unsure: usedD},
}

const (
	liftedCare = "Fix the board, keep hands, laces and bystanders away from the wheel; it must not touch down while it turns."
	rideCare   = "Only well below the cruise ceiling, padded, where nobody else is."
)

// Info returns what there is to know of a kind, nil for none of ours.
func (k Kind) Info() *KindInfo {
	for i := range Kinds {
		if Kinds[i].ID == k {
			return &Kinds[i]
		}
	}
	return nil
}

// Missing says in one sentence what a measurement lacks; "" where it is complete.
func (m *Measurement) Missing() string {
	k := m.Kind.Info()
	if k == nil {
		return "This kind of measurement is not known here."
	}
	if k.volts > 0 && !given(m, k.At[:k.volts]) {
		return "How full was the pack? Enter a voltage or a charge."
	}
	if k.twice && !given(m, k.At[k.volts:]) {
		return "How full was the pack after? Enter a voltage or a charge."
	}
	for i := range k.At {
		if e := &k.At[i]; !e.Optional && e.ID != "celsius" && e.In(m) == 0 {
			return e.Label + " is needed."
		}
	}
	return ""
}

func given(m *Measurement, list []Entry) bool {
	for i := range list {
		if list[i].In(m) != 0 {
			return true
		}
	}
	return false
}
