// Package limit judges a load against a limit in the planner's three words.
package limit

// Status is the planner's judgement of one figure.
type Status string

// The three statuses. Over means: do not build or ride it like this.
const (
	Clear Status = "clear"
	Tight Status = "tight" // inside the margin asked for
	Over  Status = "over"
)

var rank = map[Status]int{Clear: 0, Tight: 1, Over: 2}

// Worse reports whether s is a worse status than t.
func (s Status) Worse(t Status) bool { return rank[s] > rank[t] }

// Bar is one figure with a limit: what is used of it, the limit, and where the wanted spare begins, all in one unit.
type Bar struct {
	Key    string  `json:"key"`   // report key of the readout that the bar belongs to
	Used   float64 `json:"used"`  // ≥ 0
	Limit  float64 `json:"limit"` // ≥ 0; 0 where nothing can be held
	Want   float64 `json:"want"`  // ≤ Limit; beyond it the figure is tight
	Status Status  `json:"status"`
	Text   string  `json:"text"` // one sentence: what is compared with what
}

// Judge returns clear while used stays at or under want, tight up to and including limit, over beyond it. A limit that is
// not positive can hold nothing, and what is no number is held by nothing.
func Judge(used, want, limit float64) Status {
	switch {
	case !(limit > 0) || !(used <= limit):
		return Over
	case !(used <= want):
		return Tight
	}
	return Clear
}

// NewBar judges used against limit with a wanted spare of margin (fraction of limit).
func NewBar(key string, used, limit, margin float64, text string) Bar {
	want := limit * (1 - margin)
	return Bar{key, used, limit, want, Judge(used, want, limit), text}
}
