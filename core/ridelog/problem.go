package ridelog

// Trouble is one kind of flaw in a log.
type Trouble int

// The troubles, in the order they are told.
const (
	BrokenQuote Trouble = iota // a row too long, most likely a quote that never closes; left out
	ShortRow                   // fewer cells than columns; what is there is read
	LongRow                    // more cells than columns; the rest is passed over
	BadTime                    // the time cell is empty or no time; the row is left out
	SameTime                   // the row before has the same time; left out
	BackInTime                 // the time goes back a little; the row is left out
	Leap                       // a time far from both neighbors'; the row is left out
	Restart                    // the clock begins anew, and the rows after it go on from where it stood
	Gap                        // a long time between two rows; nothing is summed across it
	NoNumber                   // a cell that is no number; taken as missing
	Implausible                // a figure that no such board can have; taken as missing
	MissingCell                // an empty cell
	troubles    = iota
)

// troubleWords say each in words that a count follows.
var troubleWords = [troubles]string{
	"rows too long to be read, most likely by a quote that never closes, and left out",
	"rows with fewer cells than columns, read as far as they go",
	"rows with more cells than columns, the rest passed over",
	"rows without a time that can be read, left out",
	"rows with the time of the row before, left out",
	"rows whose time goes back, left out",
	"rows with a time far from their neighbors', left out",
	"restarts of the clock, after which the rows go on from there",
	"gaps of more than 5 s, across which nothing is summed",
	"cells that are no numbers, taken as missing",
	"figures that no such board can have, taken as missing",
	"empty cells",
}

// String is the trouble in words that a count follows.
func (t Trouble) String() string { return troubleWords[t] }

// Problem is how often one trouble was met in one column.
type Problem struct {
	Trouble Trouble
	Of      Quantity // the column's, None where it is the whole row's
	Count   int
	Line    int // of the file, where it was met first
}

// ledger counts problems.
type ledger [troubles][quantities]struct{ count, line int }

func (l *ledger) note(t Trouble, q Quantity, line int) {
	e := &l[t][q]
	if e.count == 0 {
		e.line = line
	}
	e.count++
}

func (l *ledger) list() []Problem {
	var out []Problem
	for t := range l {
		for q := range l[t] {
			if e := l[t][q]; e.count > 0 {
				out = append(out, Problem{Trouble(t), Quantity(q), e.count, e.line})
			}
		}
	}
	return out
}
