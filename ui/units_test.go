package ui

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core"
	"headroom/core/build"
)

// The exact definitions, in SI. Foot, inch and pound: international yard and pound agreement, 1959. Mile and ounce: NIST SP 811
// (2008), B.6 and B.8, as multiples of them. Standard gravity: 3rd CGPM, 1901, which makes the pound-force.
const (
	foot       = 0.3048
	inch       = foot / 12
	mile       = 5280 * foot
	pound      = 0.45359237
	ounce      = pound / 16
	gravity    = 9.80665
	poundForce = pound * gravity
)

func TestFactorsAreTheirDefinitions(t *testing.T) {
	for metric, want := range map[string]float64{
		"km/h":  1000 / mile,
		"km":    1000 / mile,
		"Wh/km": mile / 1000,
		"kPa":   1000 / (poundForce / (inch * inch)),
		"kg":    1 / pound,
		"g":     0.001 / ounce,
		"mm":    0.001 / inch,
		"m":     1 / foot,
		"m²":    1 / (foot * foot),
		"°C":    9.0 / 5,
		"N·m":   1 / (poundForce * foot),
		"N·m/A": 1 / (poundForce * foot),
		"N/mm":  1000 / (poundForce / inch),
	} {
		x, ok := us[metric]
		require.True(t, ok, metric)
		assert.InEpsilon(t, want, x.factor, 1e-12, metric)
		assert.NotEqual(t, metric, x.name)
	}
	assert.Len(t, us, 13, "a new unit needs its definition here")
}

// Points that anyone can look up, so that a factor and its reciprocal cannot both be wrong.
func TestKnownPairs(t *testing.T) {
	for _, c := range []struct {
		metric float64
		unit   string
		digits int
		number string
		name   string
	}{
		{1.609344, "km/h", 3, "1.000", "mph"},
		{100, "km", 2, "62.14", "mi"},
		{10, "Wh/km", 2, "16.09", "Wh/mi"},
		{206.8427187950, "kPa", 2, "30.000", "psi"},
		{80, "kg", 2, "176.37", "lb"},
		{70, "g", 0, "2.47", "oz"},
		{25.4, "mm", 0, "1.00", "in"},
		{0.1397, "m", 4, "0.458", "ft"},
		{0.09290304, "m²", 4, "1.0000", "ft²"},
		{-40, "°C", 0, "-40", "°F"},
		{100, "°C", 1, "212.0", "°F"},
		{1.3558179483314, "N·m", 3, "1.000", "lbf·ft"},
		{0.175126835, "N/mm", 3, "1.000", "lbf/in"},
		{72.6, "V", 1, "72.6", "V"},
	} {
		number, name := US.Figure(c.metric, c.unit, c.digits)
		assert.Equal(t, c.number, number, c.unit)
		assert.Equal(t, c.name, name)
		number, name = Metric.Figure(c.metric, c.unit, 3)
		assert.Equal(t, strconv.FormatFloat(c.metric, 'f', 3, 64), number)
		assert.Equal(t, c.unit, name)
	}
}

func TestEveryUnitIsConvertedOrTheSameEverywhere(t *testing.T) {
	same := map[string]bool{}
	for _, u := range []string{
		"", "%", "V", "A", "Ah", "Wh", "W", "Ω", "mΩ", "mW/VA", "Wb", "µH", "rpm/V", "AWG", "min", "J/K", "K/W", "K", "s", "J", "1/h", "°", "per kWh", "µF",
		"mm²",            // of copper, which is sold by it or by gauge everywhere
		"mN·m", "µN·m·s", // of the motor's model, which nobody states in other units
	} {
		same[u] = true
	}
	check := func(where, unit string) {
		_, converted := us[unit]
		assert.True(t, converted != same[unit], "%s: say here or in units.go how %q is shown in US units", where, unit)
	}
	for i := range build.Fields {
		check(build.Fields[i].Key, build.Fields[i].Unit)
	}
	for _, s := range core.Readouts {
		for _, o := range s.Rows {
			check(o.Key, o.Unit)
		}
	}
}

func TestConversionRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e6, 1e6).Draw(t, "v")
		for name, x := range us {
			if back := x.metric(x.shown(v)); math.Abs(back-v) > 1e-9*(1+math.Abs(v)) {
				t.Fatalf("%s: %v came back as %v", name, v, back)
			}
		}
	})
}

func TestDecimal(t *testing.T) {
	for _, c := range []struct {
		v      float64
		digits int
		want   string
	}{
		{0, 0, "0"}, {0, 2, "0.00"}, {math.Copysign(0, -1), 1, "0.0"},
		{-0.04, 1, "0.0"}, {-0.06, 1, "-0.1"}, {-0.4, 0, "0"}, {-0.6, 0, "-1"},
		{1234.567, 2, "1234.57"}, {1e6, 0, "1000000"}, {99.96, 1, "100.0"}, {-10, 0, "-10"}, {0.0005, 3, "0.001"},
	} {
		assert.Equal(t, c.want, decimal(c.v, c.digits), "%v to %d digits", c.v, c.digits)
	}
}

func TestShortest(t *testing.T) {
	for _, c := range []struct {
		v    float64
		most int
		want string
	}{
		{18, 6, "18"}, {0.1 + 0.2, 6, "0.3"}, {18.000000004, 6, "18"}, {1.05, 2, "1.05"}, {1.055001, 2, "1.06"},
		{200000, 0, "200000"}, {1e-7, 6, "0"}, {-20, 2, "-20"}, {0.004, 6, "0.004"}, {-0.5, 1, "-0.5"},
		{-0.004, 2, "0"}, {math.Copysign(0, -1), 2, "0"},
	} {
		assert.Equal(t, c.want, shortest(c.v, c.most), "%v to at most %d digits", c.v, c.most)
	}
}
