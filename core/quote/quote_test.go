package quote_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core/build"
	"headroom/core/internal/randombuild"
	"headroom/core/money"
	"headroom/core/price"
	"headroom/core/quote"
)

var figures = quote.Figures{PrechargeOhm: 220, PrechargeJ: 4.29}

func read(t require.TestingT, text string) money.Decimal {
	d, err := money.Read(text, money.Point)
	require.NoError(t, err)
	return d
}

func board(t require.TestingT, pairs ...string) build.Build {
	b := build.Default()
	for i := 0; i < len(pairs); i += 2 {
		require.Nil(t, build.FieldFor(pairs[i]).Set(&b, pairs[i+1]), pairs[i])
	}
	return b
}

func bill(b build.Build, a quote.Allowances) []quote.Line {
	p := b.Parts()
	return quote.Bill(&b, &p, figures, a)
}

func said(lines []quote.Line) map[string]string {
	all := map[string]string{}
	for _, l := range lines {
		text := ""
		for _, m := range l.Measures {
			text += m.Quantity.String() + " " + m.Unit + " "
		}
		all[l.Key] = text + "| " + l.For() + " | " + l.Name
	}
	return all
}

// Counted by hand from the standard build: 18s2p, links of 8 mm² and 22 mm, leads of 0.4 m, one box of 150 × 50 mm.
func TestBillByHand(t *testing.T) {
	usual := quote.Allowances{Spare: 3 * money.One, Waste: 10 * money.One}
	lines := said(bill(board(t), usual))
	for key, want := range map[string]string{
		"cell": "38 piece | cell:21700-balanced | Cells 21700, balanced, 4.5 Ah: 36 and 2 spare", // 36 and 3 % of it, 1.08, rounded up
		"ring": "36 piece | ring:21700-balanced | Insulating rings for the plus ends",
		// 17 links and 2 ends: 19 · 0.022 = 0.418 m, + 10 % 0.4598 m; · 8 mm² · 8900 kg/m³ = 0.02976 kg, + 10 % 0.0327 kg
		"strip": "0.033 kg 0.46 m 19 piece | strip:copper | Links, Copper, 8 mm²",
		// The box takes 2 rows and 2 layers, 9 columns of 21.6 mm: 194.4 + 2 + 30 = 226.4 mm long.
		// 2·(0.2264·0.15 + 0.2264·0.05 + 0.15·0.05) + one sheet of 0.2264·0.05 = 0.11688 m², + 10 % 0.128568 m²
		"sheet":        "0.129 m2 | sheet | Insulating sheet, 1 mm",
		"bms":          "1 piece | bms:18s | BMS, 18 in series",
		"sense":        "8.36 m | sense | Sense wire", // 19 · 0.4 · 1.1
		"lead.battery": "0.88 m | lead:awg-10 | Battery leads, AWG 10, silicone rubber",
		"lead.phase":   "1.32 m | lead:awg-10 | Phase leads, AWG 10, silicone rubber",
		"plug.battery": "1 piece | connector:pair-90 | Battery: Two-pole plug, 90 A class",
		"plug.motor":   "3 piece | connector:bullet-55 | Motor: Bullets, 5.5 mm",
		"fuse.battery": "1 piece | fuse:strip-80-80 | Fuse, bolted strip, 80 V, 80 A",
		"fuse.charge":  "1 piece | fuse:cyl-150-10 | Charge fuse, cylinder, 150 V d.c., 10 A",
		"holder":       "2 piece | holder | Fuse holders",
		"precharge":    "1 piece | precharge | Pre-charge resistor, 220 Ω",
		"charger":      "1 piece | charger:75.6v-5a | Charger, 75.6 V, 5 A",
		"motor":        "1 piece | motor:hub6-wide | Motor, 6-inch hub, wide stator",
		"rails":        "1 pair | rails | Rails",
		"pad":          "2 piece | pad | Foot pads",
		"box.second":   "1 piece | box:second | Second box",
	} {
		assert.Equal(t, want, lines[key], key)
	}
	assert.NotContains(t, lines, "lead.between")

	exact := quote.Allowances{}
	lines = said(bill(board(t, "split", "6", "plug", "round-60", "conn", "bolted-m5", "mm2", "6", "bms", "path", "link", "nickel"), exact))
	for key, want := range map[string]string{
		"cell":         "36 piece | cell:21700-balanced | Cells 21700, balanced, 4.5 Ah",
		"strip":        "0.031 kg 0.44 m 20 piece | strip:nickel | Links, Pure nickel, 8 mm²", // 16 and 4: 20 · 0.022 · 8e-6 · 8900 = 0.0313
		"lead.between": "1.4 m | lead:awg-10 | Leads between the boxes, AWG 10, silicone rubber",
		"lead.battery": "0.8 m | lead:6mm2 | Battery leads, 6 mm², silicone rubber",
		"plug.battery": "4 piece | connector:bolted-m5 | Battery: Bolted ring terminals, M5",
		"plug.motor":   "1 piece | connector:round-60 | Motor: Round motor plug, 60 A class",
		"bms":          "1 piece | bms:18s | BMS, 18 in series, 80 A",
	} {
		assert.Equal(t, want, lines[key], key)
	}
	lines = said(bill(board(t, "bms", "none", "plug", "pair-60", "lining", "0"), exact))
	assert.Contains(t, lines["plug.motor"], "2 piece", "three leads in plugs of two poles")
	for _, key := range []string{"bms", "sense", "sheet"} {
		assert.NotContains(t, lines, key)
	}
}

// Every build that can be entered has a bill that can be priced.
func TestBillOfAnyBuild(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		lines := bill(b, quote.Allowances{Spare: money.Decimal(rapid.IntRange(0, 100e6).Draw(t, "spare")), Waste: money.Decimal(rapid.IntRange(0, 100e6).Draw(t, "waste"))})
		seen := map[string]bool{}
		last := 0
		for _, l := range lines {
			require.False(t, seen[l.Key], l.Key)
			seen[l.Key] = true
			at := -1
			for i, k := range price.Kinds {
				if k.ID == l.Kind {
					at = i
				}
			}
			require.GreaterOrEqual(t, at, last, "%s stands in the order of the kinds", l.Key)
			last = at
			require.NotEmpty(t, l.Measures)
			for _, m := range l.Measures {
				require.Positive(t, m.Quantity, l.Key)
				base, _ := price.Unit(m.Unit)
				require.Equal(t, base, m.Unit)
			}
			it := price.Item{ID: "x", Name: l.Name, Unit: "m", For: l.For()}
			require.True(t, it.Valid(), "an item can be for %s, “%s”", l.For(), l.Name)
			require.True(t, strings.HasSuffix(l.From, "."), l.From)
			require.NotContains(t, l.Name+l.From, "NaN")
		}
		require.GreaterOrEqual(t, lines[0].Measures[0].Quantity, money.Whole(b.Series*b.Parallel))
		q, err := quote.Make(lines, price.Demo(), &quote.Settings{Currency: "EUR"})
		require.NoError(t, err)
		require.Empty(t, q.Open, "the demo list prices every build")
		require.True(t, q.Invented)
	})
}

func lines(t require.TestingT) []quote.Line {
	piece := func(n string) []quote.Measure { return []quote.Measure{{Quantity: read(t, n), Unit: "piece"}} }
	return []quote.Line{
		{Key: "cell", Kind: "cell", Part: "x", Name: "Cells", Measures: piece("37")},
		{Key: "strip", Kind: "strip", Name: "Links", Measures: []quote.Measure{{Quantity: read(t, "0.033"), Unit: "kg"}, {Quantity: read(t, "0.46"), Unit: "m"}}},
		{Key: "lead", Kind: "lead", Part: "awg-10", Name: "Leads", Measures: []quote.Measure{{Quantity: read(t, "0.88"), Unit: "m"}}},
		{Key: "motor", Kind: "motor", Part: "hub", Name: "Motor", Measures: piece("1")},
	}
}

func list(t require.TestingT) price.List {
	return price.List{
		{ID: "c", Name: "Cell", For: "cell", Price: read(t, "3.85"), Unit: "pcs"},
		{ID: "s", Name: "Strip", For: "strip", Price: read(t, "62"), Unit: "kg"},
		{ID: "l", Name: "Lead", For: "lead:awg-10", Price: read(t, "12.90"), Unit: "m"},
		{ID: "m", Name: "Motor", For: "motor", Price: read(t, "312.5"), Unit: "piece"},
	}
}

// Worked by hand. Cells 37 · 3.85 = 142.45, strip 0.033 · 62 = 2.046, lead 0.88 · 12.90 = 11.352, motor 312.50: cost 142.45 + 2.05 + 11.35 +
// 312.50 = 468.35. Markup 17.5 %: 24.92875, 0.35875, 1.98625 and 54.6875, so 24.93 + 0.36 + 1.99 + 54.69 = 81.97; parts 550.32. Labor 4.25 h and
// 1.5 h at 64.90: 275.825 and 97.35, so 275.83 + 97.35 = 373.18. Subtotal 923.50, less 3 % (27.705, so 27.71) 895.79; tax 19 % is 170.2001,
// so 170.20; total 1065.99.
func TestQuoteByHand(t *testing.T) {
	s := quote.Settings{Currency: "EUR", Markup: read(t, "17.5"), Discount: read(t, "3"), Tax: read(t, "19"), Rate: read(t, "64.90"),
		Steps: []quote.Step{{"Pack", read(t, "4.25")}, {"Idle", 0}, {"Test ride", read(t, "1.5")}}}
	q, err := quote.Make(lines(t), list(t), &s)
	require.NoError(t, err)
	assert.True(t, q.Complete())
	assert.Equal(t, []money.Amount{46835, 8197, 55032, 37318, 92350, 2771, 89579, 17020, 106599},
		[]money.Amount{q.Cost, q.Markup, q.Parts, q.Work, q.Subtotal, q.Discount, q.Net, q.Tax, q.Total})
	var each []money.Amount
	for _, l := range q.Lines {
		each = append(each, l.Amount)
	}
	assert.Equal(t, []money.Amount{14245 + 2493, 205 + 36, 1135 + 199, 31250 + 5469}, each)
	assert.Len(t, q.Labor, 2, "a step without hours is no line")
	assert.False(t, q.Invented)
	// The same in yen, which have no smaller unit: 142 + 2 + 11 + 313 (312.5) = 468; 25 + 0 + 2 + 55 = 82.
	s.Currency = "JPY"
	q, err = quote.Make(lines(t), list(t), &s)
	require.NoError(t, err)
	assert.Equal(t, []money.Amount{468, 82}, []money.Amount{q.Cost, q.Markup})
}

func TestWhatHasNoPriceNeverCountsAsNothing(t *testing.T) {
	l := list(t)
	l[1].Unit, l[2].Unit = "roll", "ft"
	l = l[:3]
	q, err := quote.Make(lines(t), l, &quote.Settings{Currency: "EUR", Steps: []quote.Step{{"Pack", money.One}}})
	require.NoError(t, err)
	assert.False(t, q.Complete())
	assert.Equal(t, []string{"Links", "Motor", "labor: hours are entered and no rate"}, q.Open)
	assert.Equal(t, "“Strip” is priced by the roll; this is counted in kg or m.", q.Lines[1].Why)
	assert.Equal(t, "The price list has nothing for it.", q.Lines[3].Why)
	// 0.88 m are 2.887139 ft of 0.3048 m; · 12.90 = 37.244…
	assert.Equal(t, "2.887139 ft", q.Lines[2].Quantity.String()+" "+q.Lines[2].Unit)
	assert.Equal(t, money.Amount(3724), q.Lines[2].Amount)
	free := list(t)
	free[3].Price = 0
	q, err = quote.Make(lines(t), free, &quote.Settings{Currency: "EUR"})
	require.NoError(t, err)
	assert.True(t, q.Complete(), "a price of nothing that was entered is a price")
}

func TestOtherUnitsAndPicks(t *testing.T) {
	l := append(list(t), price.Item{ID: "g", Name: "Strip by the gram", For: "strip", Price: read(t, "0.07"), Unit: "g"},
		price.Item{ID: "own", Name: "This cell", For: "cell:x", Price: read(t, "5"), Unit: "piece"},
		price.Item{ID: "any", Name: "For nothing", Price: read(t, "9"), Unit: "piece"},
		price.Item{ID: "ring", Name: "By length", For: "strip", Price: read(t, "1.5"), Unit: "cm"})
	s := quote.Settings{Currency: "EUR"}
	make := func() quote.Quote {
		q, err := quote.Make(lines(t), l, &s)
		require.NoError(t, err)
		return q
	}
	assert.Equal(t, "own", make().Lines[0].Item.ID, "the one for this very part comes first")
	s.Pick("cell:x", "any")
	s.Pick("strip", "g")
	q := make()
	assert.Equal(t, money.Amount(37*900), q.Lines[0].Amount)
	assert.Equal(t, money.Amount(231), q.Lines[1].Amount, "33 g")
	s.Pick("strip", "ring")
	assert.Equal(t, money.Amount(6900), make().Lines[1].Amount, "46 cm")
	s.Pick("strip", "gone")
	assert.Equal(t, "s", make().Lines[1].Item.ID, "what is no longer in the list is not missed")
	s.Pick("cell:x", "")
	assert.Equal(t, "own", make().Lines[0].Item.ID)
	first := lines(t)[0]
	c := quote.ChoicesFor(&first, l)
	assert.Len(t, c.Fitting, 2)
	assert.Empty(t, c.Kin)
	assert.Len(t, c.Others, 2, "the motor and what is for nothing: both are counted in pieces")
	more := append(l, price.Item{ID: "other", Name: "Another cell", For: "cell:y", Unit: "pcs"}, price.Item{ID: "roll", Name: "A roll of cells", For: "cell", Unit: "roll"})
	c = quote.ChoicesFor(&first, more)
	require.Len(t, c.Kin, 1)
	assert.Equal(t, "other", c.Kin[0].ID, "a cell, though not this one")
	assert.Len(t, c.Fitting, 2, "what is sold by the roll cannot be counted in pieces")
	assert.Len(t, c.Others, 2)
}

func TestOverflowIsSaid(t *testing.T) {
	l := list(t)
	l[0].Price, l[3].Price = money.MaxDecimal, money.MaxDecimal
	for _, s := range []quote.Settings{
		{Currency: "CLF"}, // 37·10⁹·10⁴ fits; so does the sum
		{Currency: "EUR", Markup: quote.MaxMarkup * money.One},
	} {
		_, err := quote.Make(lines(t), l, &s)
		assert.NoError(t, err)
	}
	many := lines(t)
	many[0].Measures[0].Quantity = 20_000 * money.One
	for _, s := range []quote.Settings{
		{Currency: "EUR"},
		{Currency: "JPY", Markup: quote.MaxMarkup * money.One, Steps: []quote.Step{{"x", quote.MaxHours * money.One}}, Rate: money.MaxDecimal, Tax: 100 * money.One, Discount: 0},
		{Currency: "CLF", Steps: []quote.Step{{"x", quote.MaxHours * money.One}}, Rate: money.MaxDecimal},
	} {
		q, err := quote.Make(many, l, &s)
		if s.Currency == "JPY" {
			require.NoError(t, err, "%d", q.Total)
			continue
		}
		assert.ErrorIs(t, err, quote.ErrTooLarge)
		assert.Zero(t, q.Total)
	}
}

// An independent decimal library comes to the same total, whatever the order of the lines.
func TestTotalsInAnyOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		decimals := func(label string, most int64) money.Decimal {
			return money.Decimal(rapid.Int64Range(0, most).Draw(t, label))
		}
		s := quote.Settings{Currency: rapid.SampledFrom([]string{"EUR", "JPY", "KWD"}).Draw(t, "currency"),
			Markup: decimals("markup", 300e6), Discount: decimals("discount", 100e6), Tax: decimals("tax", 30e6), Rate: decimals("rate", 200e6)}
		digits := int32(s.Money().Digits)
		of := func(d money.Decimal) decimal.Decimal { return decimal.New(int64(d), -money.Digits) }
		var all []quote.Line
		var l price.List
		parts, work, share := decimal.Zero, decimal.Zero, func(d decimal.Decimal, p money.Decimal) decimal.Decimal {
			return d.Mul(of(p)).Shift(-2).Round(digits)
		}
		for i := range rapid.IntRange(1, 8).Draw(t, "lines") {
			id := fmt.Sprint(i)
			q, p := decimals("quantity", 500e6)+1, decimals("price", 900e6)
			all = append(all, quote.Line{Key: id, Kind: "cell", Part: id, Name: id, Measures: []quote.Measure{{Quantity: q, Unit: "piece"}}})
			l = append(l, price.Item{ID: id, Name: id, For: "cell:" + id, Price: p, Unit: "piece"})
			cost := of(q).Mul(of(p)).Round(digits)
			parts = parts.Add(cost).Add(share(cost, s.Markup))
		}
		for i := range rapid.IntRange(0, 4).Draw(t, "steps") {
			s.Steps = append(s.Steps, quote.Step{Name: fmt.Sprint(i), Hours: decimals("hours", 40e6)})
			work = work.Add(of(s.Rate).Mul(of(s.Steps[i].Hours)).Round(digits))
		}
		subtotal := parts.Add(work)
		net := subtotal.Sub(share(subtotal, s.Discount))
		total := net.Add(share(net, s.Tax))

		q, err := quote.Make(all, l, &s)
		require.NoError(t, err)
		require.Equal(t, total.StringFixed(digits), s.Money().Text(q.Total))
		s.Steps = rapid.Permutation(s.Steps).Draw(t, "order of the steps")
		again, err := quote.Make(rapid.Permutation(all).Draw(t, "order"), rapid.Permutation(l).Draw(t, "order of the list"), &s)
		require.NoError(t, err)
		again.Lines, again.Labor, q.Lines, q.Labor = nil, nil, nil, nil
		again.Open, q.Open = nil, nil
		require.Equal(t, q, again)
	})
}

func TestSettingsAreKept(t *testing.T) {
	s := quote.Standard()
	s.Shop, s.Customer, s.Terms, s.Valid, s.Currency = "A & B <shop>", "“C”", "One\nTwo", "2028-02-29", "KWD"
	s.Markup, s.Rate, s.Steps[0].Hours = read(t, "12.5"), read(t, "64.9"), read(t, "0.25")
	s.Pick("cell:x", "an id")
	again, ok := quote.ReadSettings(s.Text())
	assert.True(t, ok)
	assert.Equal(t, s, again)
	c := s.Clone()
	c.Steps[0].Hours = 1
	c.Pick("cell:x", "other")
	assert.NotEqual(t, c.Steps[0], s.Steps[0])
	assert.Equal(t, "an id", s.Picks["cell:x"])

	for _, text := range []string{"", "7", "{", `{"markup":"x"}`} {
		again, ok = quote.ReadSettings(text)
		assert.False(t, ok)
		assert.Equal(t, quote.Standard(), again, text)
	}
	again, ok = quote.ReadSettings(`{"currency":"XXX","valid":"soon","discount":"400","tax":"-3","shop":"a\nb","steps":[{"name":"x","hours":"20000"}]}`)
	assert.True(t, ok)
	assert.Equal(t, "EUR  a b", again.Currency+" "+again.Valid+" "+again.Shop)
	assert.Equal(t, []money.Decimal{100 * money.One, 0, quote.MaxHours * money.One}, []money.Decimal{again.Discount, again.Tax, again.Steps[0].Hours})
}

func TestCounted(t *testing.T) {
	for want, c := range map[string][2]string{"42 pieces": {"42", "piece"}, "1 piece": {"1", "piece"}, "0.139 m²": {"0.139", "m2"}, "2 pairs": {"2", "pair"}, "3 kg": {"3", "kg"}, "7": {"7", ""}} {
		assert.Equal(t, want, quote.Counted(read(t, c[0]), c[1]))
	}
}

// The last day counts; the day after it has passed. Where nobody tells the day, nothing has.
func TestPassed(t *testing.T) {
	for _, c := range []struct {
		valid, today string
		passed       bool
	}{
		{"2027-01-31", "2027-01-30", false}, {"2027-01-31", "2027-01-31", false}, {"2027-01-31", "2027-02-01", true},
		{"2026-12-31", "2027-01-01", true}, {"2027-10-01", "2027-09-30", false}, {"", "2027-01-01", false}, {"2027-01-31", "", false},
	} {
		assert.Equal(t, c.passed, quote.Passed(c.valid, c.today), "%+v", c)
	}
}

func TestDay(t *testing.T) {
	for text, want := range map[string]bool{"": true, "2026-12-31": true, "2028-02-29": true, "2026-02-29": false, "2100-02-29": false, "2000-02-29": true,
		"2026-13-01": false, "2026-00-01": false, "2026-1-1": false, "31.12.2026": false, "2026-04-31": false, "+026-01-01": false, "2026-01-1 ": false} {
		assert.Equal(t, want, quote.Day(text), text)
	}
}
