package core

import (
	"headroom/core/build"
	"headroom/core/pack"
	"headroom/core/ride"
)

func model(b *build.Build, p *build.Parts, bd *ride.Board, full, half, low pack.Source) Model {
	var m Model
	m.Motor.ResistanceOhm, m.Motor.LdH, m.Motor.LqH = p.Motor.Resistance, p.Motor.Ld, p.Motor.Lq
	m.Motor.PolePairs, m.Motor.FluxWb, m.Motor.SaturationA = p.Motor.PolePairs, bd.Drive.Motor.Flux, bd.Drive.Motor.SaturationA
	m.Motor.HysteresisK, m.Motor.EddyK, m.Motor.WindingC = p.Motor.HysteresisK, p.Motor.EddyK, b.WindingC
	m.Controller.OnResistanceOhm, m.Controller.SwitchingK, m.Controller.StandbyW = p.Controller.OnResistance, p.Controller.SwitchingK, p.Controller.StandbyW
	t := &bd.Road.Tire
	m.Tire.RollingRadiusM, m.Tire.LoadedRadiusM, m.Tire.GrowthK = t.RollingRadius, t.LoadedRadius, p.Tire.GrowthK
	m.Road.Mass, m.Road.AirDensity, m.Road.CdaM2 = bd.Road.Mass, bd.Road.Density, b.DragArea
	m.Road.RollingForceN = make([]ForceAtSpeed, 6)
	for i := range m.Road.RollingForceN {
		v := 10 * float64(i)
		m.Road.RollingForceN[i] = ForceAtSpeed{v, t.Rolling(v / perKmh)}
	}
	m.Road.Uncertainty = uncertainty
	m.Pack.OpenCircuitV = Charges{full.OpenCircuit, half.OpenCircuit, low.OpenCircuit}
	m.Pack.ResistanceOhm = Charges{full.Resistance, half.Resistance, low.Resistance}
	return m
}
