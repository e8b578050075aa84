package price

import "strings"

// Kind is one kind of part that a build is made of.
type Kind struct {
	ID   string
	Name string
	Unit string // that it is usually sold in
}

// Kinds lists what an item can be for, in the order of a bill of materials. Ids are written in people's files: never change one.
var Kinds = []Kind{
	{"cell", "Cells", "piece"},
	{"ring", "Insulating rings", "piece"},
	{"strip", "Links from group to group", "kg"},
	{"sheet", "Insulating sheet", "m2"},
	{"bms", "BMS", "piece"},
	{"sense", "Sense wire", "m"},
	{"lead", "Battery and phase leads", "m"},
	{"connector", "Plugs and joints", "piece"},
	{"fuse", "Fuses", "piece"},
	{"holder", "Fuse holders", "piece"},
	{"switch", "Main switch", "piece"},
	{"precharge", "Pre-charge resistor", "piece"},
	{"charger", "Charger", "piece"},
	{"socket", "Charge socket", "piece"},
	{"controller", "Controller", "piece"},
	{"motor", "Motor", "piece"},
	{"tire", "Tire", "piece"},
	{"box", "Boxes", "piece"},
	{"rails", "Rails", "pair"},
	{"pad", "Foot pads", "piece"},
	{"fastener", "Fasteners", "set"},
	{"small", "Solder, glue, sleeves", "set"},
}

// KindFor returns a kind by its id, nil where there is none.
func KindFor(id string) *Kind {
	for i := range Kinds {
		if Kinds[i].ID == id {
			return &Kinds[i]
		}
	}
	return nil
}

func kindIDs() []string {
	ids := make([]string, len(Kinds))
	for i, k := range Kinds {
		ids[i] = k.ID
	}
	return ids
}

// units are the ways that people write the units that can be changed into each other, and how many of the first of them one is.
var units = []struct {
	base  string
	per   string // exact decimal
	words []string
}{
	{"piece", "1", []string{"piece", "pieces", "pc", "pcs", "each", "ea", "unit"}},
	{"pair", "1", []string{"pair", "pairs", "pr"}},
	{"set", "1", []string{"set", "sets"}},
	{"m", "1", []string{"m", "meter", "meters", "metre", "metres"}},
	{"m", "0.01", []string{"cm"}},
	{"m", "0.001", []string{"mm"}},
	{"m", "0.3048", []string{"ft", "foot", "feet"}}, // international foot, 1959
	{"kg", "1", []string{"kg", "kilogram", "kilograms"}},
	{"kg", "0.001", []string{"g", "gram", "grams"}},
	{"kg", "0.453592", []string{"lb", "lbs", "pound", "pounds"}}, // 0.45359237 to six digits: 1 in a million too little
	{"m2", "1", []string{"m2", "m²", "sqm"}},
	{"h", "1", []string{"h", "hour", "hours"}},
}

// Unit tells which unit a word stands for: base is "piece", "pair", "set", "m", "kg", "m2", "h" or the word itself, and per is how much of
// it one is, an exact decimal.
func Unit(word string) (base, per string) {
	word = strings.ToLower(word)
	for _, u := range units {
		for _, w := range u.words {
			if w == word {
				return u.base, u.per
			}
		}
	}
	return word, "1"
}
