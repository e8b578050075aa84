package ridelog

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// downFirst is a log that begins with a long way downhill and is then driven hard, so that its head tells the wrong signs.
func downFirst(battery func(phase int) int) string {
	var text strings.Builder
	text.WriteString("time,speed (m/s),voltage,phase current,battery current\n")
	for i := range 12000 {
		phase := 40
		if i < 4000 {
			phase = -10
		}
		amps := ""
		if battery != nil {
			amps = fmt.Sprint(battery(phase))
		}
		fmt.Fprintf(&text, "%d,5,70,%d,%s\n", i, phase, amps)
	}
	return text.String()
}

func TestPhaseCurrentOfTheWrongSignIsDoubted(t *testing.T) {
	read := func(text string, layout *Layout) Ride {
		r, failure := Read([]byte(text), Settings{Layout: layout, Model: NewModel(boards["standard"]), Wanted: 0.025})
		require.Empty(t, failure)
		return r
	}
	for name, battery := range map[string]func(int) int{
		"alone":                         nil,
		"against a battery of its sign": func(phase int) int { return phase / 4 },
		"against one told right":        func(phase int) int { return max(phase/4, 1) },
	} {
		r := read(downFirst(battery), nil)
		require.True(t, r.Layout.Columns[3].Flip, "%s: the head tells it wrong", name)
		assert.True(t, r.SignDoubt, name)
		assert.True(t, r.PhaseDoubt, name)
		assert.Equal(t, r.Layout.Columns[4].Flip, r.BatteryDoubt, name)
		for i, doubt := range map[int]bool{3: r.PhaseDoubt, 4: r.BatteryDoubt} {
			r.Layout.Columns[i].Flip = r.Layout.Columns[i].Flip != doubt
		}
		r = read(downFirst(battery), &r.Layout)
		assert.False(t, r.SignDoubt, "%s: turned", name)
		assert.Equal(t, 40.0, r.MostPhaseA.Value)
	}
}

func TestBoundsOfPhaseDoubt(t *testing.T) {
	assert.False(t, (&signs{same: 20, other: 10}).doubt(false), "a third")
	assert.True(t, (&signs{same: 19, other: 10}).doubt(false), "more")
	assert.True(t, (&signs{same: 20, other: 10}).doubt(true), "with the battery turned")
	assert.False(t, (&signs{other: 9, drove: 5, braked: 6}).doubt(false), "too few rows, and little more braking")
	assert.True(t, (&signs{same: 9, drove: 5, braked: 6.0625}).doubt(false))
	assert.False(t, (&signs{}).doubt(false))
}
