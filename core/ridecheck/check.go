package ridecheck

import (
	"math"
	"sort"
	"strconv"

	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/solve"
)

// coverage is how many standard uncertainties a band is wide on either side.
const coverage = 2.0

// told is how many causes are told of.
const told = 2

// far is how many standard uncertainties can hardly be chance.
const far = 3.0

// Cause is one thing that may be behind a difference.
type Cause struct {
	Label string
	Share float64 // of all that leaves the difference open, 0…1
	// Alone is by which fraction this input would have to differ to explain the difference with nothing else; of the center of mass in m.
	// It is found for the likeliest two, and where the measurement is outside its band.
	Alone float64
	// Explains tells whether it can do so at all; else Alone is as far as it may go.
	Explains bool
	key      int
}

// Check is one measurement held against the plan. All values are those of the measurement, SI.
type Check struct {
	Measurement
	Skipped   string // why it cannot be judged, one sentence; the rest is then empty
	Predicted float64
	Inputs    float64 // standard uncertainty that the build's inputs leave in Predicted
	Reading   float64 // standard uncertainty of the measurement and of what it was made under
	Off       float64 // measured minus predicted, in standard uncertainties of both together
	Status    limit.Status
	// Less tells that it is off to the side of danger by more than its own uncertainty: the board has less in reserve than planned. It may be
	// inside its band all the same.
	Less   bool
	Causes []Cause // most likely first
	Means  string  // one or two sentences
	row    []float64
}

// Inside tells whether the measurement lies in the band.
func (c *Check) Inside() bool { return c.Skipped == "" && c.Status == limit.Clear }

// Band is how far on either side of Predicted a measurement may lie.
func (c *Check) Band() float64 { return coverage * math.Hypot(c.Inputs, c.Reading) }

// Checking checks measurements against a build, one a Step.
type Checking struct {
	b     build.Build
	p     build.Parts
	base  model
	sigma []float64 // of the knobs
	low   []float64
	high  []float64
	want  []Measurement
	moved []model // two for each knob
	list  []Check
}

// nudge is how far a knob is turned for a derivative; both ways, so that the error is of second order.
const nudge = 1e-4

// NewChecking begins to check measurements against a valid build. Those beyond MaxMeasurements are left out.
func NewChecking(b build.Build, measured []Measurement) *Checking {
	c := &Checking{b: b, p: b.Parts(), want: measured[:min(len(measured), MaxMeasurements)]}
	zero := make([]float64, len(knobs))
	c.base = turned(&c.b, &c.p, zero)
	c.moved = make([]model, 2*len(knobs))
	for i := range knobs {
		low, high := knobs[i].span(&c.b, &c.p)
		c.sigma, c.low, c.high = append(c.sigma, knobs[i].sigma(&c.b)), append(c.low, low), append(c.high, high)
		for side, by := range [2]float64{nudge, -nudge} {
			theta := append([]float64(nil), zero...)
			theta[i] = by
			c.moved[2*i+side] = turned(&c.b, &c.p, theta)
		}
	}
	return c
}

// CheckAll checks measurements against a valid build.
func CheckAll(b build.Build, measured []Measurement) []Check {
	c := NewChecking(b, measured)
	for c.Step() {
	}
	return c.Checks()
}

// Done tells whether every measurement has been checked.
func (c *Checking) Done() bool { return len(c.list) >= len(c.want) }

// Checks returns those that have been checked so far, in the order of the measurements.
func (c *Checking) Checks() []Check { return c.list }

// Step checks one measurement; it is false where there was none left.
func (c *Checking) Step() bool {
	if c.Done() {
		return false
	}
	c.list = append(c.list, c.check(&c.want[len(c.list)]))
	return true
}

func (c *Checking) check(k *Measurement) Check {
	out := Check{Measurement: *k}
	if out.Skipped = k.Missing(); out.Skipped != "" {
		return out
	}
	at, ok := c.base.predict(k)
	if !ok {
		out.Skipped = "The board as planned cannot do this at all, so there is nothing to hold it against."
		return out
	}
	out.Predicted, out.Reading = at, c.reading(k, at)
	out.row = make([]float64, len(knobs))
	variance := 0.0
	for i := range knobs {
		up, ok := c.moved[2*i].predict(k)
		down, ok2 := c.moved[2*i+1].predict(k)
		if !ok || !ok2 {
			continue
		}
		out.row[i] = (up - down) / (2 * nudge)
		variance += out.row[i] * out.row[i] * c.sigma[i] * c.sigma[i]
	}
	out.Inputs = math.Sqrt(variance)
	both := math.Hypot(out.Inputs, out.Reading)
	out.Off = (k.Value - at) / both
	out.Status = limit.Judge(math.Abs(out.Off), coverage, far)
	out.Less = float64(k.Kind.Info().less)*(k.Value-at) > out.Reading && k.Value > 0 // what flows back is no load
	out.Causes = c.causes(&out, both*both)
	out.Means = means(&out)
	return out
}

// reading is the standard uncertainty of a measurement: the stated one, or what is usual for instrument and conditions.
func (c *Checking) reading(k *Measurement, at float64) float64 {
	info := k.Kind.Info()
	sum := info.fixed*info.fixed + info.share*info.share*k.Value*k.Value
	if k.Sigma > 0 {
		sum = k.Sigma * k.Sigma
		if !k.Bare {
			return k.Sigma
		}
	}
	for i := range info.unsure {
		d := &info.unsure[i]
		of := d.of(&k.At)
		if of == 0 {
			continue // not given
		}
		by := math.Hypot(d.share*of, d.fixed)
		m, moved := model{b: c.b, p: c.p}, *k
		d.move(&m, &moved.At, by)
		m.settle()
		if v, ok := m.predict(&moved); ok {
			sum += (v - at) * (v - at)
		}
	}
	return math.Sqrt(sum)
}

// causes ranks what may be behind a difference by its share in the variance of it.
func (c *Checking) causes(k *Check, variance float64) []Cause {
	var list []Cause
	for i := range knobs {
		part := k.row[i] * c.sigma[i]
		share := part * part / variance
		if share < 0.02 {
			continue
		}
		list = append(list, Cause{Label: knobs[i].label, Share: share, key: i})
	}
	list = append(list, Cause{Label: readingLabel, Share: k.Reading * k.Reading / variance, key: -1})
	sort.SliceStable(list, func(i, j int) bool { return list[i].Share > list[j].Share })
	for i := range list[:min(told, len(list))] {
		if list[i].key >= 0 && k.Status != limit.Clear {
			c.alone(k, &list[i])
		}
	}
	return list
}

// alone finds how far one input would have to be off to explain a difference.
func (c *Checking) alone(k *Check, cause *Cause) {
	theta := make([]float64, len(knobs))
	left := func(t float64) float64 {
		theta[cause.key] = t
		m := turned(&c.b, &c.p, theta)
		v, ok := m.predict(&k.Measurement)
		if !ok { // beyond anything: more than any duty or current, and no free spin at all
			return math.Copysign(math.Max(math.Abs(k.Value), 1), beyond(k.Kind))
		}
		return v - k.Value
	}
	end := widest
	if cause.key == center {
		end = farthest
	}
	if (k.Value < k.Predicted) == (k.row[cause.key] > 0) {
		end = -end
	}
	cause.Explains = left(end) > 0 != (k.Predicted > k.Value)
	cause.Alone = solve.Root(left, 0, end, 1e-5)
	if math.Abs(left(cause.Alone)) > 0.01*math.Abs(k.Predicted-k.Value) { // a jump to where the board cannot do it is no answer
		cause.Explains = false
	}
	if !cause.Explains {
		cause.Alone = end
	}
	if cause.key != center {
		cause.Alone = math.Expm1(cause.Alone)
	}
}

// beyond is to which side a measurement goes where the board can no longer do what was measured.
func beyond(k Kind) float64 {
	if k == FreeSpin || k == FreeSpinTurns {
		return -1
	}
	return 1
}

const readingLabel = "The reading"

// believable is the least share of what is open that makes a second cause worth telling.
const believable = 0.15

// means says what a difference most likely is.
func means(k *Check) string {
	if k.Status == limit.Clear {
		if top := &k.Causes[0]; top.key >= 0 {
			return "Within what the inputs leave open, most of all the " + lowerFirst(top.Label) + "."
		}
		return "Within what this reading can tell."
	}
	text := ""
	for i := range k.Causes[:min(told, len(k.Causes))] {
		cause := &k.Causes[i]
		switch {
		case i > 0 && cause.Share < believable, cause.key >= 0 && !cause.Explains, i > 0 && cause.key < 0 && text == "":
			continue
		case text == "":
			text = "Most likely "
		default:
			text += " Or "
		}
		text += cause.words()
	}
	if text == "" {
		return "Most likely a wrong reading: no input of the build can be so far off that it would explain this. Measure again."
	}
	return text
}

func (c *Cause) words() string {
	chance := " (" + strconv.FormatFloat(100*c.Share, 'f', 0, 64) + " % of what is open)"
	if c.key < 0 {
		return "the reading itself" + chance + ": measure again."
	}
	k := &knobs[c.key]
	text := "the " + lowerFirst(k.label) + chance + ": "
	much, word := percentText(math.Abs(c.Alone)), k.more
	if c.Alone < 0 {
		word = k.less
	}
	if c.key == center {
		much = strconv.FormatFloat(math.Abs(c.Alone)/milli, 'f', 0, 64) + " mm"
	}
	return text + much + " " + word + " would explain it alone."
}

func percentText(v float64) string {
	digits := 1
	if v >= 0.1 {
		digits = 0
	}
	return strconv.FormatFloat(100*v, 'f', digits, 64) + " %"
}

// lowerFirst is a label within a sentence.
func lowerFirst(s string) string { return string(s[0]|0x20) + s[1:] }
