package preview_test

import (
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core"
	"headroom/core/internal/randombuild"
	"headroom/core/link"
	"headroom/core/money"
	"headroom/core/plain"
	"headroom/core/preview"
	"headroom/core/price"
	"headroom/core/quote"
)

// quoted is the quote of a link's build.
func quoted(t require.TestingT, name, text string, list price.List, s *quote.Settings) quote.Quote {
	l := link.Decode(text)
	r, err := core.Plan(l.Build)
	require.NoError(t, err)
	q, err := quote.Make(r.Bill(s.Allowances()), list, s)
	require.NoError(t, err)
	q.Name, q.Link = name, text
	return q
}

// usual is a quote as a shop might make one.
func usual() quote.Settings {
	s := quote.Standard()
	s.Shop, s.Customer, s.Valid = "Gravel & Sons <boards>", "A customer", "2027-03-31"
	s.Terms = "Half in advance, half on delivery.\nTwo months from the order."
	s.Markup, s.Discount, s.Tax, s.Rate = 15*money.One, 2*money.One, 19*money.One, 62*money.One
	for i := range s.Steps {
		s.Steps[i].Hours = money.Whole(i+1) / 2
	}
	return s
}

func offer(t require.TestingT, links ...string) preview.Offer {
	s := usual()
	var quotes []quote.Quote
	for i, text := range links {
		quotes = append(quotes, quoted(t, fmt.Sprintf("Board %d", i+1), text, price.Demo(), &s))
	}
	o, err := preview.Make(&s, quotes)
	require.NoError(t, err)
	return o
}

func encoded(t require.TestingT, o preview.Offer) string {
	text, err := o.Encode()
	require.NoError(t, err)
	return text
}

// The customer sees the shop's own totals.
func TestOfferHasTheQuotesSums(t *testing.T) {
	s := usual()
	q := quoted(t, "one", "v=1&s=16&p=2&later=hidden", price.Demo(), &s)
	o, err := preview.Make(&s, []quote.Quote{q})
	require.NoError(t, err)
	again, err := preview.Decode(encoded(t, o))
	require.NoError(t, err)
	assert.Equal(t, o, again)
	one := again.Options[0]
	assert.Equal(t, []money.Amount{q.Subtotal, q.Net, q.Discount, q.Tax, q.Total}, []money.Amount{one.Subtotal, one.Net, one.Discount, one.Tax, one.Total})
	assert.Equal(t, "v=1&s=16", one.Link, "keys that nobody here knows stay behind")
	assert.Len(t, one.Lines, len(q.Lines)+len(q.Labor))
	assert.Equal(t, q.Lines[0].Amount, one.Lines[0].Amount)
	assert.True(t, again.Invented)
	assert.Zero(t, one.Open)

	q = quoted(t, "bare", "v=1", price.Demo()[:3], &s)
	o, err = preview.Make(&s, []quote.Quote{q})
	require.NoError(t, err)
	again, err = preview.Decode(encoded(t, o))
	require.NoError(t, err)
	assert.Equal(t, len(q.Open), again.Options[0].Open)
}

// A messenger may cut an address of more than two thousand characters; one option stays well below.
func TestLength(t *testing.T) {
	one := len(encoded(t, offer(t, "v=1&s=20")))
	three := len(encoded(t, offer(t, "v=1&s=20", "v=1&s=16&p=3&motor=hub65-wide&cell=21700-power", "v=1&s=24&ctrl=c130&split=8")))
	t.Logf("one option %d characters, three %d", one, three)
	assert.Less(t, one, 1700)
	assert.Less(t, three, 3200)
}

func TestEveryDamageIsRecognised(t *testing.T) {
	text := encoded(t, offer(t, "v=1&s=20", "v=1&p=3"))
	_, err := preview.Decode(text)
	require.NoError(t, err)
	refused := func(altered, how string) {
		o, err := preview.Decode(altered)
		require.ErrorIs(t, err, preview.ErrDamaged, how)
		require.Equal(t, preview.Offer{}, o, "nothing of it comes back")
	}
	for i := range text {
		refused(text[:i], "cut off")
		for _, c := range "AZaz09-_" {
			if byte(c) != text[i] {
				refused(text[:i]+string(c)+text[i+1:], "one character changed")
			}
		}
		refused(text[:i]+text[i+1:], "one character lost")
		if i > 0 && text[i] != text[i-1] {
			refused(text[:i-1]+text[i:i+1]+text[i-1:i]+text[i+1:], "two changed places")
		}
	}
	for _, more := range []string{"A", "AAAA", "=", ".", "\n", " ", "&x=1"} {
		refused(text+more, "something added")
		refused(more+text, "something added")
	}
	refused("", "nothing")
	refused(strings.Repeat("A", preview.MaxText+1), "endless")
}

// packed puts a right checksum behind a body: what a person would make who alters a preview with a program.
func packed(body []byte) string {
	return base64.RawURLEncoding.EncodeToString(binary.BigEndian.AppendUint32(body, crc32.ChecksumIEEE(body)))
}

func bodyOf(t require.TestingT, text string) []byte {
	data, err := base64.RawURLEncoding.DecodeString(text)
	require.NoError(t, err)
	body := data[:len(data)-4]
	require.Equal(t, crc32.ChecksumIEEE(body), binary.BigEndian.Uint32(data[len(data)-4:]), "the checksum is the standard library's CRC-32")
	return body
}

func TestWhatDoesNotAddUpIsRefused(t *testing.T) {
	o := offer(t, "v=1&s=20")
	body := bodyOf(t, encoded(t, o))
	_, err := preview.Decode(packed(body))
	require.NoError(t, err)
	accepted := 0
	for i := range body {
		altered := append([]byte{}, body...)
		altered[i] ^= 1
		got, err := preview.Decode(packed(altered))
		if err != nil {
			continue
		}
		accepted++
		// What is taken adds up in itself, and has the very amounts: only words, quantities and builds can have been put in place of others.
		require.Equal(t, o.Options[0].Sums, got.Options[0].Sums)
	}
	assert.Positive(t, accepted, "a checksum is no signature")

	newer := append([]byte{}, body...)
	newer[0]++
	_, err = preview.Decode(packed(newer))
	assert.ErrorIs(t, err, preview.ErrNewer)
	newer[0] = 0
	_, err = preview.Decode(packed(newer))
	assert.ErrorIs(t, err, preview.ErrDamaged)
	_, err = preview.Decode(packed(append(body, 0)))
	assert.ErrorIs(t, err, preview.ErrDamaged, "something behind it")

	for text, want := range map[string]error{"v=1&s=20&later=1": preview.ErrNewer, "v=2&s=20": preview.ErrNewer, "v=1&s=900": preview.ErrNewer, "v=1&s=18": preview.ErrNewer, "hello": preview.ErrNewer} {
		strange := offer(t, "v=1&s=20")
		strange.Options[0].Link = text
		_, err := preview.Decode(encoded(t, strange))
		assert.ErrorIs(t, err, want, text)
	}
	for name, change := range map[string]func(*preview.Offer){
		"direction": func(o *preview.Offer) { o.Shop = "a\u202eb" }, "control": func(o *preview.Offer) { o.Options[0].Lines[0].Name = "a\x00" },
		"two lines": func(o *preview.Offer) { o.Customer = "a\nb" }, "not UTF-8": func(o *preview.Offer) { o.Terms = "\xff" }, "day": func(o *preview.Offer) { o.Valid = "tomorrow" },
		"currency": func(o *preview.Offer) { o.Currency.Code = "QQQ" }, "no name": func(o *preview.Offer) { o.Options[0].Name = "" },
		"no options": func(o *preview.Offer) { o.Options = nil }, "long": func(o *preview.Offer) { o.Shop = strings.Repeat("x", quote.MaxName+1) },
		"total": func(o *preview.Offer) { o.Options[0].Total-- }, "amount": func(o *preview.Offer) { o.Options[0].Lines[3].Amount++ },
		"discount": func(o *preview.Offer) { o.Options[0].Discount = o.Options[0].Subtotal + 1 }, "tax": func(o *preview.Offer) { o.Options[0].TaxRate = 101 * money.One },
		"many": func(o *preview.Offer) { o.Options[0].Lines = make([]preview.Line, preview.MaxLines+1) },
	} {
		bad := offer(t, "v=1&s=20")
		change(&bad)
		_, err := preview.Decode(encoded(t, bad))
		assert.ErrorIs(t, err, preview.ErrDamaged, name)
	}
}

// secrets are the texts that stand where only the shop may look.
const secret = "QXZPRIVATEZXQ"

// TestNothingPrivateGetsOut fills every private field with texts and figures that cannot come about by chance, and looks for them in the
// preview, as bytes and as values.
func TestNothingPrivateGetsOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := usual()
		odd := func(label string, from, to int64) money.Decimal {
			return money.Decimal(rapid.Int64Range(from, to).Draw(t, label))*10 + 7 // seven digits and more, none of them a round number
		}
		s.Rate, s.Markup = odd("rate", 4_000_000, 9_000_000), odd("markup", 1_000_001, 9_999_999)
		s.Discount, s.Tax = odd("discount", 100_001, 999_999), money.Whole(rapid.IntRange(0, 25).Draw(t, "tax"))
		s.Spare, s.Waste = odd("spare", 200_001, 999_999), odd("waste", 200_001, 999_999)
		for i := range s.Steps {
			s.Steps[i].Hours = odd("hours", 100_001, 999_999)
		}
		list := price.Demo()
		for i := range list {
			list[i].ID, list[i].Note = secret+list[i].ID, secret
			list[i].Name = secret + list[i].Name
			list[i].Price = odd("price", 3_000_001, 99_999_999)
			s.Pick(list[i].For, list[i].ID)
		}
		var quotes []quote.Quote
		for i := range rapid.IntRange(1, 3).Draw(t, "options") {
			b := randombuild.Plausible().Draw(t, "build")
			q, err := core.Plan(b)
			require.NoError(t, err)
			made, err := quote.Make(q.Bill(s.Allowances()), list, &s)
			require.NoError(t, err)
			made.Name, made.Link = fmt.Sprint("Board ", i), link.Encode(&b, []link.Pair{{Key: "note", Value: secret}})
			quotes = append(quotes, made)
		}
		o, err := preview.Make(&s, quotes)
		require.NoError(t, err)
		text := encoded(t, o)
		body := string(bodyOf(t, text))
		again, err := preview.Decode(text)
		require.NoError(t, err)
		values, err := json.Marshal(again)
		require.NoError(t, err)
		all := text + "\x00" + body + "\x00" + string(values)
		require.NotContains(t, all, secret)
		require.NotContains(t, all, base64.RawURLEncoding.EncodeToString([]byte(secret))[2:14])

		private := map[string]int64{"rate": int64(s.Rate), "markup": int64(s.Markup), "discount": int64(s.Discount), "spare": int64(s.Spare), "waste": int64(s.Waste)}
		for i, it := range list {
			private[fmt.Sprint("price ", i)] = int64(it.Price)
		}
		for i, step := range s.Steps {
			private[fmt.Sprint("hours ", i)] = int64(step.Hours)
		}
		public := map[money.Amount]bool{}
		for _, option := range again.Options {
			for _, l := range option.Lines {
				public[l.Amount] = true
			}
			for _, a := range []money.Amount{option.Subtotal, option.Discount, option.Net, option.Tax, option.Total} {
				public[a] = true
			}
		}
		for i, q := range quotes {
			costs := map[string]money.Amount{"cost": q.Cost, "markup": q.Markup, "parts": q.Parts}
			for _, l := range q.Lines {
				costs["cost of "+l.Key] = l.Cost
			}
			for name, a := range costs {
				if !public[a] { // by chance some other amount may be the same
					private[fmt.Sprint(name, " ", i)] = int64(a)
				}
			}
		}
		for name, v := range private {
			require.NotContains(t, string(values), fmt.Sprintf(":%d,", v), name)
			require.NotContains(t, string(values), fmt.Sprintf(":%d}", v), name)
			if v > 1<<21 { // four bytes and more do not come about by chance
				require.NotContains(t, body, string(binary.AppendUvarint(nil, uint64(v))), name)
				require.NotContains(t, body, string(binary.AppendUvarint(nil, uint64(v)+1)), name)
				require.NotContains(t, body, string(binary.AppendUvarint(nil, uint64(v)*8)), name)
				require.NotContains(t, body, fmt.Sprint(v), name)
				if text := money.Decimal(v).String(); len(text) >= 7 {
					require.NotContains(t, body, text, name)
				}
			}
		}
	})
}

func anyOffer() *rapid.Generator[preview.Offer] {
	words := rapid.Custom(func(t *rapid.T) string { return plain.Line(plain.Cut(rapid.String().Draw(t, "text"), quote.MaxName)) })
	return rapid.Custom(func(t *rapid.T) preview.Offer {
		o := preview.Offer{
			Shop: words.Draw(t, "shop"), Customer: words.Draw(t, "customer"), Terms: plain.Lines(words.Draw(t, "a") + "\n" + words.Draw(t, "b")),
			Valid: rapid.SampledFrom([]string{"", "2027-01-31"}).Draw(t, "valid"), Invented: rapid.Bool().Draw(t, "invented"),
		}
		o.Currency, _ = money.CurrencyFor(rapid.SampledFrom([]string{"EUR", "JPY", "KWD"}).Draw(t, "currency"))
		for range rapid.IntRange(1, preview.MaxOptions).Draw(t, "options") {
			b := randombuild.Any().Draw(t, "build")
			option := preview.Option{Name: "x" + words.Draw(t, "name"), Link: link.Encode(&b, nil), TaxRate: money.Decimal(rapid.Int64Range(0, 100e6).Draw(t, "rate"))}
			option.Name = plain.Line(option.Name)
			for range rapid.IntRange(0, 6).Draw(t, "lines") {
				l := preview.Line{Name: words.Draw(t, "line"), Unit: rapid.SampledFrom([]string{"piece", "m", ""}).Draw(t, "unit"),
					Quantity: money.Decimal(rapid.Int64Range(0, int64(money.MaxDecimal)).Draw(t, "quantity")), Open: rapid.Bool().Draw(t, "open")}
				if !l.Open {
					l.Amount = money.Amount(rapid.Int64Range(0, 1e13).Draw(t, "amount"))
					option.Subtotal += l.Amount
				} else {
					option.Open++
				}
				option.Lines = append(option.Lines, l)
			}
			option.Discount = money.Amount(rapid.Int64Range(0, int64(option.Subtotal)).Draw(t, "discount"))
			option.Net = option.Subtotal - option.Discount
			option.Tax, _ = money.Percent(option.Net, option.TaxRate)
			option.Total = option.Net + option.Tax
			o.Options = append(o.Options, option)
		}
		return o
	})
}

func TestDecodeIsTheOppositeOfEncode(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOffer().Draw(t, "offer")
		text, err := o.Encode()
		if err != nil {
			return // longer than a preview may be
		}
		again, err := preview.Decode(text)
		require.NoError(t, err)
		require.Equal(t, o, again)
		require.Empty(t, strings.Trim(text, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"), "fit for an address as it is")
	})
}

func TestIn(t *testing.T) {
	for address, want := range map[string]string{"https://a.example/#offer=abc": "abc", "#offer=": "", "offer=x": "x"} {
		text, ok := preview.In(address)
		assert.True(t, ok)
		assert.Equal(t, want, text)
	}
	for _, address := range []string{"", "#v=1", "https://a.example/?offer=x#v=1", "#xoffer=1"} {
		_, ok := preview.In(address)
		assert.False(t, ok, address)
	}
}

func TestMakeRefusesWhatDoesNotFit(t *testing.T) {
	s := usual()
	_, err := preview.Make(&s, nil)
	assert.ErrorIs(t, err, preview.ErrBounds)
	q := quoted(t, "x", "v=1", price.Demo(), &s)
	q.Total++
	_, err = preview.Make(&s, []quote.Quote{q})
	assert.ErrorIs(t, err, preview.ErrBounds, "sums that are not those of the lines")
	q.Total--
	q.Name = " "
	_, err = preview.Make(&s, []quote.Quote{q})
	assert.ErrorIs(t, err, preview.ErrBounds)
}

// A preview that was handed out opens as the same offer for ever: this file is only ever added to.
func TestFrozenOffers(t *testing.T) {
	file, err := os.ReadFile("testdata/frozen.json")
	require.NoError(t, err)
	var frozen []struct {
		Text  string
		Offer preview.Offer
	}
	require.NoError(t, json.Unmarshal(file, &frozen))
	require.NotEmpty(t, frozen)
	for _, f := range frozen {
		o, err := preview.Decode(f.Text)
		require.NoError(t, err)
		assert.Equal(t, f.Offer, o)
	}
}

func FuzzDecode(f *testing.F) {
	f.Add("")
	f.Add("AQ")
	for _, links := range [][]string{{"v=1"}, {"v=1&s=20", "v=1&s=16&p=3"}} {
		f.Add(encoded(f, offer(f, links...)))
	}
	f.Fuzz(func(t *testing.T, text string) {
		// As it is, and as a body with a right checksum, so that the fuzzer gets past it.
		for _, text := range []string{text, packed([]byte(text)), packed(append([]byte{preview.Version}, text...))} {
			o, err := preview.Decode(text)
			if err != nil {
				require.Equal(t, preview.Offer{}, o)
				continue
			}
			again, err := o.Encode()
			require.NoError(t, err)
			require.Equal(t, text, again)
			for _, option := range o.Options {
				require.LessOrEqual(t, option.Discount, option.Subtotal)
				require.True(t, link.Decode(option.Link).Holds)
			}
		}
	})
}
