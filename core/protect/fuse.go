package protect

import (
	"headroom/core/build"
	"headroom/core/pack"
	"headroom/core/wire"
)

// Fuse is what a fuse must do besides carrying current.
type Fuse struct {
	VoltageDC     float64 `json:"voltage_dc"`
	VoltageOK     bool    `json:"voltage_ok"` // d.c. rating ≥ full pack
	ShortCircuitA float64 `json:"short_circuit_a"`
	MostShortA    float64 `json:"most_short_a"` // with new cells at 45 °C
	BreakingA     float64 `json:"breaking_a"`
	BreakingOK    bool    `json:"breaking_ok"` // breaking capacity ≥ prospective short-circuit current
	RatingOK      bool    `json:"rating_ok"`   // the class is made in this rating

	// Times after which it opens under three lasting currents; first nil: it does not open; last nil: it may never.
	PeakA        float64  `json:"peak_a"`
	FirstAtPeak  *float64 `json:"open_first_s_at_peak,omitempty"`
	LastAtPeak   *float64 `json:"open_s_at_peak,omitempty"`
	StallA       float64  `json:"stall_a"` // the wheel held still
	FirstAtStall *float64 `json:"open_first_s_at_stall,omitempty"`
	LastAtStall  *float64 `json:"open_s_at_stall,omitempty"`
	FirstAtShort *float64 `json:"open_first_s_at_short,omitempty"`
	LastAtShort  *float64 `json:"open_s_at_short,omitempty"`

	LeadRatingA   float64     `json:"lead_rating_a"`    // what the thinnest lead behind the fuse holds at its jacket's limit
	LastingA      float64     `json:"lasting_a"`        // what the fuse may let pass for hours
	GuardsLead    bool        `json:"guards_lead"`      // that is no more than the lead's
	LeadWithstand float64     `json:"lead_withstand_s"` // what the weakest lead stands of the dead short
	LeadOK        bool        `json:"lead_i2t_ok"`      // the fuse opens before
	Band          []BandPoint `json:"band"`
}

// CheckFuse holds the fuse against the full pack: an arc between its ends must go out at full d.c. voltage and full
// short-circuit current E/R of new, warm cells (ISO 8820 and IEC 60269 rate both); and against the leads: at a dead short it must open before their jackets
// pass their short-circuit temperature (I²t ≤ k²A², IEC 60949, from the jacket's lasting limit). Cooling of the short as the pack sags is
// left out.
func CheckFuse(b *build.Build, p *build.Parts, k *pack.Pack, l Loads) Fuse {
	short, most := k.ShortCircuit(), k.MostShortCircuit()
	f := Fuse{
		VoltageDC: p.Fuse.VoltageDC, VoltageOK: p.Fuse.VoltageDC >= k.FullV,
		ShortCircuitA: short, MostShortA: most, BreakingA: p.Fuse.BreakingA, BreakingOK: p.Fuse.BreakingA >= most,
		RatingOK: b.FuseRating <= p.Fuse.MaxRating,
		PeakA:    l.PeakA, StallA: l.StallA,
		LeadRatingA: leadHolds(b, p, thinnest(p)), LastingA: lasting * b.FuseRating, LeadWithstand: withstand(b, p, short),
		Band: band(b, p, short),
	}
	f.FirstAtPeak, f.LastAtPeak = Opening(p.Fuse.Band, b.FuseRating, l.PeakA)
	f.FirstAtStall, f.LastAtStall = Opening(p.Fuse.Band, b.FuseRating, l.StallA)
	f.FirstAtShort, f.LastAtShort = Opening(p.Fuse.Band, b.FuseRating, short)
	f.GuardsLead = guards(b.FuseRating, f.LeadRatingA)
	// Where the leads hold the short for hours there is nothing to be in time for.
	f.LeadOK = short <= f.LeadRatingA || opensWithin(f.LastAtShort, f.LeadWithstand)
	return f
}

func opensWithin(last *float64, seconds float64) bool { return last != nil && *last <= seconds }

// thinnest is the smallest area in m² of a battery lead behind the fuse.
func thinnest(p *build.Parts) float64 {
	if twoBoxes(p) {
		return min(p.LeadArea, p.CrossArea)
	}
	return p.LeadArea
}

// lasting is what a fuse may let pass for hours, in times of its rating: 1.1 for blades (ISO 8820-3, from memory), 1.13 for gPV
// cartridges (IEC 60269-6, from memory). The larger counts for all.
const lasting = 1.13

// guards reports whether a fuse of a rating in A lets no more pass for hours than a lead holds.
func guards(rating, holds float64) bool { return lasting*rating <= holds }

// leadHolds is the current in A that holds a lead of an area in m² at the lasting limit of its jacket, in this box and bundle.
func leadHolds(b *build.Build, p *build.Parts, area float64) float64 {
	i := p.Insulation
	return wire.LeadCurrent(max(i.LimitC, airC(b)), area, i.Wall, airC(b)) * wire.BundleFactor(b.Bundle)
}

// withstand is how long in s the thinnest lead stands a current.
func withstand(b *build.Build, p *build.Parts, current float64) float64 {
	return wire.JouleIntegral(thinnest(p), p.Insulation.LimitC, p.Insulation.ShortC) / (current * current)
}

const whyFuse = "75 % of its rating for hours, the rating itself for seconds; less in a warm box"

// fuseSize rates a fuse in the box's air.
func fuseSize(b *build.Build, name string, rating float64) size {
	carries := rating * FuseFactor(airC(b))
	return size{name, fuseSteady * carries, carries}
}

// fuseRow offers the next rating of its class where the class can stop the full pack and the leads are guarded by it; otherwise what
// Suggest finds.
func fuseRow(b *build.Build, p *build.Parts, k *pack.Pack, l Loads) Row {
	r := row("fuse", "fuse", UnitDC, fuseSize(b, "", b.FuseRating), FuseFactor(airC(b)), l.SteadyA, l.PeakA, b.Margin, whyFuse)
	return r.with(b.Margin, func() []size {
		var sizes []size
		t := taskOf(b, p, k, l)
		for _, rating := range p.Fuse.Ratings {
			f := candidate{&p.Fuse, rating}
			if _, fits := f.fails(&t); fits {
				sizes = append(sizes, fuseSize(b, f.text(), rating))
			}
		}
		if s := t.suggest(b, p); !s.None {
			sizes = append(sizes, fuseSize(b, s.Text, s.RatingA))
		}
		return sizes
	})
}
