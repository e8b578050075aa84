package ui

// desk is what lies beside the build in hand: the steps that led to it, the pinned build, the saved ones.
type desk struct {
	steps  steps
	told   string // what an action has to say to a screen reader, before the figures
	pinned *aside
	shelf  shelf

	// OnKeep writes a small text on the device under one of the Keep names, at once; an error means that it is not kept.
	OnKeep func(name, text string) error
	// OnPick lets a person pick a file and hands its text to Import, or to PickFailed what went wrong.
	OnPick func()
}

// What is kept on the device.
const (
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

// Recall brings back what was kept on the device.
func (p *Planner) Recall(pin, builds string) {
	p.recallPin(pin)
	p.RecallBuilds(builds)
}
