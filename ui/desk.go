package ui

// desk is what lies beside the build in hand: the steps that led to it, the pinned build, the saved ones.
type desk struct {
	steps  steps
	told   string // what an action has to say to a screen reader, before the figures
	pinned *aside
	shelf  shelf
	ride   rideCheck
	log    rideLog
	finds  finding

	// OnKeep writes a small text on the device under one of the Keep names, at once; an error means that it is not kept.
	OnKeep func(name, text string) error
	// OnPick lets a person pick a file and reads it; it must be called within a click.
	OnPick func(Pick)
	// OnOpen lets a person pick a file that is read in pieces; it must be called within a click. done gets the file, or in words why there is
	// none, and the page is drawn anew after it.
	OnOpen func(accept string, done func(file *Source, why string))
	// OnCopyText puts a text on the clipboard and says whether that went well.
	OnCopyText func(text string, done func(ok bool))
	// OnFind starts programs beside the page that search, and says how many shares they take; 0 where there can be none. What they tell comes
	// through TakeFindNews. OnFindStop ends them.
	OnFind     func(FindOrder) int
	OnFindStop func()
}

// Pick asks for one text file.
type Pick struct {
	Accept   string // as the accept attribute of a file input
	MaxBytes int    // larger files are refused unread
	// Done gets the file's name and text, or in words why there is none. The page is drawn anew after it.
	Done func(name, text, failure string)
}

// What is kept on the device.
const (
	KeepRide   = "ride"   // what was measured on the finished board, one line each
	KeepPin    = "pin"    // link of the pinned build
	KeepBuilds = "builds" // the saved builds, as they are exported
	KeepUnread = "unread" // saved builds as they were found, where not all of them could be read
)

// notKept says that the device's memory is closed.
const notKept = "This browser keeps nothing here: a private window, or its storage is full."

func (p *Planner) keep(name, text string) error {
	if p.OnKeep == nil {
		return nil
	}
	return p.OnKeep(name, text)
}

// Recall brings back what was kept on the device; kept gives the text under one of the Keep names, "" where there is none.
func (p *Planner) Recall(kept func(name string) string) {
	p.recallPin(kept(KeepPin))
	p.RecallBuilds(kept(KeepBuilds))
	p.recallRide(kept(KeepRide))
	p.recallFind(kept(KeepFind))
}
