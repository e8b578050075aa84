package ui

import (
	"github.com/vugu/vugu"

	"headroom/core/build"
)

// Group is a folded group of inputs. Its nodes are handed out again as long as none of its entries has changed: most frames move one input
// of a hundred and fifty.
type Group struct {
	P     *Planner
	Group build.Group

	fields     []Field // those that are often asked for first
	brief      string
	open, more bool
	again      *vugu.BuildOut
}

// Build is called by vugu.
func (c *Group) Build(in *vugu.BuildIn) *vugu.BuildOut {
	body := GroupBody{P: c.P, Group: c.Group}
	changed := c.again == nil
	n := 0
	for _, rare := range [2]bool{false, true} {
		for _, key := range Inputs(c.Group, rare) {
			e := c.P.Entry(key)
			if n == len(c.fields) {
				c.fields = append(c.fields, Field{P: c.P, entry: e})
			} else if c.fields[n].entry != e {
				c.fields[n].entry, changed = e, true
			}
			n++
		}
	}
	brief, open, more := c.P.Brief(c.Group), c.P.IsOpen(body.id()), c.P.IsOpen(body.id()+"-more")
	if !changed && brief == c.brief && open == c.open && more == c.more {
		return c.again
	}
	c.brief, c.open, c.more = brief, open, more
	body.often = c.fields[:len(Inputs(c.Group, false))]
	body.rare = c.fields[len(body.often):]
	out := body.Build(in)
	c.again = &vugu.BuildOut{Out: out.Out}
	return out
}

// GroupBody is what it shows.
type GroupBody struct {
	P           *Planner
	Group       build.Group
	often, rare []Field
}

func (c *GroupBody) id() string { return "in-" + string(c.Group) }
