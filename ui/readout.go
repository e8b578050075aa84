package ui

import (
	"headroom/core"
	"headroom/core/limit"
)

// Figure is one readout as shown.
type Figure struct {
	Key     string
	Label   string
	Number  string // "–" where the report has none
	Unit    string
	Value   string // plain metric number for data-value; "" where there is none
	Detail  string
	Help    string
	Status  limit.Status // "" without a limit
	Bar     *limit.Bar   // nil without a limit
	Missing bool
	Change  string       // against the pinned build; "" while none is pinned
	Was     limit.Status // what the pinned build's was, where that is another
}

// Readout formats a readout of the current report.
func (p *Planner) Readout(o *core.Readout) Figure {
	f := p.Units.figure(o, &p.Report)
	p.compared(&f, o)
	return f
}

// leading is the readouts of the bar that is always in sight, the leading one first.
var leading = func() []*core.Readout {
	var list []*core.Readout
	for i := range core.Readouts {
		for j := range core.Readouts[i].Rows {
			if o := &core.Readouts[i].Rows[j]; o.Lead {
				list = append(list, o)
			}
		}
	}
	return list
}()

// Leading returns the figures of the readout bar.
func (p *Planner) Leading() []Figure {
	out := make([]Figure, len(leading))
	for i, o := range leading {
		out[i] = p.Readout(o)
	}
	return out
}
