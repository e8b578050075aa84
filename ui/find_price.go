package ui

import (
	"math"

	"headroom/core/build"
	"headroom/core/price"
	"headroom/core/quote"
)

// pricer tells what a build costs the customer in all, by the price list and the quote's settings, in hundredths of the currency; nil where
// there is no list. ok is false where something of the build has no price.
func (p *Planner) pricer() func(b *build.Build) (hundredths int64, ok bool) {
	return pricerOf(p.prices.list, p.quoting.now())
}

func pricerOf(list price.List, by *quote.Settings) func(b *build.Build) (hundredths int64, ok bool) {
	if len(list) == 0 {
		return nil
	}
	settings := *by
	scale := math.Pow(10, float64(2-settings.Money().Digits))
	return func(b *build.Build) (int64, bool) {
		parts := b.Parts()
		// What the pre-charge resistor is worth in ohms is words on the bill, not a price.
		q, err := quote.Make(quote.Bill(b, &parts, quote.Figures{}, settings.Allowances()), list, &settings)
		if err != nil || !q.Complete() {
			return 0, false
		}
		return int64(math.Round(float64(q.Total) * scale)), true
	}
}
