package core_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// formula evaluates one side of a printed equation with a table of symbols, as a person with a pocket calculator would: · and / from left
// to right, √ of what stands right of it, angles in degrees.
type formula struct {
	text   []rune
	at     int
	lookup func(symbol string) (float64, error)
}

// missing is the error of a symbol that has no value.
type missing string

func (m missing) Error() string { return "no value for " + string(m) }

func evaluate(text string, lookup func(string) (float64, error)) (v float64, err error) {
	defer func() {
		if problem := recover(); problem != nil {
			err = problem.(error)
		}
	}()
	f := formula{text: []rune(text), lookup: lookup}
	v = f.sum()
	if f.peek() != 0 {
		f.fail("something is left over")
	}
	return v, nil
}

func (f *formula) fail(why string) {
	panic(fmt.Errorf("%s at %d of %q", why, f.at, string(f.text)))
}

// peek skips blanks and returns the next rune, 0 at the end.
func (f *formula) peek() rune {
	for f.at < len(f.text) && f.text[f.at] == ' ' {
		f.at++
	}
	if f.at == len(f.text) {
		return 0
	}
	return f.text[f.at]
}

func (f *formula) take(r rune) bool {
	if f.peek() != r {
		return false
	}
	f.at++
	return true
}

func (f *formula) expect(r rune) {
	if !f.take(r) {
		f.fail("expected " + string(r))
	}
}

func (f *formula) sum() float64 {
	v := 0.0
	if f.take('−') {
		v = -f.product()
	} else {
		v = f.product()
	}
	for {
		switch {
		case f.take('+'):
			v += f.product()
		case f.take('−'):
			v -= f.product()
		default:
			return v
		}
	}
}

func (f *formula) product() float64 {
	v := f.factor()
	for {
		switch {
		case f.take('·'):
			v *= f.factor()
		case f.take('/'):
			v /= f.factor()
		default:
			return v
		}
	}
}

func (f *formula) factor() float64 {
	if f.take('√') {
		return math.Sqrt(f.factor())
	}
	v := f.primary()
	for f.take('²') {
		v *= v
	}
	return v
}

func (f *formula) primary() float64 {
	switch r := f.peek(); {
	case r == '(':
		f.at++
		v := f.sum()
		f.expect(')')
		return v
	case r == '|':
		f.at++
		v := f.sum()
		f.expect('|')
		return math.Abs(v)
	case unicode.IsDigit(r):
		v, err := strconv.ParseFloat(f.word(func(r rune) bool { return unicode.IsDigit(r) || r == '.' }), 64)
		if err != nil {
			panic(err)
		}
		return v
	case unicode.IsLetter(r):
		return f.named(f.word(func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '_' || r == '\'' }))
	}
	f.fail("expected a number or a symbol")
	return 0
}

func (f *formula) word(in func(rune) bool) string {
	from := f.at
	for f.at < len(f.text) && in(f.text[f.at]) {
		f.at++
	}
	return string(f.text[from:f.at])
}

func (f *formula) named(name string) float64 {
	const degree = math.Pi / 180
	switch name {
	case "π":
		return math.Pi
	case "sin":
		return math.Sin(f.factor() * degree)
	case "cos":
		return math.Cos(f.factor() * degree)
	case "tan":
		return math.Tan(f.factor() * degree)
	case "max", "min":
		f.expect('(')
		a := f.sum()
		f.expect(',')
		b := f.sum()
		f.expect(')')
		if name == "max" {
			return math.Max(a, b)
		}
		return math.Min(a, b)
	}
	v, err := f.lookup(name)
	if err != nil {
		panic(err)
	}
	return v
}

// printed is an equation with what stands beside it: the figure's own symbol, the numbers, and the lines that define further symbols.
type printed struct {
	own    string
	values map[string]float64
	lines  [][2]string // the two sides of each line that states an equality of terms
}

// readEquation takes an explanation apart. Lines in words, inequalities, integrals and derivatives state no equality of terms.
func readEquation(equation string, values map[string]float64, figure *float64) printed {
	p := printed{values: values}
	for i, line := range strings.Split(equation, "\n") {
		left, right, equal := strings.Cut(line, " = ")
		if i == 0 {
			p.own, _, _ = strings.Cut(left, ":")
			if figure != nil {
				p.values[p.own] = *figure
			}
		}
		if equal && !strings.ContainsAny(line, ":≥∫") && !strings.Contains(line, "/dt") {
			p.lines = append(p.lines, [2]string{left, right})
		}
	}
	return p
}

// value is a number that is printed, or what the line says that defines it.
func (p *printed) value(symbol string) (float64, error) {
	if v, ok := p.values[symbol]; ok {
		return v, nil
	}
	for _, line := range p.lines {
		if line[0] == symbol {
			return evaluate(line[1], p.value)
		}
	}
	return 0, missing(symbol)
}
