package route

import (
	"math"
	"strconv"
	"strings"

	"headroom/core/build"
)

// What is read of a file.
const (
	MaxBytes    = 24 << 20
	mostPoints  = 300_000
	mostLetters = 60
)

// Elevations beyond these, m, are no ground that is ridden on: devices write such numbers where they know none.
const lowestGround, highestGround = -500.0, 9000.0

// Point is one place of a track.
type Point struct {
	Lat, Lon float64 // degrees, WGS 84
	Ele      float64 // m above sea level; no meaning unless HasEle
	HasEle   bool
	at       int // of the text
}

// Track is what a GPX file holds of a way.
type Track struct {
	Name     string
	Segments [][]Point // none of them empty
	Planned  bool      // the file has no track; these are its routes
	Unknown  int       // points without a usable elevation
	text     string    // for the lines of later problems
}

// The namespaces of GPX. Files without any are taken too.
var spaces = map[string]bool{"http://www.topografix.com/GPX/1/1": true, "http://www.topografix.com/GPX/1/0": true, "": true}

// reader puts tracks together from tokens.
type reader struct {
	scanner
	track, planned Track
	point          *Point // the one being read
	text           string // what the element that is being read holds
	points         int
}

// ParseGPX reads the tracks of a GPX 1.1 (or 1.0) file, all their segments in order; its routes where it has no track. Waypoints, times and
// extensions are passed over.
func ParseGPX(text string) (*Track, *Problem) {
	text = strings.TrimPrefix(text, "\ufeff")
	switch begins := strings.TrimLeft(text, whites); {
	case len(text) > MaxBytes:
		return nil, &Problem{0, "The file is larger than " + strconv.Itoa(MaxBytes>>20) + " MB; it was not read."}
	case begins == "":
		return nil, &Problem{0, "The file is empty."}
	case begins[0] != '<' || strings.IndexByte(text, 0) >= 0:
		return nil, &Problem{0, "This is not a GPX file: it is no XML text. Other recordings can be turned into GPX by the program that made them."}
	}
	r := reader{scanner: scanner{text: text}}
	for {
		kind, p := r.next()
		if p != nil {
			return nil, p
		}
		switch kind {
		case atEnd:
			return r.whole()
		case opening:
			p = r.opened()
		case closing:
			p = r.closed()
		case words:
			p = r.said()
		}
		if p != nil {
			return nil, p
		}
	}
}

// within tells whether the innermost open elements are the ones of a path from the root.
func (r *reader) within(path ...string) bool {
	if len(r.open) != len(path) {
		return false
	}
	for i := len(path) - 1; i >= 0; i-- {
		if r.open[i].name != path[i] || !spaces[r.open[i].space] {
			return false
		}
	}
	return true
}

func (r *reader) inTrack() bool { return r.within("gpx", "trk", "trkseg", "trkpt") }
func (r *reader) inRoute() bool { return r.within("gpx", "rte", "rtept") }

func (r *reader) inEle() bool {
	return r.within("gpx", "trk", "trkseg", "trkpt", "ele") || r.within("gpx", "rte", "rtept", "ele")
}

func (r *reader) inName() bool {
	return r.within("gpx", "trk", "name") || r.within("gpx", "rte", "name")
}

func (r *reader) opened() *Problem {
	switch len(r.open) {
	case 1:
		if !r.within("gpx") {
			return r.fault(r.from, "the file's element is <"+foreign(r.open[0].qualified)+">, not <gpx>: this is another kind of file.")
		}
	case 2:
		if r.within("gpx", "rte") {
			r.planned.Segments = append(r.planned.Segments, nil)
		}
	case 3:
		if r.within("gpx", "trk", "trkseg") {
			r.track.Segments = append(r.track.Segments, nil)
		} else if r.inRoute() {
			return r.begin(&r.planned)
		}
	case 4:
		if r.inTrack() {
			return r.begin(&r.track)
		}
	}
	if len(r.open) == 3 && r.inName() || r.inEle() {
		r.text = ""
	}
	return nil
}

// begin reads the place of a point.
func (r *reader) begin(t *Track) *Problem {
	if r.points++; r.points > mostPoints {
		return r.fault(r.from, "more than "+strconv.Itoa(mostPoints)+" points; the file is too long.")
	}
	point := Point{at: r.from}
	for _, c := range [2]struct {
		name string
		to   *float64
		most float64
	}{{"lat", &point.Lat, 90}, {"lon", &point.Lon, 180}} {
		text, ok := r.value(c.name)
		if !ok {
			return r.fault(r.from, "a point without “"+c.name+"”.")
		}
		text, p := r.plain(text, r.from)
		if p != nil {
			return p
		}
		v, ok := number(text)
		if !ok || math.Abs(v) > c.most {
			return r.fault(r.from, "“"+foreign(text)+"” is no "+c.name+" in degrees, which go from −"+strconv.Itoa(int(c.most))+" to "+strconv.Itoa(int(c.most))+".")
		}
		*c.to = v
	}
	last := &t.Segments[len(t.Segments)-1]
	*last = append(*last, point)
	r.point = &(*last)[len(*last)-1]
	return nil
}

func (r *reader) said() *Problem {
	if !r.inEle() && !r.inName() {
		return nil
	}
	text := r.raw
	if !r.literal {
		var p *Problem
		if text, p = r.plain(text, r.from); p != nil {
			return p
		}
	}
	if len(r.text)+len(text) < 4096 { // a name or a number needs no more
		r.text += text
	}
	return nil
}

// closed takes what an element held; the scanner has closed it already.
func (r *reader) closed() *Problem {
	if !spaces[r.space] {
		return nil
	}
	switch r.name {
	case "ele":
		if r.inTrack() || r.inRoute() {
			text := strings.Trim(r.text, whites)
			if text == "" {
				return nil
			}
			v, ok := number(text)
			if !ok {
				return r.fault(r.from, "“"+foreign(text)+"” is no elevation in meters.")
			}
			if v >= lowestGround && v <= highestGround {
				r.point.Ele, r.point.HasEle = v, true
			}
		}
	case "name":
		for _, c := range [2]struct {
			in string
			t  *Track
		}{{"trk", &r.track}, {"rte", &r.planned}} {
			if r.within("gpx", c.in) && c.t.Name == "" {
				c.t.Name = tidy(r.text)
			}
		}
	}
	return nil
}

// number reads a decimal number as XML Schema has it; an exponent is taken too.
func number(text string) (float64, bool) {
	text = strings.Trim(text, whites)
	if text == "" || strings.Trim(text, "0123456789.+-eE") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil
}

// whole is the track of a file that was read to its end.
func (r *reader) whole() (*Track, *Problem) {
	t := &r.track
	if t.drop(); len(t.Segments) == 0 {
		t = &r.planned
		t.Planned = true
		t.drop()
	}
	t.text = r.scanner.text
	for _, segment := range t.Segments {
		for i := range segment {
			if !segment[i].HasEle {
				t.Unknown++
			}
		}
	}
	if len(t.Segments) == 0 {
		return nil, &Problem{0, "There is no track in this file, and no route either; single waypoints make no way."}
	}
	return t, nil
}

// drop takes out segments without points.
func (t *Track) drop() {
	kept := t.Segments[:0]
	for _, s := range t.Segments {
		if len(s) > 0 {
			kept = append(kept, s)
		}
	}
	t.Segments = kept
}

// foreign makes a text of the file fit to stand in a message.
func foreign(text string) string { return build.Foreign(strings.ToValidUTF8(text, "�")) }

// tidy makes a name one short line.
func tidy(name string) string {
	runes := []rune(strings.Join(strings.Fields(strings.ToValidUTF8(name, "�")), " "))
	if len(runes) > mostLetters {
		runes = append(runes[:mostLetters-1], '…')
	}
	clean := make([]string, 0, 2)
	for len(runes) > 0 { // build.Foreign takes 32 characters at a time
		n := min(32, len(runes))
		clean = append(clean, build.Foreign(string(runes[:n])))
		runes = runes[n:]
	}
	return strings.Join(clean, "")
}
