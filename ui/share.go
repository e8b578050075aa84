package ui

import (
	"strconv"
	"strings"

	"headroom/core/link"
)

const shareID = "out-share"

// sharing is how a build is handed on.
type sharing struct {
	// Address is the whole address of the page with a link in it; nil where there is no page.
	Address func(link string) string
	// OnShare opens the device's share sheet; nil where there is none. It must be called within a click.
	OnShare func(Shared)
	// SharesFiles tells that the share sheet takes pictures.
	SharesFiles bool
	// OnPicture draws an SVG of width by height as PNG; nil means that the browser could not.
	OnPicture func(svg string, width, height int, done func(png []byte))
	// PrintDate is today as ISO 8601 writes it, like every date of the page, "" where that is not known; nil where there is no clock.
	PrintDate func() string

	format string                    // of the text; "" for plain
	said   struct{ at, text string } // how the last sharing went, and of what: the link, the text or the picture
	qr     struct {
		of, path, box string
		side          int
	}
}

// Shared is what a share sheet is given.
type Shared struct {
	Title, Text, URL string
	Name             string // of the picture
	PNG              []byte // nil where there is none
	// Done says whether it was handed on; a person who closes the sheet has not failed. The page is drawn anew after it.
	Done func(ok, closed bool)
}

// address is the whole address of a link.
func (p *Planner) address(link string) string {
	if p.Address == nil {
		return "#" + link
	}
	return p.Address(link)
}

// fromDisk tells that the page's own address means nothing on another device.
func (p *Planner) fromDisk() bool { return strings.HasPrefix(p.address(""), "file:") }

// OpenShare brings the card into sight.
func (p *Planner) OpenShare() {
	p.SetOpen(shareID, true)
	p.Focus = "share"
}

// bothLink is the link of this build with the pinned one beside it; "" while none is pinned.
func (p *Planner) bothLink() string {
	if p.pinned == nil {
		return ""
	}
	return link.EncodeBoth(&p.Build, p.Unknown, p.pinned.link)
}

// pinBeside pins the second build of a link and shows both side by side. What was pinned before is not lost: its link is shown.
func (p *Planner) pinBeside(text string) {
	if text == "" {
		return
	}
	second, err := planAside(text)
	if err != nil {
		p.Fail(err)
		return
	}
	before := p.pinned
	p.pinned = second
	_ = p.keep(KeepPin, text)
	p.SetOpen(compareID, true)
	p.Focus = "compare"
	p.Note = "This link holds two builds. The second is pinned, and both stand side by side under “Compare”."
	if before != nil {
		p.unpinned(before.link)
	}
}

// unpinned shows the link of a build that was pinned before a link brought another.
func (p *Planner) unpinned(text string) {
	if text != p.pinned.link {
		p.Note += " The one that was pinned before:"
		p.LinkText = p.address(text)
	}
}

// drawQR makes the code of the build that rests, if anyone looks: while the card is folded it costs nothing.
func (p *Planner) drawQR() {
	if !p.IsOpen(shareID) && p.Printing != sheetMode {
		return
	}
	address := p.address(p.Link())
	if p.qr.of == address {
		return
	}
	p.qr.of, p.qr.path, p.qr.box, p.qr.side = address, "", "", 0
	if q, err := makeQR(address); err == nil {
		side := strconv.Itoa(q.side())
		p.qr.path, p.qr.box, p.qr.side = q.path(), "0 0 "+side+" "+side, q.side()
	}
}

// The parts of the card, where what was done is said.
const (
	saidLink    = "link"
	saidText    = "text"
	saidPicture = "picture"
)

func (p *Planner) say(at, text string) { p.said.at, p.said.text = at, text }

// copyShared copies a text and says how it went.
func (p *Planner) copyShared(at, text, what string) {
	if p.OnCopyText == nil {
		return
	}
	p.OnCopyText(text, func(ok bool) {
		if ok {
			p.say(at, what+" copied.")
			return
		}
		p.say(at, "This browser does not let the page copy. Select the text and copy it by hand.")
	})
}

// CopyAddress, CopyBoth and CopySummary put the link, the link of two builds and the text on the clipboard.
func (p *Planner) CopyAddress() { p.copyShared(saidLink, p.address(p.Link()), "Link") }

// CopyBoth copies the link of both builds.
func (p *Planner) CopyBoth() {
	if both := p.bothLink(); both != "" {
		p.copyShared(saidLink, p.address(both), "Link to both builds")
	}
}

// CopySummary copies the text.
func (p *Planner) CopySummary() { p.copyShared(saidText, p.summary(), "Text") }

func (p *Planner) summary() string { return p.SummaryText(p.format, p.address(p.Link())) }

// SetFormat chooses what the text may be pasted into.
func (p *Planner) SetFormat(id string) {
	p.format = id
	p.say("", "")
}

// ShareLink hands the link to the device's share sheet.
func (p *Planner) ShareLink() {
	p.share(saidLink, Shared{URL: p.address(p.Link())})
}

func (p *Planner) share(at string, s Shared) {
	if p.OnShare == nil {
		return
	}
	s.Title = "Headroom: " + p.title()
	s.Done = func(ok, closed bool) {
		switch {
		case ok:
			p.say(at, "Handed on.")
		case closed:
			p.say("", "")
		default:
			p.say(at, "The device could not share this. Copy the link, or save the picture.")
		}
	}
	p.OnShare(s)
}

// SavePNG saves the picture of the build.
func (p *Planner) SavePNG() {
	p.png(func(name string, png []byte) {
		if p.OnSave != nil {
			p.OnSave(name, "image/png", png)
			p.say(saidPicture, "The picture is saved: "+name+".")
		}
	})
}

// SharePNG hands the picture to the device's share sheet, with the link.
func (p *Planner) SharePNG() {
	address := p.address(p.Link())
	p.png(func(name string, png []byte) { p.share(saidPicture, Shared{URL: address, Name: name, PNG: png}) })
}

func (p *Planner) png(then func(name string, png []byte)) {
	if p.OnPicture == nil {
		return
	}
	p.OnPicture(p.PictureCard(), cardWidth, cardHeight, func(png []byte) {
		if png == nil {
			p.say(saidPicture, "This browser could not draw the picture.")
			return
		}
		then("headroom-"+strconv.Itoa(p.Build.Series)+"s"+strconv.Itoa(p.Build.Parallel)+"p.png", png)
	})
}

// ShareCard is the card of all that hands a build on.
type ShareCard struct{ P *Planner }

func (c *ShareCard) styles() []style     { return styles }
func (c *ShareCard) chosen(s style) bool { return styleOf(c.P.format).id == s.id }
func (c *ShareCard) brief() string       { return "link, code, text, picture, paper" }
func (c *ShareCard) address() string     { return c.P.address(c.P.Link()) }
func (c *ShareCard) fresh() bool         { return c.P.qr.of == c.address() }
func (c *ShareCard) shares() bool        { return c.P.OnShare != nil }
func (c *ShareCard) sharesPicture() bool { return c.P.OnShare != nil && c.P.SharesFiles }
func (c *ShareCard) paired() bool        { return c.P.pinned != nil }

// pair is the whole address of both builds.
func (c *ShareCard) pair() string { return c.P.address(c.P.bothLink()) }

// said is what there is to say in one part of the card.
func (c *ShareCard) said(at string) string {
	if c.P.said.at != at {
		return ""
	}
	return c.P.said.text
}

// path is the code's dark modules; none while the build moves, for a code of another build would be worse.
func (c *ShareCard) path() string {
	if !c.fresh() {
		return ""
	}
	return c.P.qr.path
}

func (c *ShareCard) about() string {
	switch {
	case !c.fresh():
		return "The code follows when the build rests."
	case c.P.qr.path == "":
		return "This link is too long for a code."
	case c.P.fromDisk():
		return "This page was opened from a disk, so its address means nothing on another device. Send the file along, or the part of the link after #, which opens in any copy of this planner."
	}
	return "The code holds the link; a phone’s camera opens it. It was made here, with no network."
}
