package ui

import (
	"slices"
	"strconv"
	"strings"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/limit"
)

// slid is all that a slider is made of.
type slid struct {
	Entry
	travel *travelled // nil while it is not known
	known  int        // stretches and
	to     float64    // how far they go: what changes while the travel is looked along
	done   bool
	fresh  bool // the first of the page's sliders, and no travel has been known yet
}

func (p *Planner) slid(key string) slid {
	s := slid{Entry: p.Entry(key), travel: p.travelOf(key), fresh: !p.looked && key == build.Main[0]}
	if s.travel == nil {
		return s
	}
	if s.known = len(s.travel.shown); s.known > 0 {
		s.to = s.travel.shown[s.known-1].To
	}
	s.done = s.travel.work.Done()
	return s
}

// SliderBody is what a slider shows of one entry.
type SliderBody struct {
	P   *Planner
	Key string
	input
	of     slid
	unit   unit
	lo, hi float64 // in the shown unit
	now    float64
}

func newSliderBody(p *Planner, key string, of slid) *SliderBody {
	c := &SliderBody{P: p, Key: key, input: input{of.Entry}, of: of, unit: unit{factor: 1}}
	f := of.Field
	c.now = f.ValueIn(&p.Build, &p.parts)
	if f.Kind == build.Choice {
		c.hi = float64(len(f.Options()) - 1)
		return c
	}
	c.unit = p.Units.of(f.Unit)
	c.lo, c.hi, _ = p.travel(f, c.unit)
	return c
}

// place is where a value in the field's own unit stands along the track.
func (c *SliderBody) place(v float64) string {
	return decimal(100*min(1, max(0, (c.unit.shown(v)-c.lo)/(c.hi-c.lo))), 2) + "%"
}

func (c *SliderBody) at() string { return c.place(c.now) }

// bubble is what stands over the thumb while it is moved. A class's name stands above already, in the place where a number has its field.
func (c *SliderBody) bubble() string {
	if c.Choice() {
		return c.say(c.now) + " of " + strconv.Itoa(len(c.E.Field.Options()))
	}
	return c.E.Spoken
}

// anchor keeps it inside the card.
func (c *SliderBody) anchor() string {
	switch share := (c.unit.shown(c.now) - c.lo) / (c.hi - c.lo); {
	case share < 0.3:
		return "start"
	case share > 0.7:
		return "end"
	}
	return "middle"
}

// end is the label at an end of the track.
func (c *SliderBody) end(high bool) string {
	f := c.E.Field
	if f.Kind == build.Choice {
		list := f.Options()
		name := list[0].Name
		if high {
			name = list[len(list)-1].Name
		}
		name, _, _ = strings.Cut(name, ",")
		return name
	}
	if high {
		return c.E.Max
	}
	return c.E.Min
}

// detents are where the classes of a catalog stand.
func (c *SliderBody) detents() (list []string) {
	if c.Choice() {
		for i := range c.E.Field.Options() {
			list = append(list, c.place(float64(i)))
		}
	}
	return list
}

// stretchMark is one stretch as drawn: a thin line, stripes or a block.
type stretchMark struct{ class, from, to string }

// marks draws the stretches; each reaches half-way to its neighbours.
func (c *SliderBody) marks() []stretchMark {
	if c.of.travel == nil {
		return nil
	}
	list := c.of.travel.shown
	marks := make([]stretchMark, 0, len(list))
	half := c.E.Field.Step / 2
	if c.Choice() {
		half = 0.5
	}
	for _, s := range c.pieces() {
		marks = append(marks, stretchMark{"stretch " + string(s.Status), c.place(s.From - half), c.place(s.To + half)})
	}
	return marks
}

// pieces are the stretches with those that only differ in their reason as one. A piece's reason is the one at the edge where it gets better,
// for that is the one to go by; where neither side is better, the one nearest to the present value.
func (c *SliderBody) pieces() []core.Stretch {
	list := c.of.travel.shown
	var out []core.Stretch
	for i := 0; i < len(list); {
		j := i
		for j+1 < len(list) && list[j+1].Status == list[i].Status {
			j++
		}
		why := &list[i]
		switch {
		case i > 0 && list[i].Status.Worse(list[i-1].Status):
		case j+1 < len(list) && list[i].Status.Worse(list[j+1].Status):
			why = &list[j]
		default:
			for k := i; k <= j; k++ {
				if list[k].From <= c.now {
					why = &list[k]
				}
			}
		}
		piece := *why
		piece.From, piece.To = list[i].From, list[j].To
		out = append(out, piece)
		i = j + 1
	}
	return out
}

// where tells the stretches in words. Until the whole travel is known it tells nothing, but on a page that has just come what will stand
// here: the largest text of a page should not come last.
func (c *SliderBody) where() string {
	if c.of.travel == nil || !c.of.done {
		if c.of.fresh {
			return "Here it will say from where to where along this slider the build is clear, tight or over."
		}
		return ""
	}
	list := c.pieces()
	if len(list) == 1 {
		if list[0].Status == limit.Clear {
			return "Clear all along."
		}
		all := upperFirst(string(list[0].Status)) + " all along"
		if slices.ContainsFunc(c.of.travel.shown, func(s core.Stretch) bool { return s.Short != list[0].Short }) {
			return all + " for several reasons; here: " + list[0].Short + "."
		}
		return all + ": " + list[0].Short + "."
	}
	// What lies nearest is told first of all; what finds no room in the lines kept free is still to be seen on the track.
	first, last := 0, len(list)-1
	text := c.tell(list, first, last)
	for len(text) > roomForWords && last > first+1 {
		if c.now-list[first].To > list[last].From-c.now {
			first++
		} else {
			last--
		}
		text = c.tell(list, first, last)
	}
	return text
}

// roomForWords is how many characters the lines below a slider hold on a small phone.
const roomForWords = 96

func (c *SliderBody) tell(list []core.Stretch, first, last int) string {
	var words strings.Builder
	if c.Choice() {
		words.WriteString("of " + strconv.Itoa(len(c.E.Field.Options())) + " classes ")
	}
	empty := words.Len()
	for i := first; i <= last; i++ {
		s := &list[i]
		if s.Status == limit.Clear {
			continue
		}
		if words.Len() > empty {
			words.WriteString("; ")
		}
		words.WriteString(string(s.Status) + " " + c.span(s, i == 0, i == len(list)-1))
		if i < last && list[i+1].Short == s.Short { // the reason is told once
			s = &list[i+1]
			i++
			words.WriteString(", " + string(s.Status) + " " + c.span(s, false, i == len(list)-1))
		}
		words.WriteString(": " + s.Short)
	}
	if words.Len() == empty {
		return ""
	}
	return upperFirst(words.String()) + "."
}

// span is from where to where a piece goes; the ends of the track need not be told.
func (c *SliderBody) span(s *core.Stretch, first, last bool) string {
	switch {
	case s.From == s.To:
		return "at " + c.say(s.From)
	case first:
		return "up to " + c.say(s.To)
	case last:
		return "from " + c.say(s.From)
	}
	return c.say(s.From) + " to " + c.say(s.To)
}

// say is a value in few words.
func (c *SliderBody) say(v float64) string {
	if c.Choice() {
		return strconv.Itoa(int(v) + 1)
	}
	return shortest(c.unit.shown(v), 1)
}
