package find

import (
	"errors"

	"headroom/core/build"
	"headroom/core/pack"
	"headroom/core/ride"
	"headroom/core/road"
)

// The levels of the search: one choice made at each, what is below shares it.
const (
	levelPack = iota // cell, series and parallel count
	levelController
	levelMotor
	levelTire
	levelPressure
	levelWeaken
	levels
)

// Search goes through a space, or one share of it, in small steps.
type Search struct {
	task          Task
	shard, shards int

	level int
	at    [levels]int
	dims  [levels]int
	under [levels]int64 // builds under one choice of a level

	ids       [3][]string // controllers, motors and tires allowed
	light     [3]string   // the lightest of each
	fitted    map[string]bool
	pressures []float64 // Pa
	weakens   []float64 // A

	now   branch
	front front
	near  nearest
	tally Tally

	changes int // of what has been found
}

// Changes counts how often what has been found has changed.
func (s *Search) Changes() int { return s.changes }

// branch is what the choices made so far come to.
type branch struct {
	b       build.Build
	p       build.Parts // whole from levelTire on
	pack    pack.Pack
	full    pack.Source
	low     pack.Source
	slices  [ride.RangeSlices]pack.Source
	road    road.Road
	rolling ride.Board // with the road, for the profile
	profile ride.Profile
	price   *int64
	tight   *bool        // the pack by itself is; nil as long as nobody has asked
	lack    [levels]lack // the wish that is failed from a level on
}

// lack is the one wish that a build may fail, and by what share at least.
type lack struct {
	wish  Wish
	share float64
	any   bool
}

// NewSearch begins with share shard of shards, 0 ≤ shard < shards; shares are as good as equal.
func NewSearch(t Task, shard, shards int) (*Search, error) {
	if shards < 1 || shard < 0 || shard >= shards {
		return nil, errors.New("find: there is no such share")
	}
	if t.Want[Shift].Given {
		build.FieldFor("shift").SetValue(&t.Base, Wishes[Shift].In(t.Want[Shift].Value))
	}
	if err := t.Base.Validate(); err != nil {
		return nil, err
	}
	if t.Space.Size() == 0 {
		return nil, errors.New("find: an axis of the space is empty")
	}
	s := &Search{task: t, shard: shard, shards: shards, tally: Tally{Out: map[string]int64{}}}
	for i, axis := range [3]int{axisController, axisMotor, axisTire} {
		f := build.FieldFor(Axes[axis])
		for _, v := range t.Space[axis] {
			s.ids[i] = append(s.ids[i], f.Options()[int(v)].ID)
		}
	}
	s.fitted = fitted(t.Base, s.ids[1], s.ids[2])
	s.light = [3]string{lightest(t.Base, s.ids[0], axisController), lightest(t.Base, s.ids[1], axisMotor), lightest(t.Base, s.ids[2], axisTire)}
	b := t.Base
	for _, v := range t.Space[axisPressure] {
		build.FieldFor("kpa").SetValue(&b, v)
		s.pressures = append(s.pressures, b.Pressure)
	}
	for _, v := range t.Space[axisWeaken] {
		build.FieldFor("fw").SetValue(&b, v)
		s.weakens = append(s.weakens, b.WeakenA)
	}
	packs := len(t.Space[axisCell]) * len(t.Space[axisSeries]) * len(t.Space[axisParallel])
	s.dims = [levels]int{packs, len(s.ids[0]), len(s.ids[1]), len(s.ids[2]), len(s.pressures), len(s.weakens)}
	s.under[levelWeaken] = 1
	for i := levelWeaken; i > 0; i-- {
		s.under[i-1] = s.under[i] * int64(s.dims[i])
	}
	s.tally.Builds = int64((packs-shard+shards-1)/shards) * s.under[levelPack]
	s.at[levelPack] = shard
	return s, nil
}

// fitted are the hubs and tires, by id, that find one of their rim among those that are allowed.
func fitted(b build.Build, motors, tires []string) map[string]bool {
	out := map[string]bool{}
	for _, b.Motor = range motors {
		for _, b.Tire = range tires {
			if p := b.Parts(); p.Motor.Rim == p.Tire.Rim {
				out[b.Motor], out[b.Tire] = true, true
			}
		}
	}
	return out
}

// lightest is the id that makes the lightest board.
func lightest(b build.Build, ids []string, axis int) string {
	best, least := ids[0], 0.0
	for i, id := range ids {
		set(&b, axis, id)
		if p := b.Parts(); i == 0 || p.BoardMass < least {
			best, least = id, p.BoardMass
		}
	}
	return best
}

func set(b *build.Build, axis int, id string) {
	switch axis {
	case axisController:
		b.Controller = id
	case axisMotor:
		b.Motor = id
	case axisTire:
		b.Tire = id
	}
}

// What one step of each kind costs, about: in looks at one build.
const (
	lookCost = 1
	planCost = 100
)

// Step works for about so many looks at a build; a whole plan counts as a hundred. It is false once all is done.
func (s *Search) Step(work int) bool {
	for work > 0 && !s.Done() {
		work -= s.once()
	}
	return !s.Done()
}

// Done tells whether every build has been examined.
func (s *Search) Done() bool { return s.at[levelPack] >= s.dims[levelPack] }

// Tally tells how far the search is, without the reasons.
func (s *Search) Tally() Tally {
	t := s.tally
	t.Out = nil
	return t
}

// once makes the next choice and looks at it.
func (s *Search) once() (cost int) {
	level := s.level
	why := ""
	if level > levelPack {
		s.now.lack[level] = s.now.lack[level-1]
	} else {
		s.now.lack[level] = lack{}
	}
	cost = lookCost
	switch level {
	case levelPack:
		why = s.atPack()
	case levelController:
		why = s.atController()
	case levelMotor:
		why = s.atMotor()
	case levelTire:
		why = s.atTire()
	case levelPressure:
		why = s.atPressure()
	case levelWeaken:
		planned := false
		if why, planned = s.atBuild(); planned {
			cost += planCost
			s.tally.Planned++
		} else {
			s.tally.Looked++
		}
		if why != "" {
			s.tally.Out[why]++
		}
		s.next()
		return cost
	}
	if why != "" {
		n := s.under[level]
		if n == 1 {
			s.tally.Looked++
		} else {
			s.tally.Branch += n
		}
		s.tally.Out[why] += n
		s.next()
		return cost
	}
	s.level++
	s.at[s.level] = 0
	return cost
}

// next goes on to the choice after this one, on a level further out where there is none left.
func (s *Search) next() {
	for s.level > levelPack {
		if s.at[s.level]++; s.at[s.level] < s.dims[s.level] {
			return
		}
		s.level--
	}
	s.at[levelPack] += s.shards
}

// index is the present build's place in the order of the space.
func (s *Search) index() int64 {
	n := int64(0)
	for i := range s.at {
		n = n*int64(s.dims[i]) + int64(s.at[i])
	}
	return n
}

// fail notes that a wish is failed by a share at least. It returns the wish's key where that rules the branch out: a second wish, or too far
// for the nearest.
func (s *Search) fail(w Wish, share float64) (why string) {
	l := &s.now.lack[s.level]
	if l.any || s.near.hopeless(w, share) {
		return Wishes[w].Key
	}
	*l = lack{w, share, true}
	return ""
}
