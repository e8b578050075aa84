package core

import (
	"headroom/core/build"
	"headroom/core/limit"
)

// Figures is Plan without what only charts and tables draw (envelope, range against speed and its band, rules), in about half the time:
// every other figure, bar and note is the same. It is for who plans by the thousand.
func Figures(b build.Build) (Report, error) {
	if err := b.Validate(); err != nil {
		return Report{}, err
	}
	return plan(b, false), nil
}

// Worst returns the worst status that a report says, the code of the note or the key of the bar that says it, and that as a sentence;
// code and sentence are empty where all is clear.
func (r *Report) Worst() (status limit.Status, code, why string) {
	s := worst(r, "")
	return s.Status, s.Code, s.Why
}

// Words names the code of a note or the key of a bar in a few words.
func Words(code string) string { return short(code) }
