// Package ridesim rides a board whose truth is known and writes what its logger would have: the ground that the reading of logs, and what
// is fitted to them, is tested on. Nothing but tests and the generator of the example log imports it.
//
// The board is that of the core, moment by moment: road load and acceleration ask for torque, the drive's operating point gives duty,
// currents and volts, and the pack's charge falls by the current. On top come the rider's unsteady feet, noise and the logger's steps.
package ridesim

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"

	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/ride"
)

// Logger is what a board's logger adds to the truth: standard deviations of noise, and steps that figures are rounded to (0 for none).
type Logger struct {
	Hz                                float64
	SpeedNoise, SpeedStep             float64 // m/s
	DutyNoise, DutyStep               float64 // fraction
	VoltNoise, VoltStep               float64 // V
	AmpNoise, AmpStep                 float64 // A
	PhaseNoise, PhaseStep             float64 // A
	Outliers                          float64 // share of rows with one figure that is garbage
	AltitudeNoise, AltitudeStep, Hill float64 // m; Hill is how high the rolling ground goes up and down
	Fastest                           float64 // what is ridden at most, as a share of the cruise ceiling
}

// Usual is a logger as boards have them: steps of 0.1 km/h, 0.1 % of duty, 0.1 V and 0.1 A, at 8 rows a second. The noise is an
// estimate, no published source.
func Usual() Logger {
	return Logger{Hz: 8, SpeedNoise: 0.06, SpeedStep: 0.1 / 3.6, DutyNoise: 0.006, DutyStep: 0.001, VoltNoise: 0.08, VoltStep: 0.1,
		AmpNoise: 0.5, AmpStep: 0.1, PhaseNoise: 1, PhaseStep: 0.1, AltitudeNoise: 0.3, AltitudeStep: 0.1, Fastest: 0.95}
}

// Sample is one row of a log, SI, as the logger has it.
type Sample struct {
	Time, Speed, Duty, Volts, Amps, Phase, Meters, MotorC, Altitude float64
}

// Ride rides a build for some seconds and returns its log. The same seed gives the same ride.
func Ride(b build.Build, l Logger, seconds float64, seed uint64) []Sample {
	p := b.Parts()
	bd := ride.NewBoard(&b, &p)
	lots := rand.New(rand.NewPCG(seed, 1))
	var (
		out      []Sample
		dt       = 1 / l.Hz
		z        = b.StartCharge
		v        = 0.0
		meters   = 0.0
		motorC   = b.AmbientC
		target   = 0.0
		until    = 4.0
		stopped  = true
		low      = bd.Pack.At(b.FloorCharge)
		ceiling  = bd.Ceiling(low).Speed
		sway     = 0.0
		altitude = func(x float64) float64 { return b.Altitude + l.Hill*math.Sin(x/120) }
	)
	for t := 0.0; t < seconds; t += dt {
		if t >= until {
			// Now and then a halt, else another speed for a while.
			if stopped = !stopped && lots.Float64() < 0.12; stopped {
				target, until = 0, t+3+3*lots.Float64()
			} else {
				target, until = ceiling*(0.35+(l.Fastest-0.35)*lots.Float64()), t+8+22*lots.Float64()
			}
		}
		// The rider's feet never rest: a little speed up and down with a time of some seconds.
		sway += (-sway/3 + 0.04*lots.NormFloat64()) * dt
		accelerate := min(max((target-v)*0.5, -1.3), 1.1) + sway
		if v == 0 && target == 0 {
			accelerate = 0
		}
		grade := (altitude(meters+0.5) - altitude(meters-0.5))
		src := bd.Pack.At(z)
		omega := bd.Road.Omega(v)
		load := bd.Road.Torque(v, grade) + bd.Road.Accelerating(accelerate)*bd.Road.Tire.Radius(v)
		if v == 0 && accelerate == 0 {
			load = 0
		}
		at, ok := bd.Drive.At(src, omega, load)
		if !ok {
			at = drive.Point{BusV: src.OpenCircuit}
		}
		out = append(out, l.read(lots, Sample{t, v, at.Duty, at.BusV, at.BusA, math.Copysign(at.Phase(), at.Iq), meters, motorC, altitude(meters)}))
		next := max(0, v+accelerate*dt)
		meters += (v + next) / 2 * dt
		v = next
		z -= at.BusA * dt / 3600 / bd.Pack.CapacityAh
		motorC += (at.Copper + at.Iron - 6*(motorC-b.AmbientC)) / p.Motor.HubJ * dt
		if z < 0.02 {
			break
		}
	}
	return out
}

func (l *Logger) read(lots *rand.Rand, s Sample) Sample {
	see := func(v *float64, noise, step float64) {
		*v += noise * lots.NormFloat64()
		if step > 0 {
			*v = math.Round(*v/step) * step
		}
	}
	if s.Speed > 0 {
		see(&s.Speed, l.SpeedNoise, l.SpeedStep)
		s.Speed = max(0, s.Speed)
	}
	see(&s.Duty, l.DutyNoise, l.DutyStep)
	s.Duty = min(1, math.Abs(s.Duty))
	see(&s.Volts, l.VoltNoise, l.VoltStep)
	see(&s.Amps, l.AmpNoise, l.AmpStep)
	see(&s.Phase, l.PhaseNoise, l.PhaseStep)
	see(&s.MotorC, 0.3, 1)
	see(&s.Altitude, l.AltitudeNoise, l.AltitudeStep)
	see(&s.Meters, 0, 1)
	if lots.Float64() < l.Outliers {
		switch lots.IntN(4) {
		case 0:
			s.Speed = 25 * lots.Float64()
		case 1:
			s.Duty = lots.Float64()
		case 2:
			s.Volts = s.Volts * (0.3 + 1.2*lots.Float64())
		case 3:
			s.Amps = 200 * (lots.Float64() - 0.5)
		}
	}
	return s
}

// CSV writes a log as a table with a comma between cells. A cell is empty where the figure is none.
func CSV(log []Sample) []byte {
	var out bytes.Buffer
	out.WriteString("time_s,speed_kmh,duty_pct,pack_v,battery_a,phase_a,trip_m,motor_temp_c,altitude_m\n")
	f := func(v float64, digits int) string {
		if math.IsNaN(v) {
			return ""
		}
		return strconv.FormatFloat(v, 'f', digits, 64)
	}
	for _, s := range log {
		fmt.Fprintf(&out, "%s,%s,%s,%s,%s,%s,%s,%s,%s\n", f(s.Time, 3), f(s.Speed*3.6, 1), f(s.Duty*100, 1), f(s.Volts, 1), f(s.Amps, 1),
			f(s.Phase, 1), f(s.Meters, 0), f(s.MotorC, 0), f(s.Altitude, 1))
	}
	return out.Bytes()
}

// ExampleTruth is the board that the example log in testdata was ridden with, as a link. Its plan is the standard build: the motor turns 5 %
// faster than that, the cells have 15 % more resistance, and the rider stands 10 % larger in the wind.
const ExampleTruth = "kv=14.175&cellr=18.4&cda=0.66"
