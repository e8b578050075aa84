// Package motor is a three-phase permanent-magnet synchronous motor in the rotor (d, q) frame, amplitude-invariant: currents,
// voltages and flux linkages are peak values of one phase, line to neutral.
//
//	λ   = 60/(2π·√3·p·Kv)                      Kv in rpm per volt of bus, no field weakening, full linear modulation V/√3
//	ψ_d = s·(λ + L_d·i_d)                      ψ_q = s·L_q·i_q              s = 1/√(1 + (i_q/I_sat)²)
//	v_d = R·i_d − ω_e·ψ_q                      v_q = R·i_q + ω_e·ψ_d        ω_e = p·ω_m
//	T_em = 1.5·p·(ψ_d·i_q − ψ_q·i_d)
//	T_fe = p·(k_h + k_e·ω_e)                   R = R₂₀·(1 + 0.00393·(T − 20))
//
// Source of the unsaturated equations: P. C. Krause, Analysis of Electric Machinery, chapter on synchronous machines, as
// printed on the reference pages used for the worked examples in testdata (surface-magnet servo; Modelica Standard Library
// machine). The saturation factor s is a smooth engineering form with no published source: torque stays monotone in i_q. Iron
// drag keeps the hysteresis and eddy terms of Steinmetz's form as torque.
//
// What this leaves out: torque ripple and harmonics, cross-saturation, magnets that weaken when hot.
package motor

import (
	"math"

	"headroom/core/build"
	"headroom/core/wire"
)

// Motor is one machine at one winding temperature.
type Motor struct {
	PolePairs   float64
	Flux        float64 // λ, Wb peak line to neutral
	Resistance  float64 // Ω per phase at the winding temperature
	Ld, Lq      float64 // H
	SaturationA float64 // I_sat, A peak
	HysteresisK float64 // N·m per pole pair
	EddyK       float64 // N·m·s per pole pair and electrical rad/s
}

// FluxFromKv returns λ in Wb for pole pairs p and Kv in rpm/V.
func FluxFromKv(polePairs, kv float64) float64 {
	return 60 / (2 * math.Pi * math.Sqrt(3) * polePairs * kv)
}

// New makes the motor of a class at a winding temperature in °C.
func New(c build.MotorClass, celsius float64) Motor {
	return Motor{
		PolePairs:   c.PolePairs,
		Flux:        FluxFromKv(c.PolePairs, c.Kv),
		Resistance:  c.Resistance * wire.Heated(celsius),
		Ld:          c.Ld,
		Lq:          c.Lq,
		SaturationA: c.SaturationA,
		HysteresisK: c.HysteresisK,
		EddyK:       c.EddyK,
	}
}

// saturation returns s for a q current.
func (m *Motor) saturation(iq float64) float64 {
	x := iq / m.SaturationA
	return 1 / math.Sqrt(1+x*x)
}

// Voltage returns v_d and v_q in V at an electrical speed in rad/s.
func (m *Motor) Voltage(omegaE, id, iq float64) (vd, vq float64) {
	s := m.saturation(iq)
	psiD := s * (m.Flux + m.Ld*id)
	psiQ := s * m.Lq * iq
	return m.Resistance*id - omegaE*psiQ, m.Resistance*iq + omegaE*psiD
}

// Torque returns T_em in N·m, before iron drag.
func (m *Motor) Torque(id, iq float64) float64 {
	return 1.5 * m.PolePairs * m.saturation(iq) * iq * (m.Flux + (m.Ld-m.Lq)*id)
}

// Drag returns the iron drag T_fe in N·m at a mechanical speed in rad/s ≥ 0.
func (m *Motor) Drag(omega float64) float64 {
	return m.PolePairs * (m.HysteresisK + m.EddyK*m.PolePairs*omega)
}

// LeastSaturation returns the smallest I_sat in A for which the saturation form holds down to a d current of −weaken A: the flux that
// the iron carries must not shrink as i_q grows, L_q·I_sat ≥ |λ + L_d·i_d|. Below it the form would let the magnet's flux fade faster
// than the current's grows.
func (m *Motor) LeastSaturation(weaken float64) float64 {
	return max(m.Flux, m.Ld*weaken-m.Flux) / m.Lq
}

// CurrentFor returns the q current in A that makes a torque T_em at a d current: with x = s·i_q the torque is linear in x, and
// i_q = x/√(1 − (x/I_sat)²). ok is false when saturation forbids the torque at any current.
func (m *Motor) CurrentFor(torque, id float64) (iq float64, ok bool) {
	k := m.Flux + (m.Ld-m.Lq)*id
	if k <= 0 {
		return 0, false // reluctance has turned the torque around
	}
	x := torque / (1.5 * m.PolePairs * k)
	r := x / m.SaturationA
	if d := 1 - r*r; d > 0 {
		return x / math.Sqrt(d), true
	}
	return 0, false
}
