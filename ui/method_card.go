package ui

import (
	"github.com/vugu/vugu"

	"headroom/core"
)

const methodID = "out-method"

// MethodCard lists how every figure is found.
type MethodCard struct {
	P    *Planner
	kept kept[bool]
}

// Build is called by vugu. What the card says is the same for every build.
func (c *MethodCard) Build(in *vugu.BuildIn) *vugu.BuildOut {
	return c.kept.build(c.P.IsOpen(methodID), func() *vugu.BuildOut { return (&MethodCardBody{c.P}).Build(in) })
}

// MethodCardBody is what it shows.
type MethodCardBody struct{ P *Planner }

func (c *MethodCardBody) methods() []core.Method { return core.Methods() }

func (c *MethodCardBody) label(m core.Method) string { return core.ReadoutFor(m.Key).Label }

func (c *MethodCardBody) leftOut() []string { return core.LeftOut }
