package ridelog

import (
	"strings"
	"unicode/utf8"
)

// HeadBytes is how much of a file is looked at to tell how it is written.
const HeadBytes = 64 << 10

// Column is one column of a log.
type Column struct {
	Header   string // as the file has it; "Column 3" where it has none
	Quantity Quantity
	Unit     string // id of one of Quantity.Units
	Assumed  bool   // its unit stands nowhere in the file, and nothing in it tells
	Flip     bool   // its sign is the other way round: battery and phase currents that are negative while the board is driven
}

// Layout is how a log is written. It is guessed from the head of a file and may be corrected by hand.
type Layout struct {
	Delimiter byte
	Decimal   byte // '.' or ','
	FirstLine int  // of the file with figures, counted from 1
	Spread    bool // the clock is coarser than the rows, which are spread evenly over its steps
	Columns   []Column
	Example   []string // one cell of each column, as the file has it; of a row in which the board moved, where there is one
}

// Column returns the place of the column that holds a quantity, −1 where there is none.
func (l *Layout) Column(q Quantity) int {
	for i := range l.Columns {
		if l.Columns[i].Quantity == q {
			return i
		}
	}
	return -1
}

// Use gives a column a quantity in its likeliest unit, and takes the quantity away from the column that had it.
func (l *Layout) Use(column int, q Quantity) {
	if q != None {
		if old := l.Column(q); old >= 0 {
			l.Columns[old].Quantity = None
		}
	}
	c := &l.Columns[column]
	c.Quantity, c.Flip, c.Unit, c.Assumed = q, false, "", false
	if q != None {
		c.Unit = unitOf(q, unitText(c.Header), "")
		c.Assumed = !names(q, unitText(c.Header))
		if q == Time && strings.Contains(l.Example[column], ":") {
			c.Unit, c.Assumed = unitClock, false
		}
	}
}

// Assumed lists the columns in use whose unit stands nowhere in the file.
func (l *Layout) Assumed() (list []Column) {
	for _, q := range Quantities() {
		if i := l.Column(q); q != None && i >= 0 && l.Columns[i].Assumed {
			list = append(list, l.Columns[i])
		}
	}
	return list
}

// Assumes tells whether the unit of a quantity stands nowhere in the file.
func (l *Layout) Assumes(q Quantity) bool {
	i := l.Column(q)
	return i >= 0 && l.Columns[i].Assumed
}

// TakeUnits takes the units that stand nowhere in the file for right.
func (l *Layout) TakeUnits() {
	for i := range l.Columns {
		l.Columns[i].Assumed = false
	}
}

// Copy returns a layout that can be changed by itself.
func (l *Layout) Copy() Layout {
	c := *l
	c.Columns = append([]Column(nil), l.Columns...)
	c.Example = append([]string(nil), l.Example...)
	return c
}

// skipBOM drops the byte-order mark that some programs begin UTF-8 with.
func skipBOM(head []byte) []byte {
	if len(head) >= 3 && head[0] == 0xEF && head[1] == 0xBB && head[2] == 0xBF {
		return head[3:]
	}
	return head
}

// table is the head of a file cut into cells.
type table struct {
	rows  [][]string
	lines []int
	most  int // the commonest count of cells
}

// lookAhead is how many records tell how a file is written.
const lookAhead = 400

func cut(head []byte, delimiter byte) table {
	var t table
	split := newSplitter(delimiter, func(r *record) {
		if len(t.rows) >= lookAhead || r.broken {
			return
		}
		row := make([]string, r.cells())
		for i := range row {
			row[i] = string(trim(r.cell(i)))
		}
		t.rows, t.lines = append(t.rows, row), append(t.lines, r.line)
	})
	split.feed(head)
	split.finish()
	if n := len(t.rows); n > 2 && n < lookAhead && len(head) >= HeadBytes-3 { // three for the mark that may have stood before it
		t.rows, t.lines = t.rows[:n-1], t.lines[:n-1] // the last ends where the head does
	}
	count := map[int]int{}
	for _, row := range t.rows {
		count[len(row)]++
		if count[len(row)] > count[t.most] || count[len(row)] == count[t.most] && len(row) > t.most {
			t.most = len(row)
		}
	}
	return t
}

// even is the share of records with the commonest count of cells.
func (t *table) even() float64 {
	n := 0
	for _, row := range t.rows {
		if len(row) == t.most {
			n++
		}
	}
	return float64(n) / float64(max(1, len(t.rows)))
}

// delimiters in the order they are tried: a comma may be a decimal one, so it comes last.
var delimiters = []byte{'\t', ';', '|', ','}

// Sniff guesses from the head of a file how it is written: at most HeadBytes of it, and all of a shorter one. failure says in words why
// it cannot be a log; the layout then may still be corrected by hand, if it has columns.
func Sniff(head []byte) (l Layout, failure string) {
	head = skipBOM(head)
	if len(head) >= 2 && (head[0] == 0xFF && head[1] == 0xFE || head[0] == 0xFE && head[1] == 0xFF) {
		return l, "This file is written in UTF-16. Save it as CSV in UTF-8 and try again."
	}
	for _, c := range head {
		if c == 0 {
			return l, "This file holds no text. A ride log is a table in CSV."
		}
	}
	t := table{}
	for _, d := range delimiters {
		if x := cut(head, d); x.most >= 2 && x.even() >= 0.6 {
			t, l.Delimiter = x, d
			break
		}
	}
	if l.Delimiter == 0 {
		return l, "No table was found in this file: rows of cells with a comma, a semicolon or a tab between them."
	}
	l.Decimal = decimalOf(&t, l.Delimiter)
	header, units, first := t.heads(l.Decimal)
	if first == len(t.rows) {
		return l, "This table holds no rows of figures."
	}
	l.FirstLine = t.lines[first]
	l.Columns, l.Example = make([]Column, t.most), make([]string, t.most)
	for i := range l.Columns {
		l.Columns[i].Header = "Column " + itoa(i+1)
		if header != nil && header[i] != "" {
			l.Columns[i].Header = clean(header[i])
		}
		for _, row := range t.rows[first:] {
			if i < len(row) && row[i] != "" {
				l.Example[i] = clean(row[i])
				break
			}
		}
	}
	g := guesser{&l, t.rows[first:], units}
	g.guess()
	g.examples()
	return l, l.Missing()
}

// Missing says in words what a log cannot do without and this one lacks; "" where there is nothing.
func (l *Layout) Missing() string {
	switch {
	case l.Column(Time) < 0:
		return "Which column is the time? Without it nothing can be read."
	case l.Column(Speed) < 0 && l.Column(PackV) < 0:
		return "Which column is the speed or the pack voltage? Without both there is nothing to read."
	}
	return ""
}

// decimalOf counts which point the figures have.
func decimalOf(t *table, delimiter byte) byte {
	points, commas := 0, 0
	for _, row := range t.rows {
		for _, cell := range row {
			_, whole := number([]byte(cell), 0)
			if whole {
				continue
			}
			if _, ok := number([]byte(cell), '.'); ok {
				points++
			}
			if _, ok := number([]byte(cell), ','); ok {
				commas++
			}
		}
	}
	if commas > points {
		return ','
	}
	return '.'
}

// heads finds the header: the row of words before the first row of figures, and a row of units between them.
func (t *table) heads(decimal byte) (header, units []string, first int) {
	for first = 0; first < len(t.rows); first++ {
		row := t.rows[first]
		if len(row) != t.most {
			continue
		}
		figures, filled := 0, 0
		for _, cell := range row {
			if cell == "" {
				continue
			}
			filled++
			if _, ok := number([]byte(cell), decimal); ok {
				figures++
			} else if _, _, ok := clock([]byte(cell)); ok {
				figures++
			}
		}
		if figures > 0 && 2*figures >= filled {
			break
		}
	}
	before := first - 1
	for before >= 0 && len(t.rows[before]) != t.most {
		before--
	}
	if before < 0 {
		return nil, nil, first
	}
	header = t.rows[before]
	if before > 0 && len(t.rows[before-1]) == t.most && isUnits(header) {
		header, units = t.rows[before-1], header
	}
	return header, units, first
}

// clean makes a text from a file fit for the page: valid, without control letters, and short.
func clean(text string) string {
	text = strings.Map(func(r rune) rune {
		if r < ' ' || r == utf8.RuneError || r == 0x7F {
			return -1
		}
		return r
	}, text)
	const longestName = 60
	for i := range text {
		if i >= longestName {
			return text[:i] + "…"
		}
	}
	return text
}
