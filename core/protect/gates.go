package protect

import (
	"math"

	"headroom/core/build"
)

// point is one gate of a time-current table: at times the rating, s seconds.
type point struct{ times, s float64 }

// edges are the two sides of a fuse's band. It opens not before early and not after late. Below the first point of early it does not open
// at all, below the first point of late it may not.
type edges struct{ early, late edge }

// edge is a line through points on two logarithmic scales: its logarithm of seconds at the first point, and the pieces from there.
type edge struct {
	times   float64 // of the rating, at the first point
	seconds float64 // logarithm
	pieces  []piece
}

// piece reaches from a logarithm of times to another and changes that of the seconds by slope per one.
type piece struct{ from, to, slope float64 }

// through draws an edge through points. Beyond the last, I²·t stays what it is there.
func through(points ...point) edge {
	e := edge{times: points[0].times, seconds: math.Log(points[0].s)}
	for i, to := range points[1:] {
		from := points[i]
		e.pieces = append(e.pieces, piece{math.Log(from.times), math.Log(to.times), math.Log(to.s/from.s) / math.Log(to.times/from.times)})
	}
	end := points[len(points)-1]
	e.pieces = append(e.pieces, piece{math.Log(end.times), math.Inf(1), -2})
	return e
}

// bands by class. The time that a standard or sheet says a fuse carries a current is the first point of its early edge.
//
// Blades: ISO 8820-3. From makers' sheets: 100 % 100 h; type C 135 %, 160 %, 200 % and 350 % up to 0.5 s, 600 % at most 0.15 s; type E all. Type C
// is the widest of its ratings' rows: 350 % from 0.04 s and 600 % from 0.02 s are those up to 30 A (from memory).
//
// Bolted strips: usual rows of sheets to ISO 8820-5 and -6 (from memory). Vehicle battery fuses: ISO 8820-8 as assumed here, wider than the
// strips (no published source found). Cartridges: UL 248-14 as makers' sheets give it: 110 % at least 4 h, 135 % at most 1 h, 200 % at most
// 2 min; gPV: IEC 60269-6, 113 % at least 1 h, 145 % at most 1 h (from memory). Their early 200 % and both 600 % are assumed for a fast
// fuse (no published source).
var (
	bladeC = edges{
		through(point{1, 360000}, point{1.35, 0.75}, point{1.6, 0.25}, point{2, 0.15}, point{3.5, 0.04}, point{6, 0.02}),
		through(point{1.35, 600}, point{1.6, 50}, point{2, 5}, point{3.5, 0.5}, point{6, 0.15}),
	}
	bladeE = edges{
		through(point{1, 360000}, point{1.35, 60}, point{2, 2}, point{3.5, 0.2}, point{6, 0.04}),
		through(point{1.35, 1800}, point{2, 50}, point{3.5, 7}, point{6, 1}),
	}
	bolt = edges{
		through(point{1, 360000}, point{1.35, 120}, point{2, 1}, point{3.5, 0.3}, point{6, 0.1}),
		through(point{1.35, 1800}, point{2, 15}, point{3.5, 5}, point{6, 1}),
	}
	module = edges{
		through(point{1, 14400}, point{1.35, 60}, point{2, 1}, point{3.5, 0.2}, point{6, 0.02}),
		through(point{1.35, 3600}, point{2, 100}, point{3.5, 10}, point{6, 1}),
	}
	midget = edges{
		through(point{1.1, 14400}, point{2, 0.5}, point{6, 0.005}),
		through(point{1.35, 3600}, point{2, 120}, point{6, 1}),
	}
	solar = edges{
		through(point{1.13, 3600}, point{2, 0.5}, point{6, 0.005}),
		through(point{1.45, 3600}, point{2, 120}, point{6, 1}),
	}
	bands = map[build.FuseBand]*edges{build.BoltBand: &bolt, build.ModuleBand: &module, build.SolarBand: &solar, build.MidgetBand: &midget}
)

// typeC is the largest rating in A of a type C blade; larger ones are type E.
const typeC = 40.0

func edgesOf(band build.FuseBand, rating float64) *edges {
	if e := bands[band]; e != nil {
		return e
	}
	if rating > typeC {
		return &bladeE
	}
	return &bladeC
}

// Opening returns the first and the last time in s after which a fuse of a band and a rating in A opens under a lasting current in A, cold
// at the start and in air of about 25 °C; nil is never. Between the gates the edges are straight on two logarithmic scales, which no
// standard sanctions; beyond the last gate I²·t stays what it is there. Warm air, which makes it open sooner, is left out.
func Opening(band build.FuseBand, rating, current float64) (first, last *float64) {
	e, times := edgesOf(band, rating), current/rating
	log := math.Log(times)
	return e.early.at(times, log), e.late.at(times, log)
}

// at returns the edge's time in s at times the rating, whose logarithm is log; nil before the first point.
func (e *edge) at(times, log float64) *float64 {
	if times < e.times {
		return nil
	}
	seconds := e.seconds
	for _, p := range e.pieces {
		seconds += p.slope * max(0, min(log, p.to)-p.from)
	}
	seconds = math.Exp(seconds)
	return &seconds
}

// BandPoint is one current of a fuse's band.
type BandPoint struct {
	A     float64  `json:"a"`
	First *float64 `json:"first_s"` // nil: it does not open
	Last  *float64 `json:"last_s"`  // nil: it may never open
}

const bandPoints = 24

// band draws the fuse's band from its rating to ten times that or to the dead short, whichever is more, in even steps of a logarithmic scale.
func band(b *build.Build, p *build.Parts, short float64) []BandPoint {
	step := math.Log(max(10, short/b.FuseRating)) / (bandPoints - 1)
	points := make([]BandPoint, bandPoints)
	for i := range points {
		a := b.FuseRating * math.Exp(step*float64(i))
		first, last := Opening(p.Fuse.Band, b.FuseRating, a)
		points[i] = BandPoint{a, first, last}
	}
	return points
}
