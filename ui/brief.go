package ui

import "headroom/core/build"

// brief lists, for each folded group, the inputs that its one line shows.
var brief = map[build.Group][]string{
	build.GroupPack:       {"cell", "cellah"},
	build.GroupDrive:      {"ctrl", "phase", "batt"},
	build.GroupWheel:      {"tire"},
	build.GroupRoad:       {"rider", "cruise", "surface"},
	build.GroupProtection: {"fuse", "fusetype"},
	build.GroupCharging:   {"chga", "chgv"},
	build.GroupWeight:     {"split", "boxw", "boxh"},
}

// Brief is what matters most in a folded group, as one line.
func (p *Planner) Brief(g build.Group) string {
	line := ""
	for _, key := range brief[g] {
		if line != "" {
			line += " · "
		}
		line += p.Entry(key).Spoken
	}
	return line
}

// SheetKey handles the keys of the sheet behind "why?".
func (p *Planner) SheetKey(pressed string) {
	if pressed == "Escape" {
		p.Unask()
	}
}
