package ridelog

import (
	"math"

	"headroom/core/ride"
	"headroom/core/ridecheck"
	"headroom/core/road"
)

// Standard uncertainties of what a log cannot tell, of one stretch. Engineering judgment with no published source: a street taken for level
// leans by eight in a thousand where no altitude was logged, and a slope by the altitude is off by two; duty and current as a controller
// has them are off by a fifth of a percent and two percent.
const (
	levelDoubt   = 0.008
	climbDoubt   = 0.002
	dutyDoubt    = 0.002
	batteryDoubt = 0.02
	// Scales of a controller's volts and amps, those that package ridecheck takes for a reading by hand.
	voltScale = 0.005
	ampScale  = 0.03
)

// Measurements turns a ride into what a ride check takes: duty and battery current of steady stretches, those of each speed that lasted
// longest, and the pack's resistance. A change of speed left over in a stretch asks for as much as a slope does, and is told as one.
// What speed, volts and wind leave open of a stretch, and charge and temperature of the resistance, is for the ride check to add, as for a
// reading by hand.
func Measurements(r *Ride, b *ride.Board) []ridecheck.Measurement {
	var list []ridecheck.Measurement
	if x := r.Resistance; x != nil && x.RestV > 0 {
		// A slope of volts over amps carries the scales of both sensors whole, however long the log. Charge and temperature come on top.
		list = append(list, ridecheck.Measurement{Kind: ridecheck.PackResistance, Value: x.Ohm, Bare: true,
			Sigma: math.Hypot(x.Sigma, math.Hypot(voltScale, ampScale)*x.Ohm), At: ridecheck.At{RestV: x.RestV}})
	}
	weight := b.Road.Mass * road.Gravity
	for i := range r.Steady {
		s := &r.Steady[i]
		if len(list)+2 > ridecheck.MaxMeasurements {
			break
		}
		if math.IsNaN(s.PackV) {
			continue
		}
		grade, doubt := 0.0, levelDoubt
		if known := math.Hypot(s.GradeSigma, climbDoubt); known < levelDoubt { // false without an altitude
			grade, doubt = s.Grade, known
		}
		grade += s.Change * (b.Road.Mass + b.Road.Inertia) / weight
		at := ridecheck.At{BusV: s.PackV, Speed: s.Speed, Grade: grade}
		// What the doubt of the grade means in amps: the weight along it, lifted at this speed. The losses on the way are left out.
		amps := weight * doubt * s.Speed / s.PackV
		if !math.IsNaN(s.Duty) && s.Duty > 0 {
			// And in duty: those amps on their way through the motor's resistance.
			phase := 1.5 * b.Drive.Motor.PolePairs * b.Drive.Motor.Flux
			drop := b.Drive.Motor.Resistance * weight * doubt * b.Road.Tire.RollingRadius / phase * math.Sqrt(3) / s.PackV
			sigma := math.Sqrt(s.DutySigma*s.DutySigma + dutyDoubt*dutyDoubt*s.Duty*s.Duty + drop*drop)
			list = append(list, ridecheck.Measurement{Kind: ridecheck.Duty, Value: s.Duty, Sigma: sigma, Bare: true, At: at})
		}
		if !math.IsNaN(s.BatteryA) {
			sigma := math.Sqrt(s.BatterySigma*s.BatterySigma + batteryDoubt*batteryDoubt*s.BatteryA*s.BatteryA + amps*amps)
			list = append(list, ridecheck.Measurement{Kind: ridecheck.BatteryAmps, Value: s.BatteryA, Sigma: sigma, Bare: true, At: at})
		}
	}
	return list
}
