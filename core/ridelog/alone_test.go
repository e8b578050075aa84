package ridelog

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// onePeak is a log with one row of a large phase current.
func onePeak(step float64) string {
	var text strings.Builder
	text.WriteString("time,speed (m/s),voltage,phase current\n")
	for i := range 40 {
		amps := 10
		if i == 20 {
			amps = 60
		}
		fmt.Fprintf(&text, "%.2f,6,70,%d\n", float64(i)*step, amps)
	}
	return text.String()
}

// A peak of a single row is kept in doubt where rows beside it do not bear it out, and counts where there are none.
func TestPeakOfOneRowIsKept(t *testing.T) {
	read := func(step float64) Ride {
		r, failure := Read([]byte(onePeak(step)), Settings{Model: NewModel(boards["standard"]), Wanted: 0.025})
		require.Empty(t, failure)
		return r
	}
	slow, fast := read(1), read(0.5)
	assert.Equal(t, 60.0, slow.MostPhaseA.Value)
	assert.Nil(t, slow.MostPhaseA.Alone)
	assert.Nil(t, slow.Reserve.Least.Alone)
	assert.Equal(t, 10.0, fast.MostPhaseA.Value)
	assert.Equal(t, Extreme{Value: 60, At: 10, Line: 22}, *fast.MostPhaseA.Alone)
	require.NotNil(t, fast.Reserve.Least.Alone)
	assert.Equal(t, slow.Reserve.Least.Value, fast.Reserve.Least.Alone.Value)
	assert.Equal(t, 22, fast.Reserve.Least.Alone.Line)
	assert.Greater(t, fast.Reserve.Least.Value, fast.Reserve.Least.Alone.Value)
}
