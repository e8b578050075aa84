package ui

// Chart draws a plot.
type Chart struct{ Plot *Plot }

func (c *Chart) xTicks() []Tick { return c.Plot.X.ticks() }
func (c *Chart) yTicks() []Tick { return c.Plot.Y.ticks() }

func (c *Chart) gridX(t Tick) string {
	x := coord(c.Plot.px(t.At))
	return "M" + x + " " + coord(plotTop) + "V" + coord(plotHeight-plotBottom)
}

func (c *Chart) gridY(t Tick) string {
	return "M" + coord(plotLeft) + " " + coord(c.Plot.py(t.At)) + "H" + coord(plotWidth-plotRight)
}

func (c *Chart) mark(i int) string {
	m := &c.Plot.Marks[i]
	if m.Across {
		return c.gridY(Tick{At: m.Y})
	}
	return c.gridX(Tick{At: m.X})
}

// anchor keeps names inside the frame: those on the right half end at their line.
func (c *Chart) anchor(i int) string {
	m := &c.Plot.Marks[i]
	if m.Across || c.Plot.X.share(m.X) > 0.6 {
		return "end"
	}
	return "start"
}

func (c *Chart) nameX(i int) string {
	m := &c.Plot.Marks[i]
	switch {
	case m.Across:
		return coord(plotWidth - plotRight - 2)
	case c.anchor(i) == "end":
		return coord(c.Plot.px(m.X) - 4)
	}
	return coord(c.Plot.px(m.X) + 4)
}

func (c *Chart) nameY(i int) string {
	m := &c.Plot.Marks[i]
	if m.Across {
		return coord(c.Plot.py(m.Y) - 4)
	}
	return coord(plotTop + 11 + 13*float64(m.Raise))
}

func (c *Chart) xName() string { return axisName(&c.Plot.X) + " →" }
func (c *Chart) yName() string { return "↑ " + axisName(&c.Plot.Y) }

func axisName(a *Axis) string {
	if a.Unit == "" {
		return a.Label
	}
	return a.Label + ", " + a.Unit
}

// sample is one line of the legend.
type sample struct{ Name, Class, Shape string }

func (c *Chart) legend() []sample {
	var list []sample
	for _, l := range c.Plot.Lines {
		if l.Name != "" {
			list = append(list, sample{l.Name, "curve " + l.Style, "M1 6H29"})
		}
	}
	for _, b := range c.Plot.Bands {
		if b.Name != "" {
			list = append(list, sample{b.Name, "area " + b.Style, "M1 1H29V11H1z"})
		}
	}
	return list
}
