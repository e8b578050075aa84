// Package quote makes a bill of materials out of a build, and a quote out of a bill, a price list and a shop's own settings.
//
// Where a quantity follows from the build, the line says from what; where it does not, it is an allowance and says so. A line without a
// price stays without one: it never counts as nothing, and the quote says that it is incomplete.
//
//	cost of a line       = price × quantity                       customer's price = cost + markup
//	subtotal             = Σ lines + Σ hours × rate               net              = subtotal − discount
//	total                = net + tax on net
//
// Each line of that is rounded by itself as package money says; the tax is counted once, on the net sum, and not line by line, so that
// total and rate can be checked by hand. Prices are net. There is no tax, markup or discount that is not entered.
//
// What this leaves out: freight, duties, lots and price breaks, several rates of tax in one quote, and what a law asks to stand on a
// quote: that differs from place to place.
package quote

import (
	"math"
	"strconv"

	"headroom/core/boxes"
	"headroom/core/build"
	"headroom/core/money"
	"headroom/core/price"
	"headroom/core/wire"
)

// Line is one line of a bill of materials.
type Line struct {
	Key       string // its own within a bill, the same for every build
	Kind      string // of price.Kinds
	Part      string // which one of that kind: a catalog id or a size
	Class     string // the part without its rating, which an item may be for too; "" where there is no such thing
	Name      string
	Measures  []Measure // the same quantity, the first as it is shown; any may be priced
	From      string    // where the quantity comes from, one sentence
	Allowance bool      // the quantity does not follow from the build
}

// Measure is a quantity > 0 in a unit of price.Unit.
type Measure struct {
	Quantity money.Decimal
	Unit     string
}

// Figures are what a bill takes from a build's report.
type Figures struct {
	PrechargeOhm float64 // Ω
	PrechargeJ   float64 // J into the resistor, each time
}

// Allowances are what a shop adds to what is built in, per cent from 0 to 100.
type Allowances struct {
	Spare money.Decimal // cells, rounded up to whole ones
	Waste money.Decimal // leads, links and sheet
}

const (
	senseM = 0.4 // of sense wire for each tap: an allowance (common practice, no published source)
)

// densities of link metals, kg/m³: the same figures as behind their heat capacities in the catalog (any handbook, from memory).
var densities = map[string]float64{"copper": 8900, "nickel": 8900, "plated": 7850}

// bill collects lines.
type bill struct {
	b     *build.Build
	p     *build.Parts
	f     Figures
	a     Allowances
	lines []Line
}

// Bill lists what a build is made of, in the order of price.Kinds. Builds come through the Fields table.
func Bill(b *build.Build, p *build.Parts, f Figures, a Allowances) []Line {
	l := bill{b: b, p: p, f: f, a: a}
	l.cells()
	l.links()
	l.sheet()
	l.watching()
	l.leads()
	l.plugs()
	l.opening()
	l.charging()
	l.drive()
	l.board()
	return l.lines
}

func (l *bill) add(key, kind, part, name, from string, m ...Measure) {
	l.lines = append(l.lines, Line{Key: key, Kind: kind, Part: part, Name: name, From: from, Measures: m})
}

// allow adds a line whose quantity is an allowance.
func (l *bill) allow(key, kind, part, name, from string, m ...Measure) {
	l.add(key, kind, part, name, from, m...)
	l.lines[len(l.lines)-1].Allowance = true
}

func (l *bill) cells() {
	n := l.b.Series * l.b.Parallel
	spare := int((money.Whole(n)*l.a.Spare/100 + money.One*money.One - 1) / money.One / money.One)
	from := text(l.b.Series, " × ", l.b.Parallel, " cells of the build")
	name := "Cells " + l.p.Cell.Name + ", " + figure(l.p.Cell.CapacityAh, 2) + " Ah"
	if spare > 0 {
		name += text(": ", n, " and ", spare, " spare") // who is billed for more than the battery holds sees why
		from += text(" and ", spare, " spare, ", l.a.Spare, " % rounded up")
	}
	l.add("cell", "cell", l.p.Cell.ID, name, from+".", pieces(n+spare))
	l.allow("ring", "ring", l.p.Cell.ID, "Insulating rings for the plus ends", text("One for each of ", n, " cells."), pieces(n))
}

// links counts the strip from group to group; where two boxes hold cells, one of these ways is a pair of leads. Each box with cells has
// two ends of the same strip to its leads.
func (l *bill) links() {
	links, ends := l.b.Series-1, 2
	if l.p.Split > 0 {
		links, ends = links-1, 4
	}
	length := float64(links+ends) * l.b.StripLength
	from := text(links, " links and ", ends, " ends of ", figure(l.b.StripLength*1e3, 1), " mm, ", figure(l.b.StripArea*1e6, 2), " mm²") + l.wasted()
	l.add("strip", "strip", l.p.Strip.ID, "Links, "+l.p.Strip.Name+", "+figure(l.b.StripArea*1e6, 2)+" mm²", from,
		l.waste(length*l.b.StripArea*densities[l.p.Strip.ID], "kg"), l.waste(length, "m"), pieces(links+ends))
}

// sheet lines the walls of the boxes with cells in them, and stands between their layers.
func (l *bill) sheet() {
	if l.b.Lining == 0 {
		return
	}
	area, layers := 0.0, 0
	for i, box := range boxes.Summary(l.b, l.p) {
		length, _ := boxes.Inner(l.b, l.p, i, box.Groups)
		if box.Groups == 0 || length == 0 {
			continue
		}
		w, h := l.b.Box[i].Width, l.b.Box[i].Height
		between := map[string]float64{"upright": length * w, "along": w * h}[l.b.Lay]
		if between == 0 {
			between = length * h
		}
		area += 2*(length*w+length*h+w*h) + float64(max(0, box.Layers-1))*between
		layers += max(0, box.Layers-1)
	}
	if area == 0 {
		return
	}
	from := "The inside of the boxes with cells"
	if layers > 0 {
		from += " and " + Counted(money.Whole(layers), "piece") + " between layers"
	}
	from += l.wasted()
	l.add("sheet", "sheet", "", "Insulating sheet, "+figure(l.b.Lining*1e3, 1)+" mm", from, l.waste(area, "m2"))
}

func (l *bill) watching() {
	if l.b.BMS == build.BMSNone {
		return
	}
	s := strconv.Itoa(l.b.Series)
	name, from := "BMS, "+s+" in series", "It watches "+s+" groups and serves charging."
	if l.b.BMS == build.BMSPath {
		name += ", " + figure(l.b.BMSRating, 1) + " A"
		from = "It watches " + s + " groups and carries the riding current."
	}
	l.add("bms", "bms", s+"s", name, from, pieces(1))
	l.allow("sense", "sense", "", "Sense wire", text(l.b.Series+1, " taps of ", figure(senseM, 1), " m")+l.wasted(),
		l.waste(float64(l.b.Series+1)*senseM, "m"))
}

func (l *bill) leads() {
	jacket := ", " + lower(l.p.Insulation.Name)
	for _, c := range []struct {
		key, name string
		n, awg    int
		length    float64
		area      float64
	}{
		{"lead.battery", "Battery leads", 2, l.b.LeadAWG, l.b.LeadLength, l.p.LeadArea},
		{"lead.between", "Leads between the boxes", 2, l.b.CrossAWG, l.b.CrossLength, l.p.CrossArea},
		{"lead.phase", "Phase leads", 3, l.b.PhaseAWG, l.b.PhaseLength, l.p.PhaseArea},
	} {
		if c.key == "lead.between" && l.p.Split == 0 {
			continue
		}
		part, size := "awg-"+strconv.Itoa(c.awg), "AWG "+strconv.Itoa(c.awg)
		if c.area != wire.Area(c.awg) {
			size = figure(c.area*1e6, 2) + " mm²"
			part = figure(c.area*1e6, 2) + "mm2"
		}
		from := text(c.n, " × ", figure(c.length, 3), " m") + l.wasted()
		l.add(c.key, "lead", part, c.name+", "+size+jacket, from, l.waste(float64(c.n)*c.length, "m"))
	}
}

// plugs counts joints: a plug has two poles, or three where it is a round motor plug; all others join one lead.
func (l *bill) plugs() {
	per := func(c *build.ConnectorClass, leads int) (n int, each string) {
		switch c.ID[:4] {
		case "pair":
			return (leads + 1) / 2, "two leads each"
		case "roun":
			return 1, "all leads in one"
		}
		return leads, "one lead each"
	}
	sets := 1
	where := "the battery leads"
	if l.p.Split > 0 {
		sets, where = 2, "the battery leads and those between the boxes"
	}
	n, each := per(&l.p.Connector, 2)
	l.add("plug.battery", "connector", l.p.Connector.ID, "Battery: "+l.p.Connector.Name, "One joint in "+where+", "+each+"; both halves.", pieces(n*sets))
	n, each = per(&l.p.MotorPlug, 3)
	l.add("plug.motor", "connector", l.p.MotorPlug.ID, "Motor: "+l.p.MotorPlug.Name, "One joint in the three phase leads, "+each+"; both halves.", pieces(n))
}

func (l *bill) opening() {
	fuse := func(key, class, name string, rating float64, from string) {
		amps := figure(rating, 1)
		l.add(key, "fuse", class+"-"+amps, name+amps+" A", from, pieces(1))
		l.lines[len(l.lines)-1].Class = class
	}
	fuse("fuse.battery", l.p.Fuse.ID, "Fuse, "+lower(l.p.Fuse.Name)+", ", l.b.FuseRating, "The battery fuse of the build.")
	fuse("fuse.charge", l.p.ChargeFuse.ID, "Charge fuse, "+lower(l.p.ChargeFuse.Name)+", ", l.b.ChargeFuse, "The charge fuse of the build.")
	l.add("holder", "holder", "", "Fuse holders", "One for each of the two fuses.", pieces(2))
	l.allow("switch", "switch", "", "Main switch", "One for each board.", pieces(1))
	l.add("precharge", "precharge", "", "Pre-charge resistor, "+figure(l.f.PrechargeOhm, 2)+" Ω",
		"As computed for the controller's capacitors; it takes "+figure(l.f.PrechargeJ, 1)+" J each time.", pieces(1))
}

func (l *bill) charging() {
	volts, amps := figure(l.p.ChargerV, 1), figure(l.b.ChargerA, 1)
	l.add("charger", "charger", volts+"v-"+amps+"a", "Charger, "+volts+" V, "+amps+" A", "The charger of the build.", pieces(1))
	l.allow("socket", "socket", "", "Charge socket", "One for each board.", pieces(1))
}

func (l *bill) drive() {
	l.add("controller", "controller", l.p.Controller.ID, "Controller, "+l.p.Controller.Name, "The controller of the build.", pieces(1))
	l.add("motor", "motor", l.p.Motor.ID, "Motor, "+l.p.Motor.Name, "The motor of the build.", pieces(1))
	l.add("tire", "tire", l.p.Tire.ID, "Tire, "+l.p.Tire.Name, "The tire of the build.", pieces(1))
}

func (l *bill) board() {
	for i, name := range [2]string{"main", "second"} {
		groups := boxes.Groups(l.b, l.p, i)
		length, _ := boxes.Inner(l.b, l.p, i, groups)
		inside := figure(l.b.Box[i].Width*1e3, 0) + " × " + figure(l.b.Box[i].Height*1e3, 0) + " mm"
		if length > 0 {
			inside = figure(length*1e3, 0) + " × " + inside
		}
		from := text("It holds ", groups, " groups; inside ", inside, ".")
		if groups == 0 {
			from = "It holds the controller; inside " + inside + "."
		}
		l.add("box."+name, "box", name, upper(name)+" box", from, pieces(1))
	}
	l.add("rails", "rails", "", "Rails", "One pair for each board.", Measure{money.One, "pair"})
	l.add("pad", "pad", "", "Foot pads", "One before and one behind the wheel.", pieces(2))
	l.allow("fastener", "fastener", "", "Fasteners", "One set for each board.", Measure{money.One, "set"})
	l.allow("small", "small", "", "Solder, glue, sleeves", "One set for each board.", Measure{money.One, "set"})
}

func pieces(n int) Measure { return Measure{money.Whole(n), "piece"} }

// waste is a quantity with what is cut off, to a thousandth.
func (l *bill) waste(quantity float64, unit string) Measure {
	v, _ := money.Product(money.Decimal(math.Round(quantity*1e6)), money.One+l.a.Waste/100) // some kilograms, some meters
	const thousandth = money.One / 1000
	return Measure{max(thousandth, (v+thousandth/2)/thousandth*thousandth), unit}
}

func (l *bill) wasted() string {
	if l.a.Waste == 0 {
		return "."
	}
	return text(", and ", l.a.Waste, " % for waste.")
}

// For names the price-list entry that a line's item is for.
func (l *Line) For() string {
	if l.Part == "" {
		return l.Kind
	}
	return l.Kind + ":" + l.Part
}

// fitting lists the items that are for it, the best first.
func (l *Line) fitting(list price.List) []*price.Item { return list.Fitting(l.Kind, l.Part, l.Class) }
