package ridelog

import (
	"math"
	"strconv"
)

// trim drops blanks around a cell, no-break spaces too.
func trim(cell []byte) []byte {
	for len(cell) > 0 && (cell[0] == ' ' || cell[0] == '\t') {
		cell = cell[1:]
	}
	for len(cell) > 1 && cell[0] == 0xC2 && cell[1] == 0xA0 {
		cell = cell[2:]
	}
	for len(cell) > 0 && (cell[len(cell)-1] == ' ' || cell[len(cell)-1] == '\t' || cell[len(cell)-1] == '\n') {
		cell = cell[:len(cell)-1]
	}
	return cell
}

// powers of ten that a float64 holds exactly; a whole number below 2⁵³ over one of them is rounded once, as the nearest float64 is.
var powers = [23]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// number reads a decimal number with decimal as its point: digits, a sign, an exponent. Names such as “nan” and “inf” are none, nor are
// groups of digits: nobody can tell a group from a fraction.
func number(cell []byte, decimal byte) (v float64, ok bool) {
	i, n := 0, len(cell)
	negative := false
	if n > 0 && (cell[0] == '-' || cell[0] == '+') {
		negative = cell[0] == '-'
		i++
	} else if n > 2 && cell[0] == 0xE2 && cell[1] == 0x88 && cell[2] == 0x92 { // the typographic minus
		negative = true
		i = 3
	}
	from := i
	var whole uint64
	digits, places := 0, 0
	point, exact := false, true
	for ; i < n; i++ {
		c := cell[i]
		if c == decimal && !point {
			point = true
			continue
		}
		if c < '0' || c > '9' {
			break
		}
		digits++
		if whole > 1<<53/10-1 {
			exact = false
		} else {
			whole = whole*10 + uint64(c-'0')
		}
		if point {
			places++
		}
	}
	if digits == 0 {
		return 0, false
	}
	if i == n && exact && places < len(powers) {
		v = float64(whole) / powers[places]
	} else if v, ok = slowNumber(cell[from:], decimal); !ok {
		return 0, false
	}
	if negative {
		v = -v
	}
	return v, true
}

// slowNumber reads what has an exponent or more digits than a float64 holds.
func slowNumber(cell []byte, decimal byte) (float64, bool) {
	var text [64]byte
	if len(cell) > len(text) {
		return 0, false
	}
	for i, c := range cell {
		switch {
		case c == decimal:
			c = '.'
		case c >= '0' && c <= '9', c == 'e', c == 'E', c == '-', c == '+':
		default:
			return 0, false
		}
		text[i] = c
	}
	v, err := strconv.ParseFloat(string(text[:len(cell)]), 64)
	return v, err == nil && !math.IsInf(v, 0)
}
