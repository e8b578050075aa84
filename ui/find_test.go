package ui

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vugu/html"
	"github.com/vugu/vugu"

	finds "headroom/core/find"
)

const findSmall = "range=14&ceiling=20&mass=17.2&s=16-18&p=2&cell=21700-balanced&motor=hub5-wide,hub6-wide&tire=trail-6,street-5&ctrl=c100&kpa=130,200&fw=0,10"

// wishing is a planner that has wished for something, with the card open.
func wishing(t *testing.T, text string) *Planner {
	t.Helper()
	p := opened(t, "v=1")
	p.Recall(recalled(map[string]string{KeepFind: text}))
	p.SetOpen(findID, true)
	return p
}

func worked(p *Planner) {
	for p.HasWork() {
		p.Work()
	}
}

func TestWishesAreReadKeptAndShownInUnits(t *testing.T) {
	p, kept := keeping(t)
	p.TypeFind("range", "30")
	p.TypeFind("cells", "24 + 16")
	p.TypeFind("s", "16-24")
	p.AllowPart("motor", "hub5-wide", false)
	assert.Equal(t, "range=30&cells=24%2B16&s=16-24&motor=hub5-narrow%2Chub6-narrow%2Chub6-wide%2Chub65-narrow%2Chub65-wide", kept[KeepFind])
	q := wishing(t, kept[KeepFind])
	assert.Equal(t, p.finds.text(), q.finds.text())
	p.AllowPart("motor", "hub5-wide", true)
	p.TypeFind("range", "")
	assert.Equal(t, "cells=24%2B16&s=16-24", kept[KeepFind], "as it comes is not written")

	q.SetUnits(US)
	q.TypeFind("range", "20")
	q.TypeFind("kpa", "15-25/5")
	assert.Empty(t, q.finds.typed["kpa"].message)
	task, problems := q.findTask()
	require.Empty(t, problems)
	assert.InDelta(t, 20*1609.344, task.Want[finds.Range].Value, 1)
	require.Len(t, task.Space[6], 3)
	assert.InDelta(t, 15*6.894757293168, task.Space[6][0], 0.01)
	q.LeaveFind("range")
	q.LeaveFind("kpa")
	body := &FindBuildsBody{P: q}
	assert.Equal(t, "20", body.entry("range", "", "").Text)
	assert.Equal(t, "15,20,25", body.entry("kpa", "", "").Text)
	q.SetUnits(Metric)
	assert.InDelta(t, 32.187, number(t, body.entry("range", "", "").Text), 0.001)
}

// findCard is the search's card as shown.
func findCard(t *testing.T, p *Planner) *html.Node {
	t.Helper()
	n := find(show(t, p), element("details"), class("find"))
	require.NotNil(t, n)
	return n
}

func TestWishesThatCannotBeUsedHoldTheSearchUp(t *testing.T) {
	p := wishing(t, findSmall)
	p.TypeFind("range", "far")
	assert.Contains(t, p.finds.typed["range"].message, "not a number")
	p.LeaveFind("range")
	assert.Equal(t, "far", (&FindBuildsBody{P: p}).entry("range", "", "").Text, "what was typed stays")
	assert.Equal(t, "14", p.finds.given["range"], "what was wished for before, too")
	p.StartFind()
	assert.Contains(t, p.finds.refuse, "Mend this first")
	assert.Nil(t, p.finds.run)
	p.TypeFind("range", "14")
	p.AllowPart("tire", "street-5", false)
	p.AllowPart("tire", "trail-6", false)
	assert.Contains(t, p.finds.typed["tire"].message, "at least one")
	p.StartFind()
	assert.NotEmpty(t, p.finds.refuse)
	p.AllowPart("tire", "trail-6", true)
	assert.Equal(t, "trail-6", p.finds.given["tire"])
	p.StartFind()
	assert.Empty(t, p.finds.refuse)
	assert.True(t, p.Searching())
}

// Between the frames the planner finds what the core finds.
func TestSearchBetweenFrames(t *testing.T) {
	p := wishing(t, findSmall)
	p.StartFind()
	require.True(t, p.HasWork())
	worked(p)
	assert.False(t, p.Searching())
	task, problems := finds.Read(p.Build, findSmall)
	require.Empty(t, problems)
	search, err := finds.NewSearch(task, 0, 1)
	require.NoError(t, err)
	for search.Step(1e6) {
	}
	want := search.Result()
	require.NotEmpty(t, want.Found)
	assert.Equal(t, want, *p.finds.run.result())
	assert.Contains(t, p.findWords(), "Done: "+counted(len(want.Found), "build"))

	shown := findCard(t, p)
	rows := all(shown, carries("data-found"))
	require.Len(t, rows, min(len(want.Found), findFirst))
	for i, row := range rows {
		f := &want.Found[i]
		assert.Equal(t, f.Link, value(row, "data-found"))
		assert.Contains(t, tidy(row), decimal(f.MassKg, 1))
		assert.Contains(t, tidy(row), decimal(*f.RangeKm, 0))
		assert.NotNil(t, find(row, class(string(f.Status))))
		assert.Contains(t, tidy(row), string(f.Status))
	}
	near := all(shown, carries("data-near"))
	require.Len(t, near, len(want.Near))
	assert.Contains(t, tidy(near[0]), "misses by")
	assert.Contains(t, tidy(near[0]), string(want.Near[0].Status))
	assert.Len(t, all(svg(t, shown, "plot"), class("dot")), len(want.Found))

	first := want.Found[0].Link
	p.OpenFound(first)
	assert.Equal(t, first, p.Link())
	p.Undo()
	assert.Equal(t, "v=1", p.Link(), "one step back")

	var file string
	p.OnSave = func(_, _ string, content []byte) { file = string(content) }
	p.SaveFoundTable()
	assert.Equal(t, len(want.Found)+1, strings.Count(file, "\r\n"))
	assert.Contains(t, file, `"`+first+`",`)
}

// The parts that programs beside the page tell make the same answer, and what comes too late is not taken.
func TestNewsFromBesideThePage(t *testing.T) {
	p := wishing(t, findSmall)
	var order FindOrder
	stopped := 0
	p.OnFind = func(o FindOrder) int { order = o; return 2 }
	p.OnFindStop = func() { stopped++ }
	p.StartFind()
	assert.False(t, p.HasWork(), "nothing is left to the page")
	var news []FindNews
	for i := range 2 {
		o := order
		o.Shard, o.Shards = i, 2
		search, err := o.Search()
		require.NoError(t, err)
		search.Step(20)
		news = append(news, FindNews{Shard: i, Tally: search.Tally()})
		for search.Step(1e6) {
		}
		r := search.Result()
		news = append(news, FindNews{Shard: i, Tally: search.Tally(), Result: &r, Done: true})
	}
	for _, n := range news {
		assert.True(t, p.Searching())
		assert.True(t, p.TakeFindNews(n.Bytes()))
	}
	assert.False(t, p.Searching())
	q := wishing(t, findSmall)
	q.StartFind()
	worked(q)
	want, got := q.finds.run.result(), p.finds.run.result()
	require.Len(t, got.Found, len(want.Found))
	for i := range want.Found {
		assert.Equal(t, want.Found[i].Link, got.Found[i].Link)
	}
	assert.Equal(t, want.Tally.Examined(), got.Tally.Examined())
	assert.False(t, p.TakeFindNews(news[0].Bytes()), "nobody waits")

	p.StartFind()
	p.StopFind()
	assert.Equal(t, 1, stopped)
	assert.Contains(t, p.findWords(), "Stopped")

	p.StartFind()
	assert.False(t, p.TakeFindNews([]byte("no news")))
	assert.True(t, p.HasWork(), "what beside the page cannot do, the page does")
	worked(p)
	assert.Len(t, p.finds.run.result().Found, len(want.Found))
}

// A folded card costs nothing: the same nodes again, whatever moves.
func TestFoldedFindIsKept(t *testing.T) {
	p := wishing(t, findSmall)
	p.SetOpen(findID, false)
	env, err := vugu.NewBuildEnv()
	require.NoError(t, err)
	c := &FindBuilds{P: p}
	nodes := func() *vugu.VGNode { return env.RunBuild(c).Out.Out[0] }
	first := nodes()
	p.Slide("s", "20")
	assert.Same(t, first, nodes())
	p.SetOpen(findID, true)
	assert.NotSame(t, first, nodes())
}

func TestNoTextOfTheAnswerIsMarkup(t *testing.T) {
	p := wishing(t, findSmall)
	p.TypeFind("range", "<script>alert(1)</script>")
	shown := findCard(t, p)
	assert.Nil(t, find(shown, element("script")))
	assert.Contains(t, tidy(shown), "“<script>", "it is told as text")
}

// Where nothing comes near, nothing is said to; the wish to give up first is named.
func TestNothingNearIsSaid(t *testing.T) {
	p := wishing(t, "range=60&ceiling=45&mass=14&s=16-20&p=2&cell=21700-balanced&motor=hub5-wide,hub6-wide&tire=trail-6,street-5&ctrl=c100")
	p.StartFind()
	worked(p)
	r := p.finds.run.result()
	require.Empty(t, r.Found)
	require.Empty(t, r.Near)
	card := findCard(t, p)
	said := tidy(find(card, attribute("data-message", "find")))
	assert.NotContains(t, said, "comes near")
	assert.Contains(t, said, "no build misses by one wish alone")
	most, word := int64(0), ""
	for _, w := range [][2]string{{"range", "range"}, {"ceiling", "cruise ceiling"}, {"mass", "board mass"}} { // the first of equals
		if n := r.Tally.Out[w[0]]; n > most {
			most, word = n, w[1]
		}
	}
	require.Positive(t, most)
	assert.Contains(t, said, "“"+word+"”: "+grouped(most)+" of "+grouped(r.Tally.Builds)+" builds")

	p.TickFind("clear", true)
	p.StartFind()
	worked(p)
	assert.Contains(t, p.findWords(), "No clear build meets every wish, and none misses by one wish alone")

	// Wishes that one alone fails: what comes near is there, and said.
	p = wishing(t, "range=14&mass=15&s=16-18&p=2&cell=21700-balanced&motor=hub6-wide&tire=trail-6&ctrl=c100&kpa=130,200&fw=0")
	p.StartFind()
	worked(p)
	require.Empty(t, p.finds.run.result().Found)
	require.NotEmpty(t, p.finds.run.result().Near)
	assert.Contains(t, p.findWords(), "What comes near")

	key, n := hardestWish(map[string]int64{"beaten": 9, "fuse_voltage": 7})
	assert.Empty(t, key)
	assert.Zero(t, n)
	key, n = hardestWish(map[string]int64{"beaten": 9, "range": 3, "mass": 7, "ceiling": 7})
	assert.Equal(t, "ceiling", key)
	assert.EqualValues(t, 7, n)
}

// A price list brings the wish for a price as soon as it is read, and takes it away when it goes; so does its currency.
func TestPriceWishFollowsTheList(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen(findID, true)
	env, err := vugu.NewBuildEnv()
	require.NoError(t, err)
	c := &FindBuilds{P: p}
	nodes := func() *vugu.VGNode { return env.RunBuild(c).Out.Out[0] }
	before := nodes()
	assert.Same(t, before, nodes(), "nothing has changed")
	p.DemoPrices()
	with := nodes()
	assert.NotSame(t, before, with)
	assert.NotNil(t, find(findCard(t, p), attribute("name", "find-price")))
	p.SetQuote("currency", "JPY")
	assert.NotSame(t, with, nodes())
	with = nodes()
	p.ClearPrices()
	assert.NotSame(t, with, nodes())
	assert.Nil(t, find(findCard(t, p), attribute("name", "find-price")))
}
