package ui

import "github.com/vugu/vugu"

// sight is which cards can be seen, and whether an input is on its way. A card out of sight keeps what it shows while inputs move; when
// they rest it catches up, a few cards a frame, and at once when it comes into sight or anything else is done. On a phone nine cards in ten
// lie below the screen, and drawing them anew in each frame would hold up the slider.
type sight struct {
	away   map[string]bool // cards out of sight, by their data-sight
	pace   pace
	left   int  // how many cards may catch up in this frame
	behind bool // some card fell behind, or has not caught up
	coming bool // some card has more to show than it drew in this frame
}

type pace int

const (
	still  pace = iota // every card shows what is
	moving             // nothing has happened since the last change of an input
	resting
)

// catchUp is how many cards catch up in one frame.
const catchUp = 2

// SetSight is told when a card comes into sight or leaves it. Cards that nothing was said of are in sight.
func (p *Planner) SetSight(card string, seen bool) {
	if p.away == nil {
		p.away = map[string]bool{}
	}
	p.away[card] = !seen
}

// Stir is called before anything that a person does. What follows is drawn everywhere, unless it moves an input.
func (p *Planner) Stir() { p.pace = still }

// Moving tells whether an input is on its way.
func (p *Planner) Moving() bool { return p.pace == moving }

// Behind tells whether cards out of sight may show a build of before.
func (p *Planner) Behind() bool { return p.pace != still }

// Rest is called when inputs have not moved for a moment: from the next frame on cards catch up.
func (p *Planner) Rest() {
	if p.pace == moving {
		p.pace, p.left = resting, catchUp
	}
}

// CatchUp is called after every frame and tells whether another one is needed: for cards that are behind, or for what comes piece by piece.
func (p *Planner) CatchUp() bool {
	behind, coming := p.behind, p.coming
	p.behind, p.coming, p.left = false, false, catchUp
	if p.pace == resting && !behind {
		p.pace = still
	}
	return p.pace == resting || coming
}

// mayWait tells whether a card need not be drawn in this frame.
func (p *Planner) mayWait(card string, plan int) bool {
	// A folded card is next to nothing to draw, and what it holds for scripts is to agree with the rest of the page.
	if p.pace == still || !p.away[card] || !p.open[card] {
		return false
	}
	if plan == p.plans {
		return true
	}
	if p.pace == resting && p.left > 0 {
		p.left--
		return false
	}
	p.behind = true
	return true
}

// Card keeps what the card in it shows for as long as it may wait.
type Card struct {
	P    *Planner
	Name string // its data-sight
	Of   vugu.Builder

	again *vugu.BuildOut
	plan  int // that it shows
}

// Build is called by vugu.
func (c *Card) Build(in *vugu.BuildIn) *vugu.BuildOut {
	if c.again != nil && c.P.mayWait(c.Name, c.plan) {
		return c.again
	}
	if of, ok := c.Of.(interface{ Compute() }); ok {
		of.Compute()
	}
	out := c.Of.Build(in)
	c.again, c.plan = &vugu.BuildOut{Out: out.Out}, c.P.plans
	return out
}

// cards are those that may fall behind, by their data-sight.
func (c *Root) card(name string) vugu.Builder {
	if c.cards == nil {
		c.cards = map[string]vugu.Builder{
			pathID:      &CurrentPath{P: c.P},
			settingsID:  &SettingsCheck{P: c.P},
			fuseID:      &FuseCard{P: c.P},
			compareID:   &Compare{P: c.P},
			boxesID:     &BoxesView{P: c.P},
			sideID:      &SideView{P: c.P},
			rideCheckID: &RideCheck{P: c.P},
			routeID:     &RouteCard{P: c.P},
			pricesID:    &PriceList{P: c.P},
			quoteID:     &QuoteCard{P: c.P},
			shareID:     &ShareCard{P: c.P},
			findID:      &FindBuilds{P: c.P},
			rideLogID:   &RideLog{P: c.P},
		}
		for i := range sectionIDs {
			of := &Readouts{P: c.P, Index: i}
			c.cards[of.id()] = of
		}
		for i := range curveCards {
			of := &Curves{P: c.P, Index: i}
			c.cards[of.id()] = of
		}
	}
	return c.cards[name]
}
