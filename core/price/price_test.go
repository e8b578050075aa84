package price_test

import (
	"encoding/csv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core/money"
	"headroom/core/plain"
	"headroom/core/price"
)

func problems(r price.Reading) (list []string) {
	for _, p := range r.Problems {
		list = append(list, p.String())
	}
	return list
}

func ids(l price.List) (list []string) {
	for _, it := range l {
		list = append(list, it.ID+" "+it.Price.String())
	}
	return list
}

func TestReadTables(t *testing.T) {
	for name, text := range map[string]string{
		"comma":                "id,name,price,unit\r\na,Bolt,0.035,piece\r\nb,\"Lead, red\",1.5,m\r\n",
		"semicolon and commas": "id;name;price;unit\na;Bolt;0,035;piece\nb;Lead, red;1,50;m\n",
		"tab":                  "id\tname\tprice\tunit\na\tBolt\t0.035\tpiece\nb\tLead, red\t1.5\tm",
		"other order":          "Unit;Price;NAME; Id \npiece;0.035;Bolt;a\nm;1.5;\"Lead, red\";b",
		"other words":          "\ufeffSKU;Description;Unit cost;Per\ra;Bolt;0,035;piece\rb;Lead, red;1,5;m\r",
		"empty lines":          "\n\nid,name,price,unit\n\na,Bolt,0.035,piece\n,,,\nb,\"Lead, red\",1.5,m\n\n",
		"JSON":                 `{"format":"headroom-prices","version":1,"items":[{"id":"a","name":"Bolt","price":"0.035","unit":"piece"},{"id":"b","name":"Lead, red","price":1.50,"unit":"m"}]}`,
	} {
		r := price.Read(text)
		assert.Empty(t, r.Problems, name)
		assert.Empty(t, r.Rest, name)
		assert.Equal(t, []string{"a 0.035", "b 1.5"}, ids(r.Items), name)
		assert.Equal(t, price.Item{ID: "b", Name: "Lead, red", Price: 1_500_000, Unit: "m"}, r.Items[1], name)
	}
}

// Every bad row is named by line and column and given back as it was, under the header; the good ones are kept.
func TestBadRowsAreNamedAndGivenBack(t *testing.T) {
	text := strings.Join([]string{
		"Price;Name;id;for;unit",
		"2,50;Good;g1;cell;piece",
		"two;Wordy;w;cell;piece",
		"\"1,5;Open quote;q;;",
		";Priceless;p;;",
		"1,234;Fine where the mark is a comma;g2;;piece",
		"1.234;Ambiguous;m;;piece",
		"3,5;Odd kind;k;wheelbarrow;piece",
		"3,5;Twice;g1;;piece",
		"3,5;Too;many;cells;in;here",
		"-1;Negative;n;;piece",
		"3,5;;;;",
		"3,5;" + strings.Repeat("long", 30) + ";l;;",
		"3,5;\"Two\nlines\";g3;LEAD : AWG-10;m",
		"3,5;Hidden \u202e turn;g4;;",
		"x;After the two lines;z;;",
	}, "\n")
	r := price.Read(text)
	assert.Equal(t, []string{"g1 2.5", "g2 1.234", "g3 3.5", "g4 3.5"}, ids(r.Items))
	assert.Equal(t, price.Item{ID: "g3", Name: "Two lines", For: "lead:awg-10", Price: 3_500_000, Unit: "m"}, r.Items[2])
	assert.Equal(t, "Hidden turn", r.Items[3].Name)
	named := problems(r)
	for i, want := range []string{
		"Line 3, column “Price”: “two” is not a number.",
		"Line 4: It has something behind a closing quotation mark.",
		"Line 5, column “Price”: It is empty.",
		"Line 7, column “Price”: “1.234” could be a fraction or thousands",
		"Line 8, column “for”: “wheelbarrow” is no kind of part known here; known are cell,",
		"Line 9, column “id”: “g1” stands in line 2 too. The first counts.",
		"Line 10: It has 6 cells for 5 columns.",
		"Line 11, column “Price”: “-1” is less than nothing.",
		"Line 12, column “id”: It is empty.",
		"Line 13, column “Name”: “longlong",
		"Line 17, column “Price”: “x” is not a number.",
	} {
		require.Greater(t, len(named), i)
		assert.Contains(t, named[i], want)
	}
	assert.Len(t, named, 11)
	rest := strings.Split(strings.TrimSuffix(r.Rest, "\n"), "\n")
	assert.Equal(t, "Price;Name;id;for;unit", rest[0])
	assert.Len(t, rest, 12)
	assert.Equal(t, "two;Wordy;w;cell;piece", rest[1])

	mended := strings.Replace(r.Rest, "two;Wordy", "2;Wordy", 1)
	again := price.Read(mended)
	assert.Equal(t, []string{"w 2"}, ids(again.Items)[:1])
	assert.NotContains(t, again.Rest, "Wordy")
}

func TestTextsThatAreNoList(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"hello", "Line 1: The first line must name the columns"},
		{"name,unit\na,b", "Line 1: The first line must name the columns"},
		{"price\n1", "Line 1: The first line must name the columns"},
		{"{\n\"format\":\n", "Line 3: This is not a whole file of prices in JSON"},
		{"[]", "This is not a whole file of prices in JSON"},
		{`{"format":"headroom-builds"}`, "This file does not say that it holds prices"},
		{strings.Repeat("x", price.MaxBytes+1), "This is larger than any price list"},
	} {
		r := price.Read(c.text)
		require.Len(t, r.Problems, 1)
		assert.Contains(t, r.Problems[0].String(), c.want)
		assert.Equal(t, c.text, r.Rest, "all of it is given back")
		assert.Empty(t, r.Items)
	}
	assert.Equal(t, price.Reading{}, price.Read(" \n"))

	r := price.Read("id,price\n\"a,1\nb,2\n")
	assert.Equal(t, []string{"Line 2: It has a quotation mark that is never closed."}, problems(r))
	assert.Equal(t, []string{"b 2"}, ids(r.Items), "the lines after it are read")
	assert.Equal(t, "id,price\n\"a,1\n", r.Rest)
}

func TestBadItemsOfJSON(t *testing.T) {
	r := price.Read(`{"format":"headroom-prices","version":2,"items":[
		{"id":"a","name":"A","price":"1","unit":"m"}, 7, {"id":"b","name":"B","price":"1,234","unit":"m"},
		{"id":"a","name":"again","price":"1","unit":"m"}, {"id":"c","name":"C","unit":"m"}, {"id":"d","name":"D","price":"1","unit":"m","for":"x"}]}`)
	assert.Equal(t, []string{"a 1"}, ids(r.Items))
	named := problems(r)
	require.Len(t, named, 6)
	for i, want := range []string{"newer version", "Item 2: “7” is no item", "Item 3, “price”: “1,234” could be", "Item 4, “id”: “a” stands twice", "Item 5, “price”: It is empty", "Item 6, “for”: “x” is no kind"} {
		assert.Contains(t, named[i], want)
	}
	assert.Contains(t, r.Rest, `"1,234"`)
	assert.Len(t, problems(price.Read(r.Rest)), 4, "what is given back can be read again; the second “a” has become the first")
}

func TestUnknownColumnsGoIntoTheNote(t *testing.T) {
	r := price.Read("id,price,color,note\nx,1,red,by the gate\n")
	assert.Equal(t, "by the gate color: red", r.Items[0].Note)
	assert.Equal(t, "x", r.Items[0].Name, "an id does for a name")
	assert.Equal(t, "piece", r.Items[0].Unit)
	r = price.Read("name,price,for\nBare lead,1,lead\n")
	assert.Equal(t, "Bare lead", r.Items[0].ID)
	assert.Equal(t, "m", r.Items[0].Unit, "the kind's own unit")
}

func TestNoCellIsAFormula(t *testing.T) {
	l := price.List{{ID: "=1+1", Name: "@x", Price: money.One, Unit: "-", Note: "'=quoted"}}
	text := string(l.CSV())
	assert.Equal(t, "id,name,for,price,unit,note,invented\r\n'=1+1,'@x,,1,'-,''=quoted,\r\n", text)
	assert.Equal(t, l, price.Read(text).Items)
}

func anyText(most int) *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		letters := rapid.SampledFrom([]string{"a", "b", ",", ";", "\t", "\"", "'", "=", "-", "@", "\n", "\r\n", " ", "<b>", "&", "é", "日", "👩‍🔧", "1", ".", ":"})
		text := strings.Join(rapid.SliceOfN(letters, 0, most).Draw(t, "letters"), "")
		if rapid.Bool().Draw(t, "wild") {
			text = rapid.StringN(0, most, -1).Draw(t, "text")
		}
		return plain.Line(plain.Cut(strings.ReplaceAll(text, "�", ""), most))
	})
}

func anyList() *rapid.Generator[price.List] {
	return rapid.Custom(func(t *rapid.T) (list price.List) {
		for range rapid.IntRange(0, 12).Draw(t, "items") {
			it := price.Item{
				ID: anyText(price.MaxID).Draw(t, "id"), Name: anyText(price.MaxName).Draw(t, "name"), Unit: anyText(price.MaxUnit).Draw(t, "unit"),
				Note:     anyText(price.MaxNote).Draw(t, "note"),
				Price:    money.Decimal(rapid.Int64Range(0, rapid.SampledFrom([]int64{3e6, int64(money.MaxDecimal)}).Draw(t, "size")).Draw(t, "price")),
				Invented: rapid.Bool().Draw(t, "invented"),
				For:      rapid.SampledFrom([]string{"", "cell", "cell:21700-power", "lead:awg-10", "small"}).Draw(t, "for"),
			}
			if it.Valid() && list.Find(it.ID) == nil {
				list = append(list, it)
			}
		}
		return list
	})
}

func TestExportThenImportIsTheSameList(t *testing.T) {
	count := 0
	rapid.Check(t, func(t *rapid.T) {
		l := anyList().Draw(t, "list")
		count += len(l)
		for name, text := range map[string]string{"CSV": string(l.CSV()), "JSON": string(l.JSON())} {
			r := price.Read(text)
			require.Empty(t, r.Problems, name)
			require.Empty(t, r.Rest, name)
			require.Equal(t, l, r.Items, name)
		}
		// The standard library's reader sees as many cells in every row.
		rows, err := csv.NewReader(strings.NewReader(string(l.CSV()))).ReadAll()
		require.NoError(t, err)
		require.Len(t, rows, len(l)+1)
		for i, row := range rows[1:] {
			require.Equal(t, l[i].Price.String(), row[3])
		}
	})
	assert.Greater(t, count, 100)
}

// Whatever RFC 4180 text the standard library reads, this reads the same way.
func TestCellsAgainstTheStandardLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		delimiter := rapid.SampledFrom([]rune{',', ';', '\t'}).Draw(t, "delimiter")
		var out strings.Builder
		w := csv.NewWriter(&out)
		w.Comma = delimiter
		require.NoError(t, w.Write([]string{"name", "price", "id", "note"}))
		var want []string
		for i := range rapid.IntRange(1, 5).Draw(t, "rows") {
			note := rapid.StringOf(rapid.SampledFrom([]rune("ab,;\t\"\n '="))).Draw(t, "note")
			want = append(want, plain.Line(note))
			require.NoError(t, w.Write([]string{"n", "1", string(rune('a' + i)), "x" + note}))
		}
		w.Flush()
		r := price.Read(out.String())
		require.Empty(t, r.Problems, out.String())
		require.Len(t, r.Items, len(want))
		for i := range want {
			require.Equal(t, strings.ReplaceAll("x"+want[i], " ", ""), strings.ReplaceAll(r.Items[i].Note, " ", ""))
		}
	})
}

// Nothing that can be pasted is lost: a row is taken, or it is given back.
func TestNothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := rapid.SliceOf(rapid.StringOf(rapid.SampledFrom([]rune("a1,x.")))).Draw(t, "rows")
		r := price.Read("id,price\n" + strings.Join(rows, "\n"))
		for i, row := range rows {
			id, _, _ := strings.Cut(row, ",")
			if strings.Trim(row, ", ") == "" {
				continue
			}
			require.True(t, strings.Contains(r.Rest, row) || r.Items.Find(plain.Line(id)) != nil, "row %d: %q", i, row)
		}
		for _, it := range r.Items {
			require.True(t, it.Valid())
		}
	})
}

func TestDemo(t *testing.T) {
	demo := price.Demo()
	assert.True(t, demo.Invented())
	for _, it := range demo {
		assert.True(t, it.Valid(), it.ID)
		assert.True(t, it.Invented, it.ID)
		assert.Positive(t, it.Price, it.ID)
		assert.Contains(t, it.Note, "Invented", it.ID)
	}
	for _, k := range price.Kinds {
		assert.NotEmpty(t, demo.Fitting(k.ID, ""), k.ID)
		base, _ := price.Unit(k.Unit)
		assert.Equal(t, k.Unit, base)
	}
	assert.Equal(t, demo, price.Read(string(demo.CSV())).Items)
}

func TestFitting(t *testing.T) {
	l := price.List{{ID: "1", For: "cell"}, {ID: "2", For: "cell:x"}, {ID: "3", For: "cell:y"}, {ID: "4", For: "cell:x"}, {ID: "5"}}
	var got string
	for _, it := range l.Fitting("cell", "x") {
		got += it.ID
	}
	assert.Equal(t, "241", got)
	assert.Len(t, l.Fitting("cell", "z"), 1)
	assert.Empty(t, l.Fitting("fuse", "x"))
}

func TestPut(t *testing.T) {
	l := price.List{{ID: "a", Name: "A"}}
	m, full := l.Put(price.Item{ID: "a", Name: "B"})
	assert.False(t, full)
	assert.Equal(t, "A", l[0].Name, "the list itself stays")
	assert.Equal(t, "B", m[0].Name)
	m, _ = m.Put(price.Item{ID: "c"})
	assert.Len(t, m, 2)
	_, full = make(price.List, price.MaxItems).Put(price.Item{ID: "more"})
	assert.True(t, full)
}
