package ridelog

import "math"

// Ride is what a log holds. Speeds are m/s, distances m, times s from the first row; all is SI. What the log does not tell is absent: a
// nil pointer or an empty list.
type Ride struct {
	Layout   Layout
	Rows     int // with figures in the file
	Used     int // of them
	Problems []Problem

	Seconds   float64 // from the first row to the last
	Moving    float64 // s at more than a walk
	Meters    float64 // by the distance column, else summed from speed
	ByCounter bool    // by the distance column
	Out       float64 // J out of the battery, what came back not taken off
	Back      float64 // J back into it
	Charge    float64 // C out of the battery, less what came back
	Powered   bool    // the log has volts and amps

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
	if !r.Powered || r.Meters < 100 {
		return 0, false
	}
	return (r.Out - r.Back) / r.Meters, true
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
