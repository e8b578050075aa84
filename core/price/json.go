package price

import (
	"encoding/json"
	"strconv"
	"strings"

	"headroom/core/money"
	"headroom/core/plain"
)

// What a file of prices says that it is.
const (
	Format  = "headroom-prices"
	Version = 1
)

// written is an item in JSON. Prices are texts, for a number in JSON may lose digits.
type written struct {
	ID       string          `json:"id"`
	Name     string          `json:"name"`
	For      string          `json:"for,omitempty"`
	Price    json.RawMessage `json:"price"`
	Unit     string          `json:"unit"`
	Note     string          `json:"note,omitempty"`
	Invented bool            `json:"invented,omitempty"`
}

type file struct {
	Format  string            `json:"format"`
	Version int               `json:"version"`
	Items   []json.RawMessage `json:"items"`
}

// JSON is the list as README.md documents it.
func (l List) JSON() []byte {
	items := make([]json.RawMessage, len(l))
	for i := range l {
		it := &l[i]
		price, _ := json.Marshal(it.Price.String()) // a text always can be
		items[i], _ = json.Marshal(written{it.ID, it.Name, it.For, price, it.Unit, it.Note, it.Invented})
	}
	return pack(items)
}

func pack(items []json.RawMessage) []byte {
	out, _ := json.MarshalIndent(file{Format, Version, items}, "", "\t") // the items have been read or written as JSON
	return append(out, '\n')
}

func readJSON(text string) (out Reading) {
	var f file
	if err := json.Unmarshal([]byte(text), &f); err != nil {
		line := 0
		if syntax, ok := err.(*json.SyntaxError); ok { // as it comes: errors.As would bring much of reflection
			line = 1 + strings.Count(text[:min(len(text), int(syntax.Offset))], "\n")
		}
		return refused(text, line, "This is not a whole file of prices in JSON ("+plain.Cut(plain.Line(err.Error()), 120)+"); nothing was taken from it.")
	}
	if f.Format != Format {
		return refused(text, 0, "This file does not say that it holds prices (“format” should be “"+Format+"”); nothing was taken from it.")
	}
	if f.Version > Version {
		out.Problems = append(out.Problems, Problem{Text: "A newer version of this planner wrote this file (" + strconv.Itoa(f.Version) + "); what is understood here was taken."})
	}
	seen := map[string]bool{}
	var rest []json.RawMessage
	for i, raw := range f.Items {
		it, wrong, value := itemOf(raw)
		switch {
		case wrong != nil:
		case seen[it.ID]:
			wrong, value = &fault{"id", "stands twice; the first counts"}, it.ID
		case len(out.Items) >= MaxItems:
			wrong, value = &fault{"", "found no place: a list holds " + strconv.Itoa(MaxItems)}, it.ID
		}
		if wrong != nil {
			place := "Item " + strconv.Itoa(i+1)
			if wrong.column != "" {
				place += ", “" + wrong.column + "”"
			}
			out.Problems = append(out.Problems, Problem{Text: place + ": " + wrong.sentence(value)})
			rest = append(rest, raw)
			continue
		}
		seen[it.ID] = true
		out.Items = append(out.Items, it)
	}
	if rest != nil {
		out.Rest = string(pack(rest))
	}
	return out
}

// itemOf reads one item; value is what the fault is about.
func itemOf(raw json.RawMessage) (it Item, f *fault, value string) {
	var w written
	if err := json.Unmarshal(raw, &w); err != nil {
		return it, &fault{"", "is no item"}, string(raw)
	}
	price := string(w.Price)
	var text string
	if json.Unmarshal(w.Price, &text) == nil {
		price = text
	}
	it = Item{ID: w.ID, Name: w.Name, For: w.For, Unit: w.Unit, Note: w.Note, Invented: w.Invented}
	if it.Name == "" {
		it.Name = it.ID
	}
	it.tidy()
	if f := it.setPrice(price, money.Point); f != nil {
		return it, f, price
	}
	f = it.fault()
	if f != nil {
		value = it.cell(f.column)
	}
	return it, f, value
}
