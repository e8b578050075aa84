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

// DutySlip is what a logged duty may stand under a limit and count as having met it: a controller that shows whole percents rounds by as
// much. Engineering judgment with no published source.
const DutySlip = 0.005

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
	i, by := m.current(row)
	if by == ByRoad {
		return m.board.Road.Torque(row[Speed], 0), by
	}
	d := &m.board.Drive
	return d.Motor.Torque(0, i) - d.Motor.Drag(m.board.Road.Omega(row[Speed])), by
}

// current is the phase current in A that made the torque of a moment, and how it is known; NaN where a level road's cannot be made.
func (m *Model) current(row *Row) (i float64, by string) {
	d := &m.board.Drive
	omega := m.board.Road.Omega(row[Speed])
	switch {
	case !math.IsNaN(row[PhaseA]):
		return row[PhaseA], ByPhase
	case !math.IsNaN(row[PackV] * row[BatteryA]):
		// P = 1.5·(R + R_on)·i² + (1.5·p·λ·ω + k_sw·V)·i + P₀ with i_d = 0, the form of package drive, solved for i.
		a := 1.5 * (d.Motor.Resistance + d.OnResistance)
		b := 1.5*d.Motor.PolePairs*d.Motor.Flux*omega + d.SwitchingK*row[PackV]
		c := row[PackV]*row[BatteryA] - d.StandbyW
		i := -b / (2 * a)
		if root := b*b + 4*a*c; root > 0 {
			i += math.Sqrt(root) / (2 * a)
		}
		return i, ByPower
	}
	i, ok := d.Motor.CurrentFor(m.board.Road.Torque(row[Speed], 0)+d.Motor.Drag(omega), 0)
	if !ok {
		i = math.NaN()
	}
	return i, ByRoad
}

// Duty returns the duty that the plan has at a moment of a log, no more than the highest: by its speed, its volts and the current of
// Taken, without field weakening. NaN where speed or volts are missing.
func (m *Model) Duty(row *Row) float64 {
	d := &m.board.Drive
	i, _ := m.current(row)
	vd, vq := d.Motor.Voltage(d.Motor.PolePairs*m.board.Road.Omega(row[Speed]), 0, i)
	duty := math.Sqrt(3) * math.Hypot(vd, vq) / row[PackV]
	if math.IsNaN(duty) {
		return duty
	}
	return math.Min(duty, d.MaxDuty)
}

// Above returns by how much the logged duty lies above the plan's, both counted up to the plan's highest; NaN where something is missing.
func (m *Model) Above(row *Row) float64 {
	return math.Min(row[Duty], m.board.Drive.MaxDuty) - m.Duty(row)
}

// Full tells whether the logged duty has reached the highest that the plan's drive may use.
func (m *Model) Full(row *Row) bool { return row[Duty] >= m.board.Drive.MaxDuty-DutySlip }

// weakens tells whether the drive weakens the field, so that something may be left at full duty too.
func (m *Model) weakens() bool { return m.board.Drive.WeakenA > 0 }

// Shift returns the balance reserve in m of shift at a moment of a log, and how it is known; NaN where speed or volts are missing. At full
// duty there is no voltage left to push with: whatever the plan says, nothing is left, unless the drive weakens the field.
func (m *Model) Shift(row *Row) (shift float64, by string) {
	if math.IsNaN(row[Speed] * row[PackV]) {
		return math.NaN(), ""
	}
	volts := row[PackV]
	if !math.IsNaN(row[BatteryA]) {
		volts = m.rest(volts, row[BatteryA])
	}
	taken, by := m.Taken(row)
	shift = m.board.Road.Shift(m.Most(row[Speed], volts) - taken)
	if m.Full(row) && !m.weakens() {
		shift = math.Min(shift, 0)
	}
	return shift, by
}
