package ridelog

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

func itoa(n int) string { return strconv.Itoa(n) }

// guesser gives the columns of a layout their quantities, units and signs from headers and first rows.
type guesser struct {
	*Layout
	rows  [][]string
	units []string
}

func (g *guesser) guess() {
	best := make([][quantities]int, len(g.Columns))
	for i := range g.Columns {
		words := wordsOf(g.Columns[i].Header)
		for j := range rules {
			r := &rules[j]
			if s := r.scoreOf(words); s > best[i][r.q] && g.fits(i, r.q) {
				best[i][r.q] = s
			}
		}
	}
	for {
		column, of, top := -1, None, 0
		for i := range best {
			for q, s := range best[i] {
				if s > top && g.Columns[i].Quantity == None && g.Layout.Column(Quantity(q)) < 0 {
					column, of, top = i, Quantity(q), s
				}
			}
		}
		if column < 0 {
			break
		}
		row := ""
		if g.units != nil {
			row = unitNames[strings.Trim(strings.ToLower(g.units[column]), "[]() ")]
		}
		g.Columns[column].Quantity = of
		g.Columns[column].Unit = unitOf(of, unitText(g.Columns[column].Header), row)
		g.settle(column, row)
	}
	g.spread()
	g.signs()
	g.distance()
}

// distance finds the unit of a distance that the file does not name, by holding it against the speed over the time.
func (g *guesser) distance() {
	at, v, d := g.Layout.Column(Time), g.Layout.Column(Speed), g.Layout.Column(Distance)
	if at < 0 || v < 0 || d < 0 {
		return
	}
	c := &g.Columns[d]
	if _, named := Distance.unit(unitText(c.Header)); named || g.units != nil && g.units[d] != "" {
		return
	}
	summed, counted := 0.0, 0.0
	var before [3]float64
	for n, row := range g.rows {
		now := [3]float64{g.figure(row, at), g.figure(row, v), g.figure(row, d)}
		if dt := now[0] - before[0]; n > 0 && dt > 0 && dt <= gapS && !math.IsNaN(before[1]+now[1]+before[2]+now[2]) {
			summed += math.Abs(before[1]+now[1]) / 2 * dt
			counted += math.Abs(now[2] - before[2])
		}
		before = now
	}
	const enough = 20 // m
	if summed < enough || counted == 0 {
		return
	}
	best := math.Inf(1)
	for _, u := range Distance.Units() {
		if off := math.Abs(math.Log(counted * u.Factor / summed)); off < best {
			best, c.Unit, c.Assumed = off, u.ID, false
		}
	}
}

// figure is a cell in SI, the distance as it stands; NaN where there is none.
func (g *guesser) figure(row []string, column int) float64 {
	if column >= len(row) {
		return math.NaN()
	}
	c := &g.Columns[column]
	if c.Unit == unitClock {
		if v, _, ok := clock([]byte(row[column])); ok {
			return v
		}
		return math.NaN()
	}
	v, ok := number([]byte(row[column]), g.Decimal)
	if !ok {
		return math.NaN()
	}
	if u, _ := c.Quantity.unit(c.Unit); c.Quantity != Distance {
		return v*u.Factor + u.Offset
	}
	return v
}

// examples takes the example of each column from a row in which the board moved, for km/h and mph look alike at rest: the one whose speed
// is nearest to the middle of the head's.
func (g *guesser) examples() {
	v := g.Layout.Column(Speed)
	if v < 0 {
		return
	}
	var moving []float64
	for _, speed := range g.raw(v) {
		if speed != 0 {
			moving = append(moving, math.Abs(speed))
		}
	}
	usual, nearest := median(moving), math.Inf(1)
	var best []string
	for _, row := range g.rows {
		if v >= len(row) {
			continue
		}
		speed, ok := number([]byte(row[v]), g.Decimal)
		if off := math.Abs(math.Abs(speed) - usual); ok && speed != 0 && off < nearest {
			best, nearest = row, off
		}
	}
	for i := range g.Example {
		if i < len(best) && best[i] != "" {
			g.Example[i] = clean(best[i])
		}
	}
}

// fits tells whether most filled cells of a column can be what the quantity asks for.
func (g *guesser) fits(column int, q Quantity) bool {
	filled, good := 0, 0
	for _, row := range g.rows {
		if column >= len(row) || row[column] == "" {
			continue
		}
		filled++
		if _, ok := number([]byte(row[column]), g.Decimal); ok {
			good++
		} else if _, _, ok := clock([]byte(row[column])); ok && q == Time {
			good++
		}
	}
	return filled > 0 && 2*good > filled
}

// settle looks at the figures where the name of a column does not tell its unit.
func (g *guesser) settle(column int, row string) {
	c := &g.Columns[column]
	list := g.raw(column)
	named := unitText(c.Header)
	if _, told := c.Quantity.unit(named); told || row != "" && unitOf(c.Quantity, "", row) == c.Unit && row == c.Unit {
		if c.Quantity != Time || !strings.Contains(g.Example[column], ":") {
			return
		}
	}
	// The size of the figures, and of their steps, tells these; nothing tells the others.
	c.Assumed = c.Quantity != Time && c.Quantity != Duty && c.Quantity != PackV && !names(c.Quantity, named) && !names(c.Quantity, row)
	switch c.Quantity {
	case Time:
		if strings.Contains(g.Example[column], ":") {
			c.Unit = unitClock
			return
		}
		// Rows of a log are milliseconds to some seconds apart; a count since 1970 is in s, ms or µs.
		switch step := medianStep(list); {
		case len(list) > 0 && list[0] > 1e14:
			c.Unit = "µs"
		case len(list) > 0 && list[0] > 1e11, step >= 15:
			c.Unit = "ms"
		}
	case Duty:
		if most(list) <= 1.5 {
			c.Unit = "0–1"
		}
	case PackV:
		if most(list) > 1000 {
			c.Unit = "mV"
		}
	}
}

// raw is a column's figures as they stand.
func (g *guesser) raw(column int) []float64 {
	var list []float64
	for _, row := range g.rows {
		if column < len(row) {
			if v, ok := number([]byte(row[column]), g.Decimal); ok {
				list = append(list, v)
			}
		}
	}
	return list
}

func most(list []float64) float64 {
	top := 0.0
	for _, v := range list {
		top = math.Max(top, math.Abs(v))
	}
	return top
}

// medianStep is the middle of the steps that are no zero.
func medianStep(list []float64) float64 {
	var steps []float64
	for i := 1; i < len(list); i++ {
		if d := math.Abs(list[i] - list[i-1]); d > 0 {
			steps = append(steps, d)
		}
	}
	return median(steps)
}

// median of a list that may be put in order; NaN for an empty one.
func median(list []float64) float64 {
	n := len(list)
	if n == 0 {
		return math.NaN()
	}
	slices.Sort(list)
	if n%2 == 1 {
		return list[n/2]
	}
	return (list[n/2-1] + list[n/2]) / 2
}

// spread sees whether several rows share each step of the clock.
func (g *guesser) spread() {
	column := g.Layout.Column(Time)
	if column < 0 {
		return
	}
	same, n := 0, 0
	for i := 1; i < len(g.rows); i++ {
		if column < len(g.rows[i]) && column < len(g.rows[i-1]) {
			n++
			if g.rows[i][column] == g.rows[i-1][column] {
				same++
			}
		}
	}
	g.Spread = n > 4 && 3*same > n
}

// signs turns currents around that are negative while the board is driven: over a ride more goes out than comes back, and volts fall
// while they go out.
func (g *guesser) signs() {
	flip := func(column int) {
		if column < 0 {
			return
		}
		if sum := total(g.raw(column)); sum < 0 {
			g.Columns[column].Flip = true
		}
	}
	flip(g.Layout.Column(BatteryA))
	flip(g.Layout.Column(PhaseA))
	flip(g.Layout.Column(Power))
}

func total(list []float64) float64 {
	sum := 0.0
	for _, v := range list {
		sum += v
	}
	return sum
}
