package price

import "headroom/core/money"

// demoNote stands at every item of the demo list.
const demoNote = "Invented price, to try things out"

// Demo is a made-up list that has a price for every kind of part. Every item says that it is invented; the figures are round ones and mean
// nothing.
func Demo() List {
	list := make(List, len(demo))
	for i, d := range demo {
		price, _ := money.Read(d[3], money.Point) // a test reads them all
		list[i] = Item{ID: d[0], Name: d[1], For: d[2], Price: price, Unit: d[4], Note: demoNote, Invented: true}
	}
	return list
}

var demo = [][5]string{
	{"demo-cell", "Round cell", "cell", "4.20", "piece"},
	{"demo-cell-power", "21700 cell, high power", "cell:21700-power", "5.60", "piece"},
	{"demo-cell-energy", "21700 cell, high energy", "cell:21700-energy", "4.90", "piece"},
	{"demo-ring", "Insulating ring", "ring", "0.015", "piece"},
	{"demo-strip", "Link strip", "strip", "62", "kg"},
	{"demo-sheet", "Insulating sheet", "sheet", "18.50", "m2"},
	{"demo-bms", "Monitoring board", "bms", "55", "piece"},
	{"demo-sense", "Sense wire", "sense", "0.45", "m"},
	{"demo-lead", "Flexible lead", "lead", "3.90", "m"},
	{"demo-plug", "Plug, both halves", "connector", "2.75", "piece"},
	{"demo-fuse", "Fuse", "fuse", "6.40", "piece"},
	{"demo-holder", "Fuse holder", "holder", "8.10", "piece"},
	{"demo-switch", "Main switch", "switch", "14", "piece"},
	{"demo-precharge", "Pre-charge resistor", "precharge", "1.20", "piece"},
	{"demo-charger", "Charger", "charger", "65", "piece"},
	{"demo-socket", "Charge socket", "socket", "4.50", "piece"},
	{"demo-controller", "Motor controller", "controller", "240", "piece"},
	{"demo-motor", "Hub motor", "motor", "310", "piece"},
	{"demo-tire", "Tire", "tire", "48", "piece"},
	{"demo-box", "Box with lid", "box", "85", "piece"},
	{"demo-rails", "Pair of rails", "rails", "160", "pair"},
	{"demo-pad", "Foot pad", "pad", "35", "piece"},
	{"demo-fastener", "Fasteners, set", "fastener", "25", "set"},
	{"demo-small", "Solder, glue, sleeves", "small", "20", "set"},
}
