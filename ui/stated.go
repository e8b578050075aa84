package ui

import (
	"slices"

	"headroom/core/build"
)

// always lists the inputs that a build is told by, whether or not they differ from the standard build.
var always = slices.Concat(build.Main, []string{"cell", "ctrl", "phase", "batt", "tire", "rider", "cruise", "surface", "fuse", "fusetype", "chga"})

// stated is one input in words.
type stated struct{ Key, Label, Value string }

// stated lists what the build is, in the order of the form: the inputs that are always told, and every other that differs from the standard
// build.
func (p *Planner) stated() []stated {
	var list []stated
	standard, now := build.Default(), aside{build: p.Build, parts: p.parts}
	for i := range build.Fields {
		f := &build.Fields[i]
		if !slices.Contains(always, f.Key) && f.Text(&p.Build) == f.Text(&standard) {
			continue
		}
		list = append(list, stated{f.Key, f.Label, p.inputOf(f, &now)})
	}
	return list
}

// title is the build's name where it is a saved one, else what it is.
func (p *Planner) title() string {
	link := p.Link()
	for i := range p.shelf.list {
		if p.shelf.list[i].Link == link {
			return p.shelf.list[i].Name
		}
	}
	return suggested(&p.Build)
}
