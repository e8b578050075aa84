package core_test

import (
	"fmt"
	"slices"
	"strconv"
	"testing"

	"headroom/core"
	"headroom/core/internal/randombuild"
	"headroom/core/limit"
	"headroom/core/protect"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func codes(r core.Report) map[string]limit.Status {
	out := map[string]limit.Status{}
	for _, n := range r.Notes {
		out[n.Code] = n.Status
	}
	return out
}

// expect holds the status of a bar and of the note that goes with it; a clear bar has no note.
func expect(t *testing.T, r core.Report, bar, note string, want limit.Status, about string) {
	t.Helper()
	require.NotNil(t, r.Bar(bar), bar)
	assert.Equal(t, want, r.Bar(bar).Status, about)
	got, noted := codes(r)[note]
	assert.Equal(t, want != limit.Clear, noted, about)
	if noted {
		assert.Equal(t, want, got, about)
	}
}

func TestControllerVoltageAtItsBoundaries(t *testing.T) {
	// 20 cells of 4.2 V are 84 V full; with a margin of 16 % a limit of 100 V wants 84 V at most.
	for _, c := range []struct {
		limit, margin string
		status        limit.Status
	}{
		{"100", "15", limit.Clear}, {"100", "16", limit.Clear}, {"100", "17", limit.Tight},
		{"85", "0", limit.Clear}, {"84", "0", limit.Clear}, {"84", "10", limit.Tight}, {"83.9", "0", limit.Over}, {"83.9", "40", limit.Over},
	} {
		r := plan(t, "s", "20", "vmax", c.limit, "vmargin", c.margin)
		expect(t, r, "pack.full_v", "controller-voltage", c.status, fmt.Sprintf("84 V at a limit of %s V, margin %s %%", c.limit, c.margin))
	}
}

// A limit typed as exactly the full pack is reached, not passed, for every series count.
func TestAtExactlyTheFullPack(t *testing.T) {
	for s := 8; s <= 40; s++ {
		volts := strconv.FormatFloat(float64(42*s)/10, 'f', -1, 64)
		r := plan(t, "s", strconv.Itoa(s), "vmax", volts, "vmargin", "0", "fusev", volts)
		assert.Equal(t, limit.Clear, r.Bar("pack.full_v").Status, "%d cells, controller limit %s V", s, volts)
		assert.Equal(t, limit.Clear, r.Bar("protection.fuse.voltage_dc").Status, "%d cells, fuse of %s V", s, volts)
		assert.True(t, r.Protection.Fuse.VoltageOK, "%d cells, fuse of %s V", s, volts)
	}
}

func TestFuseVoltageAtItsBoundaries(t *testing.T) {
	for volts, status := range map[string]limit.Status{"83.9": limit.Over, "84": limit.Clear, "84.1": limit.Clear} {
		r := plan(t, "s", "20", "fusev", volts)
		expect(t, r, "protection.fuse.voltage_dc", "fuse-voltage", status, volts)
	}
}

func TestFuseBreakingAtItsBoundaries(t *testing.T) {
	short := plan(t).Protection.Fuse.MostShortA
	for _, c := range []struct {
		factor float64
		status limit.Status
	}{{0.999999, limit.Over}, {1.000001, limit.Clear}} {
		r := plan(t, "fusebreak", strconv.FormatFloat(short*c.factor, 'f', 9, 64))
		expect(t, r, "protection.fuse.short_circuit_a", "fuse-breaking", c.status, fmt.Sprint(c.factor))
	}
	_, noted := codes(plan(t, "fusetype", "blade-58", "fuse", "105", "s", "10"))["fuse-class"]
	assert.True(t, noted, "ISO 8820-3 blades end at 100 A")
	_, noted = codes(plan(t, "fusetype", "blade-58", "fuse", "100", "s", "10"))["fuse-class"]
	assert.False(t, noted, "ISO 8820-3 blades end at 100 A")
}

func TestCurrentMarginAtItsBoundaries(t *testing.T) {
	// The battery limit binds, so the fuse's peak load is the limit: 40 A against a wanted margin of 20 %.
	for _, c := range []struct {
		rating string
		status limit.Status
	}{{"50.001", limit.Clear}, {"49.999", limit.Tight}, {"40.001", limit.Tight}, {"39.999", limit.Over}} {
		r := plan(t, "batt", "40", "fuse", c.rating, "fusetype", "battery-450", "warm", "0")
		fuse := slices.IndexFunc(r.Protection.Rows, func(row protect.Row) bool { return row.Part == "fuse" })
		require.InDelta(t, 40, r.Protection.Rows[fuse].PeakA, 1e-6)
		expect(t, r, "protection.fuse", "current-fuse", c.status, c.rating)
	}
}

func TestPressureAtItsBoundaries(t *testing.T) {
	// The default tire's class is made for 60…200 kPa.
	for kpa, want := range map[string]struct {
		status limit.Status
		note   string
	}{
		"59": {limit.Tight, "pressure-low"}, "60": {limit.Clear, "pressure-low"}, "130": {limit.Clear, "pressure-high"},
		"200": {limit.Clear, "pressure-high"}, "201": {limit.Over, "pressure-high"},
	} {
		expect(t, plan(t, "kpa", kpa), "build.kpa", want.note, want.status, kpa)
	}
}

func TestReserveAtItsBoundaries(t *testing.T) {
	shift := plan(t).Ride.ShiftMm
	require.Greater(t, shift, 1.0)
	require.Less(t, shift, 100.0)
	text := func(v float64) string { return strconv.FormatFloat(v, 'f', 9, 64) }
	for _, c := range []struct {
		wanted string
		status limit.Status
	}{{"0", limit.Clear}, {text(shift * 0.999999), limit.Clear}, {text(shift * 1.000001), limit.Tight}, {"100", limit.Tight}} {
		r := plan(t, "shift", c.wanted)
		assert.InEpsilon(t, shift, r.Ride.ShiftMm, 1e-9, "what is wanted does not change what there is")
		expect(t, r, "ride.shift_mm", "low-reserve", c.status, c.wanted)
	}
	// A low wish makes nothing clear that is hardly any: 15 mm is the least (engineering judgment, no published source).
	faster := func(mm float64) core.Report { // the riding speed at which so much is left
		low, high := 20.0, 40.0
		for range 60 {
			mid := (low + high) / 2
			if plan(t, "cruise", text(mid)).Ride.ShiftMm > mm {
				low = mid
			} else {
				high = mid
			}
		}
		return plan(t, "cruise", text(low), "shift", "0")
	}
	for mm, status := range map[float64]limit.Status{15.001: limit.Clear, 14.999: limit.Tight, 5.001: limit.Tight, 4.999: limit.Over} {
		r := faster(mm)
		assert.InDelta(t, mm, r.Ride.ShiftMm, 1e-4)
		assert.Equal(t, status, r.Bar("ride.shift_mm").Status, mm)
		assert.NotEqual(t, limit.Clear, r.Bar("speed.cruise_ceiling_kmh.low").Status, "a ceiling with no reserve in it is never clear")
		assert.Equal(t, limit.Tight, codes(r)["little-wanted"])
	}
	assert.Equal(t, "no-reserve", faster(4.999).Notes[0].Code, "what throws the rider stands first")
	assert.Contains(t, faster(4.999).Notes[0].Text, "hardly any balance reserve is left")

	r := plan(t, "cruise", "100")
	require.Negative(t, r.Ride.ReserveNm)
	expect(t, r, "ride.shift_mm", "no-reserve", limit.Over, "faster than the board goes")
	assert.Equal(t, limit.Over, r.Bar("speed.cruise_ceiling_kmh.low").Status)
	assert.Equal(t, limit.Over, r.Bar("ride.duty_pct").Status)
}

func TestCeilingAtItsBoundaries(t *testing.T) {
	low := plan(t).Speed.CruiseCeilingKmh.Low
	text := func(v float64) string { return strconv.FormatFloat(v, 'f', 9, 64) }
	expect(t, plan(t, "cruise", text(low-1e-4)), "speed.cruise_ceiling_kmh.low", "over-ceiling", limit.Clear, "just below")
	expect(t, plan(t, "cruise", text(low+1e-4)), "speed.cruise_ceiling_kmh.low", "over-ceiling", limit.Tight, "just above")
}

func TestDutyAtItsBoundaries(t *testing.T) {
	duty := *plan(t).Ride.DutyPct
	text := func(v float64) string { return strconv.FormatFloat(v, 'f', 9, 64) }
	for wanted, status := range map[string]limit.Status{text(duty * 1.000001): limit.Clear, text(duty * 0.999999): limit.Tight} {
		r := plan(t, "rideduty", wanted)
		assert.Equal(t, status, r.Bar("ride.duty_pct").Status, wanted)
	}
}

func TestRangeCutShort(t *testing.T) {
	assert.NotContains(t, codes(plan(t)), "range-cut-short")
	r := plan(t, "vcut", "64")
	assert.NotEqual(t, "charge floor", r.Range.StoppedBy)
	expect(t, r, "range.km", "range-cut-short", limit.Tight, "cut-off far above the floor")
	none := plan(t, "vcut", "75")
	assert.Zero(t, *none.Range.Km)
	expect(t, none, "range.km", "no-ride", limit.Over, "cut off at once")
	bar := r.Bar("range.km")
	assert.InDelta(t, 100-r.Range.EndPct, bar.Used, 1e-9, "charge used")
	assert.InDelta(t, 85, bar.Want, 1e-9, "the notch is the charge to turn home at, 15 %")
	r = plan(t, "start", "80")
	bar = r.Bar("range.km")
	assert.InDelta(t, 65, bar.Used, 1e-9, "80 % down to 15 %")
	assert.InDelta(t, 80, bar.Limit, 1e-9)
	assert.Equal(t, limit.Clear, bar.Status)
	r = plan(t, "grade", "-20")
	assert.Nil(t, r.Range.Km)
	assert.Contains(t, codes(r), "no-range", "what cannot be computed is absent, with a note")
}

func TestCautions(t *testing.T) {
	for s, above := range map[string]bool{"14": false, "15": true} {
		_, noted := codes(plan(t, "s", s))["touch-voltage"]
		assert.Equal(t, above, noted, "%s cells of 4.2 V: 14 are 58.8 V, 15 are 63 V; 60 V d.c. is the touchable limit of IEC 60598-1", s)
	}
	r := plan(t)
	assert.Equal(t, "estimate", r.Notes[len(r.Notes)-1].Code)
}

func TestNotesStandWorstFirst(t *testing.T) {
	rank := map[limit.Status]int{limit.Clear: 0, limit.Tight: 1, limit.Over: 2}
	mixed := false
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		r, err := core.Plan(b)
		require.NoError(t, err)
		require.True(t, slices.IsSortedFunc(r.Notes, func(a, b core.Note) int { return rank[b.Status] - rank[a.Status] }))
		seen := map[string]bool{}
		for _, n := range r.Notes {
			require.False(t, seen[n.Code], "%s stands twice", n.Code)
			seen[n.Code] = true
			require.NotEmpty(t, n.Text)
			mixed = mixed || n.Status != r.Notes[0].Status
		}
		worst := limit.Clear
		for _, row := range r.Protection.Rows {
			require.Equal(t, row.Status != limit.Clear, seen["current-"+row.Part], row.Part)
			require.GreaterOrEqual(t, row.MarginPct, r.Protection.MarginPct)
			if row.Status.Worse(worst) {
				worst = row.Status
			}
		}
		require.Equal(t, worst, r.Bar("protection.margin_pct").Status)
	})
	assert.True(t, mixed, "no build had notes of two kinds: the order was never tested")
}
