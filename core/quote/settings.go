package quote

import (
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"headroom/core/money"
	"headroom/core/plain"
)

// Settings are a shop's own, and what it writes on one quote. They stay on the shop's device and are no part of a build or its link.
type Settings struct {
	Currency string `json:"currency"` // code of ISO 4217
	Shop     string `json:"shop"`     // at most MaxName characters, as all names
	Customer string `json:"customer"`
	Valid    string `json:"valid"` // last day of validity, as 2026-12-31; "" for none
	Terms    string `json:"terms"` // at most MaxTerms characters, several lines

	Rate  money.Decimal `json:"rate"` // of labor, per hour, ≥ 0
	Steps []Step        `json:"steps"`

	Markup   money.Decimal `json:"markup"`   // on parts, per cent, 0…MaxMarkup
	Discount money.Decimal `json:"discount"` // on parts and labor, per cent, 0…100
	Tax      money.Decimal `json:"tax"`      // per cent, 0…100
	Spare    money.Decimal `json:"spare"`    // see Allowances
	Waste    money.Decimal `json:"waste"`

	Picks map[string]string `json:"picks,omitempty"` // item ids by Line.For, where the shop has picked another than the first that fits
}

// Step is one step of the work.
type Step struct {
	Name  string        `json:"name"`
	Hours money.Decimal `json:"hours"` // 0…MaxHours
}

// Bounds of the settings.
const (
	MaxName   = 80
	MaxTerms  = 1200
	MaxSteps  = 20
	MaxHours  = 10_000
	MaxMarkup = 1000
	maxPicks  = 400
)

// Standard are the settings to begin with: nothing is charged for that nobody has entered. Spares and waste are the usual ones of a
// workshop (common practice, no published source).
func Standard() Settings {
	return Settings{
		Currency: "EUR", Spare: 3 * money.One, Waste: 10 * money.One,
		Steps: []Step{
			{Name: "Sort and test cells"}, {Name: "Weld and insulate the pack"}, {Name: "Wire, fuse and BMS"},
			{Name: "Wheel and frame"}, {Name: "Set up and test ride"},
		},
	}
}

// Allowances are those of the settings.
func (s *Settings) Allowances() Allowances { return Allowances{s.Spare, s.Waste} }

// Money is the currency; one that is not known falls back to the standard one's.
func (s *Settings) Money() money.Currency {
	c, ok := money.CurrencyFor(s.Currency)
	if !ok {
		c, _ = money.CurrencyFor(Standard().Currency)
	}
	return c
}

// Clone is a copy that shares nothing with s.
func (s *Settings) Clone() Settings {
	c := *s
	c.Steps, c.Picks = slices.Clone(s.Steps), copied(s.Picks)
	return c
}

// Pick remembers an item for the lines that are for one thing; "" forgets it.
func (s *Settings) Pick(what, id string) {
	picks := copied(s.Picks)
	if picks == nil {
		picks = map[string]string{}
	}
	if delete(picks, what); id != "" && len(picks) < maxPicks {
		picks[what] = id
	}
	// One for the class, see Picked, would stand in for what is forgotten.
	if class := strings.LastIndexByte(what, '-'); id == "" && class > 0 && picks[what[:class]] != "" {
		picks[what] = ""
	}
	s.Picks = picks
}

func copied(m map[string]string) map[string]string {
	if m == nil {
		return nil
	}
	c := make(map[string]string, len(m))
	for k, v := range m {
		c[k] = v
	}
	return c
}

// Text is the settings as they are kept on the device.
func (s *Settings) Text() string {
	out, _ := json.Marshal(s) // texts and decimals: nothing that could fail
	return string(out)
}

// ReadSettings reads what Text wrote. What is out of bounds is brought within them; a text that is no settings gives the standard ones and ok
// is false.
func ReadSettings(text string) (s Settings, ok bool) {
	s = Standard()
	standard := s.Clone()
	if json.Unmarshal([]byte(text), &s) != nil {
		return standard, false
	}
	s.Shop, s.Customer = plain.Cut(plain.Line(s.Shop), MaxName), plain.Cut(plain.Line(s.Customer), MaxName)
	s.Terms = plain.Cut(plain.Lines(s.Terms), MaxTerms)
	s.Currency = s.Money().Code
	if !Day(s.Valid) {
		s.Valid = ""
	}
	for _, b := range []struct {
		value *money.Decimal
		most  money.Decimal
	}{{&s.Rate, money.MaxDecimal}, {&s.Markup, MaxMarkup * money.One}, {&s.Discount, 100 * money.One}, {&s.Tax, 100 * money.One},
		{&s.Spare, 100 * money.One}, {&s.Waste, 100 * money.One}} {
		*b.value = min(b.most, max(0, *b.value))
	}
	s.Steps = s.Steps[:min(len(s.Steps), MaxSteps)]
	for i := range s.Steps {
		s.Steps[i].Name = plain.Cut(plain.Line(s.Steps[i].Name), MaxName)
		s.Steps[i].Hours = min(MaxHours*money.One, max(0, s.Steps[i].Hours))
	}
	return s, true
}

// Day reports whether a text is "" or a day of the Gregorian calendar as ISO 8601 writes it, 2026-12-31.
func Day(text string) bool {
	if text == "" {
		return true
	}
	parts := strings.Split(text, "-")
	if len(text) != 10 || len(parts) != 3 || len(parts[0]) != 4 || len(parts[1]) != 2 {
		return false
	}
	var n [3]int
	for i, part := range parts {
		v, err := strconv.Atoi(part)
		if err != nil || v < 1 || strings.Trim(part, "0123456789") != "" {
			return false
		}
		n[i] = v
	}
	days := [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	if n[0]%4 == 0 && (n[0]%100 != 0 || n[0]%400 == 0) {
		days[1] = 29
	}
	return n[1] <= 12 && n[2] <= days[n[1]-1]
}

// Passed reports whether a last day is over on the day that is today; both as Day has them, whose texts sort as the days do.
func Passed(last, today string) bool { return last != "" && today > last }
