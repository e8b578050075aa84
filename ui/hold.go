package ui

// hold is a step button under a finger.
type hold struct {
	key   string
	by    float64
	on    bool
	steps int  // made while held
	spent bool // the click that ends a hold has had its steps already
}

// Hold begins when a step button is pressed; only the main button of a mouse (0) counts. The first step is that of the click, so that a
// finger that only scrolls past moves nothing.
func (p *Planner) Hold(key string, by, button float64) {
	p.hold = hold{key: key, by: by, on: button == 0}
	p.timed()
}

// Release ends it. up tells that the button was let go and not left: only then a click follows.
func (p *Planner) Release(up bool) {
	if !p.hold.on {
		return
	}
	p.hold.on, p.hold.spent = false, up && p.hold.steps > 0
	p.timed()
}

func (p *Planner) timed() {
	if p.OnHold != nil {
		p.OnHold()
	}
}

// Held tells whether a step button is held.
func (p *Planner) Held() bool { return p.hold.on }

// HoldStep makes one step of a held button; false when there is nothing more to do.
func (p *Planner) HoldStep() bool {
	if !p.hold.on {
		return false
	}
	before := p.Build
	p.Nudge(p.hold.key, p.hold.by)
	p.hold.steps++
	return p.Build != before // or the end is reached
}

// HoldPause is how long until the next step of a held button, in ms: a while before the first, then quicker and quicker.
func (p *Planner) HoldPause() int {
	if p.hold.steps == 0 {
		return 400
	}
	return max(30, 82-2*p.hold.steps)
}

// Unspend forgets that a click is still to come; where a long touch makes none, the next click is one of its own.
func (p *Planner) Unspend() { p.hold.spent = false }

// Click is a click of a step button, by pointer or by key.
func (p *Planner) Click(key string, by float64) {
	if p.hold.spent {
		p.hold.spent = false
		return
	}
	p.Nudge(key, by)
}

// Step is a button that moves a field by one step.
type Step struct {
	P     *Planner
	Key   string
	Label string // of the field
	By    float64
}

func (c *Step) words() (sign, name string) {
	if c.By < 0 {
		return "−", "Less: " + c.Label
	}
	return "+", "More: " + c.Label
}

func (c *Step) sign() string {
	s, _ := c.words()
	return s
}

func (c *Step) name() string {
	_, n := c.words()
	return n
}
