package ridelog

// record is one line of a table, cut into cells. It is valid until the next.
type record struct {
	line   int    // of the file where it begins, counted from 1
	text   []byte // the cells one after the other, without their quotes
	ends   []int  // where each ends
	broken bool   // too long to be a line of a log, most likely a quote that never closes
}

func (r *record) cells() int { return len(r.ends) }

func (r *record) cell(i int) []byte {
	if i == 0 {
		return r.text[:r.ends[0]]
	}
	return r.text[r.ends[i-1]:r.ends[i]]
}

// What a record may hold. Where a quote never closes, the rows up to longest are lost and those after it are read.
const (
	longest   = 8 << 10 // bytes
	mostCells = 512
)

// where in a cell the splitter is.
type where byte

const (
	atStart where = iota
	inBare
	inQuotes
	afterQuote
)

// splitter cuts delimited text into records as RFC 4180 has it, fed with pieces that may end anywhere. Beyond the RFC: a quote within a
// bare cell is a letter, empty lines are passed over, and lines may end in LF or CR LF.
type splitter struct {
	delimiter byte
	emit      func(*record)

	rec   record
	line  int // line ends so far
	at    where
	begun bool // something of the record has been seen
	cr    bool // a CR was read that may belong to the line's end
}

func newSplitter(delimiter byte, emit func(*record)) *splitter {
	return &splitter{delimiter: delimiter, emit: emit}
}

func (s *splitter) feed(chunk []byte) {
	for i := 0; i < len(chunk); i++ {
		c := chunk[i]
		if s.cr {
			s.cr = false
			if c != '\n' {
				s.letter('\r')
			}
		}
		switch {
		case c == '\r':
			s.cr = true
		case c == '\n':
			s.newline()
		case s.at == inBare:
			// Most of a log is bare cells: take what is left of this one in one go.
			from := i
			for i < len(chunk) && chunk[i] != s.delimiter && chunk[i] != '\n' && chunk[i] != '\r' {
				i++
			}
			s.take(chunk[from:i])
			i--
			if i+1 < len(chunk) && chunk[i+1] == s.delimiter {
				i++
				s.endCell()
			}
		default:
			s.letter(c)
		}
	}
}

// finish ends the last line, which may lack its end.
func (s *splitter) finish() {
	s.cr = false
	if s.begun {
		s.endRecord()
	}
}

func (s *splitter) letter(c byte) {
	s.begin()
	switch s.at {
	case inQuotes:
		if c == '"' {
			s.at = afterQuote
		} else {
			s.put(c)
		}
		return
	case afterQuote:
		if c == '"' {
			s.put(c)
			s.at = inQuotes
			return
		}
		s.at = inBare
	case atStart:
		if c == '"' {
			s.at = inQuotes
			return
		}
	}
	if c == s.delimiter {
		s.endCell()
		return
	}
	s.at = inBare
	s.put(c)
}

func (s *splitter) newline() {
	s.line++
	if s.at == inQuotes && !s.rec.broken {
		s.put('\n')
		if !s.rec.broken {
			return
		}
	}
	if s.begun {
		s.endRecord()
	}
}

func (s *splitter) begin() {
	if !s.begun {
		s.begun = true
		s.rec = record{line: s.line + 1, text: s.rec.text[:0], ends: s.rec.ends[:0]}
	}
}

func (s *splitter) put(c byte) {
	if len(s.rec.text) >= longest {
		s.rec.broken = true
		return
	}
	s.rec.text = append(s.rec.text, c)
}

func (s *splitter) take(run []byte) {
	if room := longest - len(s.rec.text); len(run) > room {
		s.rec.broken = true
		run = run[:max(0, room)]
	}
	s.rec.text = append(s.rec.text, run...)
}

func (s *splitter) endCell() {
	s.at = atStart
	if len(s.rec.ends) == mostCells {
		s.rec.broken = true
		return
	}
	s.rec.ends = append(s.rec.ends, len(s.rec.text))
}

func (s *splitter) endRecord() {
	s.endCell()
	s.begun = false
	s.emit(&s.rec)
}
