// Package browser holds the tests of the whole page in a real Chromium: the program that `make run` builds, served by the command
// that `make run` starts, used with keyboard and touch. It has no code of its own.
package browser
