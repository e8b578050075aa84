package core

import "headroom/core/build"

// Levers lends the table to the tests.
var Levers, Given = levers, given

// IsWay is what makes a value a way, for tests that try every value.
func IsWay(b build.Build, readout, key string, value float64) bool {
	ok, _ := NewSeeking(b, readout).try(build.FieldFor(key), value)
	return ok
}

// Plans counts the plans of a search.
func (s *Seeking) Plans() int { return s.plans }

// NoWorse holds the second report against the first.
func NoWorse(before, after *Report) bool { return noWorse(troubles(before), troubles(after)) }
