package build

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// Kind says how a Field is entered.
type Kind int

// The kinds of field.
const (
	Number Kind = iota // any value between Min and Max
	Whole              // a whole number between Min and Max
	Choice             // one id of Options
	Rows               // a small table as text, see ParseRows
)

// Group names the part of the form, in the page's order, that a field stands in.
type Group string

// The groups of inputs.
const (
	GroupPack       Group = "Pack"
	GroupDrive      Group = "Drive"
	GroupWheel      Group = "Wheel"
	GroupRoad       Group = "Rider & road"
	GroupProtection Group = "Protection"
	GroupCharging   Group = "Charging"
	GroupWeight     Group = "Weight"
)

// Groups lists the groups in the order of the page.
var Groups = []Group{GroupPack, GroupDrive, GroupWheel, GroupRoad, GroupProtection, GroupCharging, GroupWeight}

// Field is one input: its link key, words, unit, range and default. Min, Max, Step and Default are in Unit; the value in
// the Build is SI, Unit × Scale.
type Field struct {
	Key     string
	Label   string
	Group   Group
	Kind    Kind
	Unit    string  // as written in links: "V", "kPa", "km/h", "%", … or ""
	Scale   float64 // SI per Unit
	Min     float64
	Max     float64
	Step    float64
	Default float64 // ignored where Optional or Choice
	Chosen  string  // default id of a Choice
	Help    string
	// Optional: absent means the class value (or the computed one), shown as the placeholder.
	Optional bool
	// Rare: shown folded away below the others of its group.
	Rare bool

	number  func(*Build) *float64
	whole   func(*Build) *int
	choice  func(*Build) *string
	options func() []Option
	part    func(*Parts) *float64
	derived bool
	slot    int
	place   int
}

// Option is one choice of a Choice field.
type Option struct{ ID, Name, Note string }

// Place is the field's index in Fields.
func (f *Field) Place() int { return f.place }

// Options returns the choices in catalog order, nil unless the field is a Choice.
func (f *Field) Options() []Option {
	if f.options == nil {
		return nil
	}
	return f.options()
}

// Index returns the position of the chosen id among Options, or 0.
func (f *Field) Index(b *Build) int {
	for i, o := range f.Options() {
		if o.ID == *f.choice(b) {
			return i
		}
	}
	return 0
}

// Given reports whether the field holds a value of its own: always, except for an Optional field left to its class.
func (f *Field) Given(b *Build) bool { return !f.Optional || b.overrides[f.slot].Given }

// Value returns a numeric field's value in Unit; for an Optional field without an override, the class value.
func (f *Field) Value(b *Build) float64 {
	if f.Optional && !b.overrides[f.slot].Given {
		p := b.Parts()
		return f.ValueIn(b, &p)
	}
	return f.ValueIn(b, nil)
}

// ValueIn is Value for a build whose Parts are at hand.
func (f *Field) ValueIn(b *Build, p *Parts) float64 {
	switch {
	case f.Optional && b.overrides[f.slot].Given:
		return tidy(b.overrides[f.slot].Value / f.Scale)
	case f.Optional:
		return tidy(*f.part(p) / f.Scale)
	case f.Kind == Whole:
		return float64(*f.whole(b))
	case f.Kind == Number:
		return tidy(*f.number(b) / f.Scale)
	case f.Kind == Rows:
		return 0
	}
	return float64(f.Index(b))
}

// Text returns the field's value as a link writes it: the id of a Choice, the shortest decimal of a number, "" for an
// Optional field left to its class.
func (f *Field) Text(b *Build) string {
	if f.Kind == Choice || f.Kind == Rows {
		return *f.choice(b)
	}
	if !f.Given(b) {
		return ""
	}
	return strconv.FormatFloat(f.ValueIn(b, nil), 'f', -1, 64)
}

// Clear returns the field to its default: the class value where Optional.
func (f *Field) Clear(b *Build) {
	switch {
	case f.Optional:
		b.overrides[f.slot] = Override{}
	case f.Kind == Choice, f.Kind == Rows:
		*f.choice(b) = f.Chosen
	default:
		f.store(b, f.Default)
	}
}

// Problem is a value that a field cannot take. Used says what stands in its place.
type Problem struct {
	Key   string
	Given string
	Used  string
	Text  string // one sentence for a person: what is wrong and what is allowed
}

// Error is the sentence.
func (p *Problem) Error() string { return p.Text }

// Set reads a text as written in a link or typed by hand (decimal point; a decimal comma is accepted). It always leaves
// the build valid: a number out of range becomes the nearest allowed one, a text that is no number or no known id leaves
// the default. What was wrong is returned, nil if nothing was.
func (f *Field) Set(b *Build, text string) *Problem {
	text = strings.TrimSpace(text)
	if f.Kind == Choice {
		for _, o := range f.Options() {
			if o.ID == text {
				*f.choice(b) = text
				return nil
			}
		}
		f.Clear(b)
		return &Problem{f.Key, text, f.Text(b), f.Label + ": there is no choice called “" + Foreign(text) + "”; using “" + f.nameOf(f.Text(b)) + "”."}
	}
	if f.Kind == Rows {
		rows, problem := ParseRows(text)
		*f.choice(b) = FormatRows(rows)
		if problem != "" {
			return &Problem{f.Key, text, f.Text(b), f.Label + ": " + problem}
		}
		return nil
	}
	if text == "" && f.Optional {
		f.Clear(b)
		return nil
	}
	v, err := ParseNumber(text)
	if err != nil {
		f.Clear(b)
		used := f.Text(b)
		instead := "it " + f.rangeText() + "; using " + f.withUnit(used)
		if f.Optional {
			instead = "it " + f.rangeText() + "; using the class value"
		}
		return &Problem{f.Key, text, used, f.Label + ": “" + Foreign(text) + "” is not a number; " + instead + "."}
	}
	near := f.Nearest(v)
	f.store(b, near)
	if near != v {
		return &Problem{f.Key, text, f.Text(b), f.Label + " " + f.rangeText() + "; using " + f.withUnit(f.Text(b)) + "."}
	}
	return nil
}

// Nearest returns the allowed value nearest to v, in Unit.
func (f *Field) Nearest(v float64) float64 {
	if f.Kind == Whole {
		v = math.Round(v)
	}
	return math.Min(f.Max, math.Max(f.Min, v))
}

// SetValue stores a number in Unit, moved to the nearest allowed one; NaN is refused by leaving the build unchanged.
// For a Choice it is the index of the option.
func (f *Field) SetValue(b *Build, v float64) {
	if math.IsNaN(v) || f.Kind == Rows {
		return
	}
	if f.Kind == Choice {
		o := f.Options()
		i := int(math.Min(float64(len(o)-1), math.Max(0, math.Round(v))))
		*f.choice(b) = o[i].ID
		return
	}
	f.store(b, f.Nearest(v))
}

// Validate refuses a build that holds what no field allows. That is a programming error, not a person's: Set and SetValue never
// leave a build like that.
func (b *Build) Validate() error {
	for i := range Fields {
		f := &Fields[i]
		var v float64
		switch {
		case f.Kind == Choice:
			if f.nameOf(*f.choice(b)) == "" {
				return fmt.Errorf("%s: there is no choice called %q (start from build.Default and change it through the Fields table)", f.Label, *f.choice(b))
			}
			continue
		case f.Kind == Rows:
			if rows, problem := ParseRows(*f.choice(b)); problem != "" || FormatRows(rows) != *f.choice(b) {
				return fmt.Errorf("%s: %q is no canonical table: %s", f.Label, *f.choice(b), problem)
			}
			continue
		case f.Optional && !b.overrides[f.slot].Given:
			continue
		case f.Optional:
			v = b.overrides[f.slot].Value
		case f.Kind == Whole:
			v = float64(*f.whole(b))
		default:
			v = *f.number(b)
		}
		// Unit scaling may move a value by its last digits; a real violation is larger. NaN fails both comparisons.
		slack := 1e-9 * f.Scale * (1 + math.Abs(f.Min) + math.Abs(f.Max))
		if !(v >= f.Min*f.Scale-slack && v <= f.Max*f.Scale+slack) {
			return fmt.Errorf("%s %s, not %g (start from build.Default and change it through the Fields table)", f.Label, f.rangeText(), v/f.Scale)
		}
	}
	return nil
}

// store keeps a value exactly as Text will write it, so that a build and its link never differ in hidden digits. Values that no input
// can mean (1e-300) are zero.
func (f *Field) store(b *Build, v float64) {
	if math.Abs(v) < 1e-9 {
		v = 0
	}
	v = tidy(v)
	switch {
	case f.Optional:
		b.overrides[f.slot] = Override{v * f.Scale, true}
	case f.Kind == Whole:
		*f.whole(b) = int(v)
	default:
		*f.number(b) = v * f.Scale
	}
}

func (f *Field) rangeText() string {
	t := "must be between " + plain(f.Min) + " and " + f.withUnit(plain(f.Max))
	if f.Kind == Whole {
		t = "must be a whole number between " + plain(f.Min) + " and " + f.withUnit(plain(f.Max))
	}
	return t
}

func (f *Field) withUnit(text string) string {
	if f.Unit == "" {
		return text
	}
	return text + " " + f.Unit
}

func (f *Field) nameOf(id string) string {
	for _, o := range f.Options() {
		if o.ID == id {
			return o.Name
		}
	}
	return ""
}

// ParseNumber reads a decimal number with a point or one comma. Hexadecimal, infinities and NaN, which strconv would take, are no numbers here.
func ParseNumber(text string) (float64, error) {
	text = strings.Replace(strings.TrimSpace(text), ",", ".", 1)
	if strings.Trim(text, "0123456789.+-eE") != "" {
		return 0, strconv.ErrSyntax
	}
	return strconv.ParseFloat(text, 64)
}

// EachNumber changes every number of a text whose numbers stand between marks, single bytes. What is no number stays as it is.
func EachNumber(text, marks string, change func(float64) float64) string {
	var out strings.Builder
	for text != "" {
		end := strings.IndexAny(text, marks)
		if end < 0 {
			end = len(text)
		}
		if v, err := ParseNumber(text[:end]); err == nil {
			out.WriteString(plain(change(v)))
		} else {
			out.WriteString(text[:end])
		}
		if end < len(text) {
			out.WriteByte(text[end])
			end++
		}
		text = text[end:]
	}
	return out.String()
}

// tidy removes the last few digits that unit scaling leaves (24 km/h must not come back as 24.000000000000004). It goes
// through decimal text because that rounds alike on every platform, and links are made of it.
func tidy(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 11, 64), 64)
	if err != nil {
		return v
	}
	return r
}

func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Foreign makes a text from outside fit to stand within a message of ours: at most 32 characters, and none that is invisible or turns
// the direction of writing around.
func Foreign(text string) string {
	var out []rune
	for _, r := range text {
		if len(out) == 32 {
			return string(out) + "…"
		}
		if unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) {
			r = unicode.ReplacementChar
		}
		out = append(out, r)
	}
	return string(out)
}
