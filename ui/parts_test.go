package ui

import (
	"cmp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vugu/html"

	"headroom/core"
	"headroom/core/limit"
)

func opened(t *testing.T, link string) *Planner {
	t.Helper()
	p := NewPlanner()
	p.Open(link)
	require.Empty(t, p.Problems)
	return p
}

func svg(t *testing.T, root *html.Node, name string) *html.Node {
	t.Helper()
	n := find(root, element("svg"), class(name))
	require.NotNil(t, n, name)
	return n
}

func TestPathPictureShowsEveryPartInOrder(t *testing.T) {
	p := opened(t, "v=1&split=9&bms=path&p=1&batt=60")
	picture := svg(t, show(t, p), "picture")
	nodes := all(picture, element("g"), class("node"))
	rows := p.Report.Protection.Rows
	require.Len(t, nodes, len(rows))
	statuses := map[limit.Status]bool{}
	for i, n := range nodes {
		assert.Contains(t, tidy(n), upperFirst(cmp.Or(short[rows[i].Part], rows[i].Part)))
		assert.True(t, class(string(rows[i].Status))(n))
		shape := find(n, class("shape"))
		require.NotNil(t, shape, "a status has a shape, not only a color")
		statuses[rows[i].Status] = true
		assert.Contains(t, value(picture, "aria-label"), rows[i].Part)
	}
	assert.Greater(t, len(statuses), 1)
	assert.Len(t, all(picture, class("wire")), len(rows)-1, "a wire between neighbours")
	// A row runs on to the right, the next one back, so that each wire is short.
	c := PathPictureBody{make([]node, len(rows))}
	for i := 1; i < c.count(); i++ {
		x0, y0 := c.at(i - 1)
		x1, y1 := c.at(i)
		assert.True(t, (x0 == x1) != (y0 == y1), "node %d is not beside or below the one before", i)
	}
}

func TestShapesDifferByStatus(t *testing.T) {
	seen := map[string]limit.Status{}
	for _, s := range []limit.Status{limit.Clear, limit.Tight, limit.Over} {
		d := shapeAt(s, 10, 20)
		assert.NotContains(t, seen, d)
		seen[d] = s
		assert.True(t, strings.HasPrefix(d, "M1"), d)
	}
}

func TestFuseCardTellsBandAndSuggestion(t *testing.T) {
	p := opened(t, "v=1")
	c := FuseCard{p}
	plot := c.plot()
	require.Len(t, plot.Bands, 1)
	assert.Len(t, plot.Bands[0].Lower, len(p.Report.Protection.Fuse.Band))
	for i := range plot.Bands[0].Lower {
		assert.LessOrEqual(t, plot.Bands[0].Lower[i].Y, plot.Bands[0].Upper[i].Y)
	}
	assert.Contains(t, c.suggestion(), p.Report.Protection.Suggest.Text)
	assert.Contains(t, (&FuseCard{opened(t, "v=1&fuse=70")}).suggestion(), "is the one to fit")
	assert.Contains(t, (&FuseCard{opened(t, "v=1&awg=20")}).suggestion(), "No fuse")
	words := plot.Words
	assert.Contains(t, words, "A dead short")
	assert.Contains(t, words, "never", "a stalled wheel draws little from the battery")
}

func TestTimesAreSpelled(t *testing.T) {
	for seconds, want := range map[float64]string{0.0421: "42 ms", 0.16: "0.2 s", 1.26: "1.3 s", 42.4: "42 s", 600: "10 min", 36000: "10 h"} {
		assert.Equal(t, want, spell(seconds))
	}
	one, two := 1.0, 2.0
	assert.Equal(t, "1 s to 2 s", between(&one, &two))
	assert.Equal(t, "1 s or never", between(&one, nil))
	assert.Contains(t, between(nil, nil), "never")
}

func TestAxesPlaceValues(t *testing.T) {
	p := Plot{X: Axis{Lo: 1, Hi: 1000, Log: true}, Y: Axis{Lo: 0, Hi: 50}}
	assert.InDelta(t, plotLeft, p.px(1), 1e-9)
	assert.InDelta(t, plotWidth-plotRight, p.px(1000), 1e-9)
	assert.InDelta(t, (p.px(1)+2*p.px(1000))/3, p.px(100), 1e-9, "two of three decades")
	assert.InDelta(t, plotHeight-plotBottom, p.py(-3), 1e-9, "what lies outside is held to the frame")
	assert.InDelta(t, plotTop, p.py(70), 1e-9)
	for share := 0.0; share <= 1; share += 0.25 {
		assert.InDelta(t, share, p.X.share(p.X.at(share)), 1e-12)
		assert.InDelta(t, share, p.Y.share(p.Y.at(share)), 1e-12)
	}
	texts := func(a Axis) (list []string) {
		for _, tick := range a.ticks() {
			list = append(list, tick.Text)
		}
		return list
	}
	assert.Equal(t, []string{"0", "10", "20", "30", "40", "50"}, texts(p.Y))
	assert.Equal(t, []string{"1", "10", "100", "1000"}, texts(p.X))
	assert.Equal(t, []string{"20", "50", "100", "200", "500"}, func() (list []string) {
		for _, tick := range decades(15, 600) {
			list = append(list, tick.Text)
		}
		return list
	}())
}

func TestBoxesAreDrawnOnlyWhileOpen(t *testing.T) {
	p := opened(t, "v=1&split=6&p=3")
	assert.Empty(t, all(show(t, p), element("circle"), func(n *html.Node) bool { return above(n, class("cells")) != nil }))
	p.SetOpen(boxesID, true)
	root := show(t, p)
	cells := all(root, class("cell"))
	assert.Len(t, cells, 18*3, "every cell of both boxes")
	groups := map[string]int{}
	for _, n := range cells {
		groups[text(find(n, class("group")))]++
		pole := text(find(n, class("pole")))
		assert.Contains(t, "+−", pole)
		assert.Equal(t, class("plus")(n), pole == "+")
	}
	assert.Len(t, groups, 18)
	for g, n := range groups {
		assert.Equal(t, 3, n, "group %s", g)
	}
}

func TestSideViewFollowsTheBoxes(t *testing.T) {
	one, two := opened(t, "v=1"), opened(t, "v=1&split=9")
	a, b := SideView{P: one}, SideView{P: two}
	a.Compute()
	b.Compute()
	assert.Less(t, a.side.Center.X, b.side.Center.X, "cells in front move the center forward")
	two.SetOpen("out-side", true)
	board := svg(t, show(t, two), "board")
	assert.Len(t, all(board, element("rect"), class("case")), 2)
	assert.Contains(t, value(board, "aria-label"), "center of mass")
	parts := a.parts()
	sum := 0.0
	for _, row := range parts {
		kg, err := strconv.ParseFloat(row[1], 64)
		require.NoError(t, err)
		sum += kg
	}
	assert.InDelta(t, one.Report.Weight.SumKg, sum, 0.005*float64(len(parts)+1))
	assert.Len(t, a.compare(), 2)
}

func TestSettingsCheckIsAForm(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen(settingsID, true)
	root := show(t, p)
	rows := all(root, class("setting"))
	require.Len(t, rows, len(p.Report.Settings))
	names := map[string]bool{}
	for i, n := range rows {
		input := find(n, element("input"))
		assert.Equal(t, p.Report.Settings[i].Key, value(input, "name"))
		label := find(n, element("label"))
		assert.Equal(t, value(input, "id"), value(label, "for"))
		assert.False(t, names[text(label)], text(label))
		names[text(label)] = true
	}
	assert.Equal(t, limit.Clear, p.Report.Settings[0].Status, "the standard board's settings are clear")

	c := SettingsCheck{P: p}
	c.Compute()
	place := c.row(1).Key
	require.Equal(t, "batt", place)
	p.Type("batt", "90")
	c.Compute()
	assert.Equal(t, place, c.row(1).Key, "a row does not move while it is typed in")
	assert.Equal(t, limit.Over, c.row(1).Status)
	p.Leave("batt")
	require.Equal(t, 90.0, p.Build.BatteryLimit)
	c.Compute()
	assert.Equal(t, "batt", c.row(0).Key, "the most dangerous stands first")
	assert.Equal(t, limit.Over, c.worst())
	assert.Contains(t, c.why(0), "above what is clear")
	assert.True(t, c.offers(0))
	p.TakeSetting("batt", c.row(0).Should)
	c.Compute()
	assert.Equal(t, limit.Clear, p.Report.Settings[0].Status)
	assert.Equal(t, "set-batt", p.Focus)

	p.Type("ovv", "x")
	assert.NotEmpty(t, p.Entry("ovv").Message, "a bad text gets its message and changes nothing")
	p.PrintSettings()
	assert.Equal(t, "settings", p.Printing)
	assert.NotNil(t, find(show(t, p), class("print-settings")))
}

func TestRulesAreCited(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen("out-rules", true)
	root := show(t, p)
	facts := all(root, carries("data-rule"))
	require.Len(t, facts, len(p.Report.Rules))
	for i, n := range facts {
		assert.Contains(t, tidy(n), p.Report.Rules[i].Source)
		assert.Contains(t, tidy(n), strconv.Itoa(p.Report.Rules[i].Year))
	}
}

// In US units a rule is read as every sentence is, with the figure of the law itself behind it. By hand: 20 km/h = 12.4 mph, 55 kg = 121 lb.
func TestRulesFollowTheUnits(t *testing.T) {
	p := opened(t, "v=1&cruise=24")
	p.SetOpen("out-rules", true)
	rule := func(code string) string {
		return tidy(find(show(t, p), attribute("data-rule", code)))
	}
	assert.Contains(t, rule("ekfv-speed"), "The riding speed here is 24 km/h.")
	p.SetUnits(US)
	assert.Contains(t, rule("ekfv-speed"), "mph (6 to 20 km/h) at most. The riding speed here is 15 mph (24 km/h).")
	assert.Contains(t, rule("ekfv-mass"), "up to 121 lb (55 kg) without rider. This board is ")
	assert.Regexp(t, `This board is [0-9.]+ lb \([0-9.]+ kg\)\.`, rule("ekfv-mass"))
}

func TestMethodListsEveryFigure(t *testing.T) {
	p := opened(t, "v=1")
	assert.Nil(t, find(show(t, p), carries("data-method")), "drawn only while it is open")
	p.SetOpen(methodID, true)
	root := show(t, p)
	entries := all(root, carries("data-method"))
	methods := core.Methods()
	require.Len(t, entries, len(methods))
	for i, m := range methods {
		assert.Equal(t, m.Key, value(entries[i], "data-method"))
		for _, words := range []string{core.ReadoutFor(m.Key).Label, m.Equation, m.Source, m.Valid} {
			assert.Contains(t, text(entries[i]), words)
		}
	}
	for _, s := range core.LeftOut {
		assert.Contains(t, text(root), s)
	}
}

func TestSunlightIsRemembered(t *testing.T) {
	p := opened(t, "v=1")
	var told []bool
	p.OnSun = func(on bool) { told = append(told, on) }
	button := find(show(t, p), attribute("name", "sun"))
	assert.Equal(t, "false", value(button, "aria-pressed"))
	p.SetSun(true)
	root := show(t, p)
	assert.Equal(t, "true", value(find(root, attribute("name", "sun")), "aria-pressed"))
	assert.NotNil(t, find(root, class("page"), class("sun")))
	p.SetSun(false)
	assert.Equal(t, []bool{true, false}, told)
}

// What is said in a box of the side view stays within it.
func TestEmptyBoxesSaySoWithinTheirWalls(t *testing.T) {
	said := map[string]bool{}
	for mm := range 400 {
		words := emptyWords(float64(mm))
		assert.LessOrEqual(t, boardLetter*float64(len(words)), float64(mm))
		said[words] = true
	}
	assert.Equal(t, map[string]bool{"": true, "0s": true, "no cells": true}, said)
}

// Gaps are entered in mm and shown in mm; what scripts read stays in m.
func TestSmallLengthsAreShownInMillimeters(t *testing.T) {
	p := opened(t, "v=1")
	o := core.ReadoutFor("tire.clearance_m")
	f := p.Units.figure(o, &p.Report)
	assert.Equal(t, decimal(1e3*p.Report.Tire.ClearanceM, 1)+" mm", f.spoken())
	v, err := strconv.ParseFloat(f.Value, 64)
	require.NoError(t, err)
	assert.InDelta(t, p.Report.Tire.ClearanceM, v, 1e-12)
	p.SetUnits(US)
	f = p.Units.figure(o, &p.Report)
	assert.Equal(t, decimal(1e3*p.Report.Tire.ClearanceM/25.4, 3)+" in", f.spoken())
	assert.Equal(t, "m", core.ReadoutFor("speed.stop_m").Unit)
	_, unit := Metric.shown(core.ReadoutFor("speed.stop_m"), 7)
	assert.Equal(t, "m", unit)
}
