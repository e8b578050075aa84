package ui

import (
	"bytes"
	"encoding/json"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"headroom/core/build"
	"headroom/core/link"
)

// What is read of a file of builds.
const (
	maxFileBytes  = 2 << 20
	maxBuilds     = 500
	maxNameRunes  = 60
	fileFormat    = "headroom-builds"
	fileVersion   = 1
	fileName      = "headroom-builds.json"
	fileMediaType = "application/json"
)

// savedFile is the file of builds, as README.md documents it. The device's memory holds the same.
type savedFile struct {
	Format  string            `json:"format"`
	Version int               `json:"version"`
	Builds  []json.RawMessage `json:"builds"`
}

type savedEntry struct {
	Name string `json:"name"`
	Link string `json:"link"`
}

// writeBuilds is the list as a file.
func writeBuilds(list []Saved) []byte {
	file := struct {
		Format  string       `json:"format"`
		Version int          `json:"version"`
		Builds  []savedEntry `json:"builds"`
	}{fileFormat, fileVersion, make([]savedEntry, len(list))}
	for i := range list {
		file.Builds[i] = savedEntry{list[i].Name, list[i].Link}
	}
	return plainJSON(file)
}

// plainJSON is a file of ours, of texts and finite numbers: nothing that could fail.
func plainJSON(file any) []byte {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false) // the '&' of links stays readable
	e.SetIndent("", "\t")
	_ = e.Encode(file)
	return out.Bytes()
}

// readBuilds reads a file of builds, or a text that is one link a line. It takes what it can and says what it could not.
func readBuilds(text string) (list []savedEntry, problems []string) {
	text = strings.TrimSpace(strings.TrimPrefix(text, "\ufeff"))
	switch {
	case text == "":
		return nil, nil
	case len(text) > maxFileBytes:
		return nil, []string{"This is larger than any file of builds; it was not read."}
	case text[0] != '{' && text[0] != '[':
		return readLinks(text)
	}
	var file savedFile
	if err := json.Unmarshal([]byte(text), &file); err != nil {
		return nil, []string{"This is not a whole file of builds (" + build.Foreign(err.Error()) + "); nothing was taken from it."}
	}
	if file.Format != fileFormat {
		return nil, []string{"This file does not say that it holds builds of this planner (“format” is “" + build.Foreign(file.Format) + "”); nothing was taken from it."}
	}
	if file.Version > fileVersion {
		problems = append(problems, "A newer version of this planner wrote this file ("+strconv.Itoa(file.Version)+"); what is understood here was taken.")
	}
	for i, raw := range file.Builds {
		place := "Build " + strconv.Itoa(i+1)
		var e savedEntry
		if err := json.Unmarshal(raw, &e); err != nil {
			problems = append(problems, place+" is not a name with a link; it was left out.")
			continue
		}
		e, problem := checked(e)
		if problem != "" {
			if e.Name != "" {
				place += " (“" + build.Foreign(e.Name) + "”)"
			}
			problems = append(problems, place+problem)
			continue
		}
		list = append(list, e)
	}
	return list, problems
}

// readLinks reads one link a line.
func readLinks(text string) (list []savedEntry, problems []string) {
	for i, line := range strings.Split(text, "\n") {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		e, problem := checked(savedEntry{"", line})
		if problem != "" {
			problems = append(problems, "Line "+strconv.Itoa(i+1)+" (“"+build.Foreign(line)+"”)"+problem)
			continue
		}
		list = append(list, e)
		if beside := link.Decode(line).Beside; beside != "" { // a link of two builds
			second, _ := checked(savedEntry{"", beside})
			list = append(list, second)
		}
	}
	return list, problems
}

// checked tidies an entry; problem is what keeps it from being taken. A link is kept as it is where a value of it cannot be used: opening
// it says so, and nothing is lost.
func checked(e savedEntry) (tidied savedEntry, problem string) {
	e.Name = tidyName(e.Name)
	if len(e.Link) > link.MaxBytes {
		return e, " has a link that is longer than any build needs; it was left out."
	}
	l := link.Decode(e.Link)
	if !l.Holds {
		return e, " has no link with a build in it; it was left out."
	}
	if len(l.Problems) == 0 {
		e.Link = link.Encode(&l.Build, l.Unknown)
	}
	if e.Name == "" {
		e.Name = suggested(&l.Build)
	}
	return e, ""
}

// tidyName makes a name fit to stand in a line: no line breaks, nothing invisible that turns the direction of writing around, at most
// maxNameRunes characters.
func tidyName(name string) string {
	name = strings.Join(strings.Fields(visible(name)), " ")
	if utf8.RuneCountInString(name) > maxNameRunes {
		name = strings.TrimSpace(string([]rune(name)[:maxNameRunes-1])) + "…"
	}
	return name
}

// visible drops line breaks and what is invisible and turns the direction of writing around.
func visible(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return ' '
		}
		if unicode.In(r, unicode.Cc, unicode.Zl, unicode.Zp) || unicode.Is(unicode.Bidi_Control, r) {
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, "�"))
}

// suggested is a name for a build that has none.
func suggested(b *build.Build) string {
	motor := build.FieldFor("motor")
	return strconv.Itoa(b.Series) + "s" + strconv.Itoa(b.Parallel) + "p, " + motor.Options()[motor.Index(b)].Name
}
