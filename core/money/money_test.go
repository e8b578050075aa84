package money_test

import (
	"encoding/csv"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core/money"
)

func currency(t require.TestingT, code string) money.Currency {
	c, ok := money.CurrencyFor(code)
	require.True(t, ok, code)
	return c
}

func read(t require.TestingT, text string) money.Decimal {
	d, err := money.Read(text, money.Point)
	require.NoError(t, err, text)
	return d
}

// Worked by hand.
func TestTimesByHand(t *testing.T) {
	for _, c := range []struct{ code, price, quantity, want string }{
		{"EUR", "3.85", "37", "142.45"},   // 37·4 = 148 less 37·0.15 = 5.55
		{"EUR", "0.035", "1", "0.04"},     // a half goes up
		{"EUR", "0.045", "1", "0.05"},     // to the even neighbour it would be 0.04
		{"EUR", "-0.045", "1", "-0.05"},   // away from zero
		{"EUR", "0.0349", "1", "0.03"},    //
		{"EUR", "0.333333", "3", "1.00"},  // 0.999999
		{"EUR", "12.90", "0.88", "11.35"}, // 11.352
		{"JPY", "1250", "1.5", "1875"},    //
		{"JPY", "0.5", "1", "1"},          //
		{"JPY", "2.5", "1", "3"},          //
		{"KWD", "0.0125", "1", "0.013"},   // three digits
		{"CLF", "0.00005", "1", "0.0001"}, // four
		{"EUR", "1.1", "1.1", "1.21"},     // 1.2100000000000002 in binary
		{"EUR", "1000000000", "9999.99", "9999990000000.00"},
	} {
		cur := currency(t, c.code)
		a, err := cur.Times(read(t, c.price), read(t, c.quantity))
		require.NoError(t, err)
		assert.Equal(t, c.want, cur.Text(a), "%+v", c)
	}
}

func TestPercentByHand(t *testing.T) {
	for _, c := range []struct {
		amount money.Amount
		rate   string
		want   money.Amount
	}{
		{10000, "19", 1900},
		{14245, "19", 2707},  // 27.0655
		{250, "19", 48},      // 0.475: a half cent goes up
		{-250, "19", -48},    //
		{1, "49.9", 0},       //
		{1, "50", 1},         //
		{99999, "7.7", 7700}, // 76.99923
		{99999, "0", 0},
		{money.MaxAmount, "100", money.MaxAmount},
	} {
		got, err := money.Percent(c.amount, read(t, c.rate))
		require.NoError(t, err)
		assert.Equal(t, c.want, got, "%+v", c)
	}
}

func TestOverflowIsAnError(t *testing.T) {
	eur := currency(t, "EUR")
	_, err := eur.Times(money.MaxDecimal, money.MaxDecimal)
	assert.ErrorIs(t, err, money.ErrTooLarge)
	_, err = eur.Times(money.MaxDecimal, read(t, "10000"))
	assert.ErrorIs(t, err, money.ErrTooLarge, "one cent over what fits")
	_, err = eur.Times(money.Decimal(-1<<63), money.Decimal(-1<<63))
	assert.ErrorIs(t, err, money.ErrTooLarge)
	_, err = money.Add(money.MaxAmount, 1)
	assert.ErrorIs(t, err, money.ErrTooLarge)
	_, err = money.Add(1, 1<<62)
	assert.ErrorIs(t, err, money.ErrTooLarge)
	_, err = money.Add(-1<<63, 5)
	assert.ErrorIs(t, err, money.ErrTooLarge)
	_, err = money.Add(-money.MaxAmount, -1)
	assert.ErrorIs(t, err, money.ErrTooLarge)
	_, err = money.Percent(money.MaxAmount, read(t, "100.000001"))
	assert.ErrorIs(t, err, money.ErrTooLarge)
	_, err = money.Product(money.MaxDecimal, read(t, "1.000001"))
	assert.ErrorIs(t, err, money.ErrTooLarge)
	_, err = money.Quotient(money.One, 0)
	assert.Error(t, err)
	// 2^62 · 4·10^12 is 10^12 · 2^64: one more than what the division by 10^12 can hold.
	_, err = currency(t, "JPY").Times(1<<62, 4_000_000_000_000)
	assert.ErrorIs(t, err, money.ErrTooLarge)
	for _, most := range []money.Decimal{money.MaxDecimal, -money.MaxDecimal} {
		p, err := money.Product(most, money.One)
		assert.NoError(t, err)
		assert.Equal(t, most, p, "what can just be held")
		p, err = money.Quotient(most, money.One)
		assert.NoError(t, err)
		assert.Equal(t, most, p)
		_, err = money.Quotient(most, money.One-1)
		assert.ErrorIs(t, err, money.ErrTooLarge)
	}
	sum, err := money.Add(money.MaxAmount, -money.MaxAmount, money.MaxAmount)
	assert.NoError(t, err)
	assert.Equal(t, money.MaxAmount, sum)
}

// An independent decimal library does the same sums.
func TestAgreesWithADecimalLibrary(t *testing.T) {
	decimals := rapid.OneOf(rapid.Int64Range(-int64(money.MaxDecimal), int64(money.MaxDecimal)), rapid.Int64Range(-1e9, 1e9), rapid.Int64Range(-20, 20))
	rapid.Check(t, func(t *rapid.T) {
		a, b := decimals.Draw(t, "a"), decimals.Draw(t, "b")
		cur := currency(t, rapid.SampledFrom([]string{"JPY", "EUR", "KWD", "CLF"}).Draw(t, "currency"))
		theirs := decimal.New(a, -money.Digits).Mul(decimal.New(b, -money.Digits)).Round(int32(cur.Digits))
		ours, err := cur.Times(money.Decimal(a), money.Decimal(b))
		held := theirs.Shift(int32(cur.Digits)).Abs().LessThanOrEqual(decimal.New(int64(money.MaxAmount), 0))
		require.Equal(t, held, err == nil)
		if held {
			require.Equal(t, theirs.StringFixed(int32(cur.Digits)), cur.Text(ours))
		}
		require.True(t, decimal.RequireFromString(money.Decimal(a).String()).Equal(decimal.New(a, -money.Digits)))

		share := decimal.New(a, 0).Mul(decimal.New(b, -money.Digits)).Shift(-2).Round(0)
		part, err := money.Percent(money.Amount(a), money.Decimal(b))
		held = share.Abs().LessThanOrEqual(decimal.New(int64(money.MaxAmount), 0))
		require.Equal(t, held, err == nil)
		if held {
			require.Equal(t, share.String(), strconv.FormatInt(int64(part), 10))
		}

		product := decimal.New(a, -money.Digits).Mul(decimal.New(b, -money.Digits)).Round(money.Digits)
		p, err := money.Product(money.Decimal(a), money.Decimal(b))
		held = product.Abs().LessThanOrEqual(decimal.New(int64(money.MaxDecimal), -money.Digits))
		require.Equal(t, held, err == nil)
		if held {
			require.True(t, product.Equal(decimal.RequireFromString(p.String())))
		}

		if b <= 0 {
			return
		}
		quotient := decimal.New(a, 0).DivRound(decimal.New(b, 0), money.Digits)
		q, err := money.Quotient(money.Decimal(a), money.Decimal(b))
		held = quotient.Abs().LessThanOrEqual(decimal.New(int64(money.MaxDecimal), -money.Digits))
		require.Equal(t, held, err == nil)
		if held {
			require.True(t, quotient.Equal(decimal.RequireFromString(q.String())))
		}
	})
}

func TestSumInAnyOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOf(rapid.Custom(func(t *rapid.T) money.Amount {
			return money.Amount(rapid.Int64Range(0, rapid.SampledFrom([]int64{100, 1e14}).Draw(t, "size")).Draw(t, "amount"))
		})).Draw(t, "list")
		sum, err := money.Add(list...)
		again, errAgain := money.Add(rapid.Permutation(list).Draw(t, "order")...)
		require.Equal(t, sum, again)
		require.Equal(t, err, errAgain)
	})
}

func TestRead(t *testing.T) {
	const refused = "refused"
	for _, c := range []struct{ text, point, comma string }{
		{"12.5", "12.5", "12.5"},
		{" 12,50 ", "12.5", "12.5"},
		{"1234", "1234", "1234"},
		{"1 234.50", "1234.5", "1234.5"},
		{"1 50", refused, refused},
		{"1 2345", refused, refused},
		{"1234 567", refused, refused},
		{"1'23", refused, refused},
		{"12, 500", refused, refused},
		{"- 1 234 567,5", "-1234567.5", "-1234567.5"},
		{"0.123 456", "0.123456", "0.123456"},
		{"1\u00a0234,5", "1234.5", "1234.5"},
		{"1'234.50", "1234.5", "1234.5"},
		{"1,234.50", "1234.5", "1234.5"},
		{"1.234,50", "1234.5", "1234.5"},
		{"1.234.567", "1234567", "1234567"},
		{"1,234,567.5", "1234567.5", "1234567.5"},
		{"1.234", "1.234", refused},
		{"1,234", refused, "1.234"},
		{"12,500", refused, "12.5"},
		{"123,456", refused, "123.456"},
		{"123.456", "123.456", refused},
		{"123,456.5", "123456.5", "123456.5"},
		{"1234,567.5", refused, refused},
		{",123.5", refused, refused},
		{"0.125", "0.125", "0.125"},
		{"0,125", "0.125", "0.125"},
		{",5", "0.5", "0.5"},
		{"5.", "5", "5"},
		{"1234,567", "1234.567", "1234.567"},
		{"-3.5", "-3.5", "-3.5"},
		{"−3,5", "-3.5", "-3.5"},
		{"0.000001", "0.000001", "0.000001"},
		{"0.0000010", "0.000001", "0.000001"},
		{"0.0000001", refused, refused},
		{"1000000000", "1000000000", "1000000000"},
		{"1000000000.1", refused, refused},
		{"99999999999999999999", refused, refused},
		{"", refused, refused},
		{".", refused, refused},
		{"12 €", refused, refused},
		{"1e5", refused, refused},
		{"1-2", refused, refused},
		{"--1", refused, refused},
		{"12,34,56", refused, refused},
		{"1.23.456", refused, refused},
		{"1,2.5", refused, refused},
		{"1.5,5,5", refused, refused},
		{"٣", refused, refused},
		{"NaN", refused, refused},
	} {
		for mark, want := range map[byte]string{money.Point: c.point, money.Comma: c.comma} {
			got := refused
			if d, err := money.Read(c.text, mark); err == nil {
				got = d.String()
			}
			assert.Equal(t, want, got, "%q where the mark is %q", c.text, mark)
		}
	}
}

// Where nothing shows the mark, three digits after one may be thousands.
func TestReadWhereTheMarkIsUnknown(t *testing.T) {
	for _, text := range []string{"1.250", "2,400", "-12.500"} {
		_, err := money.Read(text, money.Unknown)
		assert.ErrorContains(t, err, "could be a fraction or thousands", text)
	}
	for text, want := range map[string]string{"1.25": "1.25", "1,25": "1.25", "0.125": "0.125", "7": "7", "1.234,5": "1234.5", "1 234.567": "1234.567"} {
		got, err := money.Read(text, money.Unknown)
		assert.NoError(t, err, text)
		assert.Equal(t, want, got.String())
	}
}

func TestMarks(t *testing.T) {
	for text, want := range map[string][2]int{
		"12,5": {0, 1}, "12.5": {1, 0}, "1.234": {0, 0}, "1,234": {0, 0}, "12": {0, 0}, "1.234,5": {0, 1}, "1,234.5": {1, 0}, "a,b": {0, 0},
		"1.234.567": {0, 0}, "-123.456": {0, 0}, "1 50,5": {0, 0}, "": {0, 0}, "0,035": {0, 1}, ",5": {0, 1}, "123,456": {0, 0},
	} {
		points, commas := money.Marks(text)
		assert.Equal(t, want, [2]int{points, commas}, text)
	}
}

func TestReadIsTheOppositeOfString(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := money.Decimal(rapid.Int64Range(-int64(money.MaxDecimal), int64(money.MaxDecimal)).Draw(t, "d"))
		require.Equal(t, d, read(t, d.String()))
	})
}

// The list that ISO 4217's maintenance agency publishes.
func TestCurrencies(t *testing.T) {
	file, err := os.Open("../../testdata/iso4217.csv")
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 150)
	var listed []string
	for _, row := range rows[1:] {
		c, ok := money.CurrencyFor(strings.ToLower(row[0]))
		if row[1] == "N.A." {
			assert.False(t, ok, row[0])
			continue
		}
		listed = append(listed, row[0])
		require.True(t, ok, row[0])
		assert.Equal(t, row[0]+row[1], c.Code+strconv.Itoa(c.Digits))
	}
	for a := 'A'; a <= 'Z'; a++ {
		for b := 'A'; b <= 'Z'; b++ {
			for c := 'A'; c <= 'Z'; c++ {
				if _, ok := money.CurrencyFor(string([]rune{a, b, c})); ok {
					require.True(t, slices.Contains(listed, string([]rune{a, b, c})), "%c%c%c is no currency", a, b, c)
				}
			}
		}
	}
	for _, text := range []string{"", "EU", "EURO", "E R", "D A", "€", "   "} {
		_, ok := money.CurrencyFor(text)
		assert.False(t, ok, text)
	}
}
