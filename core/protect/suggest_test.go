package protect_test

import (
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/internal/randombuild"
	"headroom/core/limit"
	"headroom/core/pack"
	"headroom/core/protect"
	"headroom/core/wire"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func suggest(b build.Build, l protect.Loads) protect.Suggestion {
	p := b.Parts()
	k := pack.New(&b, &p)
	return protect.Suggest(&b, &p, &k, l)
}

// 14 cells of 3.6 V are 50.4 V. At 20 °C a fuse keeps its rating; with 20 % to spare 24 A steady take 40 A at 75 %, and so do 32 A peak.
func TestSuggestTheSmallest(t *testing.T) {
	low := []string{"temp", "20", "warm", "0", "margin", "20", "s", "14", "cellmax", "3.6", "awg", "8"}
	s := suggest(with(t, low...), protect.Loads{SteadyA: 23.9, PeakA: 31.9})
	assert.Equal(t, "blade-58", s.Class, "58 V are enough, and a blade comes before a bolted one")
	assert.Equal(t, 40.0, s.RatingA)
	assert.Equal(t, "Blade, 58 V, 40 A", s.Text)
	assert.Equal(t, "Blade, 58 V", s.Name)
	assert.False(t, s.None)
	require.Len(t, s.Reasons, 5)
	assert.Contains(t, s.Reasons[0], "58 V d.c.; the full pack is 50.4 V")
	assert.Contains(t, s.Reasons[1], "1000 A")
	assert.Contains(t, s.Reasons[2], "30.0 A for hours and 40.0 A for seconds; the ride takes 23.9 A and 31.9 A")
	assert.Equal(t, "It may let 45 A pass for hours; the leads' jackets stand 148 A.", s.Reasons[3], "1.13 × 40 A; AWG 8 at 180 °C sheds 41.54 and 31.58 W/m and has 3.357 mΩ/m: 147.6 A by hand")
	assert.Contains(t, s.Reasons[4], "opens before")
	assert.Equal(t, 45.0, suggest(with(t, low...), protect.Loads{SteadyA: 24.1}).RatingA, "75 % of 40 A is too little now")
	assert.Equal(t, 45.0, suggest(with(t, low...), protect.Loads{PeakA: 32.1}).RatingA, "so are 40 A for the peak")

	at := []string{"temp", "20", "warm", "0", "margin", "20", "s", "20", "cellmax", "4", "awg", "8"} // 80 V
	assert.Equal(t, "Bolted strip, 80 V, 40 A", suggest(with(t, at...), protect.Loads{PeakA: 30}).Text, "80 V are enough for 80 V")
	above := append(at, "cellmax", "4.01")
	assert.Equal(t, "Cylinder, 150 V d.c., 40 A", suggest(with(t, above...), protect.Loads{PeakA: 30}).Text)
}

// What stands in the way is named, furthest first: that of the fuse that meets the most demands.
func TestSuggestSaysWhyNot(t *testing.T) {
	base := []string{"temp", "20", "warm", "0", "margin", "20", "s", "20", "cellmax", "4"}
	// AWG 12 at 180 °C in air of 20 °C sheds 35.84 and 24.83 W/m and has 8.487 mΩ/m: 84.5 A by hand. 55 A peak take 70 A, of which 79.1 A may pass;
	// 57 A take 80 A and 90.4 A. AWG 11: 37.05 and 26.24 W/m, 6.731 mΩ/m, 97.0 A.
	assert.Equal(t, "Bolted strip, 80 V, 70 A", suggest(with(t, append(base, "awg", "12")...), protect.Loads{PeakA: 55}).Text)
	s := suggest(with(t, append(base, "awg", "12")...), protect.Loads{PeakA: 57})
	assert.True(t, s.None)
	assert.Equal(t, protect.None, s.Text)
	assert.Empty(t, s.Class)
	assert.Zero(t, s.RatingA)
	require.Len(t, s.Reasons, 1)
	assert.Contains(t, s.Reasons[0], "The smallest fuse that reaches 80.0 V d.c. and breaks the")
	assert.Contains(t, s.Reasons[0], "is Bolted strip, 80 V, 80 A. It may let 90 A pass for hours and the leads' jackets stand 85 A; they would have to be AWG 11 or thicker.")

	// AWG 4: 50.17 and 42.32 W/m, 1.328 mΩ/m, 263.9 A; so a fuse of 225 A (254.3 A) still is guarded by it, one of 250 A (282.5 A) is not.
	s = suggest(with(t, append(base, "awg", "12")...), protect.Loads{PeakA: 179})
	assert.Contains(t, s.Reasons[0], "225 A. It may let 254 A pass for hours and the leads' jackets stand 85 A; they would have to be AWG 4 or thicker.")
	s = suggest(with(t, append(base, "awg", "12")...), protect.Loads{PeakA: 181})
	assert.Contains(t, s.Reasons[0], "250 A. It may let 282 A pass for hours and the leads' jackets stand 85 A; they would have to be thicker than any gauge here.")

	s = suggest(with(t, append(base, "awg", "4")...), protect.Loads{SteadyA: 260, PeakA: 300})
	assert.Contains(t, s.Reasons[0], "carries 260 A for hours and 300 A for seconds")

	// A pack of 12 large cells in parallel drives more than 10 kA through short thick leads: no class can break it.
	strong := with(t, "s", "40", "p", "12", "cell", "46800-balanced", "cellr", "0.3", "linkr", "0", "packr", "0", "mm2", "100", "lead", "0.05")
	s = suggest(strong, protect.Loads{})
	assert.Regexp(t, `No class in the catalog reaches 168\.0 V d\.c\. and breaks the \d{5,6} A`, s.Reasons[0])

	// AWG 20 in polyvinyl chloride stands (115·0.5176)² = 3543 A²s (IEC 60949); a 10 A cartridge may let (6·10)²·1 = 3600 A²s through.
	p := []string{"s", "20", "p", "12", "cellr", "7", "linkr", "0", "packr", "0", "awg", "20", "lead", "0.05", "ins", "pvc"}
	s = suggest(with(t, p...), protect.Loads{PeakA: 7})
	assert.Contains(t, s.Reasons[0], "It opens too late")
	assert.Contains(t, s.Reasons[0], "Cylinder, 150 V d.c., 10 A")

	// In frost a small aged pack has no more in it than its leads carry: nothing has to open in time.
	cold := with(t, "temp", "-20", "awg", "4")
	parts := cold.Parts()
	k := pack.New(&cold, &parts)
	f := protect.CheckFuse(&cold, &parts, &k, protect.Loads{})
	assert.Less(t, f.ShortCircuitA, f.LeadRatingA)
	assert.True(t, f.LeadOK)
	assert.Greater(t, f.MostShortA, 5*f.ShortCircuitA, "a summer's day is another matter")
}

// A slower method: try every class and rating as the build's own fuse, and ask the checks.
func TestSuggestAgainstTryingEach(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Plausible().Draw(t, "build")
		l := protect.Loads{SteadyA: rapid.Float64Range(0, 40).Draw(t, "steady")}
		l.PeakA = l.SteadyA + rapid.Float64Range(0, 60).Draw(t, "more")
		p := b.Parts()
		k := pack.New(&b, &p)
		got := protect.Suggest(&b, &p, &k, l)
		best, volts := math.Inf(1), math.Inf(1)
		for _, class := range build.Fuses {
			for _, rating := range class.Ratings {
				try, parts := b, p
				parts.Fuse, try.FuseRating = class, rating
				f := protect.CheckFuse(&try, &parts, &k, l)
				var row protect.Row
				for _, r := range protect.Rows(&try, &parts, &k, l) {
					if r.Key == "fuse" {
						row = r
					}
				}
				if f.VoltageOK && f.BreakingOK && f.GuardsLead && f.LeadOK && row.Status == limit.Clear &&
					(rating < best || rating == best && class.VoltageDC < volts) {
					best, volts = rating, class.VoltageDC
				}
			}
		}
		assert.Equal(t, math.IsInf(best, 1), got.None, randombuild.Text(&b))
		if !got.None {
			assert.Equal(t, best, got.RatingA, randombuild.Text(&b))
		}
	})
}

// The fuse row offers its own class first, then what Suggest finds, and never one that the leads are not guarded by.
func TestFuseRowOffersOnlyWhatGuards(t *testing.T) {
	base := []string{"temp", "20", "warm", "0", "margin", "20", "s", "14", "cellmax", "3.6", "awg", "8"}
	offer := func(load float64, pairs ...string) string {
		return rows(t, with(t, append(base, pairs...)...), protect.Loads{PeakA: load})["fuse"].ClearWith
	}
	assert.Equal(t, "Bolted, 58 V, 60 A", offer(41, "fuse", "50", "fusetype", "bolt-58"), "its own class")
	assert.Equal(t, "", offer(41, "fuse", "60", "fusetype", "bolt-58"))
	assert.Equal(t, "Blade, 58 V, 60 A", offer(41, "fuse", "50", "fusetype", "blade-32"), "its own class does not reach the pack")
	// By hand: AWG 11 at 180 °C in air of 20 °C sheds 37.05 and 26.24 W/m and has 6.731 mΩ/m, so 96.97 A alone; 0.70 of it among three circuits
	// are 67.9 A, 0.65 among four 63.0 A (IEC 60364-5-52).
	assert.Equal(t, protect.None, offer(41, "fuse", "50", "fusetype", "bolt-58", "awg", "11", "bundle", "4"), "60 A may let 67.8 A pass")
	assert.Equal(t, "Bolted, 58 V, 60 A", offer(41, "fuse", "50", "fusetype", "bolt-58", "awg", "11", "bundle", "3"), "60 A may let 67.8 A pass")
	assert.Equal(t, "Bolted, 58 V, 50 A", offer(39, "fuse", "40", "fusetype", "bolt-58", "awg", "11", "bundle", "4"), "50 A may let 56.5 A pass")
}

func checkLeads(b build.Build, l protect.Loads) protect.Leads {
	p := b.Parts()
	k := pack.New(&b, &p)
	return protect.CheckLeads(&b, &p, &k, l)
}

func TestLeadDrop(t *testing.T) {
	b := with(t, "awg", "10", "lead", "0.4", "temp", "20", "s", "20", "cellmax", "4.2")
	got := checkLeads(b, protect.Loads{PeakA: 50})
	assert.InEpsilon(t, 50*0.8*3.2771e-3, got.DropV, 1e-4, "0.8 m of AWG 10 by IEC 60028")
	assert.InEpsilon(t, 100*50*0.8*3.2771e-3/84, got.DropPct, 1e-4, "of 84 V")
	assert.Nil(t, got.Between)
	b.Split, b.CrossAWG, b.CrossLength = 5, 12, 0.7
	got = checkLeads(b, protect.Loads{PeakA: 50, SteadyA: 20})
	assert.InEpsilon(t, 50*(0.8*3.2771e-3+1.4*5.2108e-3), got.DropV, 1e-4, "and 1.4 m of AWG 12")
	require.NotNil(t, got.Between)
	assert.Greater(t, *got.Between.SteadyC, *got.Battery.SteadyC, "thinner, warmer")
}

func TestLeadTemperature(t *testing.T) {
	b := with(t, "awg", "12", "phawg", "14", "ins", "pvc", "temp", "25", "warm", "5", "margin", "20")
	p := b.Parts()
	got := checkLeads(b, protect.Loads{SteadyA: 30, PeakA: 30, SteadyPhase: 20 * math.Sqrt2})
	want, _ := wire.LeadC(30, wire.Area(12), p.Insulation.Wall, 30)
	assert.Equal(t, want, *got.Battery.SteadyC)
	want, _ = wire.LeadC(20, wire.Area(14), p.Insulation.Wall, 30)
	assert.InDelta(t, want, *got.Phase.SteadyC, 1e-9, "r.m.s.")
	assert.Equal(t, []float64{30, 70}, []float64{got.AirC, got.LimitC}, "PVC: IEC 60364-5-52")

	bundled := checkLeads(with(t, "awg", "12", "ins", "pvc", "temp", "25", "warm", "5", "bundle", "3"), protect.Loads{SteadyA: 21})
	assert.InDelta(t, *got.Battery.SteadyC, *bundled.Battery.SteadyC, 1e-9, "21 A among three circuits are 30 A alone: IEC 60364-5-52, 0.70")

	hot := checkLeads(b, protect.Loads{SteadyA: 400})
	assert.Nil(t, hot.Battery.SteadyC, "it runs away")
	assert.Equal(t, limit.Over, hot.Battery.Status)
	assert.Nil(t, hot.Battery.SuggestAWG)
	baked := checkLeads(with(t, "ins", "pvc", "temp", "50", "warm", "20"), protect.Loads{})
	assert.Equal(t, limit.Over, baked.Battery.Status, "70 °C in the box are the jacket's limit already")
}

// PVC in air of 30 °C may rise by 40 K; with 20 % asked for it is tight beyond 32 K.
func TestLeadStatus(t *testing.T) {
	b := with(t, "awg", "10", "ins", "pvc", "temp", "30", "warm", "0", "margin", "20")
	p := b.Parts()
	status := func(celsius float64) limit.Status {
		return checkLeads(b, protect.Loads{SteadyA: wire.LeadCurrent(celsius, wire.Area(10), p.Insulation.Wall, 30)}).Battery.Status
	}
	assert.Equal(t, limit.Clear, status(61.99))
	assert.Equal(t, limit.Tight, status(62.01))
	assert.Equal(t, limit.Tight, status(69.99))
	assert.Equal(t, limit.Over, status(70.01))
}

// The gauge offered is clear by the handbook and by its temperature; the next thinner one is not.
func TestSuggestedGauge(t *testing.T) {
	clear := func(b build.Build, awg int, l protect.Loads) bool {
		b.LeadAWG = awg
		return rows(t, b, l)["leads"].Status == limit.Clear && checkLeads(b, l).Battery.Status == limit.Clear
	}
	for _, c := range []struct {
		l     protect.Loads
		pairs []string
		want  int
	}{
		{protect.Loads{SteadyA: 8.7}, nil, 20},
		{protect.Loads{SteadyA: 8.9}, nil, 19},
		{protect.Loads{SteadyA: 43.9}, nil, 10},
		{protect.Loads{SteadyA: 107.9}, nil, 4},
		{protect.Loads{SteadyA: 54.9}, []string{"ins", "pvc", "margin", "0"}, 9}, // AWG 10 settles 45 K above the air, and PVC stands 40 K
		{protect.Loads{SteadyA: 5, PeakA: 90}, nil, 13},                          // 10 s: k·2.624/√10 with k = 151 is 125 A, AWG 14 99 A
	} {
		b := cool(t, append([]string{"margin", "20"}, c.pairs...)...)
		got := checkLeads(b, c.l).Battery.SuggestAWG
		require.NotNil(t, got)
		assert.Equal(t, c.want, *got, "%+v", c.l)
		assert.True(t, clear(b, *got, c.l), "%+v", c.l)
		if *got < 20 {
			assert.False(t, clear(b, *got+1, c.l), "%+v", c.l)
		}
	}
	assert.Nil(t, checkLeads(cool(t, "margin", "20"), protect.Loads{SteadyA: 108.1}).Battery.SuggestAWG, "thicker than AWG 4")
}
