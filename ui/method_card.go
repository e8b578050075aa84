package ui

import "headroom/core"

const methodID = "out-method"

// MethodCard lists how every figure is found.
type MethodCard struct{ P *Planner }

func (c *MethodCard) methods() []core.Method { return core.Methods() }

func (c *MethodCard) label(m core.Method) string { return core.ReadoutFor(m.Key).Label }

func (c *MethodCard) leftOut() []string { return core.LeftOut }
