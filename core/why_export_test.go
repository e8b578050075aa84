package core

// ExplanationCount counts every explanation that is written down, asked for by a readout or not.
func ExplanationCount() int {
	n := 0
	for _, theme := range whyThemes {
		n += len(theme)
	}
	return n
}
