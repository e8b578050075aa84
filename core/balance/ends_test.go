package balance_test

import (
	"math"
	"testing"

	"headroom/core/balance"
	"headroom/core/internal/randombuild"
	"headroom/core/limit"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func deg(v float64) *float64 { return &v }

// Drawn geometry: an end 300 mm from the axle over ground 150 mm below is down after 30°, for sin 30° is 1/2. An end 20° above the level
// of the axle has 20° more to go, one 20° below has 20° less.
func TestTouchesByHand(t *testing.T) {
	for _, above := range []float64{0, 20, -20} {
		sin, cos := math.Sincos(above * math.Pi / 180)
		assert.InDelta(t, 30+above, *balance.Touches(0.3*cos, 0.3*sin, 0.15), 1e-9)
	}
}

// The second method: turn the point and look where it meets the ground, by bisection.
func TestTouchesAgainstTurning(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.Float64Range(0.15, 0.8).Draw(t, "length")
		h := rapid.Float64Range(-0.15, 0.15).Draw(t, "height")
		r := rapid.Float64Range(0.04, 0.3).Draw(t, "radius")
		got := balance.Touches(l, h, r)
		// Depth of the point below the axle, turned nose down; it is deepest straight below.
		depth := func(a float64) float64 { return -(-l*math.Sin(a) + h*math.Cos(a)) }
		low, high := -math.Pi/2, math.Pi/2+math.Atan2(h, l)
		low += math.Atan2(h, l)
		if depth(high) < r {
			require.Nil(t, got)
			return
		}
		for range 100 {
			if mid := (low + high) / 2; depth(mid) < r {
				low = mid
			} else {
				high = mid
			}
		}
		require.NotNil(t, got)
		require.InDelta(t, low*180/math.Pi, *got, 1e-4)
	})
}

func TestTouchesAtItsBoundaries(t *testing.T) {
	assert.Zero(t, *balance.Touches(0.4, -0.15, 0.15), "just on the ground when level")
	assert.Negative(t, *balance.Touches(0.4, -0.15, 0.1499))
	assert.Positive(t, *balance.Touches(0.4, -0.15, 0.1501))
	assert.Nil(t, balance.Touches(0.3, 0, 0.3), "the end is on the wheel's own circle")
	assert.Nil(t, balance.Touches(0.2, 0.1, 0.3))
	assert.InDelta(t, 90, *balance.Touches(0.3, 0, 0.3-1e-9), 0.01)
}

func TestJudgeAtItsBoundaries(t *testing.T) {
	for _, c := range []struct {
		deg    *float64
		status limit.Status
	}{
		{nil, limit.Clear}, {deg(-5), limit.Over}, {deg(0), limit.Over}, {deg(1e-12), limit.Tight},
		{deg(math.Nextafter(8, 0)), limit.Tight}, {deg(8), limit.Clear}, {deg(30), limit.Clear},
	} {
		assert.Equal(t, c.status, balance.Judge(c.deg))
	}
}

func TestWorseEnd(t *testing.T) {
	for _, c := range []struct {
		nose, tail, status limit.Status
		text               string
	}{
		{limit.Clear, limit.Clear, limit.Clear, "Nose and tail have room to tilt."},
		{limit.Tight, limit.Clear, limit.Tight, "The nose touches the ground at less than 8° of tilt: slopes, curbs and hard braking ask for more."},
		{limit.Clear, limit.Tight, limit.Tight, "The tail touches the ground at less than 8° of tilt: slopes, curbs and hard braking ask for more."},
		{limit.Over, limit.Tight, limit.Over, "The nose touches the ground when the board is level."},
		{limit.Over, limit.Over, limit.Over, "Each of nose and tail touches the ground when the board is level."},
	} {
		status, text := balance.Worse(c.nose, c.tail)
		assert.Equal(t, c.status, status)
		assert.Equal(t, c.text, text)
	}
	// The whole way: a nose of 700 mm at −120 mm over ground 130 mm below has asin(130/710.2) − atan(120/700) = 10.55° − 9.73°.
	o := of(byHand(t, "nose", "700", "endz", "-120"))
	assert.InDelta(t, 0.82, *o.NoseDeg, 0.01)
	assert.Equal(t, []limit.Status{limit.Tight, limit.Tight, limit.Tight}, []limit.Status{o.NoseStatus, o.TailStatus, o.Status})
	o = of(byHand(t, "nose", "800", "tail", "150", "endz", "-60"))
	assert.Equal(t, []limit.Status{limit.Tight, limit.Clear, limit.Tight}, []limit.Status{o.NoseStatus, o.TailStatus, o.Status})
	assert.Contains(t, o.Text, "The nose touches")
	o = of(byHand(t, "nose", "150", "tail", "800", "endz", "-60"))
	assert.Equal(t, []limit.Status{limit.Clear, limit.Tight, limit.Tight}, []limit.Status{o.NoseStatus, o.TailStatus, o.Status})
	assert.Equal(t, limit.Over, of(byHand(t, "endz", "-150")).Status)
}

func TestLetGo(t *testing.T) {
	for _, c := range []struct {
		name        string
		forward, up float64
		nose, tail  *float64
		drops       string
		hangs       *float64
		rest        float64
	}{
		{"heavy before, center above", 10, 20, deg(15), deg(20), "nose", nil, 15},
		{"heavy behind, center above", -10, 20, deg(15), deg(20), "tail", nil, -20},
		{"hangs: as far before as below", 10, -10, deg(46), deg(46), "neither", deg(45), 45},
		{"hangs: as far behind as below", -10, -10, deg(46), deg(46), "neither", deg(-45), -45},
		{"touches first", 10, -10, deg(44), deg(60), "nose", nil, 44},
		{"touches first", -10, -10, deg(60), deg(44), "tail", nil, -44},
		{"touches just as it hangs", 10, -10, deg(45), deg(45), "neither", deg(45), 45},
		{"never touches", 10, 10, nil, nil, "neither", deg(135), 135},
		{"never touches", -10, 10, nil, nil, "neither", deg(-135), -135},
		{"over the axle, above", 0, 10, deg(15), deg(20), "neither", deg(0), 0},
		{"over the axle, below", 0, -10, deg(15), deg(20), "neither", deg(0), 0},
		{"touches when level", 10, 10, deg(-3), deg(-3), "nose", nil, 0},
		{"touches when level", -10, 10, deg(-3), deg(-3), "tail", nil, 0},
	} {
		o := balance.LetGo(c.forward, c.up, c.nose, c.tail)
		assert.Equal(t, c.drops, o.Drops, "%+v", c)
		assert.Equal(t, c.hangs, o.HangsDeg, "%+v", c)
		assert.InDelta(t, c.rest, o.RestDeg, 1e-9, "%+v", c)
		assert.Equal(t, c.rest < 0, math.Signbit(o.RestDeg), "no minus before a zero: %+v", c)
	}
}

// Against the height of the center of mass: a body let go turns downhill until an end stops it or the center is lowest.
func TestLetGoAgainstRolling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		p := b.Parts()
		o := balance.Of(&b, &p, radius)
		height := func(a float64) float64 { a *= math.Pi / 180; return -o.ForwardMm*math.Sin(a) + o.UpMm*math.Cos(a) }
		if math.Abs(o.ForwardMm) < 0.1 {
			t.Skip("nearly over the axle")
		}
		step, end := 0.01, o.NoseDeg
		if o.ForwardMm < 0 {
			step, end = -0.01, o.TailDeg
		}
		a := 0.0
		for math.Abs(a) < 180 && height(a+step) < height(a) && (end == nil || math.Abs(a+step) <= *end) {
			a += step
		}
		require.InDelta(t, a, o.RestDeg, 0.03, randombuild.Text(&b))
		require.Equal(t, o.Drops == "neither", o.HangsDeg != nil)
	})
}
