package main

import (
	"fmt"

	"github.com/hack-pad/safejs"

	"headroom/ui"
)

// paper has the browser print what the planner wants printed. Some browsers wait in print() until that is done or given up, others go on at
// once and lay the pages out later, so what is printed stays until the browser says that it is through, or a person goes on with the page.
type paper struct {
	planner *ui.Planner
	render  func()
	asked   string // what print() has been called for
}

func openPaper(planner *ui.Planner, render func()) (*paper, error) {
	p := &paper{planner: planner, render: render}
	for _, event := range []string{"afterprint", "pointerdown", "keydown"} {
		if err := listen(safejs.Global(), event, p.through); err != nil {
			return nil, err
		}
	}
	return p, nil
}

// follow is called after every rendering.
func (p *paper) follow() {
	if p.planner.Printing == "" || p.planner.Printing == p.asked {
		return
	}
	p.asked = p.planner.Printing
	if _, err := safejs.Global().Call("print"); err != nil {
		fmt.Println("headroom:", err)
		p.through()
	}
}

// through puts the page back.
func (p *paper) through() {
	if p.asked == "" {
		return
	}
	p.asked, p.planner.Printing = "", ""
	p.render()
}
