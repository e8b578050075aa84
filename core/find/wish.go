package find

import (
	"math"
	"strconv"
	"strings"

	"headroom/core/build"
)

// Wish is one thing that may be asked of a build: the index of its row in Wishes.
type Wish int

// The wishes, in the order of Wishes.
const (
	Range   Wish = iota
	Ceiling      // cruise ceiling at low charge
	Shift        // balance reserve; the builds are planned with it as the reserve wanted
	Mass         // of the board, without its rider
	Cells        // in the main box and in the second one
	Price
	Clear // nothing tight in it
	wishes
)

// WishRow is what a form and a text must know of one wish. Min, Max and Step are in Unit.
type WishRow struct {
	Key    string // in texts and reports
	Label  string
	Unit   string
	Scale  float64 // SI (of a price: hundredths) per Unit
	Min    float64
	Max    float64
	Step   float64
	AtMost bool // else at least
	Help   string
}

// Wishes are all that can be wished for.
var Wishes = [wishes]WishRow{
	{"range", "Range, at least", "km", 1e3, 1, 500, 1, false, "On the ride as set, down to the charge to turn home at. The middle of its band: with wind, weight or soft ground against you it is less."},
	{"ceiling", "Cruise ceiling, at least", "km/h", 1 / 3.6, 1, 100, 1, false, "At low charge, with the balance reserve and the duty to stay under."},
	{"shift", "Balance reserve, at least", "mm", 1e-3, 1, 100, 5, false, "Kept at the ride's worst moment at low charge, and all through the cruise ceiling."},
	{"mass", "Board mass, at most", "kg", 1, 1, 80, 0.5, true, "Without the rider."},
	{"cells", "Cells the boxes hold", "", 1, 1, 480, 1, true, "Main box + second box, as in 24+16. Each build is divided so that both hold their cells."},
	{"price", "Price, at most", "", 100, 1, 1e6, 10, true, "By the price list that is loaded."},
	{"clear", "Clear builds only", "", 1, 1, 1, 1, false, "None that is tight anywhere. Builds that are over are left out in any case. There are no near misses of this wish."},
}

// Want is one wish, SI. Value has no meaning unless Given.
type Want struct {
	Value float64
	Given bool
}

// nearLimit is by what share of it a wish may be failed at most for a build to be called near. Ours; a fifth is about what the inputs
// leave a range in doubt by.
const nearLimit = 0.2

// kept is how many near misses are kept for each wish.
const kept = 3

// miss is by what share a value fails a wish; 0 where it is met.
func (w *WishRow) miss(value, want float64) float64 {
	if w.AtMost {
		value, want = -value, -want
	}
	return max(0, (want-value)/math.Abs(want))
}

// SetWish reads one wish as typed or as a link writes it; "" is none. A text that is no such wish changes nothing and is told of.
func (t *Task) SetWish(w Wish, text string) *build.Problem {
	row := &Wishes[w]
	text = strings.TrimSpace(text)
	if text == "" {
		t.Want[w] = Want{}
		return nil
	}
	switch w {
	case Cells:
		return t.setCells(text)
	case Clear:
		return t.setClear(text)
	}
	v, err := build.ParseNumber(text)
	if err != nil {
		return row.problem(text, "is not a number")
	}
	if !(v >= row.Min && v <= row.Max) {
		return row.problem(text, "is out of range")
	}
	t.Want[w] = Want{v * row.Scale, true}
	return nil
}

// setCells reads “24+16”; a plus reads as a blank in links.
func (t *Task) setCells(text string) *build.Problem {
	row := &Wishes[Cells]
	parts := strings.FieldsFunc(text, func(r rune) bool { return r == '+' || r == ' ' })
	if len(parts) == 0 || len(parts) > 2 {
		return row.problem(text, "is not one or two numbers")
	}
	var counts [2]int
	for i, part := range parts {
		n, err := strconv.Atoi(part)
		if err != nil || n < 0 {
			return row.problem(text, "is not one or two whole numbers")
		}
		counts[i] = n
	}
	if sum := float64(counts[0]) + float64(counts[1]); sum < row.Min || sum > row.Max || counts[0] > int(row.Max) {
		return row.problem(text, "is out of range")
	}
	t.Room = counts
	t.Want[Cells] = Want{float64(counts[0] + counts[1]), true}
	return nil
}

// setClear reads “on” or “off”, the words of every switch in a link; off is no wish.
func (t *Task) setClear(text string) *build.Problem {
	switch text {
	case build.On:
		t.Want[Clear] = Want{1, true}
	case build.Off:
		t.Want[Clear] = Want{}
	default:
		return Wishes[Clear].problem(text, "is neither on nor off")
	}
	return nil
}

// WishText is a wish as SetWish reads it, "" where it is not given.
func (t *Task) WishText(w Wish) string {
	switch want := t.Want[w]; {
	case !want.Given:
		return ""
	case w == Cells:
		return strconv.Itoa(t.Room[0]) + "+" + strconv.Itoa(t.Room[1])
	case w == Clear:
		return build.On
	default:
		return strconv.FormatFloat(Wishes[w].In(want.Value), 'f', -1, 64)
	}
}

// In is an SI value in the wish's unit, without the digits that scaling leaves.
func (w *WishRow) In(value float64) float64 {
	v, _ := strconv.ParseFloat(strconv.FormatFloat(value/w.Scale, 'g', 11, 64), 64)
	return v
}

func (w *WishRow) problem(text, says string) *build.Problem {
	must := " must be between " + plain(w.Min) + " and " + plain(w.Max)
	if w.Unit != "" {
		must += " " + w.Unit
	}
	switch w.Key {
	case Wishes[Clear].Key:
		must = " must be on or off"
	case Wishes[Cells].Key:
		must = " must be cells of the main box + cells of the second one, as in 24+16, at most " + plain(w.Max) + " together"
	}
	return &build.Problem{Key: w.Key, Given: text, Text: w.Label + ": “" + build.Foreign(text) + "” " + says + "; it" + must + "."}
}

func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
