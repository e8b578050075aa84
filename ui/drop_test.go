package ui

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/price"
)

func TestDropsAreToldByNameAndCard(t *testing.T) {
	p := opened(t, "v=1")
	for _, c := range []struct {
		name, card string
		want       Drop
	}{
		{"a.gpx", "", DropTrack}, {"A.XML", "prices", DropTrack},
		{"ride.csv", "", DropLog}, {"ride.TSV", "ride-log", DropLog}, {"ride.txt", "", DropLog}, {"ride.log", "", DropLog}, {"ride.csv", "saved", DropLog},
		{"prices.csv", "prices", DropText}, {"prices.txt", "prices", DropText}, {"links.txt", "saved", DropText},
		{"builds.json", "", DropText}, {"BUILDS.JSON", "ride-log", DropText},
		{"photo.png", "", DropNothing}, {"photo.png", "prices", DropNothing}, {"folder", "", DropNothing}, {"", "", DropNothing}, {"csv", "", DropNothing}, {"a.csv.zip", "", DropNothing},
	} {
		assert.Equal(t, c.want, p.DropOf(c.name, c.card), "%s on %q", c.name, c.card)
	}
	p.DemoPrices()
	p.ShowOffer()
	assert.Equal(t, DropNothing, p.DropOf("a.gpx", ""), "nobody would see what becomes of it")
	p.RefuseDrop("a.gpx", 1, 2)
	assert.Contains(t, tidy(find(page(t, p), attribute("data-message", "drop"))), "cannot be dropped on a quote")
}

// A text goes where its own format says, else to the card that it fell on, else to the builds; it is read as if it had been picked there.
func TestDroppedTexts(t *testing.T) {
	builds := string(writeBuilds([]Saved{{Name: "Tall", Link: "v=1&s=20"}}))
	prices := string(price.List{{ID: "a", Name: "A cell", For: "cell", Price: 1_000_000, Unit: "piece"}}.JSON())
	for _, c := range []struct {
		card, text     string
		builds, prices int
		card_          string
	}{
		{"", builds, 1, 0, savedID}, {"saved", builds, 1, 0, savedID}, {"prices", builds, 1, 0, savedID},
		{"", prices, 0, 1, pricesID}, {"saved", prices, 0, 1, pricesID},
		{"prices", "name;price\nB;1,5\n", 0, 1, pricesID}, {"saved", "v=1&s=16\nv=1&s=17\n", 2, 0, savedID},
		{"", `{"format": "other"}`, 0, 0, savedID}, {"prices", `{`, 0, 0, pricesID}, {"", `{`, 0, 0, savedID},
	} {
		p := opened(t, "v=1")
		p.TakeText(c.card, c.text, "")
		assert.Len(t, p.shelf.list, c.builds, "%+v", c)
		assert.Len(t, p.prices.list, c.prices, "%+v", c)
		assert.True(t, p.IsOpen(c.card_), "what became of it can be seen")
		if c.builds+c.prices == 0 {
			assert.NotEmpty(t, append(p.shelf.lines, p.prices.lines...), "why nothing was taken")
		}
	}
	p := opened(t, "v=1")
	p.TakeText("prices", "", "it is too large.")
	assert.Contains(t, p.prices.lines[0], "too large")
	p.TakeText("", "", "it is too large.")
	assert.Contains(t, p.shelf.lines[0], "too large")
}

// What cannot be read is refused where it fell, with what can be dropped; the name is text.
func TestRefusedDropsSayWhatCanBeDropped(t *testing.T) {
	p := opened(t, "v=1")
	assert.Nil(t, find(show(t, p), attribute("data-message", "drop")))
	p.RefuseDrop("<b>photo\u202e.png", 120, 5000)
	n := find(show(t, p), attribute("data-message", "drop"))
	require.NotNil(t, n)
	said := tidy(n)
	assert.Contains(t, said, "“<b>photo.png”")
	for _, kind := range []string{".gpx", ".csv", ".tsv", ".txt", ".log", ".json"} {
		assert.Contains(t, said, kind)
	}
	assert.Contains(t, value(n, "style"), "120px")
	assert.Equal(t, "alert", value(n, "role"))
	p.EndDrop()
	assert.Nil(t, find(show(t, p), attribute("data-message", "drop")))
	p.RefuseDrop("", 0, 0)
	p.DropOf("a.gpx", "")
	assert.Nil(t, find(show(t, p), attribute("data-message", "drop")), "the next file ends it")
}
