package find_test

import (
	"math"
	"net/url"
	"slices"
	"strconv"
	"testing"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/find"
	"headroom/core/limit"
	"headroom/core/link"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The whole search against the plan of every build, one by one, judged by the definitions in the package comment and by nothing of the
// package itself.

// planned is one build of the slow way.
type planned struct {
	link   string
	good   [5]float64 // range, ceiling, −mass, −price, clear before tight
	over   bool       // or not offered at all
	clear  bool
	misses []string // wishes failed
	share  float64  // of the last of them
}

// wish is one wish of the slow way: of what is had, is wanted, and whether less is better.
type wish struct {
	key    string
	atMost bool
}

var slowWishes = []wish{{"range", false}, {"ceiling", false}, {"shift", false}, {"mass", true}, {"price", true}, {"cells", true}}

// money is a price list: by the cell, the motor and the controller. Some things are in no list.
func money(b *build.Build) (int64, bool) {
	if b.Tire == "trail-65" {
		return 0, false
	}
	return int64(b.Series*b.Parallel*(300+10*len(b.Cell)) + 5000*build.FieldFor("motor").Index(b) + 3000*build.FieldFor("ctrl").Index(b)), true
}

// slowly plans every build of a space.
func slowly(t require.TestingT, task find.Task, wants map[string]float64, room [2]int) []planned {
	var all []planned
	fields := make([]*build.Field, len(find.Axes))
	for i, key := range find.Axes {
		fields[i] = build.FieldFor(key)
	}
	var walk func(b build.Build, axis int)
	walk = func(b build.Build, axis int) {
		if axis < len(fields) {
			for _, v := range task.Space[axis] {
				fields[axis].SetValue(&b, v)
				walk(b, axis+1)
			}
			return
		}
		one := slowPlan(t, b, task.Price != nil, wants, room)
		one.over = one.over || misfit(&b, &task)
		all = append(all, one)
	}
	base := task.Base
	if shift, ok := wants["shift"]; ok {
		build.FieldFor("shift").SetValue(&base, shift)
	}
	walk(base, 0)
	return all
}

func slowPlan(t require.TestingT, b build.Build, priced bool, wants map[string]float64, room [2]int) planned {
	missing := 0
	if _, ok := wants["cells"]; ok {
		split, least := 0, math.MaxInt
		for k := range b.Series {
			lacks := max(0, (b.Series-k)*b.Parallel-room[0]) + max(0, k*b.Parallel-room[1])
			if lacks < least || lacks == least && abs(k-b.Split) < abs(split-b.Split) {
				split, least = k, lacks
			}
		}
		b.Split, missing = split, least
	}
	r, err := core.Plan(b)
	require.NoError(t, err)
	out := planned{link: link.Encode(&b, nil)}
	meters := math.Inf(1)
	if r.Range.Km != nil {
		meters = *r.Range.Km
	}
	price := math.Inf(1)
	if minor, ok := money(&b); ok && priced {
		price = float64(minor) / 100
	}
	out.clear = true
	out.good = [5]float64{meters, r.Speed.CruiseCeilingKmh.Low, -r.Weight.BoardKg, -price, 0}
	for _, n := range r.Notes {
		out.over = out.over || n.Status == limit.Over
		out.clear = out.clear && n.Status == limit.Clear
	}
	for _, bar := range r.Limits {
		out.over = out.over || bar.Status == limit.Over
		out.clear = out.clear && bar.Status == limit.Clear
	}
	if out.clear {
		out.good[4] = 1
	}
	has := map[string]float64{"range": meters, "ceiling": out.good[1], "shift": r.Ride.ShiftMm, "mass": r.Weight.BoardKg, "price": price}
	for _, w := range slowWishes {
		want, ok := wants[w.key]
		if !ok {
			continue
		}
		share := (want - has[w.key]) / want
		if w.atMost {
			share = -share
		}
		if w.key == "cells" {
			share = float64(missing) / float64(room[0]+room[1])
		}
		if share > 1e-12 {
			out.misses, out.share = append(out.misses, w.key), share
		}
	}
	if _, ok := wants["clear"]; ok && !out.clear {
		out.misses, out.share = append(out.misses, "clear"), 1 // the whole of it: nothing tight is near
	}
	return out
}

func abs(n int) int { return max(n, -n) }

// answer is what the definitions say: links of the builds that none beats, in order; and of the nearest misses by wish.
func answer(all []planned) (found []string, near map[string][]string) {
	near = map[string][]string{}
	shares := map[string][]float64{}
	for i, a := range all {
		if a.over {
			continue
		}
		if len(a.misses) == 1 && a.share <= 0.2 {
			key := a.misses[0]
			at, _ := slices.BinarySearchFunc(shares[key], a.share, func(x, y float64) int {
				if x <= y { // after those that are alike
					return -1
				}
				return 1
			})
			shares[key], near[key] = slices.Insert(shares[key], at, a.share), slices.Insert(near[key], at, a.link)
		}
		if len(a.misses) > 0 {
			continue
		}
		beaten := false
		for j, b := range all {
			if b.over || len(b.misses) > 0 || i == j {
				continue
			}
			as, better := true, j < i
			for k := range a.good {
				as = as && b.good[k] >= a.good[k]
				better = better || b.good[k] > a.good[k]
			}
			beaten = beaten || as && better
		}
		if !beaten {
			found = append(found, a.link)
		}
	}
	for key := range near {
		near[key] = near[key][:min(3, len(near[key]))]
	}
	return found, near
}

// searched runs a search in shares and in steps of a size, and merges.
func searched(t require.TestingT, task find.Task, shares, step int) find.Result {
	var parts []find.Result
	for i := range shares {
		s, err := find.NewSearch(task, i, shares)
		require.NoError(t, err)
		before := int64(0)
		for s.Step(step) {
			tally := s.Tally()
			require.GreaterOrEqual(t, tally.Examined(), before)
			before = tally.Examined()
		}
		require.True(t, s.Done())
		part := s.Result()
		require.Equal(t, part.Tally.Builds, part.Tally.Examined(), "every build is accounted for once")
		out := int64(0)
		for _, n := range part.Tally.Out {
			out += n
		}
		require.GreaterOrEqual(t, part.Tally.Builds, out)
		parts = append(parts, part)
	}
	slices.Reverse(parts)
	return find.Merge(parts...)
}

// values draws some values of an axis.
func values(t *rapid.T, key string, from []float64, most int) []float64 {
	list := rapid.SliceOfNDistinct(rapid.SampledFrom(from), 1, min(most, len(from)), func(v float64) float64 { return v }).Draw(t, key)
	slices.Sort(list)
	return list
}

func span(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = float64(i)
	}
	return out
}

// bases are boards that leave a search something to find, and rides of every kind.
func drawBase(t *rapid.T) build.Build {
	text := "fusetype=battery-450&awg=4&crossawg=4&phawg=4&fuse=60&fusev=160&conn=bolted-m5&plug=bolted-m5&chgtype=pv-1000&regen=10"
	text += "&profile=" + rapid.SampledFrom([]string{"steady", "hills", "stopgo", "ece15", "carve"}).Draw(t, "profile")
	text += "&cruise=" + rapid.SampledFrom([]string{"10", "14", "20"}).Draw(t, "cruise")
	text += "&batt=" + rapid.SampledFrom([]string{"20", "35"}).Draw(t, "batt")
	text += "&phase=" + rapid.SampledFrom([]string{"80", "120"}).Draw(t, "phase")
	text += "&heat=" + rapid.SampledFrom([]string{"off", "off", "on"}).Draw(t, "heat")
	text += "&temp=" + rapid.SampledFrom([]string{"20", "0", "-15"}).Draw(t, "temp")
	text += "&wind=" + rapid.SampledFrom([]string{"0", "0", "15", "-20"}).Draw(t, "wind")
	text += "&surface=" + rapid.SampledFrom([]string{"smooth", "hardpack"}).Draw(t, "surface")
	text += "&split=" + rapid.SampledFrom([]string{"0", "7"}).Draw(t, "split")
	text += "&margin=" + rapid.SampledFrom([]string{"0", "0", "15"}).Draw(t, "margin")
	text += "&derate=" + rapid.SampledFrom([]string{"100", "60"}).Draw(t, "derate")
	l := link.Decode(text)
	require.Empty(t, l.Problems)
	return l.Build
}

func TestSearchAgainstThePlanOfEveryBuild(t *testing.T) {
	var founds, nears, shortcuts, clears, tights int
	rapid.Check(t, func(t *rapid.T) {
		task := find.New(drawBase(t))
		task.Space = find.Space{
			values(t, "cell", span(len(build.Cells)), 2), values(t, "s", []float64{14, 16, 18, 20, 23, 26, 30}, 3), values(t, "p", []float64{1, 2, 3, 4}, 2),
			values(t, "ctrl", span(len(build.Controllers)), 2), values(t, "motor", span(len(build.Motors))[1:], 2), values(t, "tire", span(len(build.Tires)), 2),
			values(t, "kpa", []float64{90, 130, 180, 210}, 2), values(t, "fw", []float64{0, 0, 20, 60}, 2),
		}
		if task.Space.Size() > 64 { // the slow way is slow
			task.Space[0], task.Space[5] = task.Space[0][:1], task.Space[5][:1]
		}
		if rapid.Bool().Draw(t, "priced") {
			task.Price = money
		}
		wants, text := map[string]float64{}, url.Values{}
		room := [2]int{}
		// Few builds are clear, so few of them meet much else.
		clearOnly := rapid.Bool().Draw(t, "clear")
		draw := func(key string, from ...float64) {
			if rapid.IntRange(0, 2).Draw(t, key+" wished") > 0 && (!clearOnly || rapid.IntRange(0, 2).Draw(t, key+" too") == 0) {
				v := rapid.SampledFrom(from).Draw(t, key)
				wants[key] = v
				text.Set(key, number(v))
			}
		}
		draw("range", 8, 14, 20)
		draw("ceiling", 15, 22, 28)
		draw("shift", 10, 25, 40)
		draw("mass", 18, 21, 25)
		if task.Price != nil {
			draw("price", 250, 400, 600)
		}
		if rapid.Bool().Draw(t, "boxes") {
			room = rapid.SampledFrom([][2]int{{20, 20}, {36, 0}, {16, 30}, {60, 40}}).Draw(t, "room")
			wants["cells"] = 1
			text.Set("cells", number(float64(room[0]))+"+"+number(float64(room[1])))
		}
		if clearOnly {
			wants["clear"] = 1
			text.Set("clear", "on")
		}
		for w, row := range find.Wishes {
			require.Nil(t, task.SetWish(find.Wish(w), text.Get(row.Key)))
		}
		all := slowly(t, task, wants, room)
		found, near := answer(all)

		shares, step := rapid.IntRange(1, 3).Draw(t, "shares"), rapid.IntRange(1, 500).Draw(t, "step")
		got := searched(t, task, shares, step)
		require.Equal(t, int64(len(all)), got.Tally.Builds)
		require.ElementsMatch(t, found, linksOf(got.Found), text.Encode())
		byWish := map[string][]string{}
		for _, m := range got.Near {
			byWish[m.Wish] = append(byWish[m.Wish], m.Link)
		}
		require.Equal(t, near, byWish, text.Encode())
		founds, nears = founds+len(found), nears+len(got.Near)
		if wants["clear"] == 1 {
			clears += len(found)
			tights += int(got.Tally.Out["clear"])
		}
		shortcuts += int(got.Tally.Branch + got.Tally.Looked)
	})
	require.Positive(t, founds, "the check is idle")
	require.Positive(t, nears, "the check is idle")
	require.Positive(t, clears, "no clear build was ever wished for and found")
	require.Positive(t, tights, "no tight one was ever in the way")
	require.Greater(t, shortcuts, founds, "little was ruled out without a plan")
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func linksOf(list []find.Found) []string {
	var out []string
	for _, f := range list {
		out = append(out, f.Link)
	}
	return out
}

// What is shown is what the report of the link says.
func TestFoundIsWhatItsLinkPlans(t *testing.T) {
	task, problems := find.Parse("range=14&ceiling=20&mass=17.2&s=14-20&p=1-3&cell=21700-balanced,21700-energy&motor=hub6-wide,hub5-wide&tire=trail-6,slick-6&kpa=130,200&fw=0,30&rider=90")
	require.Empty(t, problems)
	got := searched(t, task, 2, 1000)
	require.Greater(t, len(got.Found), 2)
	require.NotEmpty(t, got.Near)
	check := func(f find.Found) {
		t.Helper()
		l := link.Decode(f.Link)
		require.Empty(t, l.Problems)
		assert.Equal(t, 90.0, l.Build.Rider)
		r, err := core.Plan(l.Build)
		require.NoError(t, err)
		assert.Equal(t, r.Range.Km, f.RangeKm)
		assert.Equal(t, r.Speed.CruiseCeilingKmh.Low, f.CeilingKmh)
		assert.Equal(t, r.Ride.ShiftMm, f.ShiftMm)
		assert.Equal(t, r.Weight.BoardKg, f.MassKg)
		status, code, _ := r.Worst()
		assert.Equal(t, status, f.Status)
		assert.NotEqual(t, limit.Over, status)
		assert.Equal(t, code, f.Code)
	}
	for i, f := range got.Found {
		check(f)
		assert.GreaterOrEqual(t, *f.RangeKm, 14.0)
		assert.GreaterOrEqual(t, f.CeilingKmh, 20.0)
		assert.LessOrEqual(t, f.MassKg, 17.2)
		if i > 0 && f.Status == got.Found[i-1].Status {
			assert.GreaterOrEqual(t, f.MassKg, got.Found[i-1].MassKg, "lightest first")
		} else if i > 0 {
			assert.True(t, f.Status.Worse(got.Found[i-1].Status), "clear first")
		}
	}
	for i, m := range got.Near {
		check(m.Found)
		assert.LessOrEqual(t, m.Share, 0.2)
		if i > 0 {
			assert.GreaterOrEqual(t, m.Share, got.Near[i-1].Share, "nearest first")
		}
		assert.InDelta(t, math.Abs(m.Wanted-m.Value)/m.Wanted, m.Share, 1e-9)
	}
}

// A share that does not exist, and a space of nothing.
func TestNewSearchRefuses(t *testing.T) {
	task := find.New(build.Default())
	for _, bad := range [][2]int{{0, 0}, {-1, 2}, {2, 2}} {
		_, err := find.NewSearch(task, bad[0], bad[1])
		assert.Error(t, err)
	}
	task.Space[3] = nil
	_, err := find.NewSearch(task, 0, 1)
	assert.Error(t, err)
	task = find.New(build.Build{})
	_, err = find.NewSearch(task, 0, 1)
	assert.Error(t, err, "a build that no field made")
}
