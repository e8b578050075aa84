// Package link writes a build into an address and reads it back.
//
// # Promise
//
// A link made today opens as the same build for ever. A version's keys, defaults and part ids are frozen: whatever would change
// the meaning of an existing link is a new key whose default changes nothing, a new part id, or a new version.
//
// # Form
//
//	v=1&s=20&cell=21700-power&kpa=145
//
// application/x-www-form-urlencoded, keys in the order of build.Fields, only what differs from the defaults of that version,
// the version first. Reading never fails: keys that this program does not know are kept, in order, and named; values that are out
// of range become the nearest allowed ones, values that are no values become the default, and each is named.
//
// A link may hold a second build to be compared with, as one more value: its whole link, escaped, under the key "beside".
package link

import (
	"net/url"
	"strconv"
	"strings"

	"headroom/core/build"
)

// Version is the link version that Encode writes.
const Version = 1

// MaxBytes bounds what Decode reads; every possible build fits many times over.
const MaxBytes = 16 << 10

// maxUnknown bounds how many foreign keys are carried along.
const maxUnknown = 32

// maxUnknownBytes bounds each of them, as written.
const maxUnknownBytes = 256

// Pair is a key of a link that no field knows, decoded.
type Pair struct{ Key, Value string }

// Link is a build read from a text, with everything that was not plain about it.
type Link struct {
	Build    build.Build
	Version  int             // as stated; 1 when absent
	Unknown  []Pair          // kept, and written again by Encode
	Problems []build.Problem // one per value that could not be used as it stands
	Holds    bool            // the text names a version or at least one known key
	Beside   string          // canonical link of a second build to be compared with; "" where there is none
}

// besideKey is the key of the second build. A build that stands in it has none of its own.
const besideKey = "beside"

// maxBesideBytes bounds the second build as it is written: with the first, all that may be foreign in it, and this, a link stays under
// MaxBytes.
const maxBesideBytes = 5000

// MaxLength is the most characters that a build takes in a link, foreign keys aside: messengers and old browsers cut what is longer.
const MaxLength = 1999

// Encode returns the canonical link of a build, without '#' or '?'. Unknown pairs of the link that it came from follow at the end.
//
// A build whose numbers all have a dozen digits would not fit. It is written with as many significant digits as do, four at the least, and
// opens as the build with those.
func Encode(b *build.Build, unknown []Pair) string {
	out := encode(b, maxDigits)
	for digits := maxDigits - 1; len(out) > MaxLength && digits >= 4; digits-- {
		out = encode(b, digits)
	}
	for _, u := range unknown {
		out = appendPair(out, u.Key, u.Value)
	}
	return string(out)
}

// EncodeBoth returns the link of a build with a second one beside it.
func EncodeBoth(b *build.Build, unknown []Pair, beside string) string {
	return string(appendPair([]byte(Encode(b, unknown)), besideKey, beside))
}

// maxDigits is how many significant digits a number of a build has at most.
const maxDigits = 11

// encode writes numbers with at most so many significant digits.
func encode(b *build.Build, digits int) []byte {
	out := make([]byte, 0, 96)
	out = append(out, "v="...)
	out = strconv.AppendInt(out, Version, 10)
	standard := build.Default()
	for i := range build.Fields {
		f := &build.Fields[i]
		text := f.Text(b)
		if text == f.Text(&standard) {
			continue
		}
		if digits < maxDigits && f.Kind != build.Choice {
			text = shortened(text, digits)
		}
		out = appendPair(out, f.Key, text)
	}
	return out
}

// shortened rounds every number in a text, a table's rows and cells included, to so many significant digits.
func shortened(text string, digits int) string {
	return build.EachNumber(text, "~_", func(v float64) float64 {
		v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64)
		return v
	})
}

func appendPair(out []byte, key, value string) []byte {
	out = append(out, '&')
	out = append(out, url.QueryEscape(key)...)
	out = append(out, '=')
	return append(out, url.QueryEscape(value)...)
}

// Decode reads a link: a whole address, its fragment or query with or without the mark, or the bare text. Where an address has
// both, the fragment wins. It never fails and never panics.
func Decode(text string) Link { return decode(text, false) }

// decode reads a link; inner is true for one that stands beside another.
func decode(text string, inner bool) Link {
	l := Link{Build: build.Default(), Version: Version}
	text = strings.Trim(text, " \t\r\n\ufeff\u200b\u00a0") // a paste brings spaces along, some of no width
	if len(text) > MaxBytes {
		text = text[:MaxBytes]
		l.problem("", "", "The link is longer than any build needs; the rest was not read.")
	}
	seen := map[string]bool{}
	for _, part := range strings.Split(payload(text), "&") {
		if part == "" {
			continue
		}
		rawKey, rawValue, _ := strings.Cut(part, "=")
		key, kerr := url.QueryUnescape(rawKey)
		value, verr := url.QueryUnescape(rawValue)
		if kerr != nil || verr != nil {
			l.problem(rawKey, rawValue, "The part “"+build.Foreign(part)+"” of the link is damaged and was left out.")
			continue
		}
		if key == besideKey {
			l.beside(value, inner, seen)
			continue
		}
		l.take(key, value, seen)
	}
	return l
}

func (l *Link) take(key, value string, seen map[string]bool) {
	f := build.FieldFor(key)
	switch {
	case key == "v" && seen[key]:
		l.problem(key, value, "The link states its version twice; the first counts.")
	case key == "v":
		seen[key] = true
		l.version(value)
	case f == nil && strings.Trim(key, " ") == "":
		// "=x" names nothing; there is nothing to keep it under.
		l.problem(key, value, "A value without a name (“"+build.Foreign(value)+"”) was left out.")
	case f == nil && (len(l.Unknown) == maxUnknown || len(url.QueryEscape(key))+len(url.QueryEscape(value)) > maxUnknownBytes):
		l.problem(key, value, "The unknown key “"+build.Foreign(key)+"” is too long, or one too many, to be kept; it was left out.")
	case f == nil:
		l.Unknown = append(l.Unknown, Pair{key, value})
	case seen[key]:
		l.problem(key, value, f.Label+" stands twice in the link; the first counts.")
	default:
		seen[key], l.Holds = true, true
		if p := f.Set(&l.Build, value); p != nil {
			l.Problems = append(l.Problems, *p)
		}
	}
}

// beside reads the second build.
func (l *Link) beside(value string, inner bool, seen map[string]bool) {
	switch {
	case inner:
		l.problem(besideKey, value, "A build that stands beside another has none beside itself; that one was left out.")
		return
	case seen[besideKey]:
		l.problem(besideKey, value, "The link holds more than one build beside its own; the first counts.")
		return
	}
	seen[besideKey] = true
	second := decode(value, true)
	for _, p := range second.Problems {
		l.problem(p.Key, p.Given, "In the build beside it: "+p.Text)
	}
	if !second.Holds {
		l.problem(besideKey, value, "“"+build.Foreign(value)+"” is no build to stand beside this one; it was left out.")
		return
	}
	l.Beside, l.Holds = Encode(&second.Build, second.Unknown), true
	if len(url.QueryEscape(l.Beside)) > maxBesideBytes {
		l.Beside = Encode(&second.Build, nil)
		l.problem(besideKey, value, "In the build beside it: there are too many unknown keys to be kept; they were left out.")
	}
}

func (l *Link) version(value string) {
	n, err := strconv.Atoi(value)
	switch {
	case err != nil || n < 1:
		l.problem("v", value, "“"+build.Foreign(value)+"” is no link version; read as version "+strconv.Itoa(Version)+".")
		return
	case n > Version:
		l.problem("v", value, "This link was made by a newer version ("+strconv.Itoa(n)+"). What is understood here is shown; the rest is kept.")
	}
	l.Version, l.Holds = n, true
}

func (l *Link) problem(key, given, text string) {
	l.Problems = append(l.Problems, build.Problem{Key: key, Given: given, Text: text})
}

// payload cuts the key-value text out of whatever was pasted.
func payload(text string) string {
	if _, fragment, ok := strings.Cut(text, "#"); ok {
		if strings.Contains(fragment, "=") {
			return strings.TrimPrefix(fragment, "?")
		}
		text, _, _ = strings.Cut(text, "#")
	}
	if _, query, ok := strings.Cut(text, "?"); ok {
		return query
	}
	if strings.Contains(text, "://") {
		return "" // an address without a build
	}
	return text
}
