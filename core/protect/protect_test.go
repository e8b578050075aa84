package protect_test

import (
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/pack"
	"headroom/core/protect"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func rows(t *testing.T, b build.Build, l protect.Loads) map[string]protect.Row {
	t.Helper()
	require.NoError(t, b.Validate())
	p := b.Parts()
	k := pack.New(&b, &p)
	out := map[string]protect.Row{}
	for _, r := range protect.Rows(&b, &p, &k, l) {
		require.NotContains(t, out, r.Part)
		out[r.Part] = r
	}
	return out
}

func with(t *testing.T, pairs ...string) build.Build {
	t.Helper()
	b := build.Default()
	for i := 0; i < len(pairs); i += 2 {
		require.Nil(t, build.FieldFor(pairs[i]).Set(&b, pairs[i+1]))
	}
	return b
}

func TestRatings(t *testing.T) {
	loads := protect.Loads{SteadyA: 10, PeakA: 30, SteadyPhase: 20, PeakPhase: 100}
	one := rows(t, with(t, "p", "1", "cell", "21700-energy"), loads)
	two := rows(t, with(t, "p", "2", "cell", "21700-energy"), loads)
	assert.Equal(t, 2*one["cells"].RatingA, two["cells"].RatingA, "double parallel, double current: common practice, no published source")
	assert.Equal(t, 2*one["cells"].PeakRating, two["cells"].PeakRating)
	assert.Equal(t, 12.0, one["cells"].RatingA)

	fuse := rows(t, with(t, "fuse", "40", "temp", "20", "warm", "0"), loads)["fuse"]
	assert.Equal(t, 30.0, fuse.RatingA, "75 % of a 40 A fuse for hours (from memory; a maker's guide allows 80 % for fast types)")
	assert.Less(t, fuse.RatingA, 0.8*40+1e-9, "not above the maker's guide")
	assert.Equal(t, 40.0, fuse.PeakRating)

	all := rows(t, with(t, "ctrlbatt", "60", "ctrlphase", "150"), loads)
	assert.Equal(t, 60.0, all["controller"].RatingA)
	assert.Equal(t, 150.0, all["controller phases"].PeakRating)
	assert.Equal(t, 180.0, all["motor winding"].PeakRating, "the class of the default motor")
	for _, part := range []string{"cells", "links", "fuse", "connector", "leads", "controller"} {
		assert.Equal(t, 10.0, all[part].LoadA, part)
		assert.Equal(t, 30.0, all[part].PeakA, part)
	}
	for _, part := range []string{"controller phases", "motor winding"} {
		assert.Equal(t, 20.0, all[part].LoadA, part)
		assert.Equal(t, 100.0, all[part].PeakA, part)
	}
}

func TestMarginIsTheNearerOne(t *testing.T) {
	b := with(t, "fuse", "40", "margin", "20", "temp", "20", "warm", "0")
	for _, c := range []struct {
		steady, peak, margin, spare float64
		status                      limit.Status
	}{
		{15, 10, 50, 15, limit.Clear},                   // steady 15 of 30
		{3, 20, 50, 20, limit.Clear},                    // peak 20 of 40
		{math.Nextafter(24, 0), 0, 20, 6, limit.Clear},  // just below the wanted margin
		{math.Nextafter(24, 30), 0, 20, 6, limit.Tight}, // just above
		{0, math.Nextafter(32, 40), 20, 8, limit.Tight}, // the same for the peak
		{30, 0, 0, 0, limit.Tight},                      // at the rating
		{0, 40, 0, 0, limit.Tight},                      // at the rating
		{math.Nextafter(30, 31), 0, 0, 0, limit.Over},   // beyond
		{0, math.Nextafter(40, 41), 0, 0, limit.Over},   // beyond
		{60, 60, -100, -30, limit.Over}, {0, 0, 100, 40, limit.Clear},
		{15, 20, 50, 20, limit.Clear}, // alike: the peak's spare is told
	} {
		r := rows(t, b, protect.Loads{SteadyA: c.steady, PeakA: c.peak})["fuse"]
		assert.InDelta(t, c.margin, r.MarginPct, 1e-9, "%v steady, %v peak", c.steady, c.peak)
		assert.InDelta(t, c.spare, r.MarginA, 1e-9, "%v steady, %v peak", c.steady, c.peak)
		assert.Equal(t, c.status, r.Status, "%v steady, %v peak", c.steady, c.peak)
		assert.NotEmpty(t, r.Why)
	}
}

func TestWeakest(t *testing.T) {
	list := []protect.Row{{Part: "a", MarginPct: 5}, {Part: "b", MarginPct: -3}, {Part: "c", MarginPct: 1}}
	assert.Equal(t, "b", protect.Weakest(list).Part)
	assert.Equal(t, "a", protect.Weakest(list[:1]).Part)
	assert.Equal(t, "b", protect.Weakest(append(list, protect.Row{Part: "d", MarginPct: -3})).Part, "the first of two alike")
}

func fuseOf(b build.Build) protect.Fuse {
	p := b.Parts()
	k := pack.New(&b, &p)
	return protect.CheckFuse(&b, &p, &k, protect.Loads{})
}

// A 58 V fuse is not allowed on 14 cells of 4.2 V (58.8 V full), a 32 V fuse on none above 7 (29.4 V): ISO 8820-3 ratings.
func TestFuseVoltage(t *testing.T) {
	assert.True(t, fuseOf(with(t, "s", "13", "fusetype", "blade-58", "cell", "21700-energy")).VoltageOK)
	assert.False(t, fuseOf(with(t, "s", "14", "fusetype", "blade-58", "cell", "21700-energy")).VoltageOK)
	assert.False(t, fuseOf(with(t, "s", "8", "fusetype", "blade-32", "cell", "21700-energy")).VoltageOK)
	at := fuseOf(with(t, "s", "20", "fusev", "84"))
	assert.True(t, at.VoltageOK, "at the full pack's voltage exactly")
	assert.False(t, fuseOf(with(t, "s", "20", "fusev", "83")).VoltageOK)
}

func TestFuseBreaking(t *testing.T) {
	b := with(t, "s", "20", "p", "4")
	short := fuseOf(b).MostShortA
	build.FieldFor("fusebreak").SetValue(&b, short*1.0001)
	assert.True(t, fuseOf(b).BreakingOK)
	build.FieldFor("fusebreak").SetValue(&b, short*0.9999)
	assert.False(t, fuseOf(b).BreakingOK)
	assert.InEpsilon(t, short, fuseOf(b).MostShortA, 1e-12, "the breaking capacity does not move the current")
	assert.True(t, fuseOf(with(t, "fusetype", "blade-58", "fuse", "100")).RatingOK, "ISO 8820-3:2015: at most 100 A")
	assert.False(t, fuseOf(with(t, "fusetype", "blade-58", "fuse", "105")).RatingOK, "ISO 8820-3:2015: at most 100 A")
}

// The worked case of a large pack: 30s6p of 18 mΩ through 1 m of 10 mm² passes the 1000 A that a blade can break.
func TestBladeCannotBreakALargePack(t *testing.T) {
	f := fuseOf(with(t, "s", "30", "p", "6", "cellr", "18", "temp", "25", "linkr", "0", "packr", "0", "awg", "7", "lead", "0.5",
		"fusetype", "blade-58", "fuse", "80"))
	assert.Greater(t, f.ShortCircuitA, 1300.0)
	assert.Less(t, f.ShortCircuitA, 1500.0)
	assert.False(t, f.BreakingOK, "ISO 8820-3:2015: 1000 A")
	assert.False(t, f.VoltageOK)
}
