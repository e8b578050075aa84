package ui

import (
	"encoding/json"
	"strconv"
	"strings"

	"headroom/core/price"
)

// Drop is what a file that falls on the page is taken for.
type Drop int

// The kinds of files that can be dropped.
const (
	DropNothing Drop = iota
	DropTrack
	DropLog
	DropText // builds or a price list: its text tells which, and so does the card that it falls on
)

// The cards that take more than their own kind of file when it falls on them, by id.
const (
	savedCard  = "saved"
	pricesCard = "prices"
)

// DropCards selects them.
const DropCards = "#" + savedCard + ", #" + pricesCard

// MaxDropped is the most bytes that a text may have.
const MaxDropped = max(maxFileBytes, price.MaxBytes)

// DropOf tells by its name, and by the card that it falls on, what a file is taken for. A table is a ride log unless the card says otherwise.
func (p *Planner) DropOf(name, card string) Drop {
	p.dropped = nil
	if p.Offered() {
		return DropNothing
	}
	if IsTrack(name) {
		return DropTrack
	}
	name = strings.ToLower(name)
	switch name[max(0, strings.LastIndexByte(name, '.')):] {
	case ".json":
		return DropText
	case ".csv", ".tsv":
		if card == pricesCard {
			return DropText
		}
		return DropLog
	case ".txt", ".log":
		if card == pricesCard || card == savedCard {
			return DropText
		}
		return DropLog
	}
	return DropNothing
}

// TakeText takes the text of builds or of a price list, as if it had been picked in its card.
func (p *Planner) TakeText(card, text, failure string) {
	var file savedFile
	_ = json.Unmarshal([]byte(text), &file) // what is no JSON says no format
	if file.Format == price.Format || card == pricesCard && file.Format != fileFormat {
		p.SetOpen(pricesID, true)
		p.Focus = "prices-said"
		p.takePrices(text, failure)
		return
	}
	p.SetOpen(savedID, true)
	p.Focus = "saved-said"
	p.takeBuilds(text, failure)
}

// dropNote says what became of a file that nothing here can read, at the place of the page's window where it fell, in CSS pixels.
type dropNote struct {
	text string
	x, y int
}

// RefuseDrop says that a file cannot be read, where it fell.
func (p *Planner) RefuseDrop(name string, x, y int) {
	text := "Files cannot be dropped on a quote."
	if !p.Offered() {
		if name = tidyName(name); name == "" {
			name = "That"
		} else {
			name = "“" + name + "”"
		}
		text = name + " is no file that can be dropped here. What can: a track (.gpx), a ride log (.csv, .tsv, .txt or .log), saved builds or a price list (.json)."
	}
	p.dropped = &dropNote{text, x, y}
}

// EndDrop puts that away.
func (p *Planner) EndDrop() { p.dropped = nil }

// DropNote is that note on the page.
type DropNote struct{ P *Planner }

func (c *DropNote) text() string {
	if c.P.dropped == nil {
		return ""
	}
	return c.P.dropped.text
}

// place keeps all of it within the window.
func (c *DropNote) place() string {
	if c.P.dropped == nil {
		return ""
	}
	at := func(v int, end string) string { return "max(14px,min(" + strconv.Itoa(v) + "px," + end + "))" }
	return "left:" + at(c.P.dropped.x, "100vw - 334px") + ";top:" + at(c.P.dropped.y, "100vh - 180px")
}
