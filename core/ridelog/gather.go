package ridelog

import "math"

// walk is the speed in m/s above which a board counts as moving, sagTime the s before a moment that its sag is held against.
const (
	walk    = 1.0
	sagTime = 10
)

// aboveZero is where a difference of nothing stands in a table of duty.
const aboveZero = 0.6

// gather sums up a ride row by row.
type gather struct {
	set  Settings
	last Row // the row before, its short blanks filled
	rows int

	byPower bool // the log has power in the place of amps
	carrier carrier
	sums    rideSums

	speed, duty, lowV, highV, sag, amps, backA, phase, motorC, controllerC watch
	rest                                                                   [sagTime]float64 // highest V of each s, by s modulo sagTime
	restOf                                                                 [sagTime]float64 // which s that is

	signs   signs
	plot    plotter
	byDuty  dutyTable
	above   dutyTable // by how much duty lay above the model's, half moved up
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
	filled := g.carrier.fill(row, g.byPower)
	if g.rows > 0 {
		dt := filled[Time] - g.last[Time]
		if dt <= gapS {
			g.signs.between(&g.last, &filled, dt)
		}
		g.sums.between(&g.last, &filled, dt)
	}
	g.sums.count(row)
	g.extremes(row, line)
	g.signs.add(row)
	g.plot.add(row)
	g.byDuty.add(row[Speed], row[Duty])
	g.ohms.add(row)
	if g.reserve != nil {
		g.reserve.add(row, line)
		g.above.add(row[Speed], aboveZero+math.Min(math.Max(g.set.Model.Above(row), -aboveZero), aboveZero))
	}
	if b, done := g.block.add(row, line); done {
		g.close(b)
	}
	g.last = filled
	g.rows++
}

func (g *gather) close(b *block) {
	g.steady.add(b)
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
	g.sums.finish(r)
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
	for i := range r.Speed {
		if step := int(r.Speed[i].Speed / speedStep); g.above.readings(step) >= fewest {
			r.Speed[i].Above = g.above.share(step, g.above.readings(step), 0.5) - aboveZero
		}
	}
	if g.reserve != nil {
		r.Reserve = g.reserve.result()
	}
}
