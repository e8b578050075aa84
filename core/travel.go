package core

import (
	"math"
	"strings"

	"headroom/core/build"
	"headroom/core/limit"
)

// Stretch is a part of one input's travel where the same thing makes the build no better than Status. From and To are in the field's unit
// (for a choice, indices of its options), both included.
type Stretch struct {
	From   float64
	To     float64
	Status limit.Status
	Code   string // of the note, or key of the bar, that makes it so; "" where it is clear
	Short  string // that in a few words
	Why    string // and as a sentence
}

// coarse is at how many positions the travel of a number is looked at before its edges are searched.
const coarse = 25

// Travels finds the worst status of the whole report at every position of one input, one position a call, so that a page that has only
// one thread stays awake.
type Travels struct {
	build build.Build
	field *build.Field
	last  int        // index of the last position
	seen  []*Stretch // by position; nil is not known yet
	next  []int      // positions to look at
}

// NewTravels begins with a valid build; nothing is computed yet.
func NewTravels(b build.Build, key string) *Travels {
	f := build.FieldFor(key)
	t := &Travels{build: b, field: f, last: -1}
	if f == nil || f.Kind == build.Rows {
		return t
	}
	stride := 1
	if f.Kind == build.Choice {
		t.last = len(f.Options()) - 1
	} else {
		t.last = int(math.Ceil((f.Max-f.Min)/f.Step - 1e-6))
		if f.Kind == build.Number && t.last >= coarse {
			stride = (t.last + coarse - 2) / (coarse - 1)
		}
	}
	t.seen = make([]*Stretch, t.last+1)
	for i := 0; i < t.last; i += stride {
		t.next = append(t.next, i)
	}
	t.next = append(t.next, t.last)
	return t
}

// Travel returns the whole travel of one input, from its lowest position to its highest.
func Travel(b build.Build, key string) []Stretch {
	t := NewTravels(b, key)
	for t.Step() {
	}
	return t.Stretches()
}

// value is a position in the field's unit.
func (t *Travels) value(i int) float64 {
	if t.field.Kind == build.Choice {
		return float64(i)
	}
	return math.Min(t.field.Max, t.field.Min+float64(i)*t.field.Step)
}

// Done tells whether every position is known.
func (t *Travels) Done() bool { return len(t.next) == 0 }

// Step looks at one position; it is false where there was none left.
func (t *Travels) Step() bool {
	if t.Done() {
		return false
	}
	i := t.next[0]
	t.next = t.next[1:]
	b := t.build
	t.field.SetValue(&b, t.value(i))
	r := plan(b, false)
	s := worst(&r, t.same())
	s.From, s.To = t.value(i), t.value(i)
	t.seen[i] = &s
	if t.Done() {
		t.between()
	}
	return true
}

// same is the code of the note that says the same at every position of all inputs but motor and tire, and so would hide what the travel changes.
func (t *Travels) same() string {
	if t.field.Key == "motor" || t.field.Key == "tire" {
		return ""
	}
	return "rim"
}

// between lists the positions half-way between neighbours that differ, until none is left between them.
func (t *Travels) between() {
	at := 0
	for i, s := range t.seen {
		if s == nil {
			continue
		}
		if i > at+1 && !t.seen[at].alike(s) {
			t.next = append(t.next, (at+i)/2)
		}
		at = i
	}
}

func (s *Stretch) alike(o *Stretch) bool { return s.Status == o.Status && s.Code == o.Code }

// Stretches returns what is known so far, from low to high. Positions between two that are alike count as they do.
func (t *Travels) Stretches() []Stretch {
	var list []Stretch
	for i, s := range t.seen {
		if s == nil {
			continue
		}
		if n := len(list); n > 0 && list[n-1].alike(s) && t.reaches(&list[n-1], i) {
			list[n-1].To = s.To
			continue
		}
		list = append(list, *s)
	}
	return list
}

// reaches tells whether nothing between a stretch and a position is waiting to be looked at.
func (t *Travels) reaches(s *Stretch, i int) bool {
	for _, n := range t.next {
		if v := t.value(n); v > s.To && n < i {
			return false
		}
	}
	return true
}

// worst is the worst that a report says, one note aside, and what says it: a note first, for that is a sentence for people.
func worst(r *Report, aside string) Stretch {
	s := Stretch{Status: limit.Clear}
	for i := range r.Notes { // the worst stands first
		if n := &r.Notes[i]; n.Code != aside {
			if n.Status.Worse(limit.Clear) {
				s.Status, s.Code, s.Why = n.Status, n.Code, n.Text
			}
			break
		}
	}
	for i := range r.Limits {
		if bar := &r.Limits[i]; bar.Status.Worse(s.Status) {
			s.Status, s.Code, s.Why = bar.Status, bar.Key, upperFirst(bar.Text)+"."
		}
	}
	s.Short = short(s.Code)
	return s
}

// shorts are the notes whose code does not read well by itself.
var shorts = map[string]string{
	"fuse-breaking": "fuse breaking capacity", "fuse-lead": "fuse and lead", "lead-heat": "hot leads", "bms": "BMS",
	"little-wanted": "reserve wanted", "no-ride": "no range", "rim": "tire and rim",
	"no-reserve": "no balance reserve", "low-reserve": "balance reserve", "over-ceiling": "cruise ceiling", "no-brake": "no braking",
	"heat": "winding heat", "rub": "tire rubs", "pressure-high": "tire pressure", "pressure-low": "tire pressure",
	"overfull": "braking into a full pack", "brake-temperature": "braking and cell temperature", "brake-current": "braking current of the cells",
	"brake-voltage": "cell voltage in braking", "pack-heat": "pack heat", "winding-assumed": "winding temperature assumed",
	"clearance": "nose or tail", "box-main": "main box", "box-second": "second box",
}

// short names a note or a bar in a few words.
func short(code string) string {
	if o := ReadoutFor(code); o != nil {
		return strings.ToLower(o.Label[:1]) + o.Label[1:]
	}
	if s, ok := shorts[code]; ok {
		return s
	}
	if part, ok := strings.CutPrefix(code, "current-"); ok {
		return "current in the " + part
	}
	return strings.ReplaceAll(code, "-", " ")
}
