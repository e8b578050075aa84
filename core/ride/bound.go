package ride

import (
	"math"

	"headroom/core/motor"
	"headroom/core/pack"
	"headroom/core/road"
)

// CeilingReaches tells whether Ceiling lies at a level-ground speed in m/s or beyond, at the price of one look instead of a search: reserve
// only falls and duty only rises with speed, as long as the load drives and weakening lowers the duty. Where that does not hold it is not
// sure, and reaches means nothing.
func (b *Board) CeilingReaches(src pack.Source, v float64) (reaches, sure bool) {
	omega, load := b.Road.Omega(v), b.Road.Torque(v, 0)
	if load < 0 || b.Drive.WeakenA > 0.9*quietest(&b.Drive.Motor, omega) {
		return false, false
	}
	if b.spareDuty(src, v) < 0 {
		return false, true
	}
	limit, _ := b.Drive.MaxTorque(src, omega)
	return limit.Torque-load >= b.Shift*b.Road.Rider*road.Gravity, true
}

// quietest is the weakening current in A of least voltage at a speed in rad/s without q current: the least of (R·i)² + ω_e²·(λ − L_d·i)².
// It grows with speed, toward λ/L_d.
func quietest(m *motor.Motor, omega float64) float64 {
	w := m.PolePairs * omega
	x := w * w * m.Ld
	if x == 0 {
		return 0
	}
	return x * m.Flux / (m.Resistance*m.Resistance + x*m.Ld)
}

// RangeSlices is how many slices of charge Range walks through.
const RangeSlices = rangeSteps

// Slices are the charges that Range walks through from start down to floor, where nothing ends the ride before.
func Slices(k *pack.Pack, start, floor float64) [RangeSlices]pack.Source {
	var out [RangeSlices]pack.Source
	slice := (start - floor) / rangeSteps
	for i := range out {
		out[i] = k.At(start - (float64(i)+0.5)*slice)
	}
	return out
}

// sliceRoom covers what Range's sum over its slices may lie above another sum over the same charges (see rangeSteps).
const sliceRoom = 2e-3

// RangeAtMost returns a distance in m that Range does not pass, in a twentieth of its time; +Inf where the ride may use no charge. The
// charge is taken to reach the floor, the motor to spend the least current that could make the torque, and switches nothing but what half the pack's voltage costs:
//
//	P ≥ T_em·ω + 1.5·(R + R_on)·(T_em/k)² + k_sw·(T_em/k)·E/2 + P₀       k = 1.5·p·(λ + max(0, L_q − L_d)·I_fw)
//	I ≥ P/E·(1 + R_pack·P/E²) driving, P/E braking                        for V = E − R_pack·I and I ≥ P/E
func (b *Board) RangeAtMost(p *Profile, start, floor float64, slices *[RangeSlices]pack.Source) float64 {
	slice := (start - floor) / rangeSteps
	if slice <= 0 {
		return 0
	}
	low := slices[rangeSteps-1].OpenCircuit
	for i := range slices {
		low = min(low, slices[i].OpenCircuit)
	}
	var mean, square, size float64
	for i := range p.moments {
		m := &p.moments[i]
		share := m.seconds / p.Seconds
		watts := b.leastPower(m, slices, low)
		mean += share * watts
		size += share * math.Abs(watts)
		if watts > 0 {
			square += share * watts * watts
		}
	}
	if mean < 0.01*size { // nearly all comes back: too near to endless to tell
		return math.Inf(1)
	}
	coulombs := b.Pack.CapacityAh * 3600 * slice
	seconds := 0.0
	for i := range slices {
		e := slices[i].OpenCircuit
		seconds += coulombs * e / (mean + square*slices[i].Resistance/(e*e))
	}
	return p.Meters / p.Seconds * seconds * (1 + sliceRoom)
}

// leastPower is the least power in W that a moment may draw from the pack; low is the lowest open-circuit voltage of the ride.
func (b *Board) leastPower(m *moment, slices *[RangeSlices]pack.Source, low float64) float64 {
	d := &b.Drive
	k := 1.5 * d.Motor.PolePairs * (d.Motor.Flux + max(0, d.Motor.Lq-d.Motor.Ld)*d.WeakenA)
	copper := 1.5 * (d.Motor.Resistance + d.OnResistance) / (k * k) // W per (N·m)²
	drag := d.Motor.Drag(m.omega)
	torque := m.torque + drag
	if m.torque >= 0 {
		return torque*m.omega + copper*torque*torque + d.SwitchingK*torque/k*low/2 + d.StandbyW
	}
	// Braking may be held to less than what is asked for, and weakening to more: whatever gives most back, up to what may be pushed back.
	least := max(torque, -m.omega/(2*copper))
	if d.WeakenA > 0 {
		least = -m.omega / (2 * copper)
	}
	least = min(least, drag)
	watts := min(0, least*m.omega+copper*least*least)
	high := 0.0
	for i := range slices {
		high = max(high, slices[i].OpenCircuit)
	}
	return max(watts, -d.RegenLimit*max(high, d.AbsoluteV))
}
