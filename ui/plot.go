package ui

import (
	"math"
	"strconv"
	"strings"

	"headroom/core/limit"
)

// A plot is drawn in units of its own, which the page stretches to the width there is.
const (
	plotWidth, plotHeight = 360.0, 230.0
	plotLeft, plotRight   = 44.0, 10.0
	plotTop, plotBottom   = 10.0, 40.0
)

// Plot is one drawing of curves over two axes. All of its values are metric; the axes know how they are shown.
type Plot struct {
	ID    string // part of the ids of its elements
	Title string
	X, Y  Axis
	Bands []Band
	Lines []Line
	Marks []Mark
	Dots  []Dot
	Sizes []DotSize // what the size of a dot means
	Words string    // what a person who does not see it should know

	Data  []Series // what its table, its file and its reading hold
	Cross string   // plots of the same name share where they are read; "" for none
	Say   string   // begins the sentence that is read off: "At a steady"
	Start float64  // where it is read at first
	None  string   // what is said where a curve has no value; "" for "none"

	Beyond string  // what is said past End, of all curves together; "" for what is said of each
	End    float64 // metric

	Spell func(y float64) string // words for a value read off; nil for the number with its unit

	drawn, legend string // see draw
}

// Axis is one axis. Lo is less than Hi; a logarithmic one is positive.
type Axis struct {
	Label  string
	Unit   string // metric
	Digits int    // of a value read off, in the metric unit
	Lo, Hi float64
	Log    bool
	Ticks  []Tick // nil: chosen here
	In     unit   // how it is shown; its zero is as it stands
}

// Series is one row of figures over the x axis.
type Series struct {
	Name   string // in tables and files
	After  string // what is said after its number; "" where it is not said
	Points []XY
}

// Tick is one mark on an axis.
type Tick struct {
	At   float64
	Text string
}

// XY is one point in the units of the axes.
type XY struct{ X, Y float64 }

// Line is one curve. Style picks its dashes and color; "pinned" is the quiet one, for another build's.
type Line struct {
	Name   string
	End    string // name at its end
	Style  string
	Points []XY // where Y is not a number the curve has a gap
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
	Left   bool // the name of a line across stands at its left end
	Across bool // at Y, from left to right; otherwise at X, from bottom to top
	Raise  int  // how many lines of text its name stands below the top, so that names beside each other can be read
}

// Dot is one figure of two values, and a size in units of the drawing for a third. Its status, if it has one, is its shape and color.
type Dot struct {
	X, Y, R float64
	Status  limit.Status
}

// DotSize is a size of dot in the legend.
type DotSize struct {
	Name   string
	R      float64
	Status limit.Status
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
	in := a.shown()
	if a.Log {
		for e := math.Ceil(math.Log10(a.Lo) - 1e-9); e <= math.Log10(a.Hi)+1e-9; e++ {
			v := math.Pow(10, e)
			list = append(list, Tick{v, strconv.FormatFloat(v, 'f', -1, 64)})
		}
		return list
	}
	lo, hi := in.shown(a.Lo), in.shown(a.Hi)
	step := roundStep((hi - lo) / 5)
	for i := math.Ceil(lo/step - 1e-9); i*step <= hi+1e-9*step; i++ {
		list = append(list, Tick{in.metric(i * step), shortest(i*step, 6)})
	}
	return list
}

func (a *Axis) shown() unit {
	if a.In.factor == 0 {
		return unit{name: a.Unit, factor: 1}
	}
	return a.In
}

// fit widens the axis around what it has to hold, to round values as shown: small changes of a build then leave it where it is.
func (a *Axis) fit(lo, hi float64) {
	in := a.shown()
	lo, hi = in.shown(lo), in.shown(hi)
	if !(hi-lo > 1e-6*math.Max(1, math.Abs(hi))) { // no more than the dust of arithmetic
		hi = lo + 1
	}
	for range 3 { // a wider axis may ask for wider steps, and those for a wider axis
		round := 5 * a.stepOf(lo, hi)
		lo, hi = math.Floor(lo/round+1e-9)*round, math.Ceil(hi/round-1e-9)*round
	}
	a.Lo, a.Hi = in.metric(lo), in.metric(hi)
}

// stepOf is by how much the reading moves at a time, as shown: a tenth of a power of ten, 25 to 250 times in the axis.
func (a *Axis) stepOf(lo, hi float64) float64 {
	return math.Pow(10, math.Floor(math.Log10(roundStep((hi-lo)/5))+1e-9)-1)
}

// inFrame widens a range of values over those of curves.
func inFrame(lo, hi *float64, lists ...[]XY) {
	for _, points := range lists {
		for _, q := range points {
			if !math.IsNaN(q.Y) {
				*lo, *hi = math.Min(*lo, q.Y), math.Max(*hi, q.Y)
			}
		}
	}
}

// valueAt is the value of a curve at x, along what is drawn: between two points of logarithmic axes the curve is straight in the logarithms.
func (p *Plot) valueAt(points []XY, x float64) (y float64, ok bool) {
	if !p.X.Log || !p.Y.Log {
		return valueAt(points, x)
	}
	logs := make([]XY, len(points))
	for i, q := range points {
		logs[i] = XY{math.Log(q.X), math.Log(q.Y)}
	}
	y, ok = valueAt(logs, math.Log(x))
	return math.Exp(y), ok
}

// valueAt is the value of a curve at x; ok is false outside of it and in a gap.
func valueAt(points []XY, x float64) (y float64, ok bool) {
	for i := range points {
		b := points[i]
		if b.X == x && !math.IsNaN(b.Y) {
			return b.Y, true
		}
		if i == 0 || !(points[i-1].X < x && x < b.X) {
			continue
		}
		a := points[i-1]
		y = a.Y + (b.Y-a.Y)*(x-a.X)/(b.X-a.X)
		return y, !math.IsNaN(y)
	}
	return 0, false
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
