package protect

import (
	"fmt"
	"math"
	"sort"

	"headroom/core/build"
	"headroom/core/pack"
)

// mostParallel is how many cells in parallel are offered at most.
var mostParallel = int(build.FieldFor("p").Max)

func cellsRow(b *build.Build, p *build.Parts, l Loads) Row {
	of := func(n int) size {
		return size{fmt.Sprintf("%d in parallel", n), float64(n) * p.Cell.ContinuousA, float64(n) * p.Cell.PeakA}
	}
	return row("cells", "cells", UnitDC, of(b.Parallel), 1, l.SteadyA, l.PeakA, b.Margin,
		"parallel count times the cell's continuous and peak rating").with(b.Margin, func() []size {
		var sizes []size
		for n := range mostParallel {
			sizes = append(sizes, of(n+1))
		}
		return sizes
	})
}

const (
	stripLasting = 5e6     // A/m² of nickel for hours (common practice, no published source)
	nickel       = 6.99e-8 // Ω·m, the metal of that rule
	stripSeconds = 10.0    // a peak lasts
	stripRise    = 30.0    // K that a peak may add (common practice, no published source)
	stripStep    = 0.5e-6  // m²
	bmsStep      = 5.0     // A
)

// linksRow holds the links to the heat per volume of the nickel rule for hours, and to 30 K in 10 s with no heat leaving for a peak.
func linksRow(b *build.Build, p *build.Parts, l Loads) Row {
	lasting, peak := stripDensities(&p.Strip)
	of := func(area float64) size {
		return size{fmt.Sprintf("%g mm²", math.Round(area*1e7)/10), lasting * area, peak * area}
	}
	return row("links", "links", UnitDC, of(b.StripArea), 1, l.SteadyA, l.PeakA, b.Margin,
		"heat per volume as nickel has at 5 A/mm² for hours; 30 K in 10 s for a peak").with(b.Margin, func() []size {
		return around(max(l.SteadyA/lasting, l.PeakA/peak)/(1-b.Margin), stripStep, of)
	})
}

// around lists the steps that may be the first to pass need: the one below, and two more for the last digit of the division.
func around(need, step float64, of func(float64) size) []size {
	n := max(1, math.Floor(need/step))
	return []size{of(n * step), of((n + 1) * step), of((n + 2) * step)}
}

// bmsRows holds a BMS in the riding current to its rating, which is where it opens: the same for hours and for seconds.
func bmsRows(b *build.Build, l Loads) []Row {
	if b.BMS != build.BMSPath {
		return nil
	}
	of := func(a float64) size { return size{fmt.Sprintf("BMS of %g A", a), a, a} }
	return []Row{row("bms", "BMS", UnitDC, of(b.BMSRating), 1, l.SteadyA, l.PeakA, b.Margin,
		"what it carries and does not open at").with(b.Margin, func() []size {
		return around(max(l.SteadyA, l.PeakA)/(1-b.Margin), bmsStep, of)
	})}
}

// bySize sorts sizes, smallest first.
func bySize(sizes []size) []size {
	sort.SliceStable(sizes, func(i, j int) bool { return sizes[i].rating < sizes[j].rating })
	return sizes
}

func controllerRow(b *build.Build, p *build.Parts, k *pack.Pack, l Loads) Row {
	of := func(c build.ControllerClass) size { return size{c.Name, c.BatteryA, c.BatteryA} }
	return row("controller", "controller", UnitDC, of(p.Controller), 1, l.SteadyA, l.PeakA, b.Margin,
		"battery side, continuous rating").with(b.Margin, func() []size { return controllers(k.FullV, of) })
}

func controllerPhaseRow(b *build.Build, p *build.Parts, k *pack.Pack, l Loads) Row {
	of := func(c build.ControllerClass) size { return size{c.Name, c.PhaseA, c.PhaseA} }
	return row("controller_phases", "controller phases", UnitPeak, of(p.Controller), 1, l.SteadyPhase, l.PeakPhase, b.Margin,
		"phase side, peak amperes").with(b.Margin, func() []size { return controllers(k.FullV, of) })
}

// controllers lists the classes that stand the full pack.
func controllers(full float64, of func(build.ControllerClass) size) []size {
	var sizes []size
	for _, c := range build.Controllers {
		if c.AbsoluteV >= full {
			sizes = append(sizes, of(c))
		}
	}
	return bySize(sizes)
}

func windingRow(b *build.Build, p *build.Parts, l Loads) Row {
	of := func(c build.MotorClass) size { return size{c.Name, c.PhaseA, c.PhaseA} }
	return row("motor_winding", "motor winding", UnitPeak, of(p.Motor), 1, l.SteadyPhase, l.PeakPhase, b.Margin,
		"peak amperes for seconds; heat sets the steady limit").with(b.Margin, func() []size {
		var sizes []size
		for _, c := range build.Motors {
			sizes = append(sizes, of(c))
		}
		return bySize(sizes)
	})
}

// connectorRow and plugRow take class ratings as holding in air of 30 °C for contacts that may reach 90 °C.
func connectorRow(b *build.Build, p *build.Parts, k *pack.Pack, l Loads) Row {
	return contactRow(b, k, row("connector", "connector", UnitDC, contact(p.Connector, contactFactor(b)), contactFactor(b),
		l.SteadyA, l.PeakA, b.Margin, whyContact))
}

func plugRow(b *build.Build, p *build.Parts, k *pack.Pack, l Loads) Row {
	steady, peak := l.rms()
	return contactRow(b, k, row("motor_plug", "motor plug", UnitRMS, contact(p.MotorPlug, contactFactor(b)), contactFactor(b),
		steady, peak, b.Margin, whyContact))
}

const whyContact = "class ratings, less in a warm box: contacts up to 90 °C"

func contact(c build.ConnectorClass, factor float64) size {
	return size{c.Name, c.ContinuousA * factor, c.PeakA * factor}
}

// contactRow offers the classes that stand the full pack's voltage too.
func contactRow(b *build.Build, k *pack.Pack, r Row) Row {
	return r.with(b.Margin, func() []size {
		var sizes []size
		for _, c := range build.Connectors {
			if c.VoltageDC >= k.FullV {
				sizes = append(sizes, contact(c, contactFactor(b)))
			}
		}
		return bySize(sizes)
	})
}
