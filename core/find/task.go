package find

import (
	"net/url"
	"slices"
	"strings"

	"headroom/core/build"
	"headroom/core/link"
)

// Task is what to look for, and where.
type Task struct {
	Base  build.Build // everything that is not searched over
	Space Space
	Want  [wishes]Want
	Room  [2]int // cells that the main and the second box hold, where Cells is wished for

	// Price is the price of a build in hundredths of the list's currency; ok is false where the list does not hold all of it. It may look
	// at anything but pressure and weakening, which cost nothing. Nil where no list is loaded.
	Price func(b *build.Build) (hundredths int64, ok bool)
}

// New is the task of looking through the whole space around a build with nothing wished for.
func New(b build.Build) Task { return Task{Base: b, Space: Whole(&b)} }

// Parse reads a task in the form of a link: wishes and axes by their keys, and link keys of the board that all else is taken from:
//
//	range=30&ceiling=35&mass=16&cells=24+16&s=16-24&motor=hub6-wide,hub65-wide&rider=95
//
// Whatever cannot be used is told of; nothing is guessed.
func Parse(text string) (Task, []build.Problem) {
	if len(text) > link.MaxBytes {
		return Task{}, []build.Problem{{Text: "The wishes are longer than any search needs."}}
	}
	var problems []build.Problem
	var rest []string
	given := map[string]string{}
	for _, part := range strings.Split(strings.TrimSpace(text), "&") {
		raw, rawValue, _ := strings.Cut(part, "=")
		key, err := url.QueryUnescape(raw)
		value, verr := url.QueryUnescape(rawValue)
		switch _, twice := given[key]; {
		case part == "":
		case err != nil || verr != nil:
			problems = append(problems, build.Problem{Key: raw, Given: part, Text: "The part “" + build.Foreign(part) + "” is damaged."})
		case twice:
			problems = append(problems, build.Problem{Key: key, Given: value, Text: "“" + build.Foreign(key) + "” stands twice."})
		case wishFor(key) >= 0 || slices.Contains(Axes[:], key):
			given[key] = value
		case key == "v" || build.FieldFor(key) != nil:
			given[key] = value
			rest = append(rest, part)
		default:
			problems = append(problems, build.Problem{Key: key, Given: value, Text: "“" + build.Foreign(key) + "” is neither a wish nor a link key."})
		}
	}
	base := link.Decode(strings.Join(rest, "&"))
	problems = append(problems, base.Problems...)
	return read(base.Build, given, problems)
}

// Read is Parse for a board that is at hand: text holds wishes and axes alone.
func Read(b build.Build, text string) (Task, []build.Problem) {
	given := map[string]string{}
	values, err := url.ParseQuery(text)
	if err != nil {
		return New(b), []build.Problem{{Given: text, Text: "The wishes are damaged."}}
	}
	for key := range values {
		given[key] = values.Get(key)
	}
	return read(b, given, nil)
}

func read(b build.Build, given map[string]string, problems []build.Problem) (Task, []build.Problem) {
	t := New(b)
	for i, key := range Axes {
		// One axis after the other grows from one value, so that only the whole is held against the most builds.
		if value, ok := given[key]; ok {
			if p := t.Space.SetAxis(i, value); p != nil {
				problems = append(problems, *p)
			}
		}
	}
	for w := range Wishes {
		if p := t.SetWish(Wish(w), given[Wishes[w].Key]); p != nil {
			problems = append(problems, *p)
		}
	}
	return t, problems
}

// Text writes wishes and axes as Read reads them; axes that are as in Whole are left out.
func (t *Task) Text() string {
	var out []string
	for w := range Wishes {
		if text := t.WishText(Wish(w)); text != "" {
			out = append(out, Wishes[w].Key+"="+url.QueryEscape(text))
		}
	}
	whole := Whole(&t.Base)
	for i, key := range Axes {
		if text := t.Space.AxisText(i); text != whole.AxisText(i) {
			out = append(out, key+"="+url.QueryEscape(text))
		}
	}
	return strings.Join(out, "&")
}

func wishFor(key string) Wish {
	for w := range Wishes {
		if Wishes[w].Key == key {
			return Wish(w)
		}
	}
	return -1
}
