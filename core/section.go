package core

import (
	"slices"
	"strings"

	"headroom/core/limit"
)

// Section is a titled group of readouts.
type Section struct {
	Title string
	Rows  []Readout
	notes []string // codes of the notes that are about it; one that ends with "-" stands for all that begin so
}

// Worst is the worst status of its readouts and of the notes about it, "" where it has neither.
func (s *Section) Worst(r *Report) (worst limit.Status) {
	take := func(status limit.Status) {
		if worst == "" || status.Worse(worst) {
			worst = status
		}
	}
	for i := range s.Rows {
		if bar := r.Bar(s.Rows[i].Key); bar != nil {
			take(bar.Status)
		}
	}
	for _, n := range r.Notes {
		if s.about(n.Code) {
			take(n.Status)
		}
	}
	return worst
}

func (s *Section) about(code string) bool {
	return slices.ContainsFunc(s.notes, func(of string) bool {
		return code == of || strings.HasSuffix(of, "-") && strings.HasPrefix(code, of)
	})
}
