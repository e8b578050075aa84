package ui

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/money"
)

func TestMoneyAsTheBrowserWritesIt(t *testing.T) {
	p := opened(t, "v=1")
	eur, _ := money.CurrencyFor("EUR")
	jpy, _ := money.CurrencyFor("JPY")
	assert.Equal(t, "EUR\u00a01234.50", p.Money(eur, 123450))
	assert.Equal(t, "JPY\u00a0-5", p.Money(jpy, -5))
	p.OnMoney = func(plain string, digits int) string {
		if digits == 0 {
			return ""
		}
		return strings.Replace(plain, ".", ",", 1)
	}
	assert.Equal(t, "EUR\u00a01234,50", p.Money(eur, 123450))
	assert.Equal(t, "1234,50", p.bareMoney(eur, 123450), "where the head of the column names the currency")
	assert.Equal(t, "JPY\u00a07", p.Money(jpy, 7), "where the browser does not know how")
	for text, want := range map[string]string{"3.85": "3,85", "3.8": "3,80", "4": "4,00", "0.0125": "0,0125", "1234.567891": "1234,567891"} {
		d, err := money.Read(text, money.Point)
		require.NoError(t, err)
		assert.Equal(t, "EUR\u00a0"+want, p.Price(eur, d), "no digit of a price is lost")
	}
}

// Wherever an amount of the shop stands, it stands the same way.
func TestEveryAmountHasItsCode(t *testing.T) {
	p := opened(t, "v=1")
	p.OnMoney = func(plain string, _ int) string { return "‹" + plain + "›" } // what has gone through Money is told by it
	p.DemoPrices()
	for _, id := range []string{pricesID, quoteID, "out-quote-lines"} {
		p.SetOpen(id, true)
	}
	card := func(class_ string) string {
		n := find(show(t, p), element("details"), class(class_))
		require.NotNil(t, n)
		return tidy(n)
	}
	check := func(where, text string) {
		t.Helper()
		require.Contains(t, text, "‹")
		assert.Equal(t, strings.Count(text, "‹"), strings.Count(strings.ReplaceAll(text, "EUR ", "EUR\u00a0"), "EUR\u00a0‹"), where)
		assert.NotRegexp(t, `\d\.\d\d a (piece|m)\b`, text, where)
	}
	check("price list", card("prices"))
	check("quote", card("quote"))
	p.ShowOffer()
	require.True(t, p.Offered())
	check("customer's view", tidy(page(t, p)))
}
