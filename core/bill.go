package core

import "headroom/core/quote"

// Bill lists what the build is made of, with the allowances of a shop.
func (r *Report) Bill(a quote.Allowances) []quote.Line {
	return quote.Bill(&r.Build.build, &r.Build.parts, quote.Figures{PrechargeOhm: r.Protection.Precharge.Ohm, PrechargeJ: r.Protection.Precharge.EnergyJ}, a)
}
