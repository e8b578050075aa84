package ui

import (
	"math"
	"strconv"
)

// Units is the unit system that figures are shown and typed in. Links, reports and data-value attributes are always metric.
type Units int

// The unit systems.
const (
	Metric Units = iota
	US
)

// unit is how a metric unit of the Fields or Readouts table is shown: shown = metric·factor + offset.
type unit struct {
	name   string
	factor float64
	offset float64
	digits int // more (or fewer) digits after the point than the metric figure has
}

// us holds the exact definitions (international yard and pound, 1959; NIST SP 811 for pressure and torque).
var us = map[string]unit{
	"km/h":  {"mph", 1 / 1.609344, 0, 0},
	"km":    {"mi", 1 / 1.609344, 0, 0},
	"Wh/km": {"Wh/mi", 1.609344, 0, 0},
	"kPa":   {"psi", 1 / 6.894757293168, 0, 1},
	"kg":    {"lb", 1 / 0.45359237, 0, 0},
	"g":     {"oz", 1 / 28.349523125, 0, 2},
	"mm":    {"in", 1 / 25.4, 0, 2},
	"m":     {"ft", 1 / 0.3048, 0, -1},
	"m²":    {"ft²", 1 / 0.09290304, 0, 0},
	"°C":    {"°F", 1.8, 32, 0},
	"N·m":   {"lbf·ft", 1 / 1.3558179483314004, 0, 0},
	"N·m/A": {"lbf·ft/A", 1 / 1.3558179483314004, 0, 0},
	"N/mm":  {"lbf/in", 25.4 / 4.4482216152605, 0, 0},
}

// of returns how a metric unit is shown.
func (u Units) of(metric string) unit {
	if u == US {
		if x, ok := us[metric]; ok {
			return x
		}
	}
	return unit{metric, 1, 0, 0}
}

func (x unit) shown(metric float64) float64 { return metric*x.factor + x.offset }
func (x unit) metric(shown float64) float64 { return (shown - x.offset) / x.factor }

// step converts a step to the shown unit, to the nearest of 1, 2 and 5 times a power of ten.
func (x unit) step(metric float64) float64 {
	if x.factor == 1 {
		return metric
	}
	raw := metric * x.factor
	power := math.Pow(10, math.Floor(math.Log10(raw)))
	best := power
	for _, m := range []float64{2, 5, 10} {
		if math.Abs(math.Log(m*power/raw)) < math.Abs(math.Log(best/raw)) {
			best = m * power
		}
	}
	return best
}

// Figure returns a metric value with its unit as shown, digits counted in the metric unit.
func (u Units) Figure(value float64, metric string, digits int) (number, name string) {
	x := u.of(metric)
	return decimal(x.shown(value), max(0, digits+x.digits)), x.name
}

// decimal formats with a fixed number of digits, without a minus before a zero.
func decimal(v float64, digits int) string {
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if s[0] == '-' && onlyZeros(s[1:]) {
		return s[1:]
	}
	return s
}

func onlyZeros(s string) bool {
	for i := range len(s) {
		if s[i] != '0' && s[i] != '.' {
			return false
		}
	}
	return true
}

func rounded(v float64, digits int) float64 {
	p := math.Pow(10, float64(digits))
	return math.Round(v*p) / p
}

// shortest formats with as many digits as needed, at most most after the point.
func shortest(v float64, most int) string {
	v = rounded(v, most)
	if v == 0 {
		v = 0 // never "-0"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
