package ui

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/vugu/html"
	"pgregory.net/rapid"
)

// The SI brochure (9th edition, 5.4.3) sets a space between number and unit, which a line's end must not take; ISO 80000-1 writes the
// minus as −.
func TestTypeset(t *testing.T) {
	for given, want := range map[string]string{
		"":                                "",
		"It climbs 186 m.":                "It climbs 186\u00a0m.",
		"43.7 % spare, 270 ohm":           "43.7\u00a0% spare, 270\u00a0ohm",
		"(12 °C), 3 m²; 4 N·m: 5 km/h!":   "(12\u00a0°C), 3\u00a0m²; 4\u00a0N·m: 5\u00a0km/h!",
		"32 V d.c. of 100 V":              "32\u00a0V d.c. of 100\u00a0V",
		"-43 % and (-5 °C), at -0.5":      "−43\u00a0% and (−5\u00a0°C), at −0.5",
		"2 groups of 18 mustard, 5 mills": "2 groups of 18 mustard, 5 mills",
		"16-18, 2026-11-26, 6.5-inch":     "16-18, 2026-11-26, 6.5-inch",
		"#v=1&grade=-10&temp=-5":          "#v=1&grade=-10&temp=-5",
		"all-round - or - not":            "all-round - or - not",
		"a m, % 5":                        "a m, % 5",
	} {
		assert.Equal(t, want, typeset(given))
		assert.Equal(t, want, typeset(want), "once is enough")
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		plain := strings.NewReplacer(nbsp, " ", "−", "-")
		assert.Equal(t, plain.Replace(text), plain.Replace(typeset(text)), "no other character changes")
	})
}

// Whatever stands on the page has one minus, and no number that a line's end parts from its unit.
func TestThePageHasOneMinus(t *testing.T) {
	p := unfolded(opened(t, "v=1&p=1&grade=-8&temp=-10&s=24"))
	root := show(t, p)
	seen := 0
	for _, n := range all(root, func(n *html.Node) bool {
		return n.FirstChild != nil && n.FirstChild == n.LastChild && n.FirstChild.Data != ""
	}) {
		words := n.FirstChild.Data
		assert.Equal(t, words, typeset(words), n.Data)
		seen += strings.Count(words, "−")
	}
	assert.Positive(t, seen)
}
