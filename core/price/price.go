// Package price is a shop's own price list: what things cost it, where they come from, and what part of a board they are for. A list is
// read from and written as CSV (RFC 4180) or JSON; what has been written is read back as the same list.
//
// Prices are net, without tax, in the one currency that the shop counts in; nothing here converts.
package price

import (
	"slices"
	"strings"

	"headroom/core/money"
	"headroom/core/plain"
)

// Item is one line of a price list. Every text is as plain.Line leaves it.
type Item struct {
	ID       string        // its own within the list, 1…MaxID characters
	Name     string        // 1…MaxName characters
	For      string        // a kind, or kind:part; "" where it is for nothing that a build tells
	Price    money.Decimal // of one Unit, ≥ 0
	Unit     string        // 1…MaxUnit characters
	Note     string        // supplier, order number: for the shop's eyes alone; at most MaxNote characters
	Invented bool          // the price is made up, to try things out
}

// Bounds of a list and its texts, in characters.
const (
	MaxItems = 2000
	MaxBytes = 2 << 20
	MaxID    = 40
	MaxName  = 80
	MaxFor   = 60
	MaxUnit  = 12
	MaxNote  = 200
)

// Columns are the names of an item's columns, in the order that they are written in.
var Columns = []string{"id", "name", "for", "price", "unit", "note", "invented"}

// fault is what is wrong with a column of a row; text goes on from the value.
type fault struct{ column, text string }

// fault returns the first thing that is wrong with an item, nil where it may stand in a list.
func (it *Item) fault() *fault {
	for _, c := range []struct {
		column, text string
		most         int
		needed       bool
	}{
		{"id", it.ID, MaxID, true}, {"name", it.Name, MaxName, true}, {"for", it.For, MaxFor, false},
		{"unit", it.Unit, MaxUnit, true}, {"note", it.Note, MaxNote, false},
	} {
		switch {
		case c.needed && c.text == "":
			return &fault{c.column, "is empty"}
		case strings.ContainsRune(c.text, '�'):
			return &fault{c.column, "holds characters that could not be read; save the file as UTF-8"}
		case plain.Line(c.text) != c.text:
			return &fault{c.column, "holds characters that cannot stand in a line"}
		case !plain.Fits(c.text, c.most):
			return &fault{c.column, "is longer than " + money.Whole(c.most).String() + " characters"}
		}
	}
	if it.Price < 0 {
		return &fault{"price", "is less than nothing"}
	}
	if it.Price > money.MaxDecimal {
		return &fault{"price", "is more than a thousand million"}
	}
	kind, part := it.Kind()
	if it.For != "" && KindFor(kind) == nil {
		return &fault{"for", "is no kind of part known here; known are " + strings.Join(kindIDs(), ", ")}
	}
	if it.For != join(kind, part) {
		return &fault{"for", "should be a kind, or a kind, a colon and a part"}
	}
	return nil
}

// Valid reports whether an item may stand in a list.
func (it *Item) Valid() bool { return it.fault() == nil }

// Kind is what the item is for: a kind of part, and which part of that kind, "" where it is for any.
func (it *Item) Kind() (kind, part string) {
	kind, part, _ = strings.Cut(it.For, ":")
	return kind, part
}

func join(kind, part string) string {
	if part == "" {
		return kind
	}
	return kind + ":" + part
}

// tidy makes of an item as typed one that may stand in a list, if it can.
func (it *Item) tidy() {
	it.ID, it.Name, it.Unit, it.Note = plain.Line(it.ID), plain.Line(it.Name), plain.Line(it.Unit), plain.Line(it.Note)
	kind, part, _ := strings.Cut(plain.Line(it.For), ":")
	it.For = join(strings.ToLower(strings.TrimSpace(kind)), strings.ToLower(strings.TrimSpace(part)))
	if it.ID == "" {
		it.ID = plain.Cut(it.Name, MaxID)
	}
	if it.Unit == "" {
		it.Unit = "piece"
		if k := KindFor(strings.TrimSpace(strings.ToLower(kind))); k != nil {
			it.Unit = k.Unit
		}
	}
}

// List is a price list. Ids are all different.
type List []Item

// Find returns the item with an id, nil where there is none.
func (l List) Find(id string) *Item {
	if i := l.at(id); i >= 0 {
		return &l[i]
	}
	return nil
}

func (l List) at(id string) int {
	return slices.IndexFunc(l, func(it Item) bool { return it.ID == id })
}

// Put returns the list with an item in it: in the place of the one with its id, else at the end. The list itself stays as it is. full is
// true where there was no place.
func (l List) Put(it Item) (out List, full bool) {
	if i := l.at(it.ID); i >= 0 {
		out = slices.Clone(l)
		out[i] = it
		return out, false
	}
	if len(l) >= MaxItems {
		return l, true
	}
	return append(slices.Clip(l), it), false
}

// Invented reports whether any price in it is made up.
func (l List) Invented() bool {
	return slices.ContainsFunc(l, func(it Item) bool { return it.Invented })
}

// Fitting lists the items that are for a part of a kind: those for the first of the parts first, then those for the next ones, which say
// less of it, then those for any of the kind, each in the order of the list.
func (l List) Fitting(kind string, parts ...string) (fitting []*Item) {
	for i, part := range append(slices.Clone(parts), "") {
		if i < len(parts) && part == "" {
			continue // as any of the kind
		}
		for j := range l {
			if l[j].For == join(kind, part) {
				fitting = append(fitting, &l[j])
			}
		}
	}
	return fitting
}
