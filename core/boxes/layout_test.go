package boxes_test

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"

	"headroom/core/boxes"
	"headroom/core/build"
	"headroom/core/internal/randombuild"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func layout(b build.Build, i int) boxes.Drawing {
	p := b.Parts()
	return boxes.Layout(&b, &p, i)
}

// picture draws the groups of one layer, the highest row first, a point where no cell is. Cells are 20 mm apart and up.
func picture(d boxes.Drawing, layer int, rise float64) string {
	rows := map[int]map[int]string{}
	most := 0
	for _, c := range d.Cells {
		if c.Layer != layer {
			continue
		}
		row, column := int(math.Round((c.Y-0.010)/rise)), int((c.X-0.010)/0.020+1e-6)
		if rows[row] == nil {
			rows[row] = map[int]string{}
		}
		rows[row][column] = strconv.Itoa(c.Group)
		most = max(most, column)
	}
	var lines []string
	for row := len(rows) - 1; row >= 0; row-- {
		var line []string
		for column := 0; column <= most; column++ {
			if rows[row][column] == "" {
				rows[row][column] = "."
			}
			line = append(line, rows[row][column])
		}
		lines = append(lines, strings.Join(line, " "))
	}
	return strings.Join(lines, " / ")
}

// pairs lists the groups of the touching cells that are due.
func pairs(d boxes.Drawing) [][2]int {
	out := [][2]int{}
	for _, x := range d.Due {
		out = append(out, [2]int{d.Cells[x.A].Group, d.Cells[x.B].Group})
	}
	return out
}

// Six groups of one cell in three columns and two rows:
//
//	2 3 6
//	1 4 5      touching and more than one apart: 1 and 4, 3 and 6
func TestSixInTwoRows(t *testing.T) {
	d := layout(with(t, "s", "8", "p", "1", "split", "2", "boxw", "65", "boxh", "40"), 0)
	assert.Equal(t, "2 3 6 / 1 4 5", picture(d, 1, 0.020))
	v := 12.6 // three full cells of 4.2 V
	require.Len(t, d.Due, 2)
	assert.InDelta(t, v, d.Due[0].V, 1e-9)
	assert.Equal(t, []boxes.Touch{{A: 0, B: 3, V: d.Due[0].V}, {A: 2, B: 5, V: d.Due[0].V}}, d.Due)
	assert.InDelta(t, v, d.WorstV, 1e-9)
	assert.Equal(t, [2]int{1, 4}, d.WorstPair, "the first of those that are alike")
	assert.Equal(t, "Cells of groups 1 and 4 touch, with 12.6 V between their cans: put extra insulation between cells more than one group apart.", d.Text)
	assert.Equal(t, "main", d.Name)
	assert.Equal(t, 1, d.Layers)
	for n, c := range d.Cells {
		assert.Equal(t, n%2 == 0, c.Plus, "odd groups have + toward the viewer")
		assert.Equal(t, 1, c.Parallel)
	}
	assert.InDelta(t, 0.010, d.Cells[0].X, 1e-12)
	assert.InDelta(t, 0.010, d.Cells[0].Y, 1e-12)
	assert.InDelta(t, 0.050, d.Cells[5].X, 1e-12)
	assert.InDelta(t, 0.030, d.Cells[5].Y, 1e-12)
}

// Four groups of two cells, in two rows and in three.
func TestFourGroupsOfTwo(t *testing.T) {
	d := layout(with(t, "s", "8", "p", "2", "split", "4", "boxw", "65", "boxh", "40"), 0)
	assert.Equal(t, "1 2 3 4 / 1 2 3 4", picture(d, 1, 0.020))
	assert.Empty(t, d.Due)
	assert.NotNil(t, d.Due, "an empty list, not null")
	assert.InDelta(t, 4.2, d.WorstV, 1e-9)
	assert.Equal(t, [2]int{1, 2}, d.WorstPair)
	assert.Equal(t, "Only cells of the same group or of groups that are linked touch each other.", d.Text)
	assert.Equal(t, []int{1, 2, 1, 2}, []int{d.Cells[0].Parallel, d.Cells[1].Parallel, d.Cells[2].Parallel, d.Cells[3].Parallel})

	// Up the first column, down the second, up the third: 1 and 3 touch twice.
	d = layout(with(t, "s", "8", "p", "2", "split", "4", "boxw", "65", "boxh", "60"), 0)
	assert.Equal(t, "2 2 . / 1 3 4 / 1 3 4", picture(d, 1, 0.020))
	assert.Equal(t, [][2]int{{1, 3}, {1, 3}}, pairs(d))
	assert.InDelta(t, 8.4, d.WorstV, 1e-9)
}

// Eight groups of one cell, two rows, two layers: 3 lies behind 2 and 5 behind 8.
func TestTwoLayers(t *testing.T) {
	d := layout(with(t, "s", "8", "p", "1", "boxw", "130", "boxh", "40"), 0)
	assert.Equal(t, "2 7 / 1 8", picture(d, 1, 0.020))
	assert.Equal(t, "3 6 / 4 5", picture(d, 2, 0.020))
	assert.ElementsMatch(t, [][2]int{{1, 8}, {2, 7}, {3, 6}, {1, 4}, {5, 8}}, pairs(d))
	assert.InDelta(t, 29.4, d.WorstV, 1e-9)
	assert.Equal(t, [2]int{1, 8}, d.WorstPair)
	assert.Equal(t, 2, d.Layers)
}

// Nested: the upper row is moved by half a pitch; with five cells it lacks its third.
//
//	 2 3
//	1 4 5      1 touches 2 and 4; 4 touches 2, 3 and 5; 3 touches 5
func TestNested(t *testing.T) {
	rise := 0.020 * math.Cos(math.Pi/6)
	d := layout(with(t, "s", "8", "p", "1", "split", "3", "nest", "nested", "boxw", "65", "boxh", "38"), 0)
	assert.Equal(t, "2 3 . / 1 4 5", picture(d, 1, rise))
	assert.ElementsMatch(t, [][2]int{{1, 4}, {2, 4}, {3, 5}}, pairs(d))
	assert.InDelta(t, 0.020, d.Cells[1].X, 1e-12, "half a pitch further")
	// Three cells: the second column has no place above, so the snake comes back below.
	d = layout(with(t, "s", "8", "p", "1", "split", "5", "nest", "nested", "boxw", "65", "boxh", "38"), 0)
	assert.Equal(t, "2 . / 1 3", picture(d, 1, rise))
	assert.Equal(t, [][2]int{{1, 3}}, pairs(d))
}

func TestViewsAndCorners(t *testing.T) {
	common := []string{"s", "8", "p", "2", "lining", "2", "room", "30", "boxw", "150", "boxh", "71", "split", "3"}
	side := layout(with(t, common...), 0)
	assert.Equal(t, "side", side.View)
	assert.InDelta(t, 0.071, side.InnerY, 1e-12)
	// Five groups of two: three rows, two layers, two columns: 2 + 40 + 2 + 30.
	assert.InDelta(t, 0.074, side.InnerX, 1e-12)
	assert.InDelta(t, 0.012, side.Cells[0].X, 1e-12, "lining and half a pitch")
	assert.InDelta(t, 0.012, side.Cells[0].Y, 1e-12)
	assert.Equal(t, []float64{0.02, 0.018}, []float64{side.Pitch, side.Diameter})
	above := layout(with(t, append(common, "lay", "upright")...), 0)
	assert.Equal(t, "above", above.View)
	assert.InDelta(t, 0.150, above.InnerY, 1e-12)
	assert.InDelta(t, 0.074, above.InnerX, 1e-12)
	end := layout(with(t, append(common, "lay", "along")...), 0)
	assert.Equal(t, "end", end.View)
	assert.InDelta(t, 0.071, end.InnerY, 1e-12)
	assert.InDelta(t, 0.150, end.InnerX, 1e-12)

	second := layout(with(t, append(common, "box2l", "500")...), 1)
	assert.Equal(t, "second", second.Name)
	assert.InDelta(t, 0.5, second.InnerX, 1e-12)
	assert.Len(t, second.Cells, 6)
	assert.Equal(t, 6, second.Cells[0].Group, "the second box goes on where the main box ends")
	assert.Equal(t, 8, second.Cells[5].Group)
}

func TestNothingToDraw(t *testing.T) {
	for _, b := range []build.Build{with(t, "boxh", "18"), with(t, "boxh", "18", "boxl", "300")} {
		d := layout(b, 0)
		assert.Empty(t, d.Cells)
		assert.Equal(t, [2]int{}, d.WorstPair)
		assert.Zero(t, d.WorstV)
		assert.Equal(t, "No cells are drawn.", d.Text)
		assert.Empty(t, layout(b, 1).Cells)
	}
	alone := layout(with(t, "split", "1", "p", "2"), 1)
	assert.Len(t, alone.Cells, 2)
	assert.Equal(t, [2]int{}, alone.WorstPair, "the cells of one group are at one voltage")
	assert.Zero(t, alone.WorstV)
	text, err := json.Marshal(layout(with(t, "boxh", "18"), 0))
	require.NoError(t, err)
	assert.Contains(t, string(text), `"cells":[],`)
}

// Against a look at every pair of cells.
func TestLayoutAgainstAllPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		p := b.Parts()
		summary := boxes.Summary(&b, &p)
		seen := 0
		for i := range summary {
			o := &summary[i]
			d := boxes.Layout(&b, &p, i)
			if o.NeedLength == nil {
				require.Empty(t, d.Cells)
				seen += o.Cells
				continue
			}
			require.Len(t, d.Cells, o.Cells)
			for n, c := range d.Cells {
				require.Equal(t, seen/b.Parallel+1+n/b.Parallel, c.Group)
				require.Equal(t, n%b.Parallel+1, c.Parallel)
				require.Equal(t, c.Group%2 == 1, c.Plus)
			}
			seen += o.Cells
			if o.Fits {
				inside(t, &b, &d)
			}
			worst, due := allPairs(t, &d, p.Cell.FullV)
			require.Equal(t, worst, d.WorstV, randombuild.Text(&b))
			require.ElementsMatch(t, due, d.Due, randombuild.Text(&b))
			require.Equal(t, worst, float64(d.WorstPair[1]-d.WorstPair[0])*p.Cell.FullV)
			// The same whatever length is given.
			short := b
			short.Box[i].Length = 0.1
			require.Equal(t, d.Cells, boxes.Layout(&short, &p, i).Cells)
		}
		require.Equal(t, b.Series*b.Parallel, seen)
	})
}

func inside(t *rapid.T, b *build.Build, d *boxes.Drawing) {
	far := b.Lining
	if d.View != "end" {
		far += b.BoxRoom
	}
	for _, c := range d.Cells {
		require.GreaterOrEqual(t, c.X+1e-9, b.Lining+d.Pitch/2, randombuild.Text(b))
		require.GreaterOrEqual(t, c.Y+1e-9, b.Lining+d.Pitch/2, randombuild.Text(b))
		require.LessOrEqual(t, c.X, d.InnerX-far-d.Pitch/2+1e-9, randombuild.Text(b))
		require.LessOrEqual(t, c.Y, d.InnerY-b.Lining-d.Pitch/2+1e-9, randombuild.Text(b))
		require.LessOrEqual(t, c.Layer, d.Layers)
		require.GreaterOrEqual(t, c.Layer, 1)
	}
}

func allPairs(t *rapid.T, d *boxes.Drawing, fullV float64) (worst float64, due []boxes.Touch) {
	due = []boxes.Touch{}
	for a, c := range d.Cells {
		for n, e := range d.Cells[a+1:] {
			far := math.Hypot(c.X-e.X, c.Y-e.Y)
			touch := c.Layer == e.Layer && far <= 1.05*d.Pitch || c.Layer-e.Layer == 1 && far < 1e-9 || e.Layer-c.Layer == 1 && far < 1e-9
			if c.Layer == e.Layer {
				require.Greater(t, far, d.Pitch-1e-9, "cells are not inside each other")
			}
			if !touch {
				continue
			}
			v := float64(e.Group-c.Group) * fullV
			worst = max(worst, v)
			if e.Group-c.Group >= 2 {
				due = append(due, boxes.Touch{A: a, B: a + 1 + n, V: v})
			}
		}
	}
	return worst, due
}

// One cell and the next always touch: in square rows without exception.
func TestSnakeNeverJumps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		b.Nest = "square"
		d := layout(b, 0)
		for n := 1; n < len(d.Cells); n++ {
			c, e := d.Cells[n-1], d.Cells[n]
			steps := math.Hypot(c.X-e.X, c.Y-e.Y)/d.Pitch + math.Abs(float64(c.Layer-e.Layer))
			require.InDelta(t, 1, steps, 1e-9, randombuild.Text(&b))
		}
	})
}
