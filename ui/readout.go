package ui

import (
	"strconv"

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
}

// Readout formats a readout of the current report.
func (p *Planner) Readout(o *core.Readout) Figure {
	f := Figure{Key: o.Key, Label: o.Label, Help: o.Help, Detail: o.Detail(&p.Report), Number: "–", Missing: true}
	if f.Bar = p.Report.Bar(o.Key); f.Bar != nil {
		f.Status = f.Bar.Status
	}
	v, ok := o.Value(&p.Report)
	f.Number, f.Unit = p.Units.Figure(v, o.Unit, o.Digits)
	if !ok {
		f.Number = "–"
		return f
	}
	f.Value, f.Missing = strconv.FormatFloat(v, 'g', 12, 64), false
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
