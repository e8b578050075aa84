package ridelog

import "math"

// Ride is what a log holds. Speeds are m/s, distances m, times s from the first row; all is SI. What the log does not tell is absent: a
// nil pointer or an empty list.
type Ride struct {
	Layout   Layout
	Rows     int // with figures in the file
	Used     int // of them
	Problems []Problem
	Backward bool // time runs backward: of three rows more than two are earlier than the one before

	Seconds   float64 // from the first row to the last
	Moving    float64 // s at more than a walk
	Meters    float64 // by the distance column, else summed from speed
	ByCounter bool    // by the distance column
	Out       float64 // J out of the battery, what came back not taken off
	Back      float64 // J back into it
	Charge    float64 // C out of the battery, less what came back
	Powered   bool    // the log has volts and amps, or power, close enough in time to be summed

	// The s over which speed, energy and charge were summed: those without gaps and long blanks.
	SpeedS, PoweredS, ChargedS float64
	// What energy per distance is made of: the J out of the battery, less what came back, where both are known, and the m over which.
	PairedJ, PairedM float64

	TopSpeed    *Extreme // m/s
	HighestDuty *Extreme // fraction
	LowestV     *Extreme
	HighestV    *Extreme
	WorstSag    *Extreme // V below the highest of the sagTime before, in which nothing came back
	MostA       *Extreme // out of the battery
	MostBackA   *Extreme // back into it, positive
	MostPhaseA  *Extreme // peak
	MotorC      *Extreme
	ControllerC *Extreme

	Resistance *Resistance // of the pack
	Reserve    *Reserve    // by the model
	Steady     []Stretch
	Stretches  int // found; Steady holds the longest of each speed

	Plot  Plot
	Speed []DutyAt // duty against speed

	// SignDoubt tells that a current seems to have its sign the other way round: BatteryDoubt that more came back into the battery than went
	// out, PhaseDoubt that phase current contradicts the battery's or, where that is not logged, braked more than it drove.
	SignDoubt, BatteryDoubt, PhaseDoubt bool
}

// PerMeter is the energy per distance in J/m; ok is false where the log does not tell.
func (r *Ride) PerMeter() (v float64, ok bool) {
	if !r.Powered || r.PairedM < LeastWay {
		return 0, false
	}
	return r.PairedJ / r.PairedM, true
}

// LeastWay is how far a ride must go in m for its energy per distance to be told.
const LeastWay = 100

// Summed is the share of the ride over which energy was summed: of its way where it has one, else of its time.
func (r *Ride) Summed() float64 {
	switch {
	case !r.Powered:
		return 0
	case r.Meters >= LeastWay && r.PairedM > 0:
		return math.Min(1, r.PairedM/r.Meters)
	}
	return r.PoweredS / r.Seconds
}

// What a log's duty may stand above the plan's, and at how many speeds. A logger's columns are read some tenths of a second apart, which
// makes two or three hundredths where a board speeds up. Engineering judgment with no published source.
const (
	aboveMost   = 0.04
	aboveSpeeds = 3
)

// AbovePlan tells whether the board takes more duty than the plan has at the same speed, volts and current, at several speeds or at the
// highest: then the plan promises more than the board has. by is the most of it. Where no current is logged the highest speed alone tells
// nothing, for the level road's torque is not that of the board speeding up.
func (r *Ride) AbovePlan() (by float64, above bool) {
	n := 0
	for i := range r.Speed {
		d := &r.Speed[i]
		if d.Speed < slowSteady || d.Above < aboveMost {
			continue
		}
		n++
		by = math.Max(by, d.Above)
		if i == len(r.Speed)-1 && r.Reserve != nil && r.Reserve.By != ByRoad {
			above = true
		}
	}
	return by, above || n >= aboveSpeeds
}

// Extreme is the highest or lowest of something, and when it was.
type Extreme struct {
	Value float64
	At    float64 // s
	Line  int     // of the file
	// Alone is a reading further out that no row beside it bears out: a spike of the logger, or a peak too short for its rate. nil where
	// there is none.
	Alone *Extreme
}

// beside is how near in time two readings bear each other out, s.
const beside = 0.5

// watch finds the highest of a row's figures. A reading counts as far as one beside it bears it out, so that a spoilt one does not make a
// record; readings of a slow log, which have none beside them, count as they are. The highest as it was read is kept beside it, in doubt.
type watch struct {
	top   *Extreme
	read  Extreme // the highest, borne out or not
	last  Extreme
	has   bool
	alone bool // nothing lies beside the last one so far
}

func (w *watch) see(v float64, row *Row, line int) {
	if math.IsNaN(v) {
		return
	}
	now := Extreme{Value: v, At: row[Time], Line: line}
	if !w.has || v > w.read.Value {
		w.read = now
	}
	near := w.has && now.At-w.last.At <= beside
	if near {
		if w.last.Value < v {
			w.count(w.last)
		} else {
			w.count(now)
		}
	} else {
		w.flush()
	}
	w.last, w.has, w.alone = now, true, !near
}

func (w *watch) flush() {
	if w.has && w.alone {
		w.count(w.last)
	}
}

func (w *watch) count(e Extreme) {
	if w.top == nil {
		w.top = new(Extreme)
	} else if e.Value <= w.top.Value {
		return
	}
	*w.top = e
}

// result is the highest, with its sign as turned back by way.
func (w *watch) result(way float64) *Extreme {
	w.flush()
	w.alone = false
	if w.top == nil {
		return nil
	}
	turned := func(e *Extreme) *Extreme { return &Extreme{Value: way * e.Value, At: e.At, Line: e.Line} }
	out := turned(w.top)
	if w.read.Value > w.top.Value {
		out.Alone = turned(&w.read)
	}
	return out
}
