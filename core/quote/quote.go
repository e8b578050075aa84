package quote

import (
	"errors"
	"slices"

	"headroom/core/money"
	"headroom/core/price"
)

// Quote is one build with its prices. Cost and Markup are for the shop's eyes alone.
type Quote struct {
	Name  string // of the build among the options
	Link  string // of the build
	Lines []Priced
	Labor []Work

	Cost     money.Amount // of the parts, for the shop
	Markup   money.Amount // on them
	Parts    money.Amount // what the customer pays for them: Cost + Markup
	Work     money.Amount // Σ Labor
	Subtotal money.Amount
	Discount money.Amount // ≥ 0, taken off
	Net      money.Amount
	Tax      money.Amount
	Total    money.Amount

	Open     []string // what has no price, in words: while there is any, the total is not what the board costs
	Invented bool     // some price in it is made up
}

// Priced is a line with its price.
type Priced struct {
	Line
	Item     *price.Item // nil: no price
	Why      string      // why there is none
	Quantity money.Decimal
	Unit     string // of Quantity: the item's, else that of the line's first measure
	Cost     money.Amount
	Amount   money.Amount // the customer's price
}

// Work is one step of labor; a step without hours is not in it.
type Work struct {
	Name   string
	Hours  money.Decimal
	Amount money.Amount
}

// Rounding is the rule, for whoever reads a quote.
const Rounding = "Each line is rounded to the smallest unit of the currency, a half up; tax is counted once, on the net sum."

// ErrTooLarge says that a quote's sums are larger than can be counted.
var ErrTooLarge = errors.New("the sums of this quote are larger than can be counted here: look for a price or a rate with digits too many")

// Complete reports whether everything in it has a price.
func (q *Quote) Complete() bool { return len(q.Open) == 0 }

// Make prices a bill. The order of the bill's lines changes no sum.
func Make(bill []Line, list price.List, s *Settings) (q Quote, err error) {
	m := s.Money()
	for i := range bill {
		p, err := s.priced(m, &bill[i], list)
		if err != nil {
			return Quote{}, ErrTooLarge
		}
		if p.Item == nil {
			q.Open = append(q.Open, p.Name)
		} else {
			q.Invented = q.Invented || p.Item.Invented
		}
		q.Lines = append(q.Lines, p)
	}
	for _, step := range s.Steps {
		if step.Hours == 0 {
			continue
		}
		amount, err := m.Times(s.Rate, step.Hours)
		if err != nil {
			return Quote{}, ErrTooLarge
		}
		q.Labor = append(q.Labor, Work{step.Name, step.Hours, amount})
	}
	if len(q.Labor) > 0 && s.Rate == 0 {
		q.Open = append(q.Open, "labor: hours are entered and no rate")
	}
	if err := q.sum(s); err != nil {
		return Quote{}, ErrTooLarge
	}
	return q, nil
}

// sum fills in everything below the lines.
func (q *Quote) sum(s *Settings) error {
	var failed error
	checked := func(a money.Amount, err error) money.Amount {
		if err != nil {
			failed = err
		}
		return a
	}
	add := func(a, b money.Amount) money.Amount { return checked(money.Add(a, b)) }
	part := func(a money.Amount, perCent money.Decimal) money.Amount { return checked(money.Percent(a, perCent)) }
	for i := range q.Lines {
		q.Cost, q.Parts = add(q.Cost, q.Lines[i].Cost), add(q.Parts, q.Lines[i].Amount)
	}
	for i := range q.Labor {
		q.Work = add(q.Work, q.Labor[i].Amount)
	}
	q.Markup = add(q.Parts, -q.Cost)
	q.Subtotal = add(q.Parts, q.Work)
	q.Discount = part(q.Subtotal, s.Discount)
	q.Net = add(q.Subtotal, -q.Discount)
	q.Tax = part(q.Net, s.Tax)
	q.Total = add(q.Net, q.Tax)
	return failed
}

// priced finds the item of a line and what it comes to.
func (s *Settings) priced(m money.Currency, line *Line, list price.List) (p Priced, err error) {
	p = Priced{Line: *line, Quantity: line.Measures[0].Quantity, Unit: line.Measures[0].Unit, Why: "The price list has nothing for it."}
	for _, it := range s.candidates(line, list) {
		quantity, ok := line.in(it.Unit)
		if !ok {
			p.Why = "“" + it.Name + "” is priced by the " + it.Unit + "; this is counted in " + line.countedIn() + "."
			continue
		}
		p.Item, p.Why, p.Quantity, p.Unit = it, "", quantity, it.Unit
		if p.Cost, err = m.Times(it.Price, quantity); err != nil {
			return p, err
		}
		markup, err := money.Percent(p.Cost, s.Markup)
		if err != nil {
			return p, err
		}
		p.Amount, err = money.Add(p.Cost, markup)
		return p, err
	}
	return p, nil
}

// candidates are the items that a line may take, the best first: the one that was picked, else those that are for it.
func (s *Settings) candidates(line *Line, list price.List) []*price.Item {
	if it := s.Picked(line, list); it != nil {
		return []*price.Item{it}
	}
	return line.fitting(list)
}

// Picked is the item that the shop has picked for a line, nil where it has picked none that is still there. Picks for a class are from when
// fuses were told apart by no more.
func (s *Settings) Picked(line *Line, list price.List) *price.Item {
	id, ok := s.Picks[line.For()]
	if !ok && line.Class != "" {
		id = s.Picks[line.Kind+":"+line.Class]
	}
	if id == "" {
		return nil
	}
	return list.Find(id)
}

// Choices are the items of a list that a line could take, all of them counted in a unit that the line has.
type Choices struct {
	Fitting []*price.Item // for the line's part, the best first
	Kin     []*price.Item // for another part of its kind
	Others  []*price.Item // for something else, or for nothing that a build tells
}

// ChoicesFor sorts a list by how near it is to a line.
func ChoicesFor(line *Line, list price.List) (c Choices) {
	for _, it := range line.fitting(list) {
		if _, ok := line.in(it.Unit); ok {
			c.Fitting = append(c.Fitting, it)
		}
	}
	for i := range list {
		it := &list[i]
		if _, ok := line.in(it.Unit); !ok || slices.Contains(c.Fitting, it) {
			continue
		}
		if kind, _ := it.Kind(); kind == line.Kind {
			c.Kin = append(c.Kin, it)
		} else {
			c.Others = append(c.Others, it)
		}
	}
	return c
}

// in is the line's quantity in a unit as an item has it; ok is false where the two do not measure the same.
func (l *Line) in(unit string) (quantity money.Decimal, ok bool) {
	base, text := price.Unit(unit)
	per, err := money.Read(text, money.Point)
	if err != nil {
		return 0, false
	}
	for _, m := range l.Measures {
		if m.Unit != base {
			continue
		}
		q, err := money.Quotient(m.Quantity, per)
		return q, err == nil
	}
	return 0, false
}

func (l *Line) countedIn() string {
	words := ""
	for i, m := range l.Measures {
		if i > 0 {
			words += " or "
		}
		words += m.Unit
	}
	return words
}
