package ui

import "math"

const fuseID = "out-fuse"

// FuseCard shows when the fuse opens, and which one would be right.
type FuseCard struct{ P *Planner }

// The chart's times, s: a hundredth of a second to a day and more.
const (
	fastest = 0.01
	slowest = 1e5
)

func (c *FuseCard) brief() string {
	return decimal(c.P.Build.FuseRating, 0) + " A · " + c.P.Entry("fusetype").Spoken
}

func (c *FuseCard) plot() *Plot {
	f := &c.P.Report.Protection.Fuse
	p := &Plot{
		ID: "fuse", Title: "Opening time of the fuse", Cross: "fuse", Say: "At a lasting", Start: f.PeakA, None: "never", Spell: spell,
		X: Axis{Label: "current", Unit: "A", Lo: f.Band[0].A, Hi: f.Band[len(f.Band)-1].A, Log: true},
		Y: Axis{Label: "time", Unit: "s", Lo: fastest, Hi: slowest, Log: true, Ticks: []Tick{{0.01, "0.01"}, {0.1, "0.1"}, {1, "1"}, {10, "10"}, {60, "60"}, {600, "600"}, {3600, "1 h"}, {36000, "10 h"}}},
	}
	p.X.Lo, p.X.Hi = math.Min(p.X.Lo, math.Max(1, 0.8*f.StallA)), math.Max(p.X.Hi, 1.1*f.ShortCircuitA)
	p.X.Ticks = decades(p.X.Lo, p.X.Hi)
	band := Band{Name: "opens within this band", Style: "fuse"}
	for _, q := range f.Band {
		first, last := slowest, slowest
		if q.First != nil {
			first = math.Min(slowest, *q.First)
		}
		if q.Last != nil {
			last = math.Min(slowest, *q.Last)
		}
		band.Lower = append(band.Lower, XY{q.A, first})
		band.Upper = append(band.Upper, XY{q.A, last})
	}
	p.Bands = []Band{band}
	p.Data = []Series{{Name: "opens at the earliest", After: " at the earliest"}, {Name: "opens at the latest", After: " at the latest"}}
	for _, q := range f.Band {
		for i, s := range [2]*float64{q.First, q.Last} {
			if s != nil { // else it never opens
				p.Data[i].Points = append(p.Data[i].Points, XY{q.A, *s})
			}
		}
	}
	p.Marks = []Mark{
		{Name: "stalled " + decimal(f.StallA, 0) + " A", Style: "stall", X: f.StallA, Raise: 1},
		{Name: "peak " + decimal(f.PeakA, 0) + " A", Style: "peak", X: f.PeakA},
		{Name: "dead short " + decimal(f.ShortCircuitA, 0) + " A", Style: "short", X: f.ShortCircuitA, Raise: 2},
	}
	for _, r := range c.times() {
		p.Words += upperFirst(r.Name) + ", " + r.Amps + " A: " + r.Words + ". "
	}
	return p
}

// decades are 1, 2 and 5 times the powers of ten in a range.
func decades(lo, hi float64) []Tick {
	var list []Tick
	for e := math.Floor(math.Log10(lo)); e <= math.Log10(hi); e++ {
		for _, m := range [3]float64{1, 2, 5} {
			if v := m * math.Pow(10, e); v >= lo && v <= hi {
				list = append(list, Tick{v, shortest(v, 3)})
			}
		}
	}
	return list
}

type opening struct{ Name, Amps, Words string }

func (c *FuseCard) times() []opening {
	f := &c.P.Report.Protection.Fuse
	return []opening{
		{"a stalled wheel", decimal(f.StallA, 0), between(f.FirstAtStall, f.LastAtStall)},
		{"the highest battery current", decimal(f.PeakA, 0), between(f.FirstAtPeak, f.LastAtPeak)},
		{"a dead short", decimal(f.ShortCircuitA, 0), between(f.FirstAtShort, f.LastAtShort)},
	}
}

// between tells the two edges of a fuse's band in words.
func between(first, last *float64) string {
	switch {
	case first == nil:
		return "never: the fuse does not see it"
	case last == nil:
		return spell(*first) + " or never"
	}
	return spell(*first) + " to " + spell(*last)
}

// spell tells a time in the unit that a person would use.
func spell(seconds float64) string {
	switch {
	case seconds < 0.1:
		return shortest(1000*seconds, 0) + " ms"
	case seconds < 10:
		return shortest(seconds, 1) + " s"
	case seconds < 120:
		return shortest(seconds, 0) + " s"
	case seconds < 7200:
		return shortest(seconds/60, 0) + " min"
	}
	return shortest(seconds/3600, 0) + " h"
}

func (c *FuseCard) suggestion() string {
	s := &c.P.Report.Protection.Suggest
	if s.None {
		return "No fuse in the catalog is right"
	}
	if s.Class == c.P.Build.FuseClass && s.RatingA == c.P.Build.FuseRating {
		return "This fuse is the one to fit: " + s.Text
	}
	return "The fuse to fit: " + s.Text
}
