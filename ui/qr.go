package ui

import (
	"errors"

	"rsc.io/qr/coding"
)

// A QR code as ISO/IEC 18004:2015 has it. The coding is a library's; which version, level and mask it is, is chosen here.

const (
	quietZone = 4  // light modules around the code, as 18004 asks for
	largestM  = 20 // version up to which level M is taken; a longer text gets level L, whose modules are larger
)

// qrCode is a text as dark and light modules, without the quiet zone.
type qrCode struct {
	dark  [][]bool // by row, then column
	level coding.Level
}

var errTooLong = errors.New("this is longer than a QR code holds")

// makeQR finds the smallest code of a text of up to 2 953 bytes.
func makeQR(text string) (*qrCode, error) {
	for _, level := range []coding.Level{coding.M, coding.L} {
		for v := coding.Version(coding.MinVersion); v <= coding.MaxVersion; v++ {
			if level == coding.M && v > largestM {
				break
			}
			if coding.String(text).Bits(v) <= 8*v.DataBytes(level) {
				return bestMask(text, v, level)
			}
		}
	}
	return nil, errTooLong
}

// bestMask tries the eight masks and takes the one with the least penalty.
func bestMask(text string, v coding.Version, level coding.Level) (*qrCode, error) {
	var best *qrCode
	least := 0
	for mask := coding.Mask(0); mask < 8; mask++ {
		plan, err := coding.NewPlan(v, level, mask)
		if err != nil {
			return nil, err
		}
		code, err := plan.Encode(coding.String(text))
		if err != nil {
			return nil, err
		}
		q := &qrCode{make([][]bool, code.Size), level}
		for y := range q.dark {
			q.dark[y] = make([]bool, code.Size)
			for x := range q.dark[y] {
				q.dark[y][x] = code.Black(x, y)
			}
		}
		if p := q.penalty(); best == nil || p < least {
			best, least = q, p
		}
	}
	return best, nil
}

// penalty is the sum of 18004, 7.8.3.1: what is hard to read in a code.
func (q *qrCode) penalty() int {
	size := len(q.dark)
	row := func(i, j int) bool { return q.dark[i][j] }
	column := func(i, j int) bool { return q.dark[j][i] }
	sum, dark := 0, 0
	for i := range size {
		for _, at := range []func(i, j int) bool{row, column} {
			sum += linePenalty(size, func(j int) bool { return at(i, j) })
		}
		for j := range size {
			if q.dark[i][j] {
				dark++
			}
			if i > 0 && j > 0 && q.dark[i][j] == q.dark[i-1][j] && q.dark[i][j] == q.dark[i][j-1] && q.dark[i][j] == q.dark[i-1][j-1] {
				sum += 3 // a block of two by two
			}
		}
	}
	// Ten for each whole five percent away from half dark.
	away := 100*dark - 50*size*size
	if away < 0 {
		away = -away
	}
	return sum + 10*(away/(5*size*size))
}

// linePenalty is what is hard to read in one row or column: five modules and more of one color in a row, and what looks like a finder
// pattern: 1:1:3:1:1 with four light modules before or after it, where all around the code is light.
func linePenalty(size int, dark func(j int) bool) int {
	sum, run := 0, 0
	var last uint // the last fifteen modules, as bits
	for j := range size + quietZone {
		now := j < size && dark(j)
		last = last << 1 & (1<<15 - 1)
		if now {
			last |= 1
		}
		if last>>4&0b1111111 == 0b1011101 && (last>>11 == 0 || last&0b1111 == 0) {
			sum += 40
		}
		if j >= size {
			continue
		}
		if j > 0 && now == dark(j-1) {
			run++
		} else {
			run = 1
		}
		switch {
		case run == 5:
			sum += 3
		case run > 5:
			sum++
		}
	}
	return sum
}

// path draws the dark modules, one unit each, the quiet zone around them.
func (q *qrCode) path() string {
	var out []byte
	for y, row := range q.dark {
		for x := 0; x < len(row); {
			if !row[x] {
				x++
				continue
			}
			end := x
			for end < len(row) && row[end] {
				end++
			}
			out = append(append(append(out, 'M'), coord(float64(x+quietZone))...), ' ')
			out = append(append(out, coord(float64(y+quietZone))...), 'h')
			out = append(append(append(out, coord(float64(end-x))...), "v1h-"...), coord(float64(end-x))...)
			out = append(out, 'z')
			x = end
		}
	}
	return string(out)
}

// side is the width of the drawing in modules, the quiet zone on both sides included.
func (q *qrCode) side() int { return len(q.dark) + 2*quietZone }
