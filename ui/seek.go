package ui

import (
	"strings"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/limit"
)

// seeking is the search for what would make one figure clear.
type seeking struct {
	readout string
	of      build.Build
	work    *core.Seeking
}

// sought is the search for the figure whose "why?" is open; nil where nobody asked for it, or asked it of another build.
func (p *Planner) sought() *seeking {
	if s := p.seeking; s != nil && s.readout == p.Asked && s.of == p.Build {
		return s
	}
	return nil
}

// Seek begins to look for single changes that make the figure clear whose "why?" is open.
func (p *Planner) Seek() {
	p.seeking = &seeking{p.Asked, p.Build, core.NewSeeking(p.Build, p.Asked)}
	p.Focus = "why" // the button that was pressed is gone
}

// Take makes one of the changes that were found.
func (p *Planner) Take(w core.Way) {
	f := build.FieldFor(w.Key)
	if f.Kind == build.Choice {
		p.Choose(w.Key, f.Options()[int(w.Value)].ID)
	} else {
		// As found, not by way of the shown unit: rounding there might miss the limit.
		delete(p.drafts, w.Key)
		f.SetValue(&p.Build, w.Value)
		p.edited()
	}
	p.Focus = "why"
}

func (c *WhySheet) unclear() bool { return c.fig.Status == limit.Tight || c.fig.Status == limit.Over }

func (c *WhySheet) ways() []core.Way {
	if s := c.P.sought(); s != nil {
		return s.work.Ways()
	}
	return nil
}

// found says how far the search is.
func (c *WhySheet) found() string {
	s := c.P.sought()
	switch {
	case s == nil:
		return ""
	case len(s.work.Ways()) > 0:
		return "Any one of these makes it clear, and nothing else worse:"
	case !s.work.Done():
		return "Looking…"
	}
	return "Nothing among the main inputs alone does."
}

// way says one change in the units of the page.
func (c *WhySheet) way(w core.Way) string {
	f := build.FieldFor(w.Key)
	if f.Kind == build.Choice {
		return w.Text
	}
	x := c.P.Units.of(f.Unit)
	return f.Label + ": " + strings.TrimSpace(shortest(x.shown(w.Value), c.P.digits(f, x))+" "+x.name)
}
