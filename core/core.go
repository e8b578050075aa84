// Package core computes one board. Plan is its one door; the order of the calls in it is the order of the physics: cells make
// a pack, the pack feeds controller and motor, the tire meets the road, and the ride holds one against the other.
//
// The package and everything below it is pure: no input or output, no clock, no randomness, no browser.
package core

import (
	"headroom/core/balance"
	"headroom/core/build"
	"headroom/core/charge"
	"headroom/core/protect"
	"headroom/core/review"
	"headroom/core/ride"
)

const (
	envelopePoints = 25
	rangePoints    = 9
	perKmh         = 3.6 // km/h per m/s
)

// The stated uncertainty of the inputs that make the band of a range. Drag area: published ±0.05 m² of 0.65 m² upright
// (Spring et al. 1988) is 8 %, clothing adds to it. The others are engineering judgment with no published source.
var uncertainty = UncertaintyNote{Rolling: 0.15, DragArea: 0.10, Mass: 0.03, Pressure: 0.10}

// board assembles the ride's view of a build.
func board(b *build.Build, p *build.Parts) ride.Board {
	return ride.NewBoard(b, p)
}

// Plan computes the report of a build. It fails only on a build that did not come through the Fields table; everything a person
// can enter is answered in the report.
func Plan(b build.Build) (Report, error) {
	if err := b.Validate(); err != nil {
		return Report{}, err
	}
	return plan(b, true), nil
}

// plan is Plan of a valid build; without the curves (envelope, range against speed and its band) where only figures are wanted.
func plan(b build.Build, curves bool) Report {
	var r Report
	parts := b.Parts()
	r.Build = Inputs{b, parts}
	bd := board(&b, &parts)
	profile := ride.NewProfile(&b, &bd)
	if b.HeatFeeds == build.On {
		b.WindingC = OwnWindingC(&b, &parts, &bd, &profile)
		bd = board(&b, &parts)
	}
	full, half, low := bd.Pack.At(1), bd.Pack.At(0.5), bd.Pack.At(b.FloorCharge)

	r.Weight = balance.Of(&b, &parts, bd.Road.Tire.LoadedRadius)
	r.Boxes = boxesOf(&b, &parts)
	r.Motor = Motor{bd.Drive.Motor.Flux, 1.5 * bd.Drive.Motor.PolePairs * bd.Drive.Motor.Flux}
	most := envelopes(&r, &bd, full, half, low, curves)
	r.Speed = speeds(&bd, full, half, low, bd.Pack.At(b.StartCharge))
	r.Tire = tireOf(&b, &bd, r.Speed.FreeSpinWeakenedKmh)

	worst := bd.Worst(low, &profile)
	r.Ride = rideOf(&worst, &profile, &b)
	distance := bd.Range(&profile, b.StartCharge, b.FloorCharge)
	r.Range = ranges(&b, &parts, &bd, distance, r.Speed.FreeSpinWeakenedKmh, curves)
	r.Overspeed = overspeedOf(&b, &parts, &bd, full)
	r.Heat = heatOf(&b, &parts, &bd, &profile, distance)
	r.Heat.warmShift = warmShift(&b, &parts, &profile, &r.Heat)

	hard := hardOf(&bd, &profile, low, &worst, distance, most)
	r.Regen = regenOf(&b, &bd, &profile, distance.End, &hard)
	r.Protection = protectionOf(&b, &parts, &bd.Pack, hard.Loads)
	r.Pack = packOf(&b, &parts, &bd.Pack, full, half, most.BusA)
	r.Charge = Charge{charge.Plan(&b, &parts), protect.CheckChargeFuse(&b, &parts, &bd.Pack)}
	r.Settings = review.Check(&b, &parts, factsOf(&b, &parts, &bd, &r, &hard, full, low, &worst, &profile, distance.End))
	r.Model = model(&b, &parts, &bd, full, half, low)
	r.Limits = limits(&b, &parts, &r)
	r.Notes = notes(&b, &parts, &r)
	if curves {
		r.Rules = rulesOf(&b, &parts, &r)
	}
	return r
}
