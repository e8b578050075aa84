package route

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// Problem is why a file cannot be read, for a person.
type Problem struct {
	Line int // the line of the file where it was found, from 1; 0 where it is the whole file
	Text string
}

// Error is a sentence, with the line before it where there is one.
func (p *Problem) Error() string {
	if p.Line == 0 {
		return p.Text
	}
	return "Line " + strconv.Itoa(p.Line) + ": " + p.Text
}

// token is what a scanner finds next.
type token int

const (
	atEnd   token = iota
	opening       // of an element; name, space and attributes hold
	closing       // the element named by name and space
	words         // characters within an element
)

// mostNested is how many elements may lie in each other; GPX needs six, and its extensions a few more.
const mostNested = 64

// Each attribute and each prefix is compared with all before it, so there must not be any number of them; GPX needs three and four.
const (
	mostAttributes = 64  // of an element
	mostSpaces     = 256 // declared by an element and those around it
)

// scanner reads XML 1.0 with namespaces from a text, one token after the other: elements that close what they open, quoted attributes,
// the five named entities and numbered ones, comments, CDATA and processing instructions. Document types, which GPX has no use for and
// which can make a small file enormous, are refused. encoding/xml does more, and is larger.
type scanner struct {
	text string
	at   int // of what is read next
	from int // of the token just read

	open   []element
	spaces []declared

	name       string // local name of the element just opened or closed
	space      string // its namespace
	attributes []attribute
	others     int    // attributes that declare no namespace
	raw        string // characters just read
	literal    bool   // raw is CDATA: no entities in it
	empty      bool   // the element just opened is closed already
	rooted     bool   // there has been a root
}

type element struct {
	qualified, name, space string
	from                   int // where it was opened
	spaces                 int // how many declarations there were before it
}

// declared is a namespace under a prefix; the default one has none.
type declared struct{ prefix, space string }

type attribute struct{ name, value string } // the value as written

// fault makes a problem of a place in the text.
func (s *scanner) fault(at int, words string) *Problem {
	return &Problem{1 + strings.Count(s.text[:min(at, len(s.text))], "\n"), words}
}

// next reads one token.
func (s *scanner) next() (token, *Problem) {
	if s.empty {
		s.empty = false
		s.close()
		return closing, nil
	}
	for s.at < len(s.text) {
		s.from = s.at
		rest := s.text[s.at:]
		switch {
		case rest[0] != '<':
			end := strings.IndexByte(rest, '<')
			if end < 0 {
				end = len(rest)
			}
			s.at += end
			if len(s.open) == 0 {
				if strings.Trim(rest[:end], whites) != "" {
					return atEnd, s.fault(s.from, "there is text outside of the file's one element, so this is no GPX file.")
				}
				continue
			}
			s.raw, s.literal = rest[:end], false
			return words, nil
		case strings.HasPrefix(rest, "<!--"):
			if p := s.past("-->", "a comment that does not end."); p != nil {
				return atEnd, p
			}
		case strings.HasPrefix(rest, "<![CDATA["):
			if len(s.open) == 0 {
				return atEnd, s.fault(s.from, "there is text outside of the file's one element, so this is no GPX file.")
			}
			if p := s.past("]]>", "a CDATA section that does not end."); p != nil {
				return atEnd, p
			}
			s.raw, s.literal = s.text[s.from+len("<![CDATA["):s.at-len("]]>")], true
			return words, nil
		case strings.HasPrefix(rest, "<?"):
			if p := s.past("?>", "an instruction that does not end."); p != nil {
				return atEnd, p
			}
		case strings.HasPrefix(rest, "<!"):
			return atEnd, s.fault(s.from, "a document type or something like it; a GPX file has none, and it is not read.")
		case strings.HasPrefix(rest, "</"):
			return s.ending()
		default:
			return s.beginning()
		}
	}
	if n := len(s.open); n > 0 {
		o := &s.open[n-1]
		return atEnd, s.fault(o.from, "the file ends within <"+foreign(o.qualified)+">, which begins here: it is not whole.")
	}
	return atEnd, nil
}

const whites = " \t\r\n"

// past moves beyond the end of something that begins here.
func (s *scanner) past(end, unended string) *Problem {
	i := strings.Index(s.text[s.at:], end)
	if i < 0 || end == "-->" && i < len("<!-") { // <!--> is no comment
		return s.fault(s.from, unended)
	}
	s.at += i + len(end)
	return nil
}

func (s *scanner) blanks() {
	for s.at < len(s.text) && strings.IndexByte(whites, s.text[s.at]) >= 0 {
		s.at++
	}
}

// word reads a name; "" where none stands here.
func (s *scanner) word() string {
	from := s.at
	for s.at < len(s.text) && inName(s.text[s.at], s.at == from) {
		s.at++
	}
	return s.text[from:s.at]
}

func inName(c byte, first bool) bool {
	switch {
	case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c == '_', c == ':', c >= utf8.RuneSelf:
		return true
	}
	return !first && (c >= '0' && c <= '9' || c == '-' || c == '.')
}

func (s *scanner) ending() (token, *Problem) {
	s.at += len("</")
	name := s.word()
	s.blanks()
	if s.at >= len(s.text) || s.text[s.at] != '>' {
		return atEnd, s.fault(s.from, "a closing tag that does not end.")
	}
	s.at++
	if n := len(s.open); n == 0 || s.open[n-1].qualified != name {
		text := "</" + foreign(name) + "> closes nothing that is open."
		if n > 0 {
			text = "</" + foreign(name) + "> stands where </" + foreign(s.open[n-1].qualified) + "> is due."
		}
		return atEnd, s.fault(s.from, text)
	}
	s.close()
	return closing, nil
}

func (s *scanner) close() {
	o := s.open[len(s.open)-1]
	s.open = s.open[:len(s.open)-1]
	s.spaces = s.spaces[:o.spaces]
	s.name, s.space = o.name, o.space
}

func (s *scanner) beginning() (token, *Problem) {
	s.at++
	name := s.word()
	switch {
	case name == "":
		return atEnd, s.fault(s.from, "a “<” that begins no element.")
	case len(s.open) == 0 && s.rooted:
		return atEnd, s.fault(s.from, "a second outermost element; a file has one.")
	case len(s.open) == mostNested:
		return atEnd, s.fault(s.from, "more than "+strconv.Itoa(mostNested)+" elements lie in each other.")
	}
	s.rooted = true
	s.attributes, s.others = s.attributes[:0], 0
	before := len(s.spaces)
	for {
		blank := s.at
		s.blanks()
		if s.at >= len(s.text) {
			return atEnd, s.fault(s.from, "<"+foreign(name)+"> does not end.")
		}
		if s.text[s.at] == '>' {
			s.at++
			break
		}
		if strings.HasPrefix(s.text[s.at:], "/>") {
			s.at += len("/>")
			s.empty = true
			break
		}
		if blank == s.at {
			return atEnd, s.fault(s.at, "there must be a space before what follows <"+foreign(name)+".")
		}
		if p := s.attribute(); p != nil {
			return atEnd, p
		}
	}
	prefix, local := split(name)
	e := element{qualified: name, name: local, space: s.spaceOf(prefix), from: s.from, spaces: before}
	s.open = append(s.open, e)
	s.name, s.space = e.name, e.space
	return opening, nil
}

// attribute reads one. A declaration of a namespace is kept as such.
func (s *scanner) attribute() *Problem {
	from := s.at
	name := s.word()
	s.blanks()
	if name == "" || s.at >= len(s.text) || s.text[s.at] != '=' {
		return s.fault(from, "an attribute without a name or without a value.")
	}
	s.at++
	s.blanks()
	if s.at >= len(s.text) || s.text[s.at] != '"' && s.text[s.at] != '\'' {
		return s.fault(from, "the value of “"+foreign(name)+"” is not in quotes.")
	}
	quote := s.text[s.at]
	s.at++
	end := strings.IndexByte(s.text[s.at:], quote)
	if end < 0 {
		return s.fault(from, "the value of “"+foreign(name)+"” does not end.")
	}
	value := s.text[s.at : s.at+end]
	s.at += end + 1
	if strings.IndexByte(value, '<') >= 0 {
		return s.fault(from, "there is a “<” in the value of “"+foreign(name)+"”.")
	}
	for i := range s.attributes {
		if s.attributes[i].name == name {
			return s.fault(from, "“"+foreign(name)+"” is given twice.")
		}
	}
	prefix, local := split(name)
	declares := prefix == "xmlns" || name == "xmlns"
	switch {
	case declares && len(s.spaces) == mostSpaces:
		return s.fault(from, "more than "+strconv.Itoa(mostSpaces)+" namespaces are declared here.")
	case !declares && s.others == mostAttributes:
		return s.fault(from, "an element has more than "+strconv.Itoa(mostAttributes)+" attributes.")
	case !declares:
		s.others++
	}
	s.attributes = append(s.attributes, attribute{name, value})
	if declares {
		if name == "xmlns" {
			local = ""
		}
		s.spaces = append(s.spaces, declared{local, strings.TrimSpace(value)})
	}
	return nil
}

func split(name string) (prefix, local string) {
	if prefix, local, ok := strings.Cut(name, ":"); ok {
		return prefix, local
	}
	return "", name
}

// spaceOf is the namespace that a prefix stands for. One that nobody declared, as some programs write, is a namespace of its own.
func (s *scanner) spaceOf(prefix string) string {
	for i := len(s.spaces) - 1; i >= 0; i-- {
		if s.spaces[i].prefix == prefix {
			return s.spaces[i].space
		}
	}
	return prefix
}

// value is an attribute of the element just opened as written, ok is false where it has none.
func (s *scanner) value(name string) (string, bool) {
	for i := range s.attributes {
		if s.attributes[i].name == name {
			return s.attributes[i].value, true
		}
	}
	return "", false
}

var entities = map[string]string{"lt": "<", "gt": ">", "amp": "&", "quot": `"`, "apos": "'"}

// plain puts the entities of a text in; at is where it stands.
func (s *scanner) plain(text string, at int) (string, *Problem) {
	if strings.IndexByte(text, '&') < 0 {
		return text, nil
	}
	var out strings.Builder
	for {
		before, after, found := strings.Cut(text, "&")
		out.WriteString(before)
		if !found {
			return out.String(), nil
		}
		name, rest, ended := strings.Cut(after, ";")
		r, ok := entities[name]
		if !ok {
			r, ok = numbered(name)
		}
		if !ended || !ok {
			return "", s.fault(at, "“&"+foreign(name)+"” is no character that XML has a name for.")
		}
		out.WriteString(r)
		text = rest
	}
}

// numbered is a character by its number: #233 or #xE9.
func numbered(name string) (string, bool) {
	digits, ok := strings.CutPrefix(name, "#")
	if !ok {
		return "", false
	}
	base := 10
	if hex, ok := strings.CutPrefix(digits, "x"); ok {
		digits, base = hex, 16
	}
	n, err := strconv.ParseUint(digits, base, 21)
	if err != nil || n < ' ' && n != '\t' && n != '\n' && n != '\r' || !utf8.ValidRune(rune(n)) {
		return "", false
	}
	return string(rune(n)), true
}
