package ui

import (
	"math"
	"regexp"
	"strconv"
	"strings"
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

// Figures in sentences: 130 °C is 266 °F and 10 K a difference of 18 °F (NIST SP 811, B.8); 25 mm are 0.98 in by 25.4 mm an inch.
func TestFiguresInSentencesFollowTheUnits(t *testing.T) {
	for text, want := range map[string]string{
		"Insulation class B stands 130 °C, F 155 °C (IEC 60085).": "Insulation class B stands 266 °F, F 311 °F (IEC 60085).",
		"Falling from 120 °C at most, over 10 K or more, is":      "Falling from 248 °F at most, over 18 °F or more, is",
		"only 25 mm of balance reserve":                           "only 0.98 in of balance reserve",
		"are within the 10 to 45 °C where":                        "are within the 50 to 113 °F where",
		"at −5 °C or -20 °C.":                                     "at 23 °F or −4 °F.",
		"3 to 100 km/h, 2.5 kg, 12 V and 16 mm² of 5 min":         "2 to 62 mph, 5.5 lb, 12 V and 16 mm² of 5 min",
		"IEC 60364-5-52, R134 m, 0.00393·K, 8 N·m/A²":             "IEC 60364-5-52, R134 m, 0.00393·K, 8 N·m/A²",
		"1.6":  "1.6",
		"":     "",
		"80…":  "80…",
		"40 m": "131 ft",
	} {
		assert.Equal(t, want, US.say(text))
		assert.Equal(t, text, Metric.say(text))
	}
	assert.Equal(t, "class B stands 266 °F (130 °C), 50 to 113 °F (10 to 45 °C)", US.cite("class B stands 130 °C, 10 to 45 °C"))
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([a-zA-Z ,.°−-]{0,5}[0-9.]{0,4}( to )?[0-9]{0,3} ?(°C|K|mm|m|km/h|V)?){0,4}`).Draw(t, "text")
		require.Equal(t, text, Metric.say(text))
		US.say(text)
		require.Equal(t, strings.Count(US.cite(text), "("), strings.Count(US.cite(text), ")"))
	})
}

// No text of the page that stands fixed has a metric figure alone in US units.
func TestNoTextIsLeftMetric(t *testing.T) {
	metric := regexp.MustCompile(`[0-9] (°C|km/h|K)([^/\pL]|$)`)
	bracket := regexp.MustCompile(`\([^()]*(°C|km/h|K)\)`)
	p := opened(t, "v=1&profile=own&temp=-5&grade=9&derate=150&coilmax=150&ctrlt=110&cruise=50")
	p.SetUnits(US)
	for i := range build.Fields {
		f := &build.Fields[i]
		if f.Kind == build.Rows {
			assert.Contains(t, p.Entry(f.Key).Help, "1 mph is 1.61 km/h")
			continue
		}
		body := FieldBody{p, input{p.Entry(f.Key)}}
		assert.NotRegexp(t, metric, bracket.ReplaceAllString(body.help(), ""), f.Key)
	}
	assert.Contains(t, p.Entry("coilmax").Help, "266 °F (130 °C) is insulation class B")
	check := SettingsCheck{P: p}
	check.Compute()
	for i := range check.rows {
		assert.NotRegexp(t, metric, bracket.ReplaceAllString(check.why(i), ""), check.row(i).Key)
	}
	cold := 0
	for _, n := range append(p.notes(true), p.notes(false)...) {
		assert.NotRegexp(t, metric, n.Text, n.Code)
		if strings.Contains(n.Text, "°F") || strings.Contains(n.Text, "mph") {
			cold++
		}
	}
	assert.NotZero(t, cold, "no note has such a figure: the check is idle")
	page := show(t, p)
	p.SetUnits(Metric)
	assert.NotEqual(t, tidy(find(page, attribute("id", "know"))), tidy(find(show(t, p), attribute("id", "know"))))
	assert.Contains(t, p.Entry("coilmax").Help, "130 °C is insulation class B", "back again")
}
