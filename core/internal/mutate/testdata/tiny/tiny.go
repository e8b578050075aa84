// Package tiny is what the mutation tool is tested on: its own test kills every mutant of Sign and leaves those of Cap alive.
package tiny

// Sign is fully tested.
func Sign(v int) string {
	if v < 0 {
		return "below"
	}
	if v == 0 {
		return "zero"
	}
	return "above"
}

// Cap is tested on both sides and not where they meet, where it makes no difference.
func Cap(v int) int {
	if v > 10 {
		return 10
	}
	return v
}
