package ui

import (
	"strconv"

	"headroom/core/build"
)

const savedID = "out-saved"

// SavedBuilds is the card of the builds kept on the device.
type SavedBuilds struct{ P *Planner }

func (c *SavedBuilds) brief() string {
	if n := len(c.P.shelf.list); n > 0 {
		return counted(n, "build") + " on this device"
	}
	return "none yet"
}

func (c *SavedBuilds) s() *shelf          { return &c.P.shelf }
func (c *SavedBuilds) b(i int) *Saved     { return &c.P.shelf.list[i] }
func (c *SavedBuilds) suggestion() string { return c.P.shelf.free(suggested(&c.P.Build), 0) }

// replaces tells that the name typed is taken.
func (c *SavedBuilds) saveWord() string {
	if c.s().named(tidyName(c.s().naming)) >= 0 {
		return "Replace"
	}
	return "Save"
}

func (c *SavedBuilds) key(i int) string               { return "saved-" + strconv.Itoa(c.b(i).ID) }
func (c *SavedBuilds) rename(i int) string            { return renameID(c.b(i).ID) }
func (c *SavedBuilds) name(word string, i int) string { return word + " “" + c.b(i).Name + "”" }
func (c *SavedBuilds) renaming(i int) bool            { return c.s().renaming == c.b(i).ID }
func (c *SavedBuilds) compared(i int) string          { return strconv.FormatBool(c.b(i).Compared) }

// about is what kind of board a build is.
func about(b *build.Build) string {
	cell := build.FieldFor("cell")
	return suggested(b) + ", " + cell.Options()[cell.Index(b)].Name
}

// NameKey handles the keys of the field for a new name: Enter saves.
func (p *Planner) NameKey(key string) {
	if key == "Enter" {
		p.SaveBuild()
	}
}

// RenameKey handles the keys of the field of a rename.
func (p *Planner) RenameKey(key string) {
	if key == "Enter" || key == "Escape" {
		p.EndRename(key == "Enter")
	}
}

// TypeName, TypeRename and TypePasted take what is being typed.
func (p *Planner) TypeName(text string)   { p.shelf.naming = text }
func (p *Planner) TypeRename(text string) { p.shelf.renamed = text }
func (p *Planner) TypePasted(text string) { p.shelf.pasted = text }
