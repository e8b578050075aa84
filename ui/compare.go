package ui

import (
	"slices"
	"strings"

	"headroom/core/build"
	"headroom/core/limit"
)

const (
	compareID   = "out-compare"
	maxCompared = 4 // builds side by side
)

// Compare is up to four builds side by side.
type Compare struct {
	P       *Planner
	columns []column
	rows    []comparison
	plans   map[string]*aside // of saved builds, by link
}

// column is one build of the comparison.
type column struct {
	name string
	*aside
}

// comparison is one row: what is compared, and each build's cell.
type comparison struct {
	label, kind string
	cells       [][]said
}

// said is one line of a cell.
type said struct {
	status limit.Status
	text   string
}

func (s said) shape() string { return shapeAt(s.status, 0, 0) }

// Compute is called by vugu before each build. The table is made only while someone looks.
func (c *Compare) Compute() {
	if !c.P.IsOpen(compareID) {
		return
	}
	c.columns = c.columns[:0]
	c.columns = append(c.columns, column{"Now", c.P.asideNow()})
	if c.P.pinned != nil {
		c.columns = append(c.columns, column{"Pinned", c.P.pinned})
	}
	old := c.plans
	c.plans = map[string]*aside{}
	for _, s := range c.P.shelf.list {
		if !s.Compared || len(c.columns) == maxCompared {
			continue
		}
		a := old[s.Link]
		if a == nil {
			var err error
			if a, err = planAside(s.Link); err != nil {
				c.P.Fail(err)
				continue
			}
		}
		c.plans[s.Link] = a
		c.columns = append(c.columns, column{s.Name, a})
	}
	c.rows = nil
	if !c.alone() {
		c.rows = slices.Concat(c.figures(), c.inputs(), c.notes())
	}
}

func (c *Compare) alone() bool { return len(c.columns) < 2 }

func (c *Compare) brief() string {
	n := c.P.compares()
	if n < 2 {
		return "pin or save a build first"
	}
	return counted(n, "build") + " side by side"
}

func (c *Compare) row(label, kind string, cell func(*column) []said) comparison {
	r := comparison{label, kind, make([][]said, len(c.columns))}
	for i := range c.columns {
		r.cells[i] = cell(&c.columns[i])
	}
	return r
}

// figures is the leading readouts.
func (c *Compare) figures() (list []comparison) {
	for _, o := range leading {
		list = append(list, c.row(o.Label, "figure", func(at *column) []said {
			f := c.P.Units.figure(o, &at.report)
			return []said{{f.Status, f.spoken()}}
		}))
	}
	return list
}

// inputs is every input that is not the same in all of them.
func (c *Compare) inputs() (list []comparison) {
	for i := range build.Fields {
		f := &build.Fields[i]
		first := f.Text(&c.columns[0].build)
		if !slices.ContainsFunc(c.columns[1:], func(at column) bool { return f.Text(&at.build) != first }) {
			continue
		}
		list = append(list, c.row(f.Label, "input", func(at *column) []said {
			return []said{{"", c.P.inputOf(f, at.aside)}}
		}))
	}
	return list
}

// inputOf is an input of a build in words.
func (p *Planner) inputOf(f *build.Field, at *aside) string {
	switch f.Kind {
	case build.Choice:
		return f.Options()[f.Index(&at.build)].Name
	case build.Rows:
		if text := f.Text(&at.build); text != "" {
			return strings.NewReplacer("_", "; ", "~", " ").Replace(text)
		}
		return "none"
	}
	x := p.Units.of(f.Unit)
	text := strings.TrimSpace(shortest(x.shown(f.ValueIn(&at.build, &at.parts)), p.digits(f, x)) + " " + x.name)
	if !f.Given(&at.build) {
		text += ", of the class"
	}
	return text
}

// notes is all that is tight or over.
func (c *Compare) notes() []comparison {
	return []comparison{c.row("Tight or over", "note", func(at *column) (list []said) {
		for _, n := range at.report.Notes {
			if n.Status != limit.Clear {
				list = append(list, said{n.Status, c.P.Units.say(n.Text)})
			}
		}
		if list == nil {
			list = []said{{"", "nothing"}}
		}
		return list
	})}
}

// OpenColumn opens a build of the comparison. The pinned one stays pinned.
func (c *Compare) OpenColumn(i int) {
	at := c.columns[i]
	c.P.openAside(at.link, "“"+at.name+"”")
}

// compares counts the builds that stand side by side.
func (p *Planner) compares() int {
	n := 1
	if p.pinned != nil {
		n++
	}
	for i := range p.shelf.list {
		if p.shelf.list[i].Compared {
			n++
		}
	}
	return min(n, maxCompared)
}

// ToggleCompared puts a saved build into the comparison or takes it out.
func (p *Planner) ToggleCompared(id int) {
	s := &p.shelf
	i := s.at(id)
	switch {
	case i < 0:
		return
	case s.list[i].Compared || p.compares() < maxCompared:
		s.list[i].Compared = !s.list[i].Compared
		s.lines = nil
	default:
		s.lines = []string{"Four builds fit side by side, this one and the pinned one included. Take another out first."}
	}
}
