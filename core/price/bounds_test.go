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

// Each unknown column once copied the note so far: two hundred thousand of them took minutes.
func TestManyUnknownColumnsAreReadInTime(t *testing.T) {
	const columns = 200_000
	start := time.Now()
	text := "name,price" + strings.Repeat(",x", columns) + "\nA,1" + strings.Repeat(",y", columns) + "\nB,2" + strings.Repeat(",", columns) + "\n"
	r := price.Read(text)
	assert.Less(t, time.Since(start), 5*time.Second)
	assert.Equal(t, []string{"B 2"}, ids(r.Items), "a row with nothing in them is as good as any")
	require.Len(t, r.Problems, 1)
	assert.Contains(t, r.Problems[0].String(), "longer than 200 characters")

	r = price.Read("name,price,color,note,,shelf\nA,1, red ,in stock, , 7  b\nB,2,,,4,\n")
	require.Empty(t, r.Problems)
	assert.Equal(t, "in stock color: red shelf: 7 b", r.Items[0].Note)
	assert.Equal(t, ": 4", r.Items[1].Note, "a column without a name")
}

// Each row once copied a long title into its note: 200 kB took three minutes.
func TestManyRowsUnderALongTitleAreReadInTime(t *testing.T) {
	start := time.Now()
	r := price.Read("name,price," + strings.Repeat("x", 300_000) + "\n" + strings.Repeat("A,1,y\n", 60_000))
	assert.Less(t, time.Since(start), 5*time.Second)
	require.Len(t, r.Items, 1)
	assert.Equal(t, strings.Repeat("x", price.MaxName-1)+"…: y", r.Items[0].Note)
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

// A price must not be a thousandth of what it is: nothing in these tables tells whether 1.250 is more than a thousand.
func TestPricesThatMayBeThousandsAreRefused(t *testing.T) {
	for _, d := range []string{";", "\t", ","} {
		r := price.Read(strings.ReplaceAll("name;price\nA;1.250\nB;2.400\nC;7\n", ";", d))
		assert.Equal(t, []string{"C 7"}, ids(r.Items), d)
		require.Len(t, r.Problems, 2)
		for i, want := range []string{"Line 2, column “price”: “1.250” could be a fraction or thousands", "Line 3, column “price”: “2.400” could be"} {
			assert.Contains(t, problems(r)[i], want)
		}
		r = price.Read(strings.ReplaceAll("name;price\nA;1.250\nB;2.40\n", ";", d))
		assert.Equal(t, []string{"A 1.25", "B 2.4"}, ids(r.Items), "another price shows the mark")
	}
	own := price.List{{ID: "a", Name: "A", Price: 1_234_000, Unit: "m"}}
	assert.Equal(t, own, price.Read(string(own.CSV())).Items, "what was written here has points")
	r := price.Read("id;name;for;price;unit;note;invented\na;A;;1.234;m;;\n")
	assert.Len(t, r.Problems, 1, "a spreadsheet may have written that anew")
}
