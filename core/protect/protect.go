// Package protect holds each part that the current passes through against its rating, and the fuse against what it must stop.
//
// A part has two loads and two ratings: the steady current of the ride against the continuous rating, and the highest current
// that the limits allow against the peak rating. The worse of the two is its margin. Ratings come from the part's class or its
// data sheet; how they are re-rated for warm boxes and bundles stands beside each rule.
//
//	links    J = 5 A/mm²·√(ρ_Ni/ρ) lasting; J = √(ΔT·c/(ρ·t)) for 10 s and 30 K
//	leads    handbook chassis current × √((limit − air)/(limit − 30 °C)) × bundle (IEC 60364-5-52); 10 s by k·A/√t (IEC 60949)
//	fuse     75 % of its rating × its re-rating in warm air (a maker's sheet); opening times from the gates of its standard
//	guard    1.13 × its rating for hours ≤ what holds the lead's copper at its jacket's limit
//	short    I²·t of the fuse ≤ k²·A² of the lead (IEC 60949)
//	charge   R = t/(C·ln 20), W = ½·C·V² (any circuits textbook)
//
// What this leaves out: at standstill one phase may carry the sine's peak itself, and all figures of the phase leads are r.m.s. of a turning
// motor; cut-off current of current-limiting fuses; what vibration, age and loose screws take; the contactor or switch in the main lead.
package protect

import (
	"math"

	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/pack"
)

// Row is one part in the current path.
type Row struct {
	Key        string       `json:"key"` // stable id
	Part       string       `json:"part"`
	Unit       string       `json:"unit"`          // of every current here: UnitDC, UnitRMS or UnitPeak
	LoadA      float64      `json:"load_a"`        // steady
	PeakA      float64      `json:"peak_a"`        // highest that the limits allow
	RatingA    float64      `json:"rating_a"`      // continuous, > 0
	PeakRating float64      `json:"peak_rating_a"` // for seconds, > 0
	Derating   float64      `json:"derating"`      // what heat and bundles leave of the continuous rating, 0…1 (1: nothing taken)
	MarginPct  float64      `json:"margin_pct"`    // of the rating that is nearer
	MarginA    float64      `json:"margin_a"`      // to the rating that is nearer
	Status     limit.Status `json:"status"`
	Why        string       `json:"why"`
	ClearWith  string       `json:"clear_with"` // smallest standard size that would be clear; "" if this one is, None if none is
}

// Units of a Row's currents.
const (
	UnitDC   = "A"
	UnitRMS  = "A r.m.s."
	UnitPeak = "A peak"
)

// None stands in ClearWith where no size in the catalogs would be clear.
const None = "none in the catalog"

// Loads are the currents of one build.
type Loads struct {
	SteadyA     float64 // battery, steady ride at its last and lowest charge, where amperes are highest
	PeakA       float64 // battery, the most that the limits allow
	StallA      float64 // battery, the wheel held still at the phase limit
	SteadyPhase float64 // phase, A peak
	PeakPhase   float64 // phase, A peak
}

// rms returns the loads that the three motor leads see while the motor turns.
func (l Loads) rms() (steady, peak float64) {
	return l.SteadyPhase / math.Sqrt2, l.PeakPhase / math.Sqrt2
}

// Rows returns the parts from cells to motor. BMS and leads between boxes are there only where the build has them.
func Rows(b *build.Build, p *build.Parts, k *pack.Pack, l Loads) []Row {
	rows := []Row{cellsRow(b, p, l), linksRow(b, p, l)}
	rows = append(rows, bmsRows(b, l)...)
	rows = append(rows, fuseRow(b, p, k, l), connectorRow(b, p, k, l), batteryLead(b, p, l).row("leads", "leads", UnitDC))
	rows = append(rows, crossLeadRows(b, p, l)...)
	return append(rows, controllerRow(b, p, k, l), controllerPhaseRow(b, p, k, l),
		phaseLead(b, p, l).row("phase_leads", "phase leads", UnitRMS), plugRow(b, p, k, l), windingRow(b, p, l))
}

// size is one standard size of a part and what it would carry.
type size struct {
	name         string
	rating, peak float64
}

// under returns the larger share of its ratings that two loads take of a size, and the amperes left of that rating.
func (s size) under(load, peak float64) (used, left float64) {
	used, left = load/s.rating, s.rating-load
	if u := peak / s.peak; u >= used {
		used, left = u, s.peak-peak
	}
	return used, left
}

// row judges a part of a size against two loads.
func row(key, part, unit string, s size, derating, load, peak, margin float64, why string) Row {
	used, left := s.under(load, peak)
	return Row{
		Key: key, Part: part, Unit: unit, LoadA: load, PeakA: peak, RatingA: s.rating, PeakRating: s.peak, Derating: derating,
		MarginPct: 100 * (1 - used), MarginA: left,
		Status: limit.Judge(used, 1-margin, 1), Why: why,
	}
}

// clear reports whether a part of size s would be clear under the loads of r.
func (r *Row) clear(s size, margin float64) bool {
	used, _ := s.under(r.LoadA, r.PeakA)
	return limit.Judge(used, 1-margin, 1) == limit.Clear
}

// with returns r and the first of the sizes, smallest first, that would be clear. Sizes are asked for only where they are needed.
func (r Row) with(margin float64, sizes func() []size) Row {
	if r.Status == limit.Clear {
		return r
	}
	r.ClearWith = None
	for _, s := range sizes() {
		if r.clear(s, margin) {
			r.ClearWith = s.name
			break
		}
	}
	return r
}

// Weakest returns the row with the least margin. rows must not be empty.
func Weakest(rows []Row) Row {
	w := rows[0]
	for _, r := range rows[1:] {
		if r.MarginPct < w.MarginPct {
			w = r
		}
	}
	return w
}
