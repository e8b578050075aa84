package ui

import "strings"

// nbsp keeps what stands on both sides of it in one line.
const nbsp = "\u00a0"

// bound are the units that are not parted from their number at the end of a line.
const bound = " % V mV kV A mA kA W kW Wh kWh Ah Wh/km Wh/mi Ah/km km/h mph km mi m mm cm ft in m² ft² mm² kg g lb oz kPa psi °C °F K N N·m lbf·ft " +
	"N·m/A lbf·ft/A ohm mohm µohm Ω mΩ s ms min h J kJ rpm Hz rad/s m/s m/s² Wb mH µH d.c "

// typeset makes a text as it is read on the page: a number and its unit stay in one line, and every minus is a minus (U+2212), not a
// hyphen. What is typed, copied or saved does not pass here.
func typeset(text string) string {
	var out []byte
	done := 0 // how much of the text is in out
	for i := 0; i < len(text); i++ {
		with := ""
		switch text[i] {
		case ' ':
			if i > 0 && digit(text[i-1]) && unitAt(text[i+1:]) {
				with = nbsp
			}
		case '-':
			if i+1 < len(text) && digit(text[i+1]) && (i == 0 || text[i-1] == ' ' || text[i-1] == '(' || strings.HasSuffix(text[:i], nbsp)) {
				with = "−"
			}
		}
		if with != "" {
			out = append(append(out, text[done:i]...), with...)
			done = i + 1
		}
	}
	if done == 0 {
		return text
	}
	return string(append(out, text[done:]...))
}

func digit(c byte) bool { return '0' <= c && c <= '9' }

// unitAt says whether the first word of a text, without what ends a sentence or a bracket after it, is one of those units.
func unitAt(text string) bool {
	end := strings.IndexAny(text, " \n,;:)?!")
	if end < 0 {
		end = len(text)
	}
	word := strings.TrimSuffix(text[:end], ".")
	return word != "" && strings.Contains(bound, " "+word+" ")
}
