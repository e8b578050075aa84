package core

// mostApart is how many more decimals two figures are given at most to be told apart.
const mostApart = 3

// apart writes two figures of one sentence to so many decimals, and to one more as long as they would read the same. alike is true where they
// do even then: they are as good as equal, and are written as at first.
func apart(a, b float64, digits int) (x, y string, alike bool) {
	for more := range mostApart + 1 {
		if x, y = fixed(a, digits+more), fixed(b, digits+more); x != y {
			return x, y, false
		}
	}
	return fixed(a, digits), fixed(b, digits), true
}
