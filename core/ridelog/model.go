package ridelog

import (
	"math"

	"headroom/core/pack"
	"headroom/core/ride"
)

// The model's largest torque is kept on a grid, so that a moment of the log costs a few multiplications. One axis is volts, the other speed
// per volt: where the voltage begins to bind, and how fast the wheel spins free, then stand at nearly the same place for all volts. The knots
// of the volts stand closest, and on its ends, where the low-voltage cut-off takes the current back.
const (
	speedKnots = 97
	voltKnots  = 15
)

// Model tells what a build has left at a moment of a log.
type Model struct {
	board *ride.Board
	top   float64            // m/s per V, the last knot
	volts [voltKnots]float64 // open circuit, rising
	ohms  [voltKnots]float64 // of the pack at the charge that belongs to them
	most  [speedKnots][voltKnots]float64
}

// NewModel makes the model of a board, some fifteen hundred largest torques.
func NewModel(b *ride.Board) *Model {
	full, empty := b.Pack.At(1), b.Pack.At(0)
	m := &Model{board: b, top: 1.1 * b.FreeSpinWeakened(full) / full.OpenCircuit}
	low, high := 0.9*empty.OpenCircuit, 1.02*full.OpenCircuit
	none := min(max(b.Drive.CutoffV, low), high)
	all := none
	for range 4 { // the resistance hangs on the charge, and that on the volts looked for
		all = min(max(b.Drive.CutoffV+ohmsAt(&b.Pack, all)*b.Drive.BatteryLimit, low), high)
	}
	for j := range m.volts {
		switch share := float64(j); {
		case j < 2:
			m.volts[j] = low + (none-low)*share/2
		case j < 10:
			m.volts[j] = none + (all-none)*(share-2)/8
		default:
			m.volts[j] = all + (high-all)*(share-10)/4
		}
		m.ohms[j] = ohmsAt(&b.Pack, m.volts[j])
		src := pack.Source{OpenCircuit: m.volts[j], Resistance: m.ohms[j]}
		for i := range m.most {
			p, _ := b.Drive.MaxTorque(src, b.Road.Omega(src.OpenCircuit*m.top*float64(i)/(speedKnots-1)))
			m.most[i][j] = p.Torque
		}
	}
	return m
}

// ohmsAt is the pack's resistance at the charge that belongs to an open-circuit voltage.
func ohmsAt(p *pack.Pack, volts float64) float64 {
	low, high := 0.0, 1.0
	for range 40 {
		if mid := (low + high) / 2; p.At(mid).OpenCircuit < volts {
			low = mid
		} else {
			high = mid
		}
	}
	return p.At(low).Resistance
}

// knot finds the volts in the grid: the knot before them, and the share of the way to the next.
func (m *Model) knot(volts float64) (j int, share float64) {
	for j < voltKnots-2 && volts > m.volts[j+1] {
		j++
	}
	if wide := m.volts[j+1] - m.volts[j]; wide > 0 { // none where two knots fall together
		share = min(max((volts-m.volts[j])/wide, 0), 1)
	}
	return j, share
}

// Most returns the largest torque in N·m at a speed in m/s with the pack at an open-circuit voltage in V, between the knots on straight
// lines. Beyond the grid its edge counts.
func (m *Model) Most(v, volts float64) float64 {
	volts = min(max(volts, m.volts[0]), m.volts[voltKnots-1])
	j, y := m.knot(volts)
	x := min(max(v/(m.top*volts), 0), 1) * (speedKnots - 1)
	i := min(int(x), speedKnots-2)
	x -= float64(i)
	return (1-x)*((1-y)*m.most[i][j]+y*m.most[i][j+1]) + x*((1-y)*m.most[i+1][j]+y*m.most[i+1][j+1])
}

// rest is the pack's voltage with no current, from the one under a current.
func (m *Model) rest(volts, amps float64) float64 {
	at := volts
	for range 3 { // the resistance hangs on the charge, and that on what is looked for
		j, y := m.knot(at)
		at = volts + amps*((1-y)*m.ohms[j]+y*m.ohms[j+1])
	}
	return at
}

// How the torque that was taken at a moment is known.
const (
	ByPhase = "phase current"
	ByPower = "battery power"
	ByRoad  = "level road"
)

// Taken returns the shaft torque in N·m of a moment and how it is known: by phase current, else by battery power, else it is what a level
// road asks for. Field weakening is not told apart from the current that makes torque, and hard braking near standstill, where more of it gives
// no more power back, is told too weak; both are the safe side.
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
		volts = m.rest(volts, row[BatteryA])
	}
	taken, by := m.Taken(row)
	return m.board.Road.Shift(m.Most(row[Speed], volts) - taken), by
}
