package review

import (
	"math"
	"strconv"

	"headroom/core/limit"
)

// band is where a setting is clear, and the limits around that. An end that does not exist is infinite.
type band struct {
	limitLow, low, high, limitHigh float64
	open                           bool    // the upper limit itself is over already
	openLow                        bool    // the lower limit itself is over already
	stuck                          string  // over wherever it is set, and why: one sentence; empty where that is not so
	lowWins                        bool    // where low passes high, low is the safer end
	step                           float64 // what a recommendation is rounded to, into the band
	most                           float64 // a recommendation is at most this

	farBelow, below, above, farAbove string // what is wrong there, one sentence each
	basis                            string // the numbers of this build
}

func newBand(step float64) band {
	inf := math.Inf(1)
	return band{limitLow: -inf, low: -inf, high: inf, limitHigh: inf, step: step, most: inf}
}

// row judges what is set. A setting that was not entered is only told what it should be.
func (k band) row(has float64, given bool) Row {
	k.tidy()
	r := Row{Low: finite(k.low), High: finite(k.high), LimitLow: finite(k.limitLow), LimitHigh: finite(k.limitHigh)}
	empty := k.low > k.high
	r.Should = k.should(has, empty)
	if empty {
		k.basis += " The two ends pass each other, so no setting is clear with this build."
	}
	if !given {
		r.Why = "Not entered. " + k.basis
		return r
	}
	r.Has = &has
	var says string
	r.Status, r.By, says = k.judge(has)
	r.Why = says + k.basis
	return r
}

// judge compares with the limits first, then with the band.
func (k *band) judge(has float64) (s limit.Status, by float64, says string) {
	beyond := k.limitHigh
	if k.open {
		beyond = math.Nextafter(beyond, math.Inf(-1))
	}
	under := k.limitLow
	if k.openLow {
		under = math.Nextafter(under, math.Inf(1))
	}
	switch {
	case k.stuck != "":
		return limit.Over, min(0, has-k.low) + max(0, has-k.high), k.stuck + " "
	case has < under:
		return limit.Over, has - k.low, k.farBelow + " "
	case has > beyond:
		return limit.Over, has - k.high, k.farAbove + " "
	case has > k.high:
		return limit.Tight, has - k.high, k.above + " "
	case has < k.low:
		return limit.Tight, has - k.low, k.below + " "
	}
	return limit.Clear, 0, ""
}

// should is what is set, moved into the band if it is outside, and then to a step within it. Where no setting is clear it is the safer
// end, and inside the limits as far as there is room between them. Where no setting is right nothing else is recommended.
func (k *band) should(has float64, empty bool) float64 {
	up := math.Ceil(k.low/k.step) * k.step
	// Rounding a small figure down must not make it nothing.
	down := max(math.Floor(k.high/k.step)*k.step, min(k.high, k.step))
	v := has
	switch {
	case k.stuck != "":
		return round(has)
	case empty && k.lowWins:
		v = up
	case empty:
		v = down
	case has < k.low:
		v = min(up, k.high)
	case has > k.high:
		v = max(down, k.low)
	}
	// Where even the limits pass each other, the safer one counts.
	if k.lowWins {
		v = max(k.within(v), k.limitLow)
	} else {
		v = min(k.within(v), k.limitHigh)
	}
	return round(min(v, k.most))
}

// within moves a value inside the limits, to a step where one is left between them.
func (k *band) within(v float64) float64 {
	if up := math.Ceil(k.limitLow/k.step) * k.step; v < k.limitLow {
		v = k.limitLow
		if up <= k.limitHigh {
			v = up
		}
	}
	if down := math.Floor(k.limitHigh/k.step) * k.step; v > k.limitHigh {
		v = k.limitHigh
		if down >= k.limitLow {
			v = down
		}
	}
	return v
}

// tidy removes the last digits that arithmetic leaves, so that 18 × 2.7 V is the 48.6 V that a person enters, and keeps the band
// inside its limits.
func (k *band) tidy() {
	for _, v := range []*float64{&k.limitLow, &k.low, &k.high, &k.limitHigh} {
		*v = round(*v)
	}
	k.low = max(k.low, k.limitLow)
	k.high = min(k.high, k.limitHigh)
}

// round keeps six digits after the point; infinities stay what they are.
func round(v float64) float64 { return math.Round(v*1e6) / 1e6 }

func finite(v float64) *float64 {
	if math.IsInf(v, 0) {
		return nil
	}
	return &v
}

// or returns a figure, or what stands in for one that does not exist.
func or(v *float64, instead float64) float64 {
	if v == nil {
		return instead
	}
	return *v
}

// say writes a figure with its unit, to a tenth. Adding 0 turns −0 into 0.
func say(v float64, unit string) string {
	return strconv.FormatFloat(math.Round(v*10)/10+0, 'f', -1, 64) + " " + unit
}

// sayEdge writes where a setting alone drops the rider; nothing where that cannot be told.
func sayEdge(v *float64, unit, side string) string {
	if v == nil {
		return ""
	}
	return " " + side + " " + say(*v, unit) + " the nose drops, or no range is left with the reserve asked for."
}

// sayIf writes a sentence's part about a figure, or what to say where there is none.
func sayIf(v *float64, unit, before, without string) string {
	if v == nil {
		return without
	}
	return before + say(*v, unit) + "."
}
