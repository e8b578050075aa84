package review

import (
	"math"
	"sort"

	"headroom/core/build"
	"headroom/core/limit"
)

// Facts are the figures of the physics that the settings are held against. Every figure is finite; nil is what does not exist.
type Facts struct {
	FullV        float64  // full pack at rest, V
	FloorRestV   float64  // pack at rest at the charge to turn home, V
	FloorLoadedV *float64 // lowest loaded voltage on the ride at that charge, V

	BatteryPathA    float64 // lowest peak rating in the battery path, A
	BatteryPathPart string  // the part that has it
	PhasePathA      float64 // lowest peak rating in the phase path, A peak
	PhasePathPart   string
	RegenCellsA     float64 // lasting charge rating of the pack, A

	NeedPhaseA   *float64 // phase current for the ride's worst moment plus the reserve asked for, A peak
	NeedBatteryA *float64 // battery current for the same, A
	RideBrakeA   *float64 // most current that the ride's braking pushes back with no limit to it, A
	RideBrakesA  *float64 // its r.m.s. over the ten minutes that push back most, with the limit as it is set, A

	// What the ride asks for at the charge to turn home, every other limit lifted: with the reserve asked for, and to be held at all.
	NeedDuty, HoldDuty       *float64 // fraction
	NeedBusV, HoldBusV       *float64 // lowest bus voltage, V
	HoldPhaseA, HoldBatteryA *float64 // A

	DescentA     *float64 // limit that holds the ride's steepest way down, A; nil where there is none or no limit does
	DescentWantA *float64 // the same with a fifth of the slope, and the reserve asked for, to spare
	DescentOver  bool     // that way down cannot be held as the board is set
	DescentBound string   // what keeps it from being held with the limit lifted; empty where that holds it

	WindingC  *float64 // winding temperature that the figures are for, or that the ride settles at, if that is more, °C
	LeftShare *float64 // share of the phase current that the controller leaves a winding that warm; nil stands for all of it
	BoxAirC   float64  // air in the box, °C
	LossShare *float64 // controller's loss in the ride's hardest ten minutes, as a share of the loss at its lasting rating

	MaxWeakenA      *float64 // most weakening current with the back-EMF inside the controller's limit minus the voltage margin; nil: any
	MaxWeakenLimitA *float64 // the same without the margin
	BackEMFOver     bool     // the back-EMF passes the controller's limit as the board is set
	CharacteristicA float64  // λ/L_d, A peak; may be huge

	StreetA     *float64 // the limit in A that holds the descent of ordinary streets at the ride's highest speed; nil where none does
	RideDuty    *float64 // duty of the ride where it asks for most at low charge, fraction
	CeilingDuty *float64 // duty at the cruise ceiling at low charge, fraction
}

// Row is one setting of the controller.
type Row struct {
	Key       string       `json:"key"`   // link key of the input
	Label     string       `json:"label"` // what it is
	Does      string       `json:"does"`  // what it does, one sentence
	Unit      string       `json:"unit"`  // of every figure below: A, V, % or °C
	Has       *float64     `json:"has"`   // as set; nil where not entered
	Should    float64      `json:"should"`
	Low       *float64     `json:"low"` // clear from here; nil where there is no lower end
	High      *float64     `json:"high"`
	LimitLow  *float64     `json:"limit_low"` // over beyond; nil where it is never over on that side
	LimitHigh *float64     `json:"limit_high"`
	Status    limit.Status `json:"status"` // empty where not entered
	By        float64      `json:"by"`     // how far outside the clear band: above it positive, below it negative, 0 inside
	Why       string       `json:"why"`
}

// setting is one rule: words, and the band that it gives for a build.
type setting struct {
	key, label, does string
	band             func(*board) band
}

var settings = []setting{
	{"phase", "Most current to the motor", "Caps the current in the motor's windings, and with it the torque that holds you up.", phaseBand},
	{"batt", "Most current from the battery", "Caps the current drawn from the battery, and with it the power that holds you up at speed.", batteryBand},
	{"regen", "Most current back to the battery", "Caps the current that braking pushes into the battery, and with it how hard the board brakes.", regenBand},
	{"fw", "Current spent on more speed", "Spends motor current against the magnets, so that the wheel turns faster than the voltage allows.", weakenBand},
	{"fwduty", "Duty where that spending begins", "From this duty on the current above comes in, growing until the highest duty.", weakenDutyBand},
	{"duty", "Most duty it may use", "Caps the share of the battery voltage that the controller puts on the motor.", dutyBand},
	{"warn", "Duty where the warning begins", "From this duty on the board lifts its nose, buzzes or beeps.", warnBand},
	{"vcut", "Battery voltage where current falls", "Below this voltage the controller gives less and less current.", cutoffBand},
	{"vend", "Battery voltage where none is left", "At this voltage the controller gives nothing any more.", endBand},
	{"ovv", "Voltage that braking may reach", "Above this voltage the controller stops pushing current back, so braking is gone.", overVoltageBand},
	{"derate", "Winding temperature where current falls", "Above this winding temperature the controller takes motor current back.", derateBand},
	{"coilmax", "Winding temperature where none is left", "At this winding temperature no motor current is left.", windingEndBand},
	{"ctrlt", "Controller temperature where current falls", "Above this temperature of its switches the controller takes current back.", controllerBand},
}

// Keys lists the link keys of the settings in the order in which a controller is gone through.
func Keys() []string {
	keys := make([]string, len(settings))
	for i := range settings {
		keys[i] = settings[i].key
	}
	return keys
}

// board is a build with all that a rule may ask.
type board struct {
	b *build.Build
	p *build.Parts
	f *Facts
}

// value returns an input as the form shows it, in its unit: two settings compare as they are read, not by hidden digits.
func (d *board) value(key string) float64 { return build.FieldFor(key).ValueIn(d.b, d.p) }

// Settings returns a row for every setting, in the order in which a controller is gone through: currents, duties, voltages, temperatures.
func Settings(b *build.Build, p *build.Parts, f Facts) []Row {
	d := board{b, p, &f}
	rows := make([]Row, len(settings))
	for i, s := range settings {
		field := build.FieldFor(s.key)
		rows[i] = s.band(&d).row(d.value(s.key), field.Given(b))
		rows[i].Key, rows[i].Label, rows[i].Does, rows[i].Unit = s.key, s.label, s.does, field.Unit
	}
	return rows
}

// Check returns the rows of Settings in order of danger: over, tight, clear, not entered. Within over and within tight the one furthest
// outside its band comes first, as a share of the setting, since amperes and volts do not compare.
func Check(b *build.Build, p *build.Parts, f Facts) []Row {
	rows := Settings(b, p, f)
	sort.SliceStable(rows, func(i, j int) bool { return rows[i].danger() > rows[j].danger() })
	return rows
}

// class is the first figure of danger; whole numbers, since the share outside the band is at most 1.
var class = map[limit.Status]float64{limit.Over: 6, limit.Tight: 4, limit.Clear: 2, "": 0}

func (r *Row) danger() float64 {
	if r.Has == nil {
		return 0
	}
	edge := *r.Has - r.By
	return class[r.Status] + math.Abs(r.By)/max(math.Abs(*r.Has), math.Abs(edge), 1)
}
