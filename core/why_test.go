package core_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"unicode/utf8"

	"headroom/core"
	"headroom/core/build"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// odd draws n builds, the default one first: each with some of its fields anywhere within their ranges, always the same ones.
func odd(n int) []build.Build {
	dice := rand.New(rand.NewPCG(20, 26))
	list := []build.Build{build.Default()}
	for len(list) < n {
		b := build.Default()
		share := dice.Float64() * 0.6
		for i := range build.Fields {
			f := &build.Fields[i]
			switch {
			case dice.Float64() > share:
			case f.Kind == build.Choice:
				f.SetValue(&b, float64(dice.IntN(len(f.Options()))))
			case f.Kind == build.Rows:
				f.Set(&b, "500~20~2_800~25~-6")
			default:
				f.SetValue(&b, f.Min+(f.Max-f.Min)*dice.Float64())
			}
		}
		list = append(list, b)
	}
	return list
}

func textOf(b *build.Build) string {
	var out strings.Builder
	standard := build.Default()
	for i := range build.Fields {
		f := &build.Fields[i]
		if text := f.Text(b); text != f.Text(&standard) {
			fmt.Fprintf(&out, "&%s=%s", f.Key, text)
		}
	}
	return out.String()
}

func TestEveryReadoutIsExplained(t *testing.T) {
	r, err := core.Plan(build.Default())
	require.NoError(t, err)
	methods := core.Methods()
	n := 0
	for _, section := range core.Readouts {
		for _, o := range section.Rows {
			require.Less(t, n, len(methods), "%s has no explanation", o.Key)
			m := methods[n]
			n++
			require.Equal(t, o.Key, m.Key, "explanations stand in the page's order, one to a readout")
			w, ok := r.Why(o.Key)
			require.True(t, ok, o.Key)
			assert.Equal(t, m, core.Method{Key: w.Key, Equation: w.Equation, Source: w.Source, Valid: w.Valid})
			assert.NotEmpty(t, w.Numbers, o.Key)
			assert.NotEmpty(t, w.Source, o.Key)
			assert.True(t, strings.HasSuffix(w.Source, "."), "%s: a source is a sentence: %q", o.Key, w.Source)
			assert.True(t, strings.HasSuffix(w.Valid, "."), "%s: validity is told in sentences: %q", o.Key, w.Valid)
			for _, line := range strings.Split(w.Equation, "\n") {
				assert.NotEmpty(t, strings.TrimSpace(line), o.Key)
				assert.LessOrEqual(t, utf8.RuneCountInString(line), 44, "%s: too wide for a phone: %q", o.Key, line)
			}
		}
	}
	assert.Len(t, methods, n)
	assert.Equal(t, n, core.ExplanationCount(), "an explanation belongs to no readout")
	_, ok := r.Why("nope")
	assert.False(t, ok)
}

// symbols are the words of an equation; a derivative's d is no part of one.
func symbols(equation string) map[string]bool {
	set := map[string]bool{}
	for _, word := range strings.FieldsFunc(equation, func(r rune) bool { return strings.ContainsRune(" ·/()+−=,|√²\n", r) }) {
		set[word], set[strings.TrimPrefix(word, "d")] = true, true
	}
	return set
}

func TestNumbersAreFiniteAndOfTheEquation(t *testing.T) {
	methods, asked := core.Methods(), map[string]map[string]bool{}
	for _, m := range methods {
		asked[m.Key] = symbols(m.Equation)
	}
	for _, b := range odd(300) {
		r, err := core.Plan(b)
		require.NoError(t, err)
		for _, m := range methods {
			w, ok := r.Why(m.Key)
			require.True(t, ok)
			seen := map[string]bool{}
			for _, q := range w.Numbers {
				require.False(t, math.IsNaN(q.Value) || math.IsInf(q.Value, 0), "%s: %s = %v of %s", m.Key, q.Symbol, q.Value, textOf(&b))
				require.False(t, seen[q.Symbol], "%s: %s stands twice", m.Key, q.Symbol)
				seen[q.Symbol] = true
				require.NotEmpty(t, q.Words, "%s: %s", m.Key, q.Symbol)
				// What a corner of the range starts from, and the grade that a climb is on, explain a figure without being in its equation.
				if q.Symbol != "D" && q.Symbol != "G" {
					require.True(t, asked[m.Key][q.Symbol], "%s: %s is not in the equation", m.Key, q.Symbol)
				}
			}
		}
	}
}

// Lines that hold only where a search found its point, to its tolerance; all others hold to rounding.
var searched = map[string]float64{
	"speed.free_spin_kmh": 1e-8, "speed.free_spin_weakened_kmh": 1e-8, "regen.max_descent_pct": 1e-6, "heat.steady_nm": 1e-3,
	"protection.leads.battery.steady_c": 1e-5,
}

func TestPrintedEquationsGiveTheFigures(t *testing.T) {
	figures, lines := map[string]int{}, map[string]int{}
	for n, b := range odd(300) {
		r, err := core.Plan(b)
		require.NoError(t, err)
		for _, m := range core.Methods() {
			w, _ := r.Why(m.Key)
			values := map[string]float64{}
			for _, q := range w.Numbers {
				values[q.Symbol] = q.Value
			}
			var figure *float64
			if v, ok := core.ReadoutFor(m.Key).Value(&r); ok {
				figure = &v
			}
			p := readEquation(m.Equation, values, figure)
			for _, line := range p.lines {
				about := fmt.Sprintf("%s: %s = %s of %q", m.Key, line[0], line[1], textOf(&b))
				left, err := evaluate(line[0], p.value)
				var right float64
				if err == nil {
					right, err = evaluate(line[1], p.value)
				}
				if err != nil {
					// Only a figure that is absent, or nothing at all, may lack numbers; a board that was weighed lacks the sum.
					var symbol missing
					require.True(t, errors.As(err, &symbol), "%s: %v", about, err)
					if strings.Contains(m.Equation, "d"+string(symbol)+"/dt") {
						continue // it has no one value
					}
					weighed := m.Key == "weight.board_kg" && build.FieldFor("board").Given(&b)
					require.True(t, figure == nil || *figure == 0 || weighed || holdsNot(&w, figure), "%s: %v", about, err)
					continue
				}
				if holdsNot(&w, figure) {
					continue
				}
				own := line[0] == p.own
				tolerance := 1e-9
				if s := searched[m.Key]; s != 0 && !own {
					tolerance = s
				}
				require.InDelta(t, left, right, tolerance*math.Max(math.Abs(left), scaleOf(m.Key, values)), about)
				lines[m.Key]++
				if own && n > 0 {
					figures[m.Key]++
				}
			}
		}
	}
	closed := 0
	for _, m := range core.Methods() {
		if figures[m.Key] >= 100 {
			closed++
		}
		if m.Key != "protection.fuse.voltage_dc" && m.Key != "protection.margin_pct" {
			assert.GreaterOrEqual(t, lines[m.Key], 50, "hardly ever was %s held against its equation: the check is idle", m.Key)
		}
	}
	t.Log(closed, "figures follow from their own printed numbers")
	assert.GreaterOrEqual(t, closed, 40)
}

// holdsNot tells the figures whose search met something else than its equation, or whose value is capped, as Bound or Valid say.
func holdsNot(w *core.Why, figure *float64) bool {
	switch w.Key {
	case "speed.free_spin_kmh", "speed.free_spin_weakened_kmh":
		return !strings.HasPrefix(w.Bound, "highest duty")
	case "regen.max_descent_pct":
		return figure != nil && *figure == 0
	case "ride.grade_pct":
		return math.Abs(*figure) >= 995
	case "protection.leads.battery.steady_c":
		for _, q := range w.Numbers {
			if q.Symbol == "T_a" && figure != nil {
				return *figure < q.Value+0.01 // hardly any current: what is less than a thousandth of a kelvin is not told apart
			}
		}
	}
	return false
}

// scaleOf is the size of the terms whose difference a figure is: rounding is of that size, not of the figure's.
func scaleOf(key string, values map[string]float64) float64 {
	size := 0.0
	switch key {
	case "ride.battery_a":
		size = values["E"] / values["R"] * 1e-3
	default:
		for _, symbol := range []string{"T_max", "T_load", "T_em", "P_cu", "F_road", "T_fe"} {
			size = math.Max(size, math.Abs(values[symbol]))
		}
	}
	return size
}

func TestReportCarriesItsExplanations(t *testing.T) {
	for _, b := range odd(40) {
		r, err := core.Plan(b)
		require.NoError(t, err)
		text, err := json.Marshal(r) // refuses NaN and infinity
		require.NoError(t, err, textOf(&b))
		var out struct {
			Pack core.Pack
			Why  []core.Why
		}
		require.NoError(t, json.Unmarshal(text, &out))
		assert.Equal(t, r.Pack, out.Pack, "all else stays where it was")
		require.Len(t, out.Why, len(core.Methods()))
		for i, m := range core.Methods() {
			w, _ := r.Why(m.Key)
			assert.Equal(t, w, out.Why[i])
		}
	}
}

// The time to the limit is held against its printed differential equations, stepped by Runge and Kutta's rule.
func TestClimbFollowsItsPrintedEquations(t *testing.T) {
	held := 0
	for _, b := range odd(300) {
		r, err := core.Plan(b)
		require.NoError(t, err)
		if r.Heat.MinutesToLimit == nil || *r.Heat.MinutesToLimit == 0 {
			continue
		}
		held++
		w, _ := r.Why("heat.minutes_to_limit")
		at := map[string]float64{}
		for _, q := range w.Numbers {
			at[q.Symbol] = q.Value
		}
		slope := func(tw, th float64) (dw, dh float64) {
			inward := (tw - th) / at["R_wh"]
			pw := at["P_20"] * (1 + 0.00393*(tw-20))
			return (pw - inward) / at["C_w"], (at["P_fe"] + inward - (th-at["T_a"])/at["R_ha"]) / at["C_h"]
		}
		const steps = 20000
		h := *r.Heat.MinutesToLimit * 60 / steps
		tw, th := at["T_a"], at["T_a"]
		for range steps {
			w1, h1 := slope(tw, th)
			w2, h2 := slope(tw+h/2*w1, th+h/2*h1)
			w3, h3 := slope(tw+h/2*w2, th+h/2*h2)
			w4, h4 := slope(tw+h*w3, th+h*h3)
			tw, th = tw+h/6*(w1+2*w2+2*w3+w4), th+h/6*(h1+2*h2+2*h3+h4)
		}
		// The time is found to 0.0144 s; a winding that burns warms by several hundred K in that.
		dw, _ := slope(tw, th)
		require.InDelta(t, at["T_l"], tw, 1e-6*at["T_l"]+0.0144*math.Abs(dw), textOf(&b))
	}
	require.Greater(t, held, 30, "hardly any build reaches its limit: the check is idle")
}
