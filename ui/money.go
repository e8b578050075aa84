package ui

import (
	"math"
	"strings"

	"headroom/core/money"
)

// Money is an amount as it stands everywhere: the code of its currency (ISO 4217), a space that does not break, and the number as the
// reader's language writes it. Signs like $ belong to a dozen currencies; the code is that of one. In a column whose head names the code, the
// number stands alone; see bareMoney.
func (p *Planner) Money(c money.Currency, a money.Amount) string { return coded(c, p.bareMoney(c, a)) }

func coded(c money.Currency, number string) string { return c.Code + "\u00a0" + number }

// bareMoney is an amount without its currency.
func (p *Planner) bareMoney(c money.Currency, a money.Amount) string {
	return p.localized(c.Text(a), c.Digits)
}

// Price is what one of something costs, with all its digits: it may be finer than the smallest coin.
func (p *Planner) Price(c money.Currency, d money.Decimal) string {
	if a, err := c.Times(d, money.One); err == nil && len(d.String()) <= len(c.Text(a)) {
		return p.Money(c, a)
	}
	_, fraction, _ := strings.Cut(d.String(), ".")
	return coded(c, p.localized(d.String(), len(fraction)))
}

// localized writes plain digits as the reader's language does, or leaves them where nothing knows that.
func (p *Planner) localized(plain string, digits int) string {
	if p.OnMoney != nil {
		if text := p.OnMoney(plain, digits); text != "" {
			return text
		}
	}
	return plain
}

// currency is the one that the shop quotes in.
func (p *Planner) currency() money.Currency { return p.quoting.now().Money() }

// inMoney is an amount in whole units, as the search counts it.
func (p *Planner) inMoney(units float64) money.Amount {
	return money.Amount(math.Round(units * math.Pow10(p.currency().Digits)))
}
