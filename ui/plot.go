package ui

import (
	"math"
	"strconv"
	"strings"
)

// A plot is drawn in units of its own, which the page stretches to the width there is.
const (
	plotWidth, plotHeight = 360.0, 230.0
	plotLeft, plotRight   = 44.0, 10.0
	plotTop, plotBottom   = 10.0, 40.0
)

// Plot is one drawing of curves over two axes.
type Plot struct {
	ID    string // part of the ids of its elements
	Title string
	X, Y  Axis
	Bands []Band
	Lines []Line
	Marks []Mark
	Words string // what a person who does not see it should know
}

// Axis is one axis. Lo is less than Hi; a logarithmic one is positive.
type Axis struct {
	Label  string
	Unit   string
	Lo, Hi float64
	Log    bool
	Ticks  []Tick // nil: chosen here
}

// Tick is one mark on an axis.
type Tick struct {
	At   float64
	Text string
}

// XY is one point in the units of the axes.
type XY struct{ X, Y float64 }

// Line is one curve. Style picks its dashes and color.
type Line struct {
	Name   string
	Style  string
	Points []XY
}

// Band is the area between two curves of the same speeds.
type Band struct {
	Name         string
	Style        string
	Lower, Upper []XY
}

// Mark is a straight line across the plot at one value of an axis, or a point where both are given.
type Mark struct {
	Name   string
	Style  string
	X, Y   float64
	Across bool // at Y, from left to right; otherwise at X, from bottom to top
	Raise  int  // how many lines of text its name stands below the top, so that names beside each other can be read
}

// px and py place a value in the drawing, held to the frame.
func (p *Plot) px(v float64) float64 {
	return plotLeft + (plotWidth-plotLeft-plotRight)*p.X.share(v)
}

func (p *Plot) py(v float64) float64 {
	return plotHeight - plotBottom - (plotHeight-plotTop-plotBottom)*p.Y.share(v)
}

func (a *Axis) share(v float64) float64 {
	lo, hi := a.Lo, a.Hi
	if a.Log {
		lo, hi, v = math.Log(lo), math.Log(hi), math.Log(math.Max(v, 1e-300))
	}
	return math.Min(1, math.Max(0, (v-lo)/(hi-lo)))
}

// at is the value at a share of the axis.
func (a *Axis) at(share float64) float64 {
	if a.Log {
		return a.Lo * math.Pow(a.Hi/a.Lo, share)
	}
	return a.Lo + (a.Hi-a.Lo)*share
}

// ticks are those given, else round values: decades of a logarithmic axis, some five steps of a straight one.
func (a *Axis) ticks() []Tick {
	if a.Ticks != nil {
		return a.Ticks
	}
	var list []Tick
	if a.Log {
		for e := math.Ceil(math.Log10(a.Lo) - 1e-9); e <= math.Log10(a.Hi)+1e-9; e++ {
			v := math.Pow(10, e)
			list = append(list, Tick{v, strconv.FormatFloat(v, 'f', -1, 64)})
		}
		return list
	}
	step := roundStep((a.Hi - a.Lo) / 5)
	for i := math.Ceil(a.Lo/step - 1e-9); i*step <= a.Hi+1e-9*step; i++ {
		list = append(list, Tick{i * step, shortest(i*step, 6)})
	}
	return list
}

// roundStep is the nearest of 1, 2 and 5 times a power of ten that is no less.
func roundStep(v float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range [4]float64{1, 2, 5, 10} {
		if m*power >= v*(1-1e-9) {
			return m * power
		}
	}
	return 10 * power
}

func coord(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }

// path draws a curve; breaks where the next point is not a number.
func (p *Plot) path(points []XY) string {
	var d strings.Builder
	pen := "M"
	for _, q := range points {
		if math.IsNaN(q.Y) {
			pen = "M"
			continue
		}
		d.WriteString(pen + coord(p.px(q.X)) + " " + coord(p.py(q.Y)))
		pen = "L"
	}
	return d.String()
}

func (p *Plot) area(b *Band) string {
	if len(b.Lower) == 0 {
		return ""
	}
	var d strings.Builder
	d.WriteString(p.path(b.Upper))
	for i := len(b.Lower) - 1; i >= 0; i-- {
		d.WriteString("L" + coord(p.px(b.Lower[i].X)) + " " + coord(p.py(b.Lower[i].Y)))
	}
	return d.String() + "z"
}
