package page

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vugu/vugu"
)

func TestDecodeEvents(t *testing.T) {
	text := strings.Join([]string{
		"input", "7", "=1.05", "", "", "=kv", "", "0", "", "", "",
		"click", "4294967295", "=", "=false", "=true", "", "=Enter", "13", "=12.5", "=-3", "=2",
	}, "\x00")
	got := decodeEvents(text)
	require.Len(t, got, 2)
	assert.Equal(t, uint32(7), got[0].node)
	assert.Equal(t, "input", got[0].eventType)
	assert.Equal(t, map[string]any{
		"type": "input", "target": map[string]any{"value": "1.05", "name": "kv"},
		"shiftKey": false, "ctrlKey": false, "metaKey": false, "altKey": false,
	}, got[0].summary)
	assert.Equal(t, uint32(4294967295), got[1].node)
	assert.Equal(t, map[string]any{
		"type": "click", "target": map[string]any{"value": "", "checked": false, "open": true},
		"key": "Enter", "clientX": 12.5, "clientY": -3.0, "button": 2.0,
		"shiftKey": true, "ctrlKey": false, "metaKey": true, "altKey": true,
	}, got[1].summary)
}

func TestDecodeEventsLeavesOutWhatIsNotWhole(t *testing.T) {
	assert.Empty(t, decodeEvents(""))
	assert.Empty(t, decodeEvents("click\x007\x00"))
	whole := "click\x007" + strings.Repeat("\x00", fieldCount-2)
	assert.Len(t, decodeEvents(whole+"\x00click\x008"), 1)
	assert.Empty(t, decodeEvents("click\x00seven"+strings.Repeat("\x00", fieldCount-2)))
}

func TestEventRemembersThatItWasStopped(t *testing.T) {
	inner := &stops{}
	e := &event{DOMEvent: inner}
	assert.False(t, e.Stopped())
	e.StopPropagation()
	assert.True(t, e.Stopped())
	assert.Equal(t, 1, inner.count, "the page must hear of it too")
}

type stops struct {
	vugu.DOMEvent
	count int
}

func (s *stops) StopPropagation() { s.count++ }

func TestUnlockRenderAsksForARender(t *testing.T) {
	count := 0
	env := eventEnv{func() { count++ }}
	env.Lock()
	env.UnlockOnly()
	assert.Zero(t, count)
	env.Lock()
	env.UnlockRender()
	assert.Equal(t, 1, count)
}
