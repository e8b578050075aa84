package ui

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	finds "headroom/core/find"
	"headroom/core/link"
	"headroom/core/money"
)

func TestSearchAndQuoteNameTheSamePrice(t *testing.T) {
	p := opened(t, "v=1")
	assert.Nil(t, p.pricer(), "no list")
	p.DemoPrices()
	for _, text := range []string{"v=1", "v=1&s=24&p=3&split=10", "v=1&s=14&p=1"} {
		p.Open(text)
		list, _ := p.quotes(nil)
		b := link.Decode(text).Build
		hundredths, ok := p.pricer()(&b)
		require.Equal(t, list[0].quote.Complete(), ok, text)
		if ok {
			assert.EqualValues(t, list[0].quote.Total, hundredths, text) // a currency of two digits
		}
	}
	p.Open("v=1")
	p.quoting.now().Currency = "JPY"
	b := link.Decode("v=1").Build
	list, _ := p.quotes(nil)
	if hundredths, ok := p.pricer()(&b); ok {
		assert.EqualValues(t, 100*list[0].quote.Total, hundredths)
	}
	p.ClearPrices()
	assert.Nil(t, p.pricer())
}

// A search beside the page knows the page's prices: it finds the same builds at the same prices.
func TestPricesGoWithTheOrder(t *testing.T) {
	answer := func(apart bool) []finds.Found {
		p := wishing(t, findSmall)
		p.DemoPrices()
		p.quoting.now().Markup = 12 * money.One
		if !apart {
			p.StartFind()
			worked(p)
			return p.finds.run.result().Found
		}
		var news []byte
		p.OnFind = func(o FindOrder) int {
			o.Shards = 1
			share, err := ReadShare((&Share{Find: &o}).Bytes())
			require.NoError(t, err)
			search, err := share.Find.Search()
			require.NoError(t, err)
			for search.Step(1e6) {
			}
			r := search.Result()
			news = (&FindNews{Tally: search.Tally(), Result: &r, Done: true}).Bytes()
			return 1
		}
		p.StartFind()
		require.True(t, p.TakeFindNews(news))
		require.False(t, p.Searching())
		return p.finds.run.result().Found
	}
	here, apart := answer(false), answer(true)
	require.NotEmpty(t, here)
	priced := 0
	for i := range here {
		if here[i].Price != nil {
			priced++
		}
	}
	require.NotZero(t, priced)
	assert.Equal(t, here, apart)
}
