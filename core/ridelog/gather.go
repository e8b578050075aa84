package ridelog

import "math"

// walk is the speed in m/s above which a board counts as moving, sagTime the s before a moment that its sag is held against.
const (
	walk    = 1.0
	sagTime = 10
)

// gather sums up a ride row by row.
type gather struct {
	set  Settings
	last Row // the row before
	rows int

	seconds, moving, summed, counted float64
	out, back, charge                float64
	powered, hasCounter              bool
	counter, countedAt               float64 // the last distance read, and when

	speed, duty, lowV, highV, sag, amps, backA, phase, motorC, controllerC watch
	rest                                                                   [sagTime]float64 // highest V of each s, by s modulo sagTime
	restOf                                                                 [sagTime]float64 // which s that is

	signs   signs
	plot    plotter
	byDuty  dutyTable
	block   blocks
	steady  steadier
	ohms    ohms
	reserve *reserver
}

func (g *gather) begin(set Settings) {
	g.set = set
	g.plot.begin()
	for i := range g.restOf {
		g.restOf[i] = -1
	}
	if set.Model != nil {
		g.reserve = newReserver(set.Model, set.Wanted)
	}
}

func (g *gather) add(row *Row, line int) {
	if g.rows > 0 {
		g.between(&g.last, row)
	}
	g.count(row)
	g.extremes(row, line)
	g.signs.add(row)
	g.plot.add(row)
	g.byDuty.add(row)
	g.ohms.add(row)
	if g.reserve != nil {
		g.reserve.add(row, line)
	}
	if b, done := g.block.add(row, line); done {
		g.close(b)
	}
	g.last = *row
	g.rows++
}

func (g *gather) close(b *block) {
	g.steady.add(b)
}

// between sums over the time between two rows by the trapezoid rule; not across gaps, nor where a figure is missing.
func (g *gather) between(a, b *Row) {
	dt := b[Time] - a[Time]
	g.seconds = b[Time]
	if dt > gapS {
		return
	}
	g.signs.between(a, b, dt)
	if v := (a[Speed] + b[Speed]) / 2; !math.IsNaN(v) {
		g.summed += v * dt
		if v > walk {
			g.moving += dt
		}
	}
	if w := (a[PackV]*a[BatteryA] + b[PackV]*b[BatteryA]) / 2; !math.IsNaN(w) {
		g.powered = true
		g.charge += (a[BatteryA] + b[BatteryA]) / 2 * dt
		if w > 0 {
			g.out += w * dt
		} else {
			g.back -= w * dt
		}
	}
}

// coarsest is the step of the coarsest distance counter, a tenth of a mile and a little, m.
const coarsest = 200

// count follows the distance counter. One that begins anew, or leaps further than a board goes, adds nothing.
func (g *gather) count(row *Row) {
	d := row[Distance]
	if math.IsNaN(d) {
		return
	}
	on, dt := d-g.counter, row[Time]-g.countedAt
	if g.hasCounter && on > 0 && on < kinds[Speed].hi*dt+coarsest {
		g.counted += on
	}
	g.counter, g.countedAt, g.hasCounter = d, row[Time], true
}

func (g *gather) extremes(row *Row, line int) {
	g.speed.see(row[Speed], row, line)
	g.duty.see(row[Duty], row, line)
	g.highV.see(row[PackV], row, line)
	g.lowV.see(-row[PackV], row, line)
	g.amps.see(row[BatteryA], row, line)
	g.backA.see(-row[BatteryA], row, line)
	g.phase.see(math.Abs(row[PhaseA]), row, line)
	g.motorC.see(row[MotorC], row, line)
	g.controllerC.see(row[ControllerC], row, line)
	g.sag.see(g.sagAt(row), row, line)
}

// sagAt is by how much the voltage stands below the highest of the seconds before, those left out in which current came back.
func (g *gather) sagAt(row *Row) float64 {
	v := row[PackV]
	if math.IsNaN(v) {
		return v
	}
	second := math.Floor(row[Time])
	if i := int(math.Mod(second, sagTime)); !(row[BatteryA] < 0) {
		if g.restOf[i] != second {
			g.restOf[i], g.rest[i] = second, v
		}
		g.rest[i] = math.Max(g.rest[i], v)
	}
	top := v
	for i := range g.rest {
		if g.restOf[i] >= 0 && second-g.restOf[i] < sagTime {
			top = math.Max(top, g.rest[i])
		}
	}
	return top - v
}

func (g *gather) finish(r *Ride) {
	if b, done := g.block.end(); done {
		g.close(b)
	}
	r.Seconds, r.Moving = g.seconds, g.moving
	r.Meters = g.summed
	if g.hasCounter && g.counted > 0 {
		r.Meters, r.ByCounter = g.counted, true
	}
	r.Out, r.Back, r.Charge, r.Powered = g.out, g.back, g.charge, g.powered
	r.BatteryDoubt = r.Powered && r.Back > 1.2*r.Out
	r.PhaseDoubt = g.signs.doubt(r.BatteryDoubt)
	r.SignDoubt = r.BatteryDoubt || r.PhaseDoubt
	r.TopSpeed, r.HighestDuty = g.speed.result(1), g.duty.result(1)
	r.LowestV, r.HighestV, r.WorstSag = g.lowV.result(-1), g.highV.result(1), g.sag.result(1)
	r.MostA, r.MostBackA, r.MostPhaseA = g.amps.result(1), g.backA.result(1), g.phase.result(1)
	if r.MostBackA != nil && r.MostBackA.Value <= 0 {
		r.MostBackA = nil
	}
	r.MotorC, r.ControllerC = g.motorC.result(1), g.controllerC.result(1)
	r.Resistance = g.ohms.result()
	r.Steady, r.Stretches = g.steady.result()
	r.Plot = g.plot.result()
	r.Speed = g.byDuty.result()
	if g.reserve != nil {
		r.Reserve = g.reserve.result()
	}
}
