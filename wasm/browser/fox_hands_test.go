//go:build !js

package browser

import (
	"fmt"
	"math"
	"time"
)

// Keys as WebDriver names them (WebDriver, section "Keyboard actions").
const (
	foxEnd   = "\uE010"
	foxHome  = "\uE011"
	foxLeft  = "\uE012"
	foxRight = "\uE014"
	foxEnter = "\uE006"
)

// visit opens an address anew and waits until the page is live.
func (f *fox) visit(address string) {
	f.t.Helper()
	f.navigate("about:blank")
	f.navigate(address)
	f.await(ready)
	f.frames()
}

func (f *fox) navigate(address string) {
	f.t.Helper()
	f.call("browsingContext.navigate", map[string]any{"context": f.page, "url": address, "wait": "complete"})
}

func (f *fox) reload() {
	f.t.Helper()
	f.call("browsingContext.reload", map[string]any{"context": f.page, "wait": "complete"})
	f.await(ready)
	f.frames()
}

// await waits until an expression is true, for ten seconds at most.
func (f *fox) await(expression string) {
	f.t.Helper()
	for end := time.Now().Add(10 * time.Second); ; time.Sleep(10 * time.Millisecond) {
		if foxEval[bool](f, "!!("+expression+")") {
			return
		}
		if time.Now().After(end) {
			f.t.Fatalf("not so after 10 s: %s; the page reported %q", expression, f.reported())
		}
	}
}

// frames waits until what has happened in the page has been drawn.
func (f *fox) frames() {
	f.t.Helper()
	foxEval[bool](f, drawn)
}

func (f *fox) do(script string) {
	f.t.Helper()
	foxEval[bool](f, "(() => {"+script+"; return true})()")
	f.frames()
}

// focus puts the focus on an element as a person does who has it in sight.
func (f *fox) focus(element string) {
	f.t.Helper()
	f.do(element + ".scrollIntoView({ block: 'center' }); " + element + ".focus()")
}

func (f *fox) press(keys ...string) {
	f.t.Helper()
	var actions []any
	for _, key := range keys {
		actions = append(actions, map[string]any{"type": "keyDown", "value": key}, map[string]any{"type": "keyUp", "value": key})
	}
	f.call("input.performActions", map[string]any{"context": f.page, "actions": []any{
		map[string]any{"type": "key", "id": "keyboard", "actions": actions}}})
	f.frames()
}

// pointer presses the pointer's button at the first of the points (in the window), moves by way of the others, and lets go.
func (f *fox) pointer(points ...[2]float64) {
	f.t.Helper()
	button := func(kind string) any { return map[string]any{"type": kind, "button": 0} }
	move := func(at [2]float64) any {
		return map[string]any{"type": "pointerMove", "x": math.Round(at[0]), "y": math.Round(at[1]), "duration": 20}
	}
	actions := []any{move(points[0]), button("pointerDown")}
	for _, at := range points[1:] {
		actions = append(actions, move(at))
	}
	f.call("input.performActions", map[string]any{"context": f.page, "actions": []any{
		map[string]any{"type": "pointer", "id": "pointer", "parameters": map[string]any{"pointerType": "mouse"}, "actions": append(actions, button("pointerUp"))}}})
	f.frames()
}

// click brings an element into sight and clicks on its middle.
func (f *fox) click(element string) {
	f.t.Helper()
	f.do(element + ".scrollIntoView({ block: 'center' })")
	f.pointer(foxEval[[2]float64](f, fmt.Sprintf(`((e) => { const b = e.getBoundingClientRect(); return [b.left + b.width / 2, b.top + b.height / 2] })(%s)`, element)))
}

// drag takes a slider's thumb along by dx in eight steps.
func (f *fox) drag(key string, dx float64) {
	f.t.Helper()
	f.do(slider(key) + ".scrollIntoView({ block: 'center' })")
	at := foxEval[[2]float64](f, thumbAt(key))
	points := [][2]float64{at}
	for i := 1.0; i <= 8; i++ {
		points = append(points, [2]float64{at[0] + dx*i/8, at[1]})
	}
	f.pointer(points...)
}

// to opens another build in the same page, as an address edited by hand does.
func (f *fox) to(text string) {
	f.t.Helper()
	foxEval[bool](f, another(text))
	f.await(fmt.Sprintf("location.hash === %q", canonical(text)))
}

func (f *fox) readouts() map[string]string {
	f.t.Helper()
	return foxEval[map[string]string](f, allReadouts)
}
