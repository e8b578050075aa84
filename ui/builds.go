package ui

import (
	"slices"
	"strconv"

	"headroom/core/link"
)

// Saved is one build kept under a name.
type Saved struct {
	ID       int // of this page, for its controls
	Name     string
	Link     string
	About    string // what it is, in a few words
	Compared bool   // stands in the comparison
}

// shelf is the saved builds and what is being done to them.
type shelf struct {
	list   []Saved
	lastID int

	naming   string // name being typed for the build in hand
	renaming int    // ID of the one being renamed; 0 for none
	renamed  string // its name being typed
	pasted   string // text being pasted

	message string   // what the last action did
	lines   []string // what it could not do
	unread  string   // what was found on the device and could not be read whole
	trouble string   // why the list is not kept; "" when it is
	before  []Saved  // the list before the last action
	undoing bool     // which can be taken back
}

// maxLines bounds how much is said about one import.
const maxLines = 12

// RecallBuilds takes the list as kept on the device. What cannot be read of it is kept aside, so that nothing is lost when the list is
// written next.
func (p *Planner) RecallBuilds(text string) {
	s := &p.shelf
	if text == "" {
		s.list, s.before, s.undoing = nil, nil, false
		return
	}
	entries, problems := readBuilds(text)
	old := s.list
	s.list, s.before, s.undoing = nil, nil, false
	for _, e := range entries {
		s.add(e)
	}
	for i := range s.list {
		if at := slices.IndexFunc(old, func(o Saved) bool { return o.Name == s.list[i].Name }); at >= 0 {
			s.list[i].ID, s.list[i].Compared = old[at].ID, old[at].Compared
		}
	}
	if len(problems) > 0 {
		s.unread = text
		_ = p.keep(KeepUnread, text) // where that fails it can still be saved as a file
		s.message, s.lines = "Not all of the saved builds could be read. They are kept aside as they were.", cut(problems)
	}
}

// SaveUnread hands over, as it was found, what could not be read.
func (p *Planner) SaveUnread() {
	if p.OnSave != nil {
		p.OnSave("headroom-unread.txt", "text/plain", []byte(p.shelf.unread))
	}
}

// add puts an entry at the end of the list, under another name where its own is taken.
func (s *shelf) add(e savedEntry) {
	l := link.Decode(e.Link)
	s.lastID++
	s.list = append(s.list, Saved{ID: s.lastID, Name: s.free(e.Name, 0), Link: e.Link, About: about(&l.Build)})
}

// free is the name, with a number where another build has it.
func (s *shelf) free(name string, self int) string {
	for n, free := 2, name; ; n++ {
		if i := s.named(free); i < 0 || s.list[i].ID == self {
			return free
		}
		end := " (" + strconv.Itoa(n) + ")"
		free = name
		if r := []rune(name); len(r)+len(end) > maxNameRunes {
			free = string(r[:maxNameRunes-len(end)])
		}
		free += end
	}
}

func (s *shelf) named(name string) int {
	return slices.IndexFunc(s.list, func(b Saved) bool { return b.Name == name })
}

func (s *shelf) at(id int) int {
	return slices.IndexFunc(s.list, func(b Saved) bool { return b.ID == id })
}

// change begins an action that can be taken back.
func (s *shelf) change(message string) {
	s.before, s.undoing, s.message, s.lines = slices.Clone(s.list), true, message, nil
}

// store writes the list at once.
func (p *Planner) store() {
	p.shelf.trouble = ""
	if err := p.keep(KeepBuilds, string(writeBuilds(p.shelf.list))); err != nil {
		p.shelf.trouble = notKept + " The list is gone when this page is closed: export it, or copy the links."
	}
}

// SaveBuild keeps the build in hand under the name typed, or under the suggested one. A build of that name is replaced, which can be
// taken back.
func (p *Planner) SaveBuild() {
	s := &p.shelf
	name := tidyName(s.naming)
	if name == "" {
		name = s.free(suggested(&p.Build), 0)
	}
	i := s.named(name)
	if i < 0 && len(s.list) >= maxBuilds {
		s.message, s.lines, s.undoing = "", []string{"The list is full: " + strconv.Itoa(maxBuilds) + " builds. Export it and delete some."}, false
		return
	}
	if i < 0 {
		s.change("“" + name + "” is saved.")
		s.add(savedEntry{name, p.Link()})
		i = len(s.list) - 1
		s.list[i].Compared = p.compares() < maxCompared
	} else {
		s.change("“" + name + "” was replaced by the build as it is now.")
		s.list[i].Link, s.list[i].About = p.Link(), about(&p.Build)
	}
	s.naming = ""
	p.store()
}

// OpenSaved opens a saved build; undo brings back what stood there.
func (p *Planner) OpenSaved(id int) {
	if i := p.shelf.at(id); i >= 0 {
		p.openAside(p.shelf.list[i].Link, "“"+p.shelf.list[i].Name+"”")
	}
}

func (p *Planner) openAside(text, name string) {
	before := p.state()
	p.load(text)
	p.record("")
	p.Note = name + " is open."
	if now := p.state(); !now.same(&before) {
		p.Note += " Undo brings back the build before."
	}
}

// Rename begins a new name for a saved build.
func (p *Planner) Rename(id int) {
	s := &p.shelf
	if i := s.at(id); i >= 0 {
		s.renaming, s.renamed = id, s.list[i].Name
		p.Focus = "rename"
	}
}

// EndRename takes the new name, or drops it.
func (p *Planner) EndRename(take bool) {
	s := &p.shelf
	i, name := s.at(s.renaming), tidyName(s.renamed)
	p.Focus = renameID(s.renaming)
	s.renaming = 0
	if i < 0 || !take || name == "" || name == s.list[i].Name {
		return
	}
	name = s.free(name, s.list[i].ID)
	s.change("“" + s.list[i].Name + "” is now “" + name + "”.")
	s.list[i].Name = name
	p.store()
}

func renameID(id int) string { return "rename-" + strconv.Itoa(id) }

// Delete takes a build off the list.
func (p *Planner) Delete(id int) {
	s := &p.shelf
	i := s.at(id)
	if i < 0 {
		return
	}
	s.change("“" + s.list[i].Name + "” is deleted.")
	s.list = slices.Delete(s.list, i, i+1)
	p.Focus = "take-back"
	p.store()
}

// TakeBack undoes the last change of the list.
func (p *Planner) TakeBack() {
	s := &p.shelf
	if !s.undoing {
		return
	}
	s.list, s.before, s.undoing, s.lines = s.before, nil, false, nil
	s.message = "The list is as it was before."
	p.Focus = "saved-said"
	p.store()
}

// Export hands the list over as a file.
func (p *Planner) Export() {
	if p.OnSave != nil {
		p.OnSave(fileName, fileMediaType, writeBuilds(p.shelf.list))
	}
}

// Pick has a person pick a file of builds.
func (p *Planner) Pick() {
	if p.OnPick != nil {
		p.OnPick(Pick{Accept: ".json,.txt,application/json,text/plain", MaxBytes: maxFileBytes, Done: func(_, text, failure string) { p.takeBuilds(text, failure) }})
	}
}

// takeBuilds takes the text of a file of builds, or says why there is none.
func (p *Planner) takeBuilds(text, failure string) {
	if failure != "" {
		p.pickFailed(failure)
		return
	}
	p.Import(text)
}

// pickFailed says that a picked file could not be read.
func (p *Planner) pickFailed(why string) {
	s := &p.shelf
	s.message, s.lines, s.undoing = "", []string{"The file could not be read: " + why}, false
}

// TakePasted imports the pasted text, which stays where nothing could be taken from it.
func (p *Planner) TakePasted() {
	if p.Import(p.shelf.pasted) {
		p.shelf.pasted = ""
	}
}

// Import adds the builds of a file's text to the list and says what it could not read. Nothing that is there is changed; a name that is
// taken gets a number, and a build that is there already under the same name is not added twice. It reports whether all was read.
func (p *Planner) Import(text string) bool {
	s := &p.shelf
	entries, problems := readBuilds(text)
	s.change("")
	added, there, full := 0, 0, 0
	for _, e := range entries {
		i := s.named(e.Name)
		switch {
		case i >= 0 && s.list[i].Link == e.Link:
			there++
		case len(s.list) >= maxBuilds:
			full++
		default:
			s.add(e)
			added++
		}
	}
	if full > 0 {
		problems = append(problems, counted(full, "build")+" found no place: the list holds "+strconv.Itoa(maxBuilds)+".")
	}
	if len(entries) == 0 && len(problems) == 0 {
		problems = []string{"There are no builds in it."}
	}
	if added > 0 || there > 0 {
		s.message = counted(added, "build") + " added."
	}
	if there > 0 {
		s.message += " Already there: " + strconv.Itoa(there) + "."
	}
	s.lines, s.undoing = cut(problems), added > 0
	if added > 0 {
		p.store()
	}
	return len(problems) == 0
}

func counted(n int, word string) string {
	if n != 1 {
		word += "s"
	}
	return strconv.Itoa(n) + " " + word
}

func cut(lines []string) []string {
	if more := len(lines) - maxLines; more > 0 {
		return append(slices.Clone(lines[:maxLines]), "… and "+strconv.Itoa(more)+" more.")
	}
	return lines
}
