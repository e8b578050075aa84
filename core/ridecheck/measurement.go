package ridecheck

// Kind names what was measured. Ids are kept on the device: they never change.
type Kind string

// The kinds of measurement. Behind each: what Value is, and which of At it reads ("volts" is the first that is given of BusV, RestV and
// Charge).
const (
	FreeSpin       Kind = "free-spin"       // m/s that a lifted wheel reaches at the highest duty; volts, Weakened
	FreeSpinTurns  Kind = "free-spin-turns" // the same as rad/s of the wheel
	FreeSpinAmps   Kind = "free-spin-amps"  // A out of the battery there
	Rollout        Kind = "rollout"         // m rolled in one turn of the wheel, rider on the board, walking pace; nothing else
	Duty           Kind = "duty"            // fraction, held steadily; volts, Speed, Grade
	BatteryAmps    Kind = "battery-amps"    // A out of the battery, held steadily; volts, Speed, Grade
	LoadedVolts    Kind = "loaded-volts"    // V at the controller under Amps; RestV or Charge
	PackResistance Kind = "pack-resistance" // Ω from the slope of volts against amps; RestV or Charge
	EnergyUsed     Kind = "energy"          // J at the controller over Meters; RestV or Charge at the start, Speed (0 is the build's own ride), Grade
	ChargeUsed     Kind = "charge"          // C out of the battery over Meters; as EnergyUsed
	Capacity       Kind = "capacity"        // C out of the battery from RestV or Charge down to EndV or EndCharge
	NoseMass       Kind = "nose-mass"       // kg on the scale under the nose, board level on nose and tail, without rider
	TailMass       Kind = "tail-mass"       // kg on the scale under the tail, the same
	BoardMass      Kind = "board-mass"      // kg, all without rider
	PhaseOhm       Kind = "phase-ohm"       // Ω of one motor phase to the star point at Celsius
	LeadsOhm       Kind = "leads-ohm"       // Ω between two motor leads at Celsius
)

// At is under what a measurement was made. Zero means not given, except for Grade, Celsius and Weakened.
type At struct {
	BusV      float64 // V at the controller in that moment, under its load
	RestV     float64 // V of the pack at rest
	Charge    float64 // state of charge, fraction
	Speed     float64 // m/s, held steadily
	Grade     float64 // rise over run
	Amps      float64 // A out of the battery
	Meters    float64 // m ridden
	EndV      float64 // V of the pack at rest at the end
	EndCharge float64 // state of charge at the end, fraction
	Celsius   float64 // °C of the winding
	Weakened  bool    // with field weakening as the build sets it
}

// Measurement is one figure read off the finished board, by hand or from a log. All are SI.
type Measurement struct {
	Kind  Kind
	Value float64
	At    At
	// Sigma is the standard uncertainty of Value in its unit: of the instrument, the reading and the conditions together; 0 is what is
	// usual for the kind.
	Sigma float64
	// Bare tells that a Sigma that is given is of the instrument and the reading alone: what is usual for the conditions comes on top.
	Bare bool
}

// MaxMeasurements is how many measurements a fit takes; what comes after them is left out and said. A log brings steady stretches, each
// averaged to one measurement, and not its samples.
const MaxMeasurements = 400
