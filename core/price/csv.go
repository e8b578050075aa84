package price

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"headroom/core/money"
	"headroom/core/plain"
)

// Reading is what a text held.
type Reading struct {
	Items    List
	Problems []Problem
	Rest     string // what could not be taken, in the form that it was in, to be mended and read again; "" where all was taken
}

// Problem is one thing that could not be taken.
type Problem struct {
	Line   int    // of the text, from 1; 0 where it is about all of it
	Column string // as the text names it, "" where it is about a whole row
	Text   string // a sentence
}

// String is the problem with its place.
func (p Problem) String() string {
	place := ""
	if p.Line > 0 {
		place = "Line " + strconv.Itoa(p.Line)
		if p.Column != "" {
			place += ", column “" + p.Column + "”"
		}
		place += ": "
	}
	return place + p.Text
}

// Read takes a price list out of a text, CSV or JSON. It takes what it can, names by line and column what it cannot, and gives that back.
func Read(text string) Reading {
	text = strings.TrimPrefix(text, "\ufeff")
	trimmed := strings.TrimSpace(text)
	switch {
	case trimmed == "":
		return Reading{}
	case len(text) > MaxBytes:
		return refused(text, 0, "This is larger than any price list; nothing was taken from it.")
	case trimmed[0] == '{' || trimmed[0] == '[':
		return readJSON(text)
	}
	return readCSV(text)
}

func refused(text string, line int, why string) Reading {
	return Reading{Problems: []Problem{{Line: line, Text: why}}, Rest: text}
}

// known are the words that a header may have for each column.
var known = map[string][]string{
	"id":       {"id", "sku", "number", "no", "article", "code"},
	"name":     {"name", "item", "title", "description"},
	"for":      {"for", "kind", "used for"},
	"price":    {"price", "unit price", "cost", "unit cost"},
	"unit":     {"unit", "per"},
	"note":     {"note", "notes", "supplier", "supplier note", "remark"},
	"invented": {"invented"},
}

// header tells what each cell of a row names; named counts those it knows.
func header(cells []string) (columns []string, named int) {
	taken := map[string]bool{}
	for _, cell := range cells {
		word, column := strings.ToLower(plain.Line(unguarded(cell))), ""
		for _, c := range Columns {
			for _, w := range known[c] {
				if w == word && !taken[c] {
					column = c
				}
			}
		}
		if column != "" {
			taken[column] = true
			named++
		}
		columns = append(columns, column)
	}
	return columns, named
}

// table is a CSV text in hand.
type table struct {
	titles  []string // as the text has them, cut to MaxName
	columns []string // what each is; "" where it is nothing known
	mark    byte     // of decimals, see decimalMark
	rows    []record
	head    record
}

// readTable guesses the delimiter as the one that makes the most sense of the first row.
func readTable(text string) (t table, ok bool) {
	best := 0
	for _, delimiter := range []byte{';', '\t', ','} {
		all := records(text, delimiter)
		if len(all) == 0 {
			continue
		}
		if columns, named := header(all[0].cells); named > best {
			best = named
			t = table{titles: all[0].cells, columns: columns, head: all[0], rows: all[1:]}
		}
	}
	has := func(column string) bool { return t.index(column) >= 0 }
	if !has("price") || !has("name") && !has("id") {
		return t, false
	}
	t.mark = t.decimalMark()
	for i := range t.titles { // every row tells the titles that nothing here knows
		t.titles[i] = plain.Cut(plain.Line(t.titles[i]), MaxName)
	}
	return t, true
}

func (t *table) index(column string) int {
	for i, c := range t.columns {
		if c == column {
			return i
		}
	}
	return -1
}

// decimalMark is the mark that most prices can only have, unknown where none shows it. What CSV wrote has points.
func (t *table) decimalMark() byte {
	if slices.Equal(t.titles, Columns) && strings.Contains(t.head.raw, Columns[0]+",") {
		return money.Point
	}
	at, balance := t.index("price"), 0
	for _, r := range t.rows {
		if at < len(r.cells) {
			points, commas := money.Marks(r.cells[at])
			balance += commas - points
		}
	}
	switch {
	case balance > 0:
		return money.Comma
	case balance < 0:
		return money.Point
	}
	return money.Unknown
}

func readCSV(text string) (out Reading) {
	t, ok := readTable(text)
	if !ok {
		return refused(text, 1, "The first line must name the columns: “price”, “name” or “id”, and “for”, “unit” and “note” where there are any, in any order. Nothing was taken.")
	}
	seen := map[string]int{}
	var rest []string
	for _, r := range t.rows {
		it, problem := t.item(r)
		switch {
		case problem != nil:
		case seen[it.ID] != 0:
			problem = &Problem{r.line, t.title("id"), "“" + it.ID + "” stands in line " + strconv.Itoa(seen[it.ID]) + " too. The first counts."}
		case len(out.Items) >= MaxItems:
			problem = &Problem{Line: r.line, Text: "There is no place: a list holds " + strconv.Itoa(MaxItems) + " items."}
		}
		if problem != nil {
			out.Problems = append(out.Problems, *problem)
			rest = append(rest, r.raw)
			continue
		}
		seen[it.ID] = r.line
		out.Items = append(out.Items, it)
	}
	if rest != nil {
		out.Rest = t.head.raw + "\n" + strings.Join(rest, "\n") + "\n"
	}
	return out
}

// title is what the text calls a column.
func (t *table) title(column string) string {
	if i := t.index(column); i >= 0 {
		return t.titles[i]
	}
	return column
}

// item makes one of a row.
func (t *table) item(r record) (it Item, problem *Problem) {
	if r.fault != "" {
		return it, &Problem{Line: r.line, Text: "It " + r.fault + "."}
	}
	if len(r.cells) > len(t.columns) {
		return it, &Problem{Line: r.line, Text: "It has " + strconv.Itoa(len(r.cells)) + " cells for " + strconv.Itoa(len(t.columns)) + " columns."}
	}
	price := ""
	for i, cell := range r.cells {
		cell = plain.Line(unguarded(cell))
		switch t.columns[i] {
		case "id":
			it.ID = cell
		case "name":
			it.Name = cell
		case "for":
			it.For = cell
		case "price":
			price = cell
		case "unit":
			it.Unit = cell
		case "note":
			it.Note = cell
		case "invented":
			it.Invented = cell != "" && !strings.EqualFold(cell, "no")
		}
	}
	// What stands in columns that nothing here knows goes along in the note. A table may have any number of them, so the note is tidied once
	// and grows no further where it is too long to stand in a list.
	var note strings.Builder
	note.WriteString(it.Note)
	for i, cell := range r.cells {
		if note.Len() > utf8.UTFMax*(MaxNote+1) {
			break
		}
		if cell = plain.Line(unguarded(cell)); t.columns[i] == "" && cell != "" {
			note.WriteString(" " + t.titles[i] + ": " + cell)
		}
	}
	it.Note = plain.Line(note.String())
	if it.Name == "" {
		it.Name = it.ID
	}
	it.tidy()
	if f := it.setPrice(price, t.mark); f != nil {
		return it, t.problem(r.line, f, price)
	}
	if f := it.fault(); f != nil {
		return it, t.problem(r.line, f, it.cell(f.column))
	}
	return it, nil
}

// setPrice reads the price as typed.
func (it *Item) setPrice(text string, mark byte) *fault {
	var err error
	if it.Price, err = money.Read(text, mark); err != nil {
		return &fault{"price", err.Error()}
	}
	return nil
}

func (t *table) problem(line int, f *fault, value string) *Problem {
	return &Problem{line, t.title(f.column), f.sentence(value)}
}

func (f *fault) sentence(value string) string {
	if value == "" {
		return "It " + f.text + "."
	}
	return "“" + plain.Cut(plain.Line(value), MaxName) + "” " + f.text + "."
}

// cell is what stands in a column, as it is written.
func (it *Item) cell(column string) string {
	switch column {
	case "id":
		return it.ID
	case "name":
		return it.Name
	case "for":
		return it.For
	case "price":
		return it.Price.String()
	case "unit":
		return it.Unit
	case "note":
		return it.Note
	}
	if it.Invented {
		return "yes"
	}
	return ""
}

// CSV is the list as RFC 4180 has it, with a header row, a comma between cells and a point in prices. What a spreadsheet would take for a
// formula has an apostrophe before it, which reading takes away again.
func (l List) CSV() []byte {
	out := appendRow(nil, Columns...)
	for i := range l {
		cells := make([]string, len(Columns))
		for c, column := range Columns {
			cells[c] = l[i].cell(column)
		}
		out = appendRow(out, cells...)
	}
	return out
}

// Of makes an item of what was typed into a form, by column. column and wrong, a sentence, tell what keeps it from standing in a list; wrong is
// empty where nothing does.
func Of(form map[string]string) (it Item, column, wrong string) {
	it = Item{ID: form["id"], Name: form["name"], For: form["for"], Unit: form["unit"], Note: form["note"]}
	it.tidy()
	if it.Name == "" { // an id may follow from it
		return it, "name", "It is empty."
	}
	if f := it.setPrice(form["price"], money.Point); f != nil {
		return it, f.column, f.sentence(form["price"])
	}
	if f := it.fault(); f != nil {
		return it, f.column, f.sentence(it.cell(f.column))
	}
	return it, "", ""
}
