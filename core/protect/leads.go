package protect

import (
	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/pack"
	"headroom/core/wire"
)

// leadSeconds is how long a lead carries a peak.
const leadSeconds = 10.0

const whyLead = "handbook chassis current, less in a warm box and in a bundle; 10 s from the steady temperature to the jacket's limit for a peak"

// lead is one lead and its two loads, A d.c. or r.m.s.
type lead struct {
	b            *build.Build
	p            *build.Parts
	area         float64 // m²
	steady, peak float64
}

func batteryLead(b *build.Build, p *build.Parts, l Loads) lead {
	return lead{b, p, p.LeadArea, l.SteadyA, l.PeakA}
}

// twoBoxes reports whether cells lie in both boxes, so that leads run between them.
func twoBoxes(p *build.Parts) bool { return p.Split > 0 }

func crossLead(b *build.Build, p *build.Parts, l Loads) lead {
	return lead{b, p, p.CrossArea, l.SteadyA, l.PeakA}
}

func phaseLead(b *build.Build, p *build.Parts, l Loads) lead {
	steady, peak := l.rms()
	return lead{b, p, p.PhaseArea, steady, peak}
}

func crossLeadRows(b *build.Build, p *build.Parts, l Loads) []Row {
	if twoBoxes(p) {
		return []Row{crossLead(b, p, l).row("cross_leads", "leads between boxes", UnitDC)}
	}
	return nil
}

func (l lead) row(key, part, unit string) Row {
	from, _ := l.celsius()
	r := row(key, part, unit, l.size(wire.ChassisA(l.area), from), leadFactor(l.b, l.p), l.steady, l.peak, l.b.Margin, whyLead)
	if r.Status != limit.Clear {
		r.ClearWith = None
		if g, found := thinnestGauge(l.carriedBy); found {
			r.ClearWith = g.name()
		}
	}
	return r
}

// celsius is the temperature that the lead settles at. In a bundle it heats as one alone would under 1/factor of the current, which is
// what the factor means. ok is false where it settles nowhere.
func (l lead) celsius() (celsius float64, ok bool) {
	return wire.LeadC(l.steady/wire.BundleFactor(l.b.Bundle), l.area, l.p.Insulation.Wall, airC(l.b))
}

// size rates the lead, by its handbook current, when the steady load has brought it to a temperature in °C. Its peak begins there, and is
// never taken below what it carries for hours.
func (l lead) size(chassis, from float64) size {
	rating := chassis * leadFactor(l.b, l.p)
	return size{"", rating, max(rating, wire.Adiabatic(l.area, leadSeconds, from, l.p.Insulation.LimitC))}
}

// carriedBy reports whether the lead would be clear by its ratings in a gauge.
func (l lead) carriedBy(g gauge) bool {
	_, clear := l.in(g)
	return clear
}

// keptCoolBy reports whether it would be clear by its temperature too.
func (l lead) keptCoolBy(g gauge) bool {
	celsius, clear := l.in(g)
	return clear && l.status(celsius) == limit.Clear
}

// in tells the temperature of the lead in another gauge, °C, and whether it would be clear by its ratings there. The steady load is asked
// first: many gauges fail there, and then nothing else counts, least of all a temperature, which costs most.
func (l lead) in(g gauge) (celsius float64, clear bool) {
	hours, both := Row{LoadA: l.steady}, Row{LoadA: l.steady, PeakA: l.peak}
	rating := g.chassis * leadFactor(l.b, l.p)
	if !hours.clear(size{"", rating, rating}, l.b.Margin) {
		return 0, false
	}
	l.area = g.area
	celsius, _ = l.celsius()
	return celsius, both.clear(l.size(g.chassis, celsius), l.b.Margin)
}

// Leads is what the leads do to voltage and to themselves.
type Leads struct {
	DropV   float64  `json:"drop_v"`   // in both battery leads and those between the boxes at the highest battery current
	DropPct float64  `json:"drop_pct"` // of the full pack
	AirC    float64  `json:"air_c"`    // around them
	LimitC  float64  `json:"limit_c"`  // lasting, of the jacket
	Battery LeadHeat `json:"battery"`
	// Between is nil where one box holds all cells.
	Between *LeadHeat `json:"between_boxes,omitempty"`
	Phase   LeadHeat  `json:"phase"`
}

// LeadHeat is one lead's copper on a long ride.
type LeadHeat struct {
	SteadyC *float64 `json:"steady_c,omitempty"` // nil where it settles nowhere below 400 °C
	// Status holds the rise over the air against the rise that the jacket allows, with the current margin asked for.
	Status limit.Status `json:"status"`
	// SuggestAWG is the thinnest gauge, 20…4, that is clear here and in its Row; nil where none is.
	SuggestAWG *int `json:"suggest_awg,omitempty"`
}

// CheckLeads computes voltage drop and temperatures.
func CheckLeads(b *build.Build, p *build.Parts, k *pack.Pack, l Loads) Leads {
	drop := k.LeadOhm * l.PeakA
	out := Leads{
		DropV: drop, DropPct: 100 * drop / k.FullV, AirC: airC(b), LimitC: p.Insulation.LimitC,
		Battery: batteryLead(b, p, l).heat(), Phase: phaseLead(b, p, l).heat(),
	}
	if twoBoxes(p) {
		h := crossLead(b, p, l).heat()
		out.Between = &h
	}
	return out
}

func (l lead) heat() LeadHeat {
	c, ok := l.celsius()
	h := LeadHeat{Status: l.status(c)}
	if ok {
		h.SteadyC = &c
	}
	if g, found := thinnestGauge(l.keptCoolBy); found {
		h.SuggestAWG = &g.awg
	}
	return h
}

// status judges copper at celsius; one that settles nowhere is at 400 °C, above every jacket's limit.
func (l lead) status(celsius float64) limit.Status {
	allowed := l.p.Insulation.LimitC - airC(l.b)
	return limit.Judge(celsius-airC(l.b), allowed*(1-l.b.Margin), allowed)
}
