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
	out, _ := json.MarshalIndent(file{Format, Version, items}, "", "\t") // the items have just been written as JSON
	return append(out, '\n')
}

// back is a file of items as they came. It is not indented, for the tabs of nested ones could be many times their text.
func back(items []string) string {
	return `{"format":"` + Format + `","version":` + strconv.Itoa(Version) + ",\"items\":[\n" + strings.Join(items, ",\n") + "\n]}\n"
}

// mostNested is how deep a file may be nested; prices need three.
const mostNested = 16

// tooDeep is the line where a text is nested deeper than that, 0 where it nowhere is.
func tooDeep(text string) int {
	depth, quoted := 0, false
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case quoted && c == '\\':
			i++
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '{' || c == '[':
			if depth++; depth > mostNested {
				return 1 + strings.Count(text[:i], "\n")
			}
		case c == '}' || c == ']':
			depth--
		}
	}
	return 0
}

func readJSON(text string) (out Reading) {
	if line := tooDeep(text); line > 0 {
		return refused(text, line, "More than "+strconv.Itoa(mostNested)+" brackets lie in each other; nothing was taken from this file.")
	}
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
	var rest []string
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
			rest = append(rest, string(raw))
			continue
		}
		seen[it.ID] = true
		out.Items = append(out.Items, it)
	}
	if rest != nil {
		out.Rest = back(rest)
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
