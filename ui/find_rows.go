package ui

import (
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
	"unicode/utf8"

	"headroom/core"
	"headroom/core/build"
	finds "headroom/core/find"
	"headroom/core/limit"
	"headroom/core/link"
)

// findColumn is one figure of the table.
type findColumn struct {
	key, label, unit string
	digits           int
	of               func(*finds.Found) float64
	most             bool // the most first
}

func (k *findColumn) before(a, b *finds.Found) bool {
	if k.most {
		a, b = b, a
	}
	return k.of(a) < k.of(b)
}

// findColumns are the figures of the table. The first is what it is ordered by at first.
var findColumns = []findColumn{
	{"mass", "mass", "kg", 1, func(f *finds.Found) float64 { return f.MassKg }, false},
	{"range", "range", "km", 0, rangeOf, true},
	{"ceiling", "ceiling", "km/h", 0, func(f *finds.Found) float64 { return f.CeilingKmh }, true},
	{priceKey, "price", "", 2, priceOf, false},
}

// priceKey is the column of money, whose unit is the currency.
const priceKey = "price"

func rangeOf(f *finds.Found) float64 {
	if f.RangeKm == nil {
		return math.Inf(1)
	}
	return *f.RangeKm
}

func priceOf(f *finds.Found) float64 {
	if f.Price == nil {
		return math.Inf(1)
	}
	return float64(*f.Price) / 100
}

func (c *FindBuildsBody) column() int {
	return max(0, slices.IndexFunc(findColumns, func(k findColumn) bool { return k.key == c.f().sort }))
}

func (c *FindBuildsBody) columns() []findColumn {
	if c.P.pricer() == nil {
		return findColumns[:3]
	}
	return findColumns
}

// SortFind orders the table.
func (p *Planner) SortFind(key string) {
	p.finds.sort = key
	p.finds.turned()
}

// MoreFound shows more of the table.
func (p *Planner) MoreFound() {
	p.finds.rows += findFirst
	p.finds.turned()
}

// ReadFound reads one build off the picture.
func (p *Planner) ReadFound(text string) {
	if n, err := strconv.Atoi(text); err == nil {
		p.finds.at = n - 1
		p.finds.turned()
	}
}

// findRow is one build as shown.
type findRow struct {
	Link, Name, Count string // “20s2p, 6-inch hub, wide stator” and “20s2p”
	About             string
	Because           string // what makes it tight
	Cells             []string
	Status            limit.Status
}

func (r *findRow) shape() string { return shapeAt(r.Status, 0, 0) }

func (c *FindBuildsBody) row(f *finds.Found) findRow {
	l := link.Decode(f.Link)
	name := func(key string) string { f := build.FieldFor(key); return f.Options()[f.Index(&l.Build)].Name }
	r := findRow{Link: f.Link, Name: suggested(&l.Build), Status: f.Status}
	r.Count, _, _ = strings.Cut(r.Name, ",")
	r.About = name("motor") + "; " + name("cell") + "; " + name("ctrl") + "; " + name("tire") + " at " + c.figure(l.Build.Pressure/1e3, "kPa", 0)
	if l.Build.WeakenA > 0 {
		r.About += "; weakening " + shortest(l.Build.WeakenA, 0) + " A"
	}
	if f.Code != "" {
		r.Because = core.Words(f.Code)
	}
	for _, k := range c.columns() {
		cell := "–"
		if v := k.of(f); !math.IsInf(v, 0) {
			cell, _ = c.P.Units.Figure(v, k.unit, k.digits)
			if k.key == priceKey {
				cell = c.P.bareMoney(c.P.currency(), c.P.inMoney(v))
			}
		}
		r.Cells = append(r.Cells, cell)
	}
	return r
}

func (c *FindBuildsBody) figure(v float64, unit string, digits int) string {
	number, name := c.P.Units.Figure(v, unit, digits)
	return strings.TrimSpace(number + " " + name)
}

func (c *FindBuildsBody) rows() []findRow {
	var list []findRow
	for i := range c.list[:min(len(c.list), c.f().rows)] {
		list = append(list, c.row(&c.list[i]))
	}
	return list
}

func (c *FindBuildsBody) left() int { return len(c.list) - c.f().rows }

func (c *FindBuildsBody) unit(k findColumn) string {
	if k.key == priceKey {
		return c.P.currency().Code
	}
	return c.P.Units.of(k.unit).name
}

// wide is how many columns the table has.
func (c *FindBuildsBody) wide() string { return strconv.Itoa(len(c.columns()) + 1) }

// longPrice is how many characters of a price fit on a phone in the size of the other figures.
const longPrice = 9

func (c *FindBuildsBody) tableClass() string {
	if c.P.pricer() == nil {
		return "finds"
	}
	for i := range c.list {
		if v := priceOf(&c.list[i]); !math.IsInf(v, 0) && utf8.RuneCountInString(c.P.bareMoney(c.P.currency(), c.P.inMoney(v))) > longPrice {
			return "finds long"
		}
	}
	return "finds"
}

// states says how many builds are clear, and what that does to the order of the table.
func (c *FindBuildsBody) states() string {
	tight := 0
	for i := range c.list {
		if c.list[i].Status != limit.Clear {
			tight++
		}
	}
	clears := len(c.list) - tight
	switch {
	case tight == 0 && clears == 1:
		return "It is clear: within every limit, with the margins asked for."
	case tight == 0:
		return "All are clear: within every limit, with the margins asked for."
	case clears == 0:
		return "No clear build among them: each is inside a margin that you asked for, and says which."
	}
	return strconv.Itoa(clears) + " clear, first; then " + strconv.Itoa(tight) + " tight, each inside a margin that you asked for."
}

// findMiss is a near miss as shown.
type findMiss struct {
	findRow
	Why string
}

func (c *FindBuildsBody) near() []findMiss {
	r := c.f().run
	if r == nil {
		return nil
	}
	near := r.result().Near
	var list []findMiss
	for i := range near {
		m := &near[i]
		list = append(list, findMiss{c.row(&m.Found), c.missed(m)})
	}
	return list
}

func (c *FindBuildsBody) missed(m *finds.Miss) string {
	by := "by less than 1 %"
	if pct := math.Round(100 * m.Share); pct >= 1 {
		by = "by " + shortest(pct, 0) + " %"
	}
	unit := findUnit(m.Wish)
	label, _, _ := strings.Cut(findLabel(m.Wish), ",")
	if m.Wish == finds.Wishes[finds.Cells].Key {
		return "Boxes too small " + by + ": " + strconv.Itoa(m.Cells[0]) + "+" + strconv.Itoa(m.Cells[1]) + " cells"
	}
	if m.Wish == finds.Wishes[finds.Price].Key {
		money := func(units float64) string { return c.P.Money(c.P.currency(), c.P.inMoney(units)) }
		return label + " misses " + by + ": " + money(m.Value) + ", wanted " + money(m.Wanted)
	}
	digits := 1
	for digits < 4 && c.figure(m.Value, unit, digits) == c.figure(m.Wanted, unit, digits) {
		digits++
	}
	return label + " misses " + by + ": " + c.figure(m.Value, unit, digits) + ", wanted " + c.figure(m.Wanted, unit, digits)
}

// wishWord is a wish as a noun in a sentence; "" where a reason for being out is no wish.
func wishWord(key string) string {
	if !slices.ContainsFunc(finds.Wishes[:], func(w finds.WishRow) bool { return w.Key == key }) {
		return ""
	}
	label, _, _ := strings.Cut(findLabel(key), ",")
	return strings.ToLower(label[:1]) + label[1:]
}

// hardestWish is the wish that rules out most, and how many builds; "" where none rules any out.
func hardestWish(out map[string]int64) (key string, n int64) {
	for i := range finds.Wishes { // in this order, for maps have none
		if k := finds.Wishes[i].Key; out[k] > n {
			key, n = k, out[k]
		}
	}
	return key, n
}

// findReason is why builds are out, and how many.
type findReason struct{ Words, Count string }

func (c *FindBuildsBody) reasons() []findReason {
	out := c.f().run.result().Tally.Out
	keys := make([]string, 0, len(out))
	for key := range out {
		keys = append(keys, key)
	}
	sort.Slice(keys, func(i, j int) bool {
		a, b := keys[i], keys[j]
		return out[a] > out[b] || out[a] == out[b] && a < b
	})
	var list []findReason
	for _, key := range keys {
		words := "over: " + core.Words(key)
		switch {
		case key == finds.Beaten:
			words = "another build beats it"
		case key == finds.Misfit:
			words = "tire and hub of different rims"
		case wishWord(key) != "":
			words = "wish: " + wishWord(key)
		}
		list = append(list, findReason{words, grouped(out[key])})
	}
	return list
}
