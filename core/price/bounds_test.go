package price_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/price"
)

// Each faulty line once read to the end again: this took minutes.
func TestManyOpenQuotesAreReadInTime(t *testing.T) {
	for _, end := range []string{"", "\"x\"y\n"} {
		start := time.Now()
		text := "id,price\n" + strings.Repeat("a\",\"\"\"\n", 30_000) + end
		r := price.Read(text)
		assert.Less(t, time.Since(start), 5*time.Second)
		assert.Empty(t, r.Items)
		assert.NotEmpty(t, r.Problems)
		assert.Equal(t, text, r.Rest, "all of it is given back")
	}
}

// The tabs of nested items once made thousands of times their text.
func TestRefusedItemsComeBackAsTheyCame(t *testing.T) {
	nested := func(depth int) string {
		return "{\"format\":\"headroom-prices\",\"version\":1,\"items\":[\n{\"price\":" + strings.Repeat("[", depth) + strings.Repeat("]", depth) + "}\n]}\n"
	}
	r := price.Read(nested(13))
	require.Len(t, r.Problems, 1)
	assert.Equal(t, nested(13), r.Rest)
	for _, depth := range []int{14, 9000} {
		r = price.Read(nested(depth))
		require.Len(t, r.Problems, 1)
		assert.Equal(t, "Line 2: More than 16 brackets lie in each other; nothing was taken from this file.", r.Problems[0].String())
		assert.Equal(t, nested(depth), r.Rest)
	}
	r = price.Read(`{"format":"headroom-prices","version":1,"items":[{"id":"a","name":"\"` + strings.Repeat("[", 40) + `","price":"1","unit":"m"}]}`)
	assert.Empty(t, r.Problems, "brackets in a text are no nesting")
}
