package ui

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/link"
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
