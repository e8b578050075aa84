package ui

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func drawnBoxes(p *Planner) *BoxesView {
	c := &BoxesView{P: p}
	c.lay()
	return c
}

// By hand: 150 mm, of which 30 are kept, hold 5 columns of 21 mm beside two linings. Two rows and two layers of 5 are 20 of the 36 cells.
func TestCellsThatDoNotFit(t *testing.T) {
	p := opened(t, "v=1&s=24&p=3&split=12&boxl=150&box2l=230")
	c := drawnBoxes(p)
	root := show(t, p)
	require.Nil(t, find(root, class("cells")))
	p.SetOpen(boxesID, true)
	root = show(t, p)
	boxes := all(root, class("layout"))
	require.Len(t, boxes, 2)
	assert.Len(t, all(boxes[0], class("beyond")), 16)
	assert.Len(t, all(boxes[0], class("cell")), 36)
	assert.Empty(t, all(boxes[1], class("beyond")))
	assert.Len(t, all(root, class("room")), 4, "each layer of each box shows what is kept")
	assert.Equal(t, "The main box takes 20 of its 36 cells.", c.fit(0))
	assert.Equal(t, 1, strings.Count(tidy(boxes[0]), "36 cells"), "said once")
	assert.Equal(t, "16 do not fit · 36 + 36 cells", c.brief())
	assert.Contains(t, c.words(0, 0), "; 8 of these cells do not fit; the hatched end is kept for BMS and leads.")
	from, to, ok := c.wall(0)
	assert.True(t, ok)
	assert.InDelta(t, 0.120, from, 1e-9)
	assert.InDelta(t, 0.150, to, 1e-9)
	for _, part := range strings.FieldsFunc(c.room(0), func(r rune) bool { return r == 'M' })[1:] {
		for _, end := range strings.Split(part, "L") {
			x, y, _ := strings.Cut(end, " ")
			assert.InDelta(t, 135, number(t, x), 15.05, "within the room kept")
			assert.InDelta(t, number(t, mm(c.drawings[0].InnerY))/2, number(t, y), number(t, mm(c.drawings[0].InnerY))/2+0.05)
		}
	}
}

// Whatever the build, the picture shows as many cells inside as the report counts.
func TestThePictureHoldsWhatTheReportCounts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := NewPlanner()
		p.Build = randomBuild(t)
		p.plan()
		c := drawnBoxes(p)
		for i := range c.drawings {
			in := 0
			for k := range c.drawings[i].Cells {
				if !c.beyond(i, &c.drawings[i].Cells[k]) {
					in++
				}
			}
			b := c.report(c.drawings[i].Name)
			require.Equal(t, min(b.Capacity, b.Cells), in, b.Text)
		}
	})
}
