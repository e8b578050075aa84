// Package charge is one charge of the pack from a charger of constant current, then constant voltage.
//
//	E(z) = S·U(z)          R(z) = S·R_cell(z)/P + (S−1)·joint          Q = P·Ah·health
//	I(z) = min(I_c, (V − E)/R)          dt = Q·dz/I          until z = z₁ or, at constant voltage, I = taper·P·Ah
//	into the terminals ∫(E + I·R)·Q·dz, of it heat ∫I·R·Q·dz          wall = terminals/η
//
// Constant current and constant voltage are what every lithium-ion charger does; the form with a resistance behind a voltage is Ohm's
// law, and for a straight U and a fixed R it has the closed form that the tests work by hand. A charger holds both limits at once, so
// the lesser current counts: a cold, empty pack whose resistance falls while it fills can begin at constant voltage and go on at
// constant current.
//
// The pack rests at 40–60 % when stored (common practice, no published source) and at no more than 30 % when lithium batteries are
// shipped by air (Dangerous Goods Regulations of the International Air Transport Association, 2025 and 2026).
//
// What this leaves out: the resistance of charge lead, plug and fuse; balancing at the end; cells that differ; cells that warm while they
// charge; the charger's own limits of power and temperature; what a BMS stops; and voltage that settles slowly after the charge.
package charge

import (
	"math"
	"slices"

	"headroom/core/build"
	"headroom/core/cell"
	"headroom/core/limit"
	"headroom/core/solve"
)

const (
	shown   = 0.8 // charge up to which a charge is fast; a row of its own
	storage = 0.5 // middle of the 40–60 % that cells are stored at (common practice, no published source)
	travel  = 0.3 // most for lithium batteries shipped by air (IATA Dangerous Goods Regulations 2025, 2026)
)

// Report is one charge. A charge that has nothing to do, or that the charger calls full at once, takes 0 minutes.
type Report struct {
	MinutesTo80   *float64 `json:"minutes_to_80,omitempty"` // nil where 80 % is not on the way
	Minutes       float64  `json:"minutes"`
	MinutesCC     float64  `json:"minutes_cc"` // of them at constant current
	MinutesCV     float64  `json:"minutes_cv"` // and at constant voltage
	EndPct        float64  `json:"end_pct"`    // state of charge reached
	FillPct       float64  `json:"fill_pct"`   // state of charge that rests at the charger's voltage: no wait passes it
	StartA        float64  `json:"start_a"`    // on plugging in
	CurrentA      float64  `json:"current_a"`  // the charger's constant current; these four do not hang on where the charge begins
	CRate         float64  `json:"c_rate"`     // of it, in rated charges of the pack per hour
	CellA         float64  `json:"cell_a"`     // of it, through each cell
	CellLimitA    float64  `json:"cell_limit_a"`
	ChargerLimitA float64  `json:"charger_limit_a"` // the largest charger that the cells take, with no margin
	ChargerV      float64  `json:"charger_v"`
	FullV         float64  `json:"full_v"`
	ChargerErrorV float64  `json:"charger_error_v"` // charger less full pack
	WallWh        float64  `json:"wall_wh"`
	PackWh        float64  `json:"pack_wh"` // into the terminals
	HeatWh        float64  `json:"heat_wh"` // of it, heat in cells and links
	Cost          float64  `json:"cost"`
	StorageV      float64  `json:"storage_v"` // pack at rest at 50 %
	TravelV       float64  `json:"travel_v"`  // pack at rest at 30 %

	Voltage     Check        `json:"voltage"`
	Cell        Check        `json:"cell"` // its full voltage, against its chemistry
	Temperature Check        `json:"temperature"`
	Current     limit.Bar    `json:"current"`
	Status      limit.Status `json:"status"` // the worst of the four
}

// Plan returns the charge that the build describes, for every build that the Fields table allows. No charge is planned past full: a
// charger of too high a voltage is planned up to full, and Voltage says over.
func Plan(b *build.Build, p *build.Parts) Report {
	s, par := float64(b.Series), float64(b.Parallel)
	c := newCourse(b, p)
	from := b.ChargeFrom
	ticks := c.run(from, c.end(from, b.ChargeTo))
	last := ticks[len(ticks)-1]
	rest := func(z float64) float64 { e, _ := c.at(z); return e }

	r := Report{
		Minutes: 60 * last.hours, MinutesCC: 60 * (last.hours - last.held), MinutesCV: 60 * last.held,
		EndPct:  100 * last.charge,
		FillPct: 100 * solve.Root(func(z float64) float64 { return rest(z) - c.volts }, 0, 1, 1e-12),
		StartA:  c.current(from), CurrentA: b.ChargerA, CRate: b.ChargerA / (par * p.Cell.CapacityAh),
		CellA: b.ChargerA / par, CellLimitA: p.Cell.ChargeA, ChargerLimitA: par * p.Cell.ChargeA,
		ChargerV: decimal(p.ChargerV), FullV: decimal(s * p.Cell.FullV), ChargerErrorV: decimal(p.ChargerV - s*p.Cell.FullV),
		PackWh: last.packWh, HeatWh: last.heatWh, WallWh: last.packWh / b.ChargerEfficiency,
		StorageV: rest(storage), TravelV: rest(travel),
	}
	r.Cost = r.WallWh / 1000 * b.Tariff
	// The first tick is where the charge begins: 80 % that is there already is not on the way.
	if i := slices.IndexFunc(ticks[1:], func(t tick) bool { return t.charge == shown }); i >= 0 {
		minutes := 60 * ticks[1+i].hours
		r.MinutesTo80 = &minutes
	}
	r.judge(b, p)
	return r
}

// newCourse makes the charge's circuit. Nothing but cells and links counts.
func newCourse(b *build.Build, p *build.Parts) course {
	s, par := float64(b.Series), float64(b.Parallel)
	one := cell.New(p.Cell, b.ChargeC, b.ResistanceGrowth)
	links := (s - 1) * b.JointResistance
	return course{
		at: func(z float64) (float64, float64) {
			return s * one.OpenCircuit(z), s*one.Resistance(z)/par + links
		},
		volts: p.ChargerV, amperes: b.ChargerA,
		taper:    b.Taper * par * p.Cell.CapacityAh,
		capacity: par * p.Cell.CapacityAh * b.HealthFraction,
	}
}

// decimal drops the dust of binary fractions (9 × 4.2 = 37.800000000000004).
func decimal(volts float64) float64 { return math.Round(volts*1e9) / 1e9 }
