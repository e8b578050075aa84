package ridecheck

import (
	"math"
	"sort"
	"strconv"

	"headroom/core/build"
	"headroom/core/limit"
)

// coverage is how many standard uncertainties a band is wide on either side.
const coverage = 2.0

// far is how many standard uncertainties can hardly be chance.
const far = 3.0

// Cause is one thing that may be behind a difference.
type Cause struct {
	Label string
	Share float64 // of all that leaves the difference open, 0…1
	// Alone is by which fraction this input would have to differ to explain the difference with nothing else; of the center of mass in m.
	Alone float64
	key   int
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
	Causes    []Cause // most likely first
	Means     string  // one or two sentences
	row       []float64
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
	out.Causes = c.causes(&out, both*both)
	out.Means = means(&out)
	return out
}

// reading is the standard uncertainty of a measurement: the stated one, or what is usual for instrument and conditions.
func (c *Checking) reading(k *Measurement, at float64) float64 {
	if k.Sigma > 0 {
		return k.Sigma
	}
	info := k.Kind.Info()
	sum := info.fixed*info.fixed + info.share*info.share*k.Value*k.Value
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
		alone := (k.Value - k.Predicted) / k.row[i]
		if i != center {
			alone = math.Expm1(min(alone, 2))
		}
		list = append(list, Cause{knobs[i].label, share, alone, i})
	}
	list = append(list, Cause{Label: readingLabel, Share: k.Reading * k.Reading / variance, key: -1})
	sort.SliceStable(list, func(i, j int) bool { return list[i].Share > list[j].Share })
	return list
}

const readingLabel = "The reading"

// means says what a difference most likely is.
func means(k *Check) string {
	if k.Status == limit.Clear {
		if k.Reading > k.Inputs {
			return "Within what this reading can tell."
		}
		return "Within what the inputs leave open."
	}
	text, told := "", 0
	for _, cause := range k.Causes {
		if told == 2 || told == 1 && cause.Share < 0.15 {
			break
		}
		if told > 0 {
			text += " Or "
		} else {
			text += "Most likely "
		}
		told++
		text += cause.words()
	}
	return text
}

func (c *Cause) words() string {
	chance := " (" + strconv.FormatFloat(100*c.Share, 'f', 0, 64) + " % of what is open)"
	if c.key < 0 {
		return "the reading itself" + chance + ": measure again."
	}
	k := &knobs[c.key]
	name := lowerFirst(k.label)
	if c.key == center {
		where := "further forward"
		if c.Alone < 0 {
			where = "further back"
		}
		return "the " + name + chance + ": " + strconv.FormatFloat(math.Abs(c.Alone)/milli, 'f', 0, 64) + " mm " + where + " would explain it alone."
	}
	word := k.more
	if c.Alone < 0 {
		word = k.less
	}
	return "the " + name + chance + ": " + percentText(math.Abs(c.Alone)) + " " + word + " would explain it alone."
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
