package ui

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core/limit"
	"headroom/core/link"
	"headroom/core/review"
)

func TestALinkBringsASecondBuild(t *testing.T) {
	p, kept := keeping(t)
	p.Open("v=1&s=20&beside=v%3D1%26s%3D24%26later%3D1")
	require.NotNil(t, p.pinned)
	assert.Equal(t, 20, p.Build.Series)
	assert.Equal(t, "v=1&s=24&later=1", p.pinned.link)
	assert.Equal(t, "v=1&s=24&later=1", kept[KeepPin])
	assert.True(t, p.IsOpen(compareID))
	assert.Equal(t, "v=1&s=20", p.Link())
	assert.Equal(t, "v=1&s=20&beside=v%3D1%26s%3D24%26later%3D1", p.address(p.bothLink())[1:])
	assert.Empty(t, p.LinkText, "nothing was pinned before")

	// The page recalls what was pinned on the device after it has opened its link: the link's build stays, the other is not lost.
	q := opened(t, "v=1&s=20&beside=v%3D1%26s%3D24")
	kept[KeepPin] = "v=1&s=30"
	q.OnKeep = func(name, text string) error { kept[name] = text; return nil }
	q.Recall(recalled(kept))
	assert.Equal(t, "v=1&s=24", q.pinned.link)
	assert.Equal(t, "v=1&s=24", kept[KeepPin])
	assert.Equal(t, "#v=1&s=30", q.LinkText)
	assert.Contains(t, q.Note, "pinned before")

	q.Open("v=1&s=21")
	assert.Equal(t, "v=1&s=24", q.pinned.link, "a link of one build leaves the pin")
	q.Open("v=1&s=21&beside=hello")
	assert.Equal(t, "v=1&s=24", q.pinned.link, "and so does one whose second build is none")
	assert.Len(t, q.Problems, 1)
	q.Unpin()
	assert.Empty(t, q.bothLink())
}

func TestALineOfTwoBuildsIsTwoBuilds(t *testing.T) {
	p := opened(t, "v=1")
	require.True(t, p.Import("https://example.org/#v=1&s=20&beside=v%3D1%26s%3D24"))
	require.Len(t, p.shelf.list, 2)
	assert.Equal(t, "v=1&s=20", p.shelf.list[0].Link)
	assert.Equal(t, "v=1&s=24", p.shelf.list[1].Link)
}

func TestTheCodeIsOfTheBuildThatRests(t *testing.T) {
	p := opened(t, "v=1")
	asked := 0
	p.Address = func(link string) string { asked++; return "#" + link }
	p.Settle()
	show(t, p)
	assert.Empty(t, p.qr.path, "nobody looks")
	assert.Zero(t, asked, "a folded card costs nothing")
	p.OpenShare()
	first := p.qr.path
	assert.NotEmpty(t, first)
	c := &ShareCard{P: p}
	assert.Equal(t, first, c.path())
	p.Slide("s", "20")
	assert.Empty(t, c.path(), "no code of another build")
	p.Settle()
	assert.NotEmpty(t, c.path())
	assert.NotEqual(t, first, c.path())
	p.SetOpen(shareID, false)
	p.Slide("s", "21")
	p.Settle()
	assert.Empty(t, c.path())
	p.SetOpen(shareID, true)
	assert.NotEmpty(t, c.path())
	// Foreign keys may make an address that no code holds.
	p.Unknown = []link.Pair{{Key: "x", Value: strings.Repeat("y", 3000)}}
	p.plan()
	p.Settle()
	assert.Empty(t, c.path())
	assert.Contains(t, c.about(), "too long")
	p.Open("v=1")
	p.Address = func(link string) string { return "file:///home/me/headroom.html#" + link }
	p.Settle()
	assert.Contains(t, c.about(), "from a disk")
}

// The picture is well-formed, holds no text but escaped, and every figure that leads.
func TestPictureCardIsWellFormed(t *testing.T) {
	check := func(t require.TestingT, p *Planner) {
		d := xml.NewDecoder(strings.NewReader(p.PictureCard()))
		d.Strict = true
		words := ""
		for {
			token, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err)
			switch e := token.(type) {
			case xml.StartElement:
				require.Contains(t, []string{"svg", "g", "rect", "path", "text", "tspan"}, e.Name.Local)
				for _, a := range e.Attr {
					require.NotContains(t, a.Value, "NaN")
					require.NotContains(t, a.Value, "Inf")
				}
			case xml.CharData:
				words += string(e) + "\n"
			}
		}
		for _, f := range p.Leading() {
			require.Contains(t, words, f.Number+"\n")
			require.Contains(t, words, string(f.Status))
		}
		require.Contains(t, words, "Estimates")
	}
	p := opened(t, "v=1&s=20")
	for _, name := range hostileNames {
		p.shelf.list = nil
		p.shelf.add(savedEntry{tidyName(name), p.Link()})
		check(t, p)
	}
	rapid.Check(t, func(t *rapid.T) {
		p := NewPlanner()
		b := randomBuild(t)
		p.Units = Units(rapid.IntRange(0, 1).Draw(t, "units"))
		p.Open(link.Encode(&b, nil))
		check(t, p)
	})
}

func TestBuildSheetHoldsWhatItShould(t *testing.T) {
	p := opened(t, "v=1&s=40&p=1&batt=300&phase=500&split=12&bms=none")
	assert.Nil(t, find(show(t, p), class("paper")), "it stands in the page only while it is printed")
	p.PrintDate = func() string { return "2026-11-25" }
	for _, units := range []Units{Metric, US} {
		p.Units = units
		p.PrintSheet()
		page := show(t, p)
		require.NotNil(t, find(page, class("print-sheet")))
		sheet := find(page, class("paper"))
		require.NotNil(t, sheet)
		all1 := tidy(sheet)
		for _, n := range p.Report.Notes {
			assert.Contains(t, all1, p.Units.say(n.Text))
		}
		for _, f := range p.Leading() {
			assert.Contains(t, all1, spaced(typeset(f.Number+" "+f.Unit)))
		}
		assert.Len(t, all(sheet, carries("data-sheet-part")), len(p.Report.Protection.Rows))
		var keys []string
		for _, n := range all(sheet, carries("data-sheet-setting")) {
			keys = append(keys, value(n, "data-sheet-setting"))
		}
		assert.Equal(t, review.Keys(), keys, "in the order of a controller, not of danger")
		assert.Contains(t, all1, "2026-11-25")
		assert.Contains(t, all1, "#"+p.Link())
		assert.Contains(t, all1, "12 in the second")
		assert.Contains(t, all1, "All that is over above is settled")
		first := find(sheet, element("section"))
		assert.Equal(t, string(limit.Over), strings.Fields(tidy(find(first, element("li"))))[0])
	}
	assert.Contains(t, tidy(find(show(t, p), class("paper"))), "psi")
	q := opened(t, "v=1")
	q.PrintSheet()
	assert.NotContains(t, tidy(find(show(t, q), class("paper"))), "is printed anew")
}

// What is not clear is not to be entered as it is: the sheet says what should be.
func TestBuildSheetSaysWhatToEnter(t *testing.T) {
	p := opened(t, "v=1&batt=300&phase=120")
	p.PrintSheet()
	sheet := find(show(t, p), class("paper"))
	enter := func(key string) (enter, planned string) {
		row := find(sheet, attribute("data-sheet-setting", key))
		cells := all(row, element("td"))
		return tidy(cells[0]), tidy(cells[1])
	}
	should, planned := enter("batt")
	assert.Equal(t, "300 A", planned)
	for _, r := range p.Report.Settings {
		if r.Key == "batt" {
			assert.Equal(t, shortest(r.Should, 1)+" A", should)
			assert.NotEqual(t, limit.Clear, r.Status)
		}
	}
	should, planned = enter("phase")
	assert.Equal(t, planned, should)
	assert.Equal(t, "120 A", should)
	_, planned = enter("ovv")
	assert.Equal(t, "not entered", planned)
}
