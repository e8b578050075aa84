package ridelog

import "math"

// A block is one second of the log, each quantity made one figure.
const (
	blockS  = 1.0
	mostIn  = 64 // readings of a block that are looked at; a faster log has more than enough
	perMAD  = 1.4826
	outlier = 3.0
)

// block is one second. NaN is what was not read in it.
type block struct {
	index  float64 // which second
	at     Row     // Time is the mean time
	line   int
	broken bool // something lies between it and the block before: a gap
}

// blocks makes blocks of rows.
type blocks struct {
	begun bool
	index float64
	line  int
	count int
	seen  [quantities][]float64
	made  block
	last  float64 // index of the block before
}

func (b *blocks) add(row *Row, line int) (done *block, ok bool) {
	index := math.Floor(row[Time] / blockS)
	if b.begun && index != b.index {
		done, ok = b.make(), true
	}
	if !b.begun || index != b.index {
		if !b.begun {
			b.last = index - 1
		}
		b.begun, b.index, b.line, b.count = true, index, line, 0
		for q := range b.seen {
			b.seen[q] = b.seen[q][:0]
		}
	}
	if b.count++; b.count <= mostIn {
		for q, v := range row {
			if !math.IsNaN(v) {
				b.seen[q] = append(b.seen[q], v)
			}
		}
	}
	return done, ok
}

func (b *blocks) end() (*block, bool) {
	if !b.begun {
		return nil, false
	}
	return b.make(), true
}

func (b *blocks) make() *block {
	b.made = block{index: b.index, line: b.line, broken: b.index-b.last > gapS}
	b.last = b.index
	for q := range b.seen {
		if q == int(Time) {
			b.made.at[q] = total(b.seen[q]) / float64(len(b.seen[q]))
			continue
		}
		b.made.at[q] = middle(b.seen[q], kinds[q].fine)
	}
	return &b.made
}

// middle is the mean of the readings near their median: those within three standard deviations as the median of the deviations tells
// them, and always those within what readings of the same may differ by. It keeps what a mean gains over the steps of a coarse logger and
// leaves spoilt readings out (P. J. Huber, Robust Statistics: skipped means). The list is put in order.
func middle(list []float64, fine float64) float64 {
	n := len(list)
	switch n {
	case 0:
		return math.NaN()
	case 1:
		return list[0]
	}
	m := median(list)
	var away [mostIn]float64
	off := away[:n]
	for i, v := range list {
		off[i] = math.Abs(v - m)
	}
	within := math.Max(outlier*perMAD*median(off), fine)
	sum, kept := 0.0, 0
	for _, v := range list {
		if math.Abs(v-m) <= within {
			sum += v
			kept++
		}
	}
	if kept == 0 { // two readings far apart: neither can be told from the other
		return m
	}
	return sum / float64(kept)
}
