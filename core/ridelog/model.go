package ridelog

import (
	"math"

	"headroom/core/pack"
	"headroom/core/ride"
)

// The model's largest torque is kept on a grid, so that a moment of the log costs a few multiplications.
const (
	speedKnots = 49
	voltKnots  = 13
)

// Model tells what a build has left at a moment of a log.
type Model struct {
	board *ride.Board
	top   float64 // m/s, the last knot of speed
	low   float64 // V open circuit, the first knot
	high  float64
	ohm   float64 // of the pack at half charge
	most  [speedKnots][voltKnots]float64
}

// NewModel makes the model of a board, some six hundred largest torques.
func NewModel(b *ride.Board) *Model {
	full, empty := b.Pack.At(1), b.Pack.At(0)
	m := &Model{board: b, top: 1.1 * b.FreeSpinWeakened(full), low: 0.9 * empty.OpenCircuit, high: 1.02 * full.OpenCircuit,
		ohm: b.Pack.At(0.5).Resistance}
	for i := range m.most {
		omega := b.Road.Omega(m.top * float64(i) / (speedKnots - 1))
		for j := range m.most[i] {
			volts := m.low + (m.high-m.low)*float64(j)/(voltKnots-1)
			p, _ := b.Drive.MaxTorque(pack.Source{OpenCircuit: volts, Resistance: m.ohm}, omega)
			m.most[i][j] = p.Torque
		}
	}
	return m
}

// Most returns the largest torque in N·m at a speed in m/s with the pack at an open-circuit voltage in V, between the knots on straight
// lines. Beyond the grid its edge counts.
func (m *Model) Most(v, volts float64) float64 {
	x := min(max(v/m.top, 0), 1) * (speedKnots - 1)
	y := min(max((volts-m.low)/(m.high-m.low), 0), 1) * (voltKnots - 1)
	i, j := min(int(x), speedKnots-2), min(int(y), voltKnots-2)
	x, y = x-float64(i), y-float64(j)
	return (1-x)*((1-y)*m.most[i][j]+y*m.most[i][j+1]) + x*((1-y)*m.most[i+1][j]+y*m.most[i+1][j+1])
}

// How the torque that was taken at a moment is known.
const (
	ByPhase = "phase current"
	ByPower = "battery power"
	ByRoad  = "level road"
)

// Taken returns the shaft torque in N·m of a moment and how it is known: by phase current, else by battery power, else it is what a level
// road asks for. Field weakening is not told apart from the current that makes torque, which is the safe side.
func (m *Model) Taken(row *Row) (torque float64, by string) {
	d, v := &m.board.Drive, row[Speed]
	omega := m.board.Road.Omega(v)
	switch {
	case !math.IsNaN(row[PhaseA]):
		return d.Motor.Torque(0, row[PhaseA]) - d.Motor.Drag(omega), ByPhase
	case !math.IsNaN(row[PackV] * row[BatteryA]):
		// P = 1.5·(R + R_on)·i² + (1.5·p·λ·ω + k_sw·V)·i + P₀ with i_d = 0, the form of package drive, solved for i.
		a := 1.5 * (d.Motor.Resistance + d.OnResistance)
		b := 1.5*d.Motor.PolePairs*d.Motor.Flux*omega + d.SwitchingK*row[PackV]
		c := row[PackV]*row[BatteryA] - d.StandbyW
		i := -b / (2 * a)
		if root := b*b + 4*a*c; root > 0 {
			i += math.Sqrt(root) / (2 * a)
		}
		return d.Motor.Torque(0, i) - d.Motor.Drag(omega), ByPower
	}
	return m.board.Road.Torque(v, 0), ByRoad
}

// Shift returns the balance reserve in m of shift at a moment of a log, and how it is known; NaN where speed or volts are missing.
func (m *Model) Shift(row *Row) (shift float64, by string) {
	if math.IsNaN(row[Speed] * row[PackV]) {
		return math.NaN(), ""
	}
	volts := row[PackV]
	if !math.IsNaN(row[BatteryA]) {
		volts += m.ohm * row[BatteryA]
	}
	taken, by := m.Taken(row)
	return m.board.Road.Shift(m.Most(row[Speed], volts) - taken), by
}
