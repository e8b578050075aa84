// Package served holds the tests of what the top-level program hands out: its answers, seen from outside, and the
// start, the offline life and the updates of the page, seen in a real browser. It has no code of its own.
package served
