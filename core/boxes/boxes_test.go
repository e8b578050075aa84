package boxes_test

import (
	"fmt"
	"math"
	"testing"

	"headroom/core/boxes"
	"headroom/core/build"
	"headroom/core/internal/randombuild"
	"headroom/core/limit"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// with is an 18650 board of a round pitch of 20 mm, without lining or room, changed by pairs of link key and value.
func with(t *testing.T, pairs ...string) build.Build {
	t.Helper()
	b := build.Default()
	pairs = append([]string{"cell", "18650-power", "pitch", "20", "lining", "0", "room", "0"}, pairs...)
	for i := 0; i < len(pairs); i += 2 {
		require.Nil(t, build.FieldFor(pairs[i]).Set(&b, pairs[i+1]), pairs[i])
	}
	return b
}

func summary(b build.Build) [2]boxes.Box {
	p := b.Parts()
	return boxes.Summary(&b, &p)
}

// shape is rows × columns × layers, capacity and needed length in mm, as text for short tables.
func shape(o boxes.Box) string {
	need := "none"
	if o.NeedLength != nil {
		need = fmt.Sprintf("%.4g", *o.NeedLength)
	}
	return fmt.Sprintf("%dx%dx%d holds %d needs %s", o.Rows, o.Columns, o.Layers, o.Capacity, need)
}

// Hand-worked: cells of 20 mm pitch and 65 mm length, lining 1 mm, room 30 mm, 24 cells.
func TestShapeByHand(t *testing.T) {
	for _, c := range []struct {
		lay, nest, length, width, height, want string
	}{
		// Rows from the height: 1 + 2·20 + 1 = 42. Layers from the width: 1 + 65 + 1 + 65 + 1 = 133. Length: 1 + n·20 + 1 + 30.
		{"across", "square", "0", "133", "42", "2x6x2 holds 24 needs 152"},
		{"across", "square", "0", "133", "41.9", "1x12x2 holds 24 needs 272"},
		{"across", "square", "0", "132", "42", "2x12x1 holds 24 needs 272"},
		{"across", "square", "0", "133", "22", "1x12x2 holds 24 needs 272"},
		{"across", "square", "0", "133", "21.9", "0x0x0 holds 0 needs none"},
		{"across", "square", "0", "67", "42", "2x12x1 holds 24 needs 272"},
		{"across", "square", "0", "66.9", "42", "0x0x0 holds 0 needs none"},
		{"across", "square", "152", "133", "42", "2x6x2 holds 24 needs 152"},
		{"across", "square", "151", "133", "42", "2x5x2 holds 20 needs 152"},
		{"across", "square", "172", "133", "42", "2x7x2 holds 28 needs 152"},
		{"across", "square", "20", "133", "42", "2x0x2 holds 0 needs 152"},
		{"across", "square", "152", "66", "42", "2x6x0 holds 0 needs none"},
		// Nested: two rows are 1 + 20 + 17.32 + 1 = 39.32 high. Twelve a layer: six and six take 6·20 + 10.
		{"across", "nested", "0", "133", "39.4", "2x6x2 holds 24 needs 162"},
		{"across", "nested", "0", "133", "39.3", "1x12x2 holds 24 needs 272"},
		{"across", "nested", "161", "133", "39.4", "2x6x2 holds 22 needs 162"},
		{"across", "nested", "162", "133", "39.4", "2x6x2 holds 24 needs 162"},
		// Three rows are 56.64 high; four in each of three rows take 4·20 + 10.
		{"across", "nested", "0", "133", "56.7", "3x4x2 holds 24 needs 122"},
		// Upright: rows from the width, layers from the height: 1 + 65 + 1 = 67.
		{"upright", "square", "0", "82", "67", "4x6x1 holds 24 needs 152"},
		{"upright", "square", "0", "81.9", "67", "3x8x1 holds 24 needs 192"},
		{"upright", "square", "0", "82", "66.9", "0x0x0 holds 0 needs none"},
		{"upright", "square", "0", "82", "133", "4x3x2 holds 24 needs 92"},
		// Along: columns from the width, rows from the height, layers from the length: three are 1 + 65 + 1 + 65 + 1 + 65 + 1 + 30.
		{"along", "square", "0", "82", "42", "2x4x3 holds 24 needs 229"},
		{"along", "square", "229", "82", "42", "2x4x3 holds 24 needs 229"},
		{"along", "square", "228", "82", "42", "2x4x2 holds 16 needs 229"},
		{"along", "square", "0", "81.9", "42", "2x3x4 holds 24 needs 295"},
		{"along", "nested", "0", "82", "42", "2x4x4 holds 28 needs 295"},
		{"along", "nested", "0", "92", "42", "2x4x3 holds 24 needs 229"},
		{"along", "square", "0", "82", "21.9", "0x0x0 holds 0 needs none"},
		{"along", "square", "400", "82", "21.9", "0x4x5 holds 0 needs none"},
	} {
		b := with(t, "s", "12", "p", "2", "lining", "1", "room", "30", "lay", c.lay, "nest", c.nest, "boxl", c.length, "boxw", c.width, "boxh", c.height)
		assert.Equal(t, c.want, shape(summary(b)[0]), "%+v", c)
	}
	// One row of nested cells is as long as any other row: 8 × 20.
	assert.Equal(t, "1x8x1 holds 8 needs 160", shape(summary(with(t, "s", "8", "p", "1", "nest", "nested", "boxw", "65", "boxh", "20"))[0]))
	// Three cells nest in two rows of two half pitches more than one: 2 below, 1 above.
	three := with(t, "s", "8", "p", "1", "split", "5", "nest", "nested", "boxw", "65", "boxh", "40")
	assert.Equal(t, "2x2x1 holds 3 needs 40", shape(summary(three)[0]))
}

func TestPitchIsNeverLessThanTheCell(t *testing.T) {
	assert.Equal(t, 20.0, summary(with(t))[0].PitchMm)
	assert.InDelta(t, 18, summary(with(t, "pitch", "14"))[0].PitchMm, 1e-9, "18650: 18 mm")
	assert.InDelta(t, 18.1, summary(with(t, "pitch", "18.1"))[1].PitchMm, 1e-9)
}

func TestStatusAndText(t *testing.T) {
	// 8s1p in one row and one layer: 160 mm.
	row := []string{"s", "8", "p", "1", "boxw", "65", "boxh", "20", "box2w", "65", "box2h", "20"}
	for _, c := range []struct {
		length string
		left   int
		status limit.Status
		text   string
	}{
		{"0", 0, "", "The main box is as long as its 8 cells need."},
		{"140", -1, limit.Over, "The main box takes 7 of its 8 cells."},
		{"160", 0, limit.Clear, "The main box takes 8 cells; it has 8."},
		{"180", 1, limit.Clear, "The main box takes 9 cells; it has 8."},
	} {
		o := summary(with(t, append(row, "boxl", c.length)...))[0]
		assert.Equal(t, boxes.Box{
			Name: "main", Groups: 8, Cells: 8, Capacity: 8 + c.left, Left: c.left, Fits: c.left >= 0, LengthGiven: c.length != "0",
			NeedLength: o.NeedLength, Rows: 1, Columns: 8 + c.left, Layers: 1, PitchMm: 20, Status: c.status, Text: c.text,
		}, o)
		assert.InDelta(t, 160, *o.NeedLength, 1e-9)
	}
	for _, length := range []string{"0", "300"} {
		o := summary(with(t, append(row, "boxl", length, "boxh", "19")...))[0]
		assert.Nil(t, o.NeedLength)
		assert.False(t, o.Fits)
		assert.Equal(t, -8, o.Left)
		assert.Equal(t, limit.Over, o.Status)
		assert.Equal(t, "Not one cell fits the width and height of the main box.", o.Text)
	}
	second := summary(with(t, append(row, "split", "3", "p", "2")...))
	assert.Equal(t, "The second box is as long as its 6 cells need.", second[1].Text)
	assert.Equal(t, "second", second[1].Name)
	assert.Equal(t, []int{5, 10, 3, 6}, []int{second[0].Groups, second[0].Cells, second[1].Groups, second[1].Cells})
	assert.Equal(t, 7, summary(with(t, append(row, "split", "39")...))[1].Groups, "one series cell stays in the main box")
}

func TestEmptySecondBox(t *testing.T) {
	b := with(t, "split", "0", "room", "30", "box2h", "18", "box2w", "40")
	o := summary(b)[1]
	assert.Equal(t, "0x0x0 holds 0 needs 0", shape(o), "no cells need no length, whatever the box")
	assert.True(t, o.Fits)
	assert.Empty(t, o.Status)
	assert.Equal(t, "No cells are in the second box.", o.Text)
	o = summary(with(t, "split", "0", "box2l", "200", "box2w", "65", "box2h", "20"))[1]
	assert.Equal(t, "1x10x1 holds 10 needs 0", shape(o))
	assert.Equal(t, 10, o.Left)
	assert.Equal(t, limit.Clear, o.Status)
}

func TestInner(t *testing.T) {
	inner := func(groups int, pairs ...string) []any {
		b := with(t, append([]string{"s", "12", "p", "2", "boxw", "65", "boxh", "20", "box2w", "65", "box2h", "40"}, pairs...)...)
		p := b.Parts()
		m, fits := boxes.Inner(&b, &p, 0, groups)
		n, second := boxes.Inner(&b, &p, 1, groups)
		return []any{math.Round(1e3 * m), fits, math.Round(1e3 * n), second}
	}
	assert.Equal(t, []any{240.0, true, 120.0, true}, inner(6), "twelve cells in one row and in two")
	assert.Equal(t, []any{0.0, true, 0.0, true}, inner(0))
	assert.Equal(t, []any{0.0, false, 120.0, true}, inner(6, "boxh", "19"))
	assert.Equal(t, []any{240.0, true, 100.0, false}, inner(6, "boxl", "240", "box2l", "100"))
	assert.Equal(t, []any{239.0, false, 140.0, true}, inner(6, "boxl", "239", "box2l", "140"))
}

// counted is the slow way to count: it sets cell after cell into the room and looks whether each is inside.
func counted(b *build.Build, p *build.Parts, box build.Box) int {
	d := max(p.Pitch, p.Cell.Diameter)
	room := [3]float64{box.Length - b.BoxRoom - 2*b.Lining, box.Width - 2*b.Lining, box.Height - 2*b.Lining}
	axes := map[string][3]int{"across": {0, 2, 1}, "upright": {0, 1, 2}, "along": {1, 2, 0}}[b.Lay]
	x, y, z := room[axes[0]]+1e-9, room[axes[1]]+1e-9, room[axes[2]]+1e-9
	n := 0
	for layer := 0.0; layer*(p.Cell.Length+b.Lining)+p.Cell.Length <= z; layer++ {
		rise, shift := d, 0.0
		if b.Nest == "nested" {
			rise, shift = d*math.Cos(math.Pi/6), d/2
		}
		for row := 0; float64(row)*rise+d <= y; row++ {
			for at := shift * float64(row%2); at+d <= x; at += d {
				n++
			}
		}
	}
	return n
}

func TestCapacityAgainstCounting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		p := b.Parts()
		for i, o := range boxes.Summary(&b, &p) {
			box := b.Box[i]
			if box.Length != 0 {
				require.Equal(t, counted(&b, &p, box), o.Capacity, randombuild.Text(&b))
			}
			inner, fits := boxes.Inner(&b, &p, i, o.Groups)
			require.Equal(t, o.Fits, fits)
			require.Equal(t, o.Capacity-o.Cells, o.Left)
			if o.LengthGiven || o.Cells == 0 || o.NeedLength == nil {
				continue
			}
			require.Equal(t, *o.NeedLength, 1e3*inner)
			box.Length = inner
			require.Equal(t, counted(&b, &p, box), o.Capacity, randombuild.Text(&b))
			require.GreaterOrEqual(t, o.Capacity, o.Cells)
			box.Length -= 1e-6
			require.Less(t, counted(&b, &p, box), o.Cells, "a shorter box does not do: %s", randombuild.Text(&b))
		}
	})
}

func BenchmarkSummary(b *testing.B) {
	board := build.Default()
	board.Series, board.Parallel, board.Split = 40, 12, 20
	p := board.Parts()
	b.ReportAllocs()
	for b.Loop() {
		boxes.Summary(&board, &p)
	}
}

func BenchmarkLayout(b *testing.B) {
	board := build.Default()
	board.Series, board.Parallel = 40, 12
	p := board.Parts()
	b.ReportAllocs()
	for b.Loop() {
		boxes.Layout(&board, &p, 0)
	}
}
