package ui

import (
	"strconv"
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
	assert.Len(t, all(boxes[0], class("beyond")), 8, "two columns of the four")
	assert.Len(t, all(boxes[0], class("cell")), 28)
	assert.Equal(t, "8 more do not fit and are not drawn.", tidy(find(boxes[0], class("more"))))
	assert.Nil(t, find(boxes[1], class("more")))
	assert.Empty(t, all(boxes[1], class("beyond")))
	assert.Len(t, all(root, class("room")), 4, "each layer of each box shows what is kept")
	assert.Equal(t, "The main box takes 20 of its 36 cells.", c.fit(0))
	assert.Equal(t, 1, strings.Count(tidy(boxes[0]), "36 cells"), "said once")
	assert.Equal(t, "16 do not fit · 36 + 36 cells", c.brief())
	assert.Contains(t, c.words(0, 0), "; 4 of these cells do not fit; the hatched end is kept for BMS and leads.")
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

// However many cells do not fit, the box is drawn at its own scale: wide enough to read, with what is left out counted below.
func TestTheBoxKeepsItsScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := NewPlanner()
		p.Build = randomBuild(t)
		p.plan()
		scaleStands(t, p)
	})
	p := opened(t, "v=1&p=5&boxl=300&boxw=130")
	c := scaleStands(t, p)
	assert.NotEmpty(t, c.more(0))
	assert.InDelta(t, 1000*(c.drawings[0].InnerX+c.drawings[0].Pitch), number(t, strings.Fields(c.box(0))[2]), 1000*(2*c.drawings[0].Pitch)+4)
}

func scaleStands(t require.TestingT, p *Planner) *BoxesView {
	c := drawnBoxes(p)
	for i := range c.drawings {
		d := &c.drawings[i]
		drawn, out := 0, 0
		columns := map[int]bool{}
		for layer := range c.layers(i) {
			for _, cell := range c.cells(i, layer) {
				drawn++
				if strings.Contains(cell.Class, "beyond") {
					out++
				}
			}
		}
		for k := range d.Cells {
			if c.drawn(i)(&d.Cells[k]) {
				if c.beyond(i, &d.Cells[k]) {
					columns[int(1e6*d.Cells[k].X+0.5)] = true
				}
			} else {
				require.True(t, c.beyond(i, &d.Cells[k]), "what fits is drawn")
			}
		}
		left, _, _ := strings.Cut(c.more(i), " ")
		if left == "" {
			left = "0"
		}
		require.Equal(t, strconv.Itoa(len(d.Cells)-drawn), left)
		b := c.report(d.Name)
		if b.LengthGiven && b.Capacity < b.Cells {
			require.Positive(t, out, "some that do not fit are seen")
		}
		if d.View != "end" {
			require.LessOrEqual(t, len(columns), 2*mostBeyond, "two columns, and as many of the rows between where cells are staggered")
		}
	}
	return c
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
