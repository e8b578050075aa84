package protect

import (
	"fmt"
	"slices"

	"headroom/core/build"
	"headroom/core/pack"
)

// Suggestion is the smallest standard fuse that does all that a fuse must do on this build.
type Suggestion struct {
	None    bool     `json:"none"`     // no class and rating does it all
	Class   string   `json:"class"`    // catalog id; "" where None
	Name    string   `json:"name"`     // of the class
	RatingA float64  `json:"rating_a"` // 0 where None
	Text    string   `json:"text"`     // name and rating in one, None's words where there is none
	Reasons []string `json:"reasons"`  // what it had to do; where None, what stood in the way
}

// candidate is one standard fuse.
type candidate struct {
	class  *build.FuseClass
	rating float64
}

// standard are all standard fuses: smallest rating first, then smallest voltage, then catalog order.
var standard = standardFuses()

func standardFuses() []candidate {
	var list []candidate
	for i := range build.Fuses {
		for _, rating := range build.Fuses[i].Ratings {
			list = append(list, candidate{&build.Fuses[i], rating})
		}
	}
	// Ratings are whole tenths of an ampere and voltages below 10 kV, so one whole number sorts by both.
	key := func(c candidate) int { return int(c.rating*10)*10000 + int(c.class.VoltageDC) }
	slices.SortStableFunc(list, func(a, b candidate) int { return key(a) - key(b) })
	return list
}

func (c candidate) text() string { return fmt.Sprintf("%s, %g A", c.class.Name, c.rating) }

// task is what a fuse must do on one build.
type task struct {
	full        float64 // V
	short, most float64 // A of a dead short: of this pack on this ride, of new cells at 45 °C
	load        Row     // steady and highest current
	margin      float64 // asked for
	keeps       float64 // share of its rating that a fuse keeps in the box
	leads       float64 // A that hold the thinnest lead at its jacket's limit
	withstand   float64 // s that the leads stand the dead short
}

func taskOf(b *build.Build, p *build.Parts, k *pack.Pack, l Loads) task {
	short := k.ShortCircuit()
	return task{k.FullV, short, k.MostShortCircuit(), Row{LoadA: l.SteadyA, PeakA: l.PeakA}, b.Margin, FuseFactor(airC(b)), leadHolds(b, p, thinnest(p)), withstand(b, p, short)}
}

// demand is one thing a fuse must do.
type demand int

// The demands in the order that they are asked in.
const (
	voltage demand = iota
	breaking
	carrying
	guarding
	opening
)

// fails returns the first demand that a fuse does not meet, and the last where it meets all and so fits.
func (c candidate) fails(t *task) (first demand, fits bool) {
	switch {
	case c.class.VoltageDC < t.full:
		return voltage, false
	case c.class.BreakingA < t.most:
		return breaking, false
	case !t.load.clear(c.carries(t.keeps), t.margin):
		return carrying, false
	case !guards(c.rating, t.leads):
		return guarding, false
	}
	_, last := Opening(c.class.Band, c.rating, t.short)
	return opening, t.short <= t.leads || opensWithin(last, t.withstand)
}

func (c candidate) carries(keeps float64) size {
	return size{rating: fuseSteady * keeps * c.rating, peak: keeps * c.rating}
}

// Suggest searches every class and standard rating for one whose d.c. voltage reaches the full pack, that can break the prospective short
// circuit, carries the loads with the margin asked for, lets no more pass for hours than the leads' jackets stand, and opens before a dead short
// harms them. The smallest rating wins, then the smallest voltage.
func Suggest(b *build.Build, p *build.Parts, k *pack.Pack, l Loads) Suggestion {
	t := taskOf(b, p, k, l)
	return t.suggest(b, p)
}

func (t *task) suggest(b *build.Build, p *build.Parts) Suggestion {
	furthest, nearest := voltage, standard[0]
	for _, c := range standard {
		first, fits := c.fails(t)
		if fits {
			return Suggestion{Class: c.class.ID, Name: c.class.Name, RatingA: c.rating, Text: c.text(), Reasons: t.met(c)}
		}
		if first > furthest {
			furthest, nearest = first, c
		}
	}
	return Suggestion{None: true, Text: None, Reasons: []string{t.obstacle(furthest, nearest, leadFor(b, p, nearest.rating))}}
}

func (t *task) met(c candidate) []string {
	carries := c.carries(t.keeps)
	return []string{
		fmt.Sprintf("It is rated %g V d.c.; the full pack is %.1f V.", c.class.VoltageDC, t.full),
		fmt.Sprintf("It can break %g A; a dead short draws %.0f A at most.", c.class.BreakingA, t.most),
		fmt.Sprintf("In this box it carries %.1f A for hours and %.1f A for seconds; the ride takes %.1f A and %.1f A at most.", carries.rating, carries.peak, t.load.LoadA, t.load.PeakA),
		fmt.Sprintf("It may let %.0f A pass for hours; the leads' jackets stand %.0f A.", lasting*c.rating, t.leads),
		t.inTime(),
	}
}

func (t *task) inTime() string {
	if t.short <= t.leads {
		return fmt.Sprintf("The leads stand the %.0f A of a dead short for hours.", t.short)
	}
	return fmt.Sprintf("At a dead short it opens before the %.2g s that the leads stand.", t.withstand)
}

// obstacle says why nothing fits: the demand that the nearest fuse fails at, when all before are met.
func (t *task) obstacle(d demand, c candidate, lead string) string {
	stops := fmt.Sprintf("reaches %.1f V d.c. and breaks the %.0f A of a dead short", t.full, t.most)
	return []string{
		voltage:  fmt.Sprintf("No class in the catalog reaches %.1f V d.c.", t.full),
		breaking: "No class in the catalog " + stops + ".",
		carrying: fmt.Sprintf("No fuse that %s carries %.0f A for hours and %.0f A for seconds with the margin wanted.", stops, t.load.LoadA, t.load.PeakA),
		guarding: fmt.Sprintf("The smallest fuse that %s and carries the load is %s. It may let %.0f A pass for hours and the leads' jackets stand %.0f A; they would have to be %s.", stops, c.text(), lasting*c.rating, t.leads, lead),
		opening:  fmt.Sprintf("The smallest fuse that %s, carries the load and does not overheat the leads is %s. It opens too late: the leads stand the dead short for %.2g s. Thicker leads are needed.", stops, c.text(), t.withstand),
	}[d]
}

// leadFor is the thinnest gauge whose jacket stands what a fuse of a rating in A may let pass for hours in this box.
func leadFor(b *build.Build, p *build.Parts, rating float64) string {
	g, found := thinnestGauge(func(g gauge) bool { return guards(rating, leadHolds(b, p, g.area)) })
	if found {
		return g.name() + " or thicker"
	}
	return "thicker than any gauge here"
}
