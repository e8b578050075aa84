package ui

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core/build"
)

func TestOneGestureIsOneStep(t *testing.T) {
	p := opened(t, "v=1&s=18")
	for _, v := range []string{"19", "20", "21", "22"} {
		p.Slide("s", v)
	}
	p.Settle()
	for range 3 {
		p.Nudge("s", 1)
	}
	p.Type("kpa", "1")
	p.Type("kpa", "15")
	p.Type("kpa", "150")
	p.Choose("cell", "21700-power")
	require.Len(t, p.steps.past, 4, "drag, held stepper, typed value, choice")
	var links []string
	for range 4 {
		p.Undo()
		links = append(links, p.Link())
	}
	assert.Equal(t, []string{"v=1&s=25&kpa=150", "v=1&s=25", "v=1&s=22", "v=1"}, links)
	assert.InDelta(t, 18*4.2, p.Report.Pack.FullV, 1e-9, "the figures follow")
	assert.Contains(t, p.told, "Undone: Cells in series")
	p.Undo()
	assert.Equal(t, "v=1", p.Link(), "there is nothing before")
	for range 9 {
		p.Redo()
	}
	assert.Equal(t, "v=1&s=25&kpa=150&cell=21700-power", p.Link())

	p.Undo()
	p.Undo()
	p.Slide("p", "3")
	assert.Empty(t, p.steps.future, "a new edit ends the way forward")
	p.Redo()
	assert.Equal(t, "v=1&s=25&p=3", p.Link())
}

func TestBackWhereItBeganIsNoStep(t *testing.T) {
	p := opened(t, "v=1")
	p.Slide("s", "25")
	p.Slide("s", "18")
	assert.Empty(t, p.steps.past)
	p.Slide("s", "19")
	require.Len(t, p.steps.past, 1)
	p.Undo()
	assert.Equal(t, "v=1", p.Link())
}

func TestManySteps(t *testing.T) {
	p := opened(t, "v=1")
	for i := range maxSteps + 20 {
		p.Slide("rider", strconv.Itoa(30+i%100))
		p.Settle()
	}
	require.Len(t, p.steps.past, maxSteps)
	require.GreaterOrEqual(t, maxSteps, 100)
	for range 150 {
		p.Undo()
	}
	last := maxSteps + 19 - 150
	assert.InDelta(t, float64(30+last%100), p.Build.Rider, 1e-9)
}

func TestUndoWalksTheSameBuildsAsTheAddress(t *testing.T) {
	p := opened(t, "v=1")
	p.Slide("s", "20")
	p.Settle()
	p.Slide("p", "3")
	p.Settle()
	p.Open("v=1&s=20") // back
	assert.Len(t, p.steps.past, 1)
	assert.Len(t, p.steps.future, 1)
	p.Open("v=1&s=20&p=3") // forward
	assert.Len(t, p.steps.past, 2)
	p.Open("v=1&s=30&later=1") // an address by hand is a step of its own
	p.Undo()
	assert.Equal(t, "v=1&s=20&p=3", p.Link())
	p.Redo()
	assert.Equal(t, "v=1&s=30&later=1", p.Link(), "foreign keys come back too")
	p.Reset()
	p.Undo()
	assert.Equal(t, "v=1&s=30&later=1", p.Link(), "starting over can be undone")

	p = opened(t, "v=1")
	p.Slide("s", "20")
	p.Reset()
	p.Undo()
	assert.Equal(t, "v=1&s=20", p.Link(), "also right after the first edit")
}

func TestTextsBeingTypedHaveTheirOwnUndo(t *testing.T) {
	p := opened(t, "v=1")
	p.Slide("s", "20")
	p.Settle()
	p.Type("kpa", "150")
	assert.False(t, p.UndoKey("z", false, true, "kpa"), "its text is being typed")
	assert.False(t, p.UndoKey("z", false, true, "save-name"))
	assert.Equal(t, "v=1&s=20&kpa=150", p.Link())
	p.Leave("kpa")
	assert.True(t, p.UndoKey("z", false, true, "kpa"), "nothing is typed in it any more")
	assert.Equal(t, "v=1&s=20", p.Link())
	assert.True(t, p.UndoKey("z", false, false, ""))
	assert.Equal(t, "v=1", p.Link())
	assert.True(t, p.UndoKey("Z", true, false, ""))
	assert.True(t, p.UndoKey("y", false, false, ""))
	assert.Equal(t, "v=1&s=20&kpa=150", p.Link())
	for _, key := range []string{"a", "c", "Y", "", "Shift"} {
		assert.False(t, p.UndoKey(key, true, false, ""), key)
	}
	p.Type("kpa", "x")
	p.Undo()
	assert.Empty(t, p.Entry("kpa").Message, "a text of the build before is gone with it")
}

func TestUndoBringsBackEveryBuild(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := NewPlanner()
		p.Open("v=1")
		seen := []build.Build{p.Build}
		for i := range rapid.IntRange(1, 8).Draw(t, "edits") {
			p.Build = randomBuild(t)
			p.edited()
			if p.Build != seen[len(seen)-1] {
				seen = append(seen, p.Build)
			}
			_ = i
		}
		for i := len(seen) - 2; i >= 0; i-- {
			p.Undo()
			if p.Build != seen[i] {
				t.Fatalf("step %d", i)
			}
		}
		for i := 1; i < len(seen); i++ {
			p.Redo()
			if p.Build != seen[i] || p.Fault != "" {
				t.Fatalf("forward to step %d %s", i, p.Fault)
			}
		}
	})
}
