package balance_test

import (
	"encoding/json"
	"math"
	"testing"

	"headroom/core/balance"
	"headroom/core/build"
	"headroom/core/internal/randombuild"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const radius = 0.13 // m, loaded

func with(t *testing.T, pairs ...string) build.Build {
	t.Helper()
	b := build.Default()
	for i := 0; i < len(pairs); i += 2 {
		require.Nil(t, build.FieldFor(pairs[i]).Set(&b, pairs[i+1]), pairs[i])
	}
	return b
}

func of(b build.Build) balance.Balance {
	p := b.Parts()
	return balance.Of(&b, &p, radius)
}

// byHand is a board of round numbers: tire of 140 mm, gaps of 20 mm, boxes of 400 and 300 mm.
func byHand(t *testing.T, pairs ...string) build.Build {
	t.Helper()
	return with(t, append([]string{
		"s", "20", "p", "2", "split", "5", "cellg", "70", "linkkg", "0.8", "boxkg", "1.6", "padkg", "1", "railkg", "3", "ctrlkg", "0.5",
		"motorkg", "5", "tirekg", "2", "tirer", "140", "gap", "20", "gap2", "20", "boxl", "400", "box2l", "300", "boxz", "-10",
		"ctrlx", "290", "padx", "270", "padz", "50", "railz", "5", "nose", "440", "tail", "400", "endz", "-20", "rider", "80",
	}, pairs...)...)
}

// Hand-worked: the sum of each mass times its place.
func TestCenterByHand(t *testing.T) {
	// Middles: main box −(140 + 20 + 400/2) = −360; second box 140 + 20 + 300/2 = 310.
	sum := 2.1 + 0.7 + 0.6 + 0.2 + 0.8 + 0.8 + 0.5 + 0.5 + 0.5 + 3 + 5 + 2 // 40 cells of 70 g: 30 behind, 10 before
	forward := 2.1*-360 + 0.7*310 + 0.6*-360 + 0.2*310 + 0.8*-360 + 0.8*310 + 0.5*290 + 0.5*270 - 0.5*270 + 3*20
	up := (2.1+0.7+0.6+0.2+0.8+0.8+0.5)*-10 + 1.0*50 + 3*5
	o := of(byHand(t))
	assert.InDelta(t, 16.7, sum, 1e-9)
	assert.InDelta(t, -528, forward, 1e-9)
	assert.InDelta(t, 8, up, 1e-9)
	assert.InDelta(t, sum, o.SumKg, 1e-9)
	assert.InDelta(t, sum, o.BoardKg, 1e-9)
	assert.InDelta(t, sum+80, o.TotalKg, 1e-9)
	assert.InDelta(t, forward/sum, o.ForwardMm, 1e-9)
	assert.InDelta(t, up/sum, o.UpMm, 1e-9)
	assert.InDelta(t, 9.80665*-0.528, o.TipNm, 1e-9)
	assert.InDelta(t, 528.0/80, o.TrimMm, 1e-9, "the rider stands as far forward as the board is heavy behind")
	assert.Equal(t, "tail", o.Drops)
	names := map[string]bool{}
	for _, part := range o.Parts {
		assert.False(t, names[part.Part], part.Part)
		names[part.Part] = true
	}
	assert.InDelta(t, 20, place(o, "rails"), 1e-9, "halfway from −400 to 440")
}

func TestMassFromTheScale(t *testing.T) {
	o := of(byHand(t, "board", "20"))
	assert.InDelta(t, 16.7, o.SumKg, 1e-9)
	assert.Equal(t, 20.0, o.BoardKg)
	assert.Equal(t, 100.0, o.TotalKg)
	assert.InDelta(t, -528/16.7, o.ForwardMm, 1e-9, "the center stays that of the parts")
}

// place returns where a part sits in mm before the axle.
func place(o balance.Balance, part string) float64 {
	for _, x := range o.Parts {
		if x.Part == part {
			return x.XMm
		}
	}
	return math.NaN()
}

func TestBoxLengths(t *testing.T) {
	// Needed: 15 series of 2 cells of 21.6 mm pitch, two rows and two layers: 8 columns, 172.8 + 2 + 30 = 204.8; 5 series: 3 columns, 96.8.
	o := of(byHand(t, "boxl", "0", "box2l", "0"))
	for _, part := range []string{"cells, main box", "links and leads, main box", "main box"} {
		assert.InDelta(t, -160-102.4, place(o, part), 1e-6, part)
	}
	for _, part := range []string{"cells, second box", "links and leads, second box", "second box"} {
		assert.InDelta(t, 160+48.4, place(o, part), 1e-6, part)
	}
	assert.InDelta(t, 160+150, place(of(byHand(t, "split", "0")), "second box"), 1e-6, "empty, length given")
	assert.InDelta(t, 160+60, place(of(byHand(t, "split", "0", "box2l", "0")), "second box"), 1e-6, "empty, no length given")
	assert.InDelta(t, 160, place(of(byHand(t, "box2l", "0", "box2h", "18")), "second box"), 1e-6, "no length is enough: at its wall")
	assert.InDelta(t, -160, place(of(byHand(t, "boxl", "0", "boxh", "18")), "main box"), 1e-6, "no length is enough: at its wall")
}

// Moments about the axle of every part and of the rider at the trim: they cancel, and the motor has nothing to do.
func TestTrimIsTheSumOfMoments(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		p := b.Parts()
		o := balance.Of(&b, &p, radius)
		moment, total, most := b.Rider*9.80665*o.TrimMm/1e3, 0.0, 0.0
		for _, part := range o.Parts {
			moment += part.Kg * 9.80665 * part.XMm / 1e3
			most += part.Kg * math.Abs(part.XMm)
			total += part.Kg
		}
		require.InDelta(t, 0, moment, 1e-9*(1+most), randombuild.Text(&b))
		require.InDelta(t, o.TipNm, -b.Rider*9.80665*o.TrimMm/1e3, 1e-9*(1+most))
		require.InEpsilon(t, total, o.SumKg, 1e-9)
		if !build.FieldFor("board").Given(&b) {
			require.InEpsilon(t, o.BoardKg, o.SumKg, 1e-9, "the parts are the whole board: %s", randombuild.Text(&b))
		}
	})
}

func TestMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		b.Split = rapid.IntRange(1, b.Series-1).Draw(t, "split")
		m := b
		m.Box[0], m.Box[1] = b.Box[1], b.Box[0]
		m.Split = b.Series - b.Split
		m.ControllerX, m.Nose, m.Tail = -b.ControllerX, b.Tail, b.Nose
		p, q := b.Parts(), m.Parts()
		o, n := balance.Of(&b, &p, radius), balance.Of(&m, &q, radius)
		text := randombuild.Text(&b)
		require.InDelta(t, o.ForwardMm, -n.ForwardMm, 1e-6, text)
		require.InDelta(t, o.TrimMm, -n.TrimMm, 1e-6, text)
		require.InDelta(t, o.TipNm, -n.TipNm, 1e-6, text)
		require.InDelta(t, o.UpMm, n.UpMm, 1e-6, text)
		require.Equal(t, o.NoseDeg, n.TailDeg, text)
		require.Equal(t, o.NoseStatus, n.TailStatus, text)
		require.Equal(t, o.Status, n.Status, text)
	})
}

func TestCompare(t *testing.T) {
	b := byHand(t, "s", "21", "split", "3")
	c := of(b).Compare
	one, two := of(byHand(t, "s", "21", "split", "0")), of(byHand(t, "s", "21", "split", "10"))
	assert.Equal(t, balance.Variant{Split: 0, Fits: true, ForwardMm: one.ForwardMm, TrimMm: one.TrimMm}, c.OneBox)
	assert.Equal(t, balance.Variant{Split: 10, Fits: true, ForwardMm: two.ForwardMm, TrimMm: two.TrimMm}, c.TwoBoxes)
	assert.InDelta(t, one.SumKg, two.SumKg, 1e-9)
	assert.Less(t, c.OneBox.ForwardMm, c.TwoBoxes.ForwardMm, "cells that move forward move the center forward")
	assert.Greater(t, c.OneBox.TrimMm, c.TwoBoxes.TrimMm)
	// 21 series of 2 want 11 columns of 21.6 mm and 32: 269.6; 11 series want 6: 161.6; 10 series want 5: 140.
	for _, x := range []struct {
		main, second string
		one, two     bool
	}{{"270", "140", true, true}, {"269", "140", false, true}, {"270", "139", true, false}, {"162", "140", false, true}, {"161", "140", false, false}} {
		c := of(byHand(t, "s", "21", "boxl", x.main, "box2l", x.second)).Compare
		assert.Equal(t, []bool{x.one, x.two}, []bool{c.OneBox.Fits, c.TwoBoxes.Fits}, "%+v", x)
	}
}

// No build that can be entered makes a number that is none: encoding/json refuses NaN and infinity.
func TestAnswersEveryBuild(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		r := rapid.Float64Range(0.04, 0.3).Draw(t, "radius")
		p := b.Parts()
		_, err := json.Marshal(balance.Of(&b, &p, r))
		require.NoError(t, err, randombuild.Text(&b))
		_, err = json.Marshal(balance.Outline(&b, &p, r))
		require.NoError(t, err, randombuild.Text(&b))
	})
}

func TestOutline(t *testing.T) {
	b := byHand(t, "boxh", "60", "box2h", "50")
	p := b.Parts()
	o, s := balance.Of(&b, &p, radius), balance.Outline(&b, &p, radius)
	rounded := func(r balance.Rect) balance.Rect {
		return balance.Rect{Name: r.Name, X0: math.Round(r.X0), X1: math.Round(r.X1), Z0: math.Round(r.Z0), Z1: math.Round(r.Z1)}
	}
	assert.Equal(t, balance.Rect{Name: "main box", X0: -560, X1: -160, Z0: -40, Z1: 20}, rounded(s.Boxes[0]))
	assert.Equal(t, balance.Rect{Name: "second box", X0: 160, X1: 460, Z0: -35, Z1: 15}, rounded(s.Boxes[1]))
	assert.InDelta(t, 140, s.WheelMm, 1e-9)
	assert.InDelta(t, -130, s.GroundMm, 1e-9)
	for _, c := range []struct {
		got  balance.Point
		name string
		x, z float64
	}{
		{s.Rails[0], "rails, tail end", -400, 5}, {s.Rails[1], "rails, nose end", 440, 5},
		{s.Pads[0], "rear foot pad", -270, 50}, {s.Pads[1], "front foot pad", 270, 50},
		{s.Controller, "controller", 290, -10}, {s.Nose, "nose", 440, -20}, {s.Tail, "tail", -400, -20},
		{s.Center, "center of mass", o.ForwardMm, o.UpMm}, {s.Stand, "center of pressure", o.TrimMm, 50},
	} {
		assert.Equal(t, c.name, c.got.Name)
		assert.InDelta(t, c.x, c.got.X, 1e-9, c.name)
		assert.InDelta(t, c.z, c.got.Z, 1e-9, c.name)
	}
}

func BenchmarkOf(b *testing.B) {
	board := build.Default()
	board.Series, board.Parallel, board.Split = 40, 12, 20
	p := board.Parts()
	b.ReportAllocs()
	for b.Loop() {
		balance.Of(&board, &p, radius)
	}
}
