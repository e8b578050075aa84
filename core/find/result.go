package find

import (
	"slices"
	"sort"
)

// Tally tells how far a search is and what became of the builds that it passed. One is examined as soon as it is known whether it belongs
// to the answer, in one of three ways.
type Tally struct {
	Builds  int64            `json:"builds"`  // in the space, or in this share of it
	Branch  int64            `json:"branch"`  // ruled out together with others, by one look at what they have in common
	Looked  int64            `json:"looked"`  // ruled out by a look at the build itself: masses, ratings, a bound of its range or ceiling
	Planned int64            `json:"planned"` // planned whole
	Out     map[string]int64 `json:"out"`     // why builds are out: a wish's key, beaten, misfit, or the note or bar that is over; the first that was met
}

// Beaten is the reason of builds that another one beats.
const Beaten = "beaten"

// Misfit is the reason of builds whose tire is not for the rim of their hub, where another choice would fit.
const Misfit = "misfit"

// Examined is how many builds are done with.
func (t *Tally) Examined() int64 { return t.Branch + t.Looked + t.Planned }

// Result is the answer of a search, whole or so far.
type Result struct {
	Found []Found `json:"found"` // clear before tight, the lightest first in each
	Near  []Miss  `json:"near"`  // nearest first
	Tally Tally   `json:"tally"`
}

// Result returns the answer so far. A build that is found may yet be beaten by one to come.
func (s *Search) Result() Result {
	r := Result{Found: slices.Clone([]Found(s.front)), Near: []Miss{}, Tally: s.tally}
	r.Tally.Out = map[string]int64{}
	for why, n := range s.tally.Out {
		r.Tally.Out[why] = n
	}
	for w := range s.near {
		r.Near = append(r.Near, s.near[w]...)
	}
	r.sort()
	return r
}

func (r *Result) sort() {
	if r.Found == nil {
		r.Found = []Found{}
	}
	// The sort package, whose code the program holds already: a generic sort is written out once more for each type.
	sort.Slice(r.Found, func(i, j int) bool {
		a, b := &r.Found[i], &r.Found[j]
		if a.Status != b.Status {
			return b.Status.Worse(a.Status)
		}
		return a.MassKg < b.MassKg || a.MassKg == b.MassKg && a.Index < b.Index
	})
	sort.Slice(r.Near, func(i, j int) bool { return r.Near[i].nearer(&r.Near[j]) })
}

// Merge makes one answer of those of a space's shares, in any order.
func Merge(parts ...Result) Result {
	var best front
	var near nearest
	out := Result{Near: []Miss{}, Tally: Tally{Out: map[string]int64{}}}
	for i := range parts {
		p := &parts[i]
		for _, f := range p.Found {
			best.add(f)
		}
		for _, m := range p.Near {
			near.add(wishFor(m.Wish), m)
		}
		out.Tally.Builds += p.Tally.Builds
		out.Tally.Branch += p.Tally.Branch
		out.Tally.Looked += p.Tally.Looked
		out.Tally.Planned += p.Tally.Planned
		for why, n := range p.Tally.Out {
			out.Tally.Out[why] += n
		}
	}
	out.Found = best
	for w := range near {
		out.Near = append(out.Near, near[w]...)
	}
	out.sort()
	return out
}
