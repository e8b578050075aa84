package ridelog

import "math"

// buckets is how many pieces of time a plot is cut into at most; a power of two.
const buckets = 512

// plotted are the quantities that a plot keeps.
var plotted = [...]Quantity{Speed, Duty, PackV, BatteryA, PhaseA}

// Bucket is the lowest and highest of each plotted quantity in one piece of time; NaN where there was none.
type Bucket struct{ Low, High [len(plotted)]float64 }

// Plot is the course of a ride in pieces of equal time.
type Plot struct {
	Width   float64 // s of each piece
	Buckets []Bucket
}

// Band returns the lowest and highest of a quantity in each piece.
func (p *Plot) Band(q Quantity) (low, high []float64) {
	for i, of := range plotted {
		if of != q {
			continue
		}
		low, high = make([]float64, len(p.Buckets)), make([]float64, len(p.Buckets))
		for j := range p.Buckets {
			low[j], high[j] = p.Buckets[j].Low[i], p.Buckets[j].High[i]
		}
	}
	return low, high
}

// plotter keeps the lowest and highest in pieces of time that double in width whenever the ride outgrows them.
type plotter struct {
	width float64
	list  []Bucket
}

// narrowest is the first width of a piece, s.
const narrowest = 1. / 16

var noBucket = func() (b Bucket) {
	for i := range b.Low {
		b.Low[i], b.High[i] = math.NaN(), math.NaN()
	}
	return b
}()

func (p *plotter) begin() { p.width, p.list = narrowest, make([]Bucket, 0, buckets) }

func (p *plotter) add(row *Row) {
	for row[Time] >= p.width*buckets {
		p.double()
	}
	at := int(row[Time] / p.width)
	for len(p.list) <= at {
		p.list = append(p.list, noBucket)
	}
	b := &p.list[at]
	for i, q := range plotted {
		if v := row[q]; !math.IsNaN(v) {
			if !(b.Low[i] <= v) {
				b.Low[i] = v
			}
			if !(b.High[i] >= v) {
				b.High[i] = v
			}
		}
	}
}

func (p *plotter) double() {
	p.width *= 2
	n := len(p.list)
	for i := 0; i < n; i += 2 {
		b := p.list[i]
		if i+1 < n {
			b.join(&p.list[i+1])
		}
		p.list[i/2] = b
	}
	p.list = p.list[:(n+1)/2]
}

func (b *Bucket) join(c *Bucket) {
	for i := range b.Low {
		if !(b.Low[i] <= c.Low[i]) && !math.IsNaN(c.Low[i]) {
			b.Low[i] = c.Low[i]
		}
		if !(b.High[i] >= c.High[i]) && !math.IsNaN(c.High[i]) {
			b.High[i] = c.High[i]
		}
	}
}

func (p *plotter) result() Plot { return Plot{p.width, p.list} }

// Duty against speed is counted in cells of 2 km/h and one hundredth.
const (
	speedStep  = 2 / 3.6 // m/s
	speedSteps = 64
	dutyStep   = 0.01
	dutySteps  = 121
	fewest     = 8 // readings of a speed that tell something
)

// DutyAt is what duty was read within one step of speed: the middle, and what a tenth of the readings lay below and above.
type DutyAt struct {
	Speed             float64 // m/s, the middle of the step
	Low, Middle, High float64 // fraction
	Readings          int
	// Above is the middle of what the readings lay above what the model has at the same speed, volts and current; 0 without a model.
	Above float64
}

type dutyTable [speedSteps][dutySteps]uint32

func (t *dutyTable) add(v, d float64) {
	if v < speedStep*speedSteps && d >= 0 && d < dutyStep*dutySteps { // false for what is missing
		t[int(v/speedStep)][int(d/dutyStep)]++
	}
}

// readings counts those of one step of speed.
func (t *dutyTable) readings(speed int) (n int) {
	for _, c := range t[speed] {
		n += int(c)
	}
	return n
}

func (t *dutyTable) result() []DutyAt {
	var list []DutyAt
	for i := range t {
		n := t.readings(i)
		if n < fewest {
			continue
		}
		list = append(list, DutyAt{Speed: (float64(i) + 0.5) * speedStep, Low: t.share(i, n, 0.1), Middle: t.share(i, n, 0.5), High: t.share(i, n, 0.9), Readings: n})
	}
	return list
}

// share is the duty that a share of the n readings of a speed lies below.
func (t *dutyTable) share(speed, n int, share float64) float64 {
	want, sum := share*float64(n), 0.0
	for i, c := range t[speed] {
		if next := sum + float64(c); next >= want {
			return dutyStep * (float64(i) + (want-sum)/float64(c))
		} else {
			sum = next
		}
	}
	return dutyStep * dutySteps
}
