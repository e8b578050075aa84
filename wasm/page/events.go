package page

import (
	"strconv"
	"strings"

	"github.com/vugu/vugu"
)

// fields of one event in the text that describe() in public/page.js writes, joined by NUL.
const (
	fieldType = iota
	fieldNode
	fieldValue
	fieldChecked
	fieldOpen
	fieldName
	fieldKey
	fieldModifiers
	fieldX
	fieldY
	fieldButton
	fieldCount
)

// decoded is one event as the page told it.
type decoded struct {
	node      uint32
	eventType string
	summary   map[string]any
}

// decodeEvents reads the text of any number of events. What is not whole is left out.
func decodeEvents(text string) []decoded {
	if text == "" {
		return nil
	}
	f := strings.Split(text, "\x00")
	list := make([]decoded, 0, len(f)/fieldCount)
	for ; len(f) >= fieldCount; f = f[fieldCount:] {
		node, err := strconv.ParseUint(f[fieldNode], 10, 32)
		if err != nil {
			continue
		}
		target := map[string]any{}
		summary := map[string]any{"type": f[fieldType], "target": target}
		setText(target, "value", f[fieldValue])
		setBool(target, "checked", f[fieldChecked])
		setBool(target, "open", f[fieldOpen])
		setText(target, "name", f[fieldName])
		setText(summary, "key", f[fieldKey])
		setNumber(summary, "clientX", f[fieldX])
		setNumber(summary, "clientY", f[fieldY])
		setNumber(summary, "button", f[fieldButton])
		modifiers, _ := strconv.Atoi(f[fieldModifiers])
		for i, key := range [...]string{"shiftKey", "ctrlKey", "metaKey", "altKey"} {
			summary[key] = modifiers&(1<<i) != 0
		}
		list = append(list, decoded{uint32(node), f[fieldType], summary})
	}
	return list
}

func setText(m map[string]any, key, field string) {
	if field != "" {
		m[key] = field[1:] // after the '=' that tells an empty text from none
	}
}

func setBool(m map[string]any, key, field string) {
	if field != "" {
		m[key] = field[1:] == "true"
	}
}

func setNumber(m map[string]any, key, field string) {
	if field == "" {
		return
	}
	if v, err := strconv.ParseFloat(field[1:], 64); err == nil {
		m[key] = v
	}
}

// event is a DOMEvent that remembers on this side whether its way outward was stopped.
type event struct {
	vugu.DOMEvent
	stopped bool
}

func (e *event) StopPropagation() {
	e.stopped = true
	e.DOMEvent.StopPropagation()
}

// Stopped implements render.Stopper.
func (e *event) Stopped() bool { return e.stopped }

// eventEnv is vugu's lock around state and rendering. There is one thread, and neither handlers nor builds block,
// so there is nothing to lock.
type eventEnv struct{ requestRender func() }

func (eventEnv) Lock()           {}
func (eventEnv) UnlockOnly()     {}
func (e eventEnv) UnlockRender() { e.requestRender() }
func (eventEnv) RLock()          {}
func (eventEnv) RUnlock()        {}
