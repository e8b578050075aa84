package find

import (
	"math"

	"headroom/core"
	"headroom/core/boxes"
	"headroom/core/build"
	"headroom/core/drive"
	"headroom/core/pack"
	"headroom/core/ride"
	"headroom/core/road"
)

// atPack sets the cells and their counts, divides them between the boxes, and rules out what the pack alone decides.
func (s *Search) atPack() (why string) {
	n, space := &s.now, &s.task.Space
	i := s.at[levelPack]
	parallels, series := len(space[axisParallel]), len(space[axisSeries])
	n.b = s.task.Base
	build.FieldFor("p").SetValue(&n.b, space[axisParallel][i%parallels])
	build.FieldFor("s").SetValue(&n.b, space[axisSeries][i/parallels%series])
	build.FieldFor("cell").SetValue(&n.b, space[axisCell][i/parallels/series])
	for k, axis := range [3]int{axisController, axisMotor, axisTire} {
		set(&n.b, axis, s.light[k])
	}
	n.p = n.b.Parts()
	if why := s.divide(); why != "" {
		return why
	}
	if why := s.tooHeavy(); why != "" {
		return why
	}
	n.pack = pack.New(&n.b, &n.p)
	if why := packOver(&n.b, &n.p, &n.pack); why != "" {
		return why
	}
	n.tight = nil
	if s.clearOnly() && s.packTight() {
		return Wishes[Clear].Key
	}
	n.full, n.low = n.pack.At(1), n.pack.At(n.b.FloorCharge)
	n.slices = ride.Slices(&n.pack, n.b.StartCharge, n.b.FloorCharge)
	return ""
}

// divide chooses how many series groups go into the second box: as near as can be to what the build says, so that both boxes hold their
// cells; where none does, so that least is missing.
func (s *Search) divide() (why string) {
	n, room := &s.now, s.task.Room
	if !s.task.Want[Cells].Given {
		if n.b.Box[0].Length == 0 && n.b.Box[1].Length == 0 {
			return ""
		}
		room = [2]int{math.MaxInt, math.MaxInt}
	}
	best, least := 0, math.MaxInt
	for k := range n.b.Series {
		over := max(0, (n.b.Series-k)*n.b.Parallel-room[0]) + max(0, k*n.b.Parallel-room[1])
		switch {
		case over > 0:
			over++ // worse than a box whose measures are too small
		case !s.boxHolds(0, n.b.Series-k) || !s.boxHolds(1, k):
			over = 1
		}
		if over < least || over == least && distance(k, s.task.Base.Split) < distance(best, s.task.Base.Split) {
			best, least = k, over
		}
	}
	build.FieldFor("split").SetValue(&n.b, float64(best))
	n.p.Split = min(best, n.b.Series-1)
	missing := max(0, (n.b.Series-best)*n.b.Parallel-room[0]) + max(0, best*n.b.Parallel-room[1])
	if missing > 0 {
		return s.fail(Cells, float64(missing)/float64(room[0]+room[1]))
	}
	return ""
}

func distance(a, b int) int { return max(a-b, b-a) }

// boxHolds tells whether a box of the measures entered holds so many groups.
func (s *Search) boxHolds(i, groups int) bool {
	_, fits := boxes.Inner(&s.now.b, &s.now.p, i, groups)
	return fits
}

// tooHeavy holds the mass so far, with the lightest of all that is still to choose, against the wish.
func (s *Search) tooHeavy() (why string) {
	want := s.task.Want[Mass]
	if !want.Given {
		return ""
	}
	share := Wishes[Mass].miss(s.now.p.BoardMass, want.Value)
	l := s.now.lack[s.level]
	if share > 0 && (l.any && l.wish != Mass || s.near.hopeless(Mass, share)) {
		return Wishes[Mass].Key
	}
	return ""
}

func (s *Search) atController() (why string) {
	n := &s.now
	n.b.Controller, n.b.Motor, n.b.Tire = s.ids[0][s.at[levelController]], s.light[1], s.light[2]
	n.p = n.b.Parts()
	if why := controllerOver(&n.b, &n.p, &n.pack); why != "" {
		return why
	}
	if s.clearOnly() && controllerTight(&n.b, &n.p, &n.pack) {
		return Wishes[Clear].Key
	}
	return s.tooHeavy()
}

func (s *Search) atMotor() (why string) {
	n := &s.now
	n.b.Motor, n.b.Tire = s.ids[1][s.at[levelMotor]], s.light[2]
	n.p = n.b.Parts()
	if why := motorOver(&n.b, &n.p); why != "" {
		return why
	}
	return s.tooHeavy()
}

// atTire completes the parts: mass and price are exact from here on.
func (s *Search) atTire() (why string) {
	n := &s.now
	n.b.Tire = s.ids[2][s.at[levelTire]]
	n.b.Pressure, n.b.WeakenA = s.pressures[0], s.weakens[0]
	n.p = n.b.Parts()
	if n.p.Tire.Rim != n.p.Motor.Rim && (s.fitted[n.b.Motor] || s.fitted[n.b.Tire]) {
		return Misfit
	}
	if why := s.check(Mass, n.p.BoardMass); why != "" {
		return why
	}
	n.price = nil
	if s.task.Price != nil {
		if minor, ok := s.task.Price(&n.b); ok {
			n.price = &minor
		}
	}
	price := math.Inf(1)
	if n.price != nil {
		price = float64(*n.price)
	}
	return s.check(Price, price)
}

func (s *Search) atPressure() (why string) {
	n := &s.now
	n.b.Pressure = s.pressures[s.at[levelPressure]]
	if why := tireOver(&n.b, &n.p); why != "" {
		return why
	}
	if s.clearOnly() && tireTight(&n.b, &n.p) {
		return Wishes[Clear].Key
	}
	n.road = road.New(&n.b, &n.p)
	n.rolling = ride.Board{Road: n.road}
	n.profile = ride.NewProfile(&n.b, &n.rolling)
	return ""
}

// boardAt is the ride's view of the present build with its winding at a temperature in °C.
func (s *Search) boardAt(celsius float64) ride.Board {
	n := &s.now
	b := n.b
	b.WindingC = celsius
	return ride.Board{Drive: drive.New(&b, &n.p), Road: n.road, Pack: n.pack, Shift: b.Shift, DutyGoal: b.CruiseDuty}
}

// aside is how far beside a ceiling in m/s it is looked at: more than what Ceiling's own search leaves open.
const aside = 1e-6

// atBuild looks at one build from the cheapest side to the dearest, and plans it where nothing rules it out.
func (s *Search) atBuild() (why string, planned bool) {
	n := &s.now
	n.b.WeakenA = s.weakens[s.at[levelWeaken]]
	celsius := n.b.WindingC
	heated := n.b.HeatFeeds == build.On
	if heated {
		// A winding is never colder than the air and resists least then, so that every figure is a bound.
		celsius = min(n.b.AmbientC, n.b.LimitC)
	}
	bd := s.boardAt(celsius)
	most := bd.RangeAtMost(&n.profile, n.b.StartCharge, n.b.FloorCharge, &n.slices)
	// A billionth for the last digits of the bound.
	if why := s.short(most * (1 + 1e-9)); why != "" {
		return why, false
	}
	if why := s.slow(&bd); why != "" {
		return why, false
	}
	if heated {
		assumed := s.boardAt(n.b.WindingC)
		celsius = core.OwnWindingC(&n.b, &n.p, &assumed, &n.profile)
		bd = s.boardAt(celsius)
		if why := s.slow(&bd); why != "" {
			return why, false
		}
	}
	// From here on every figure is the report's own.
	worst := bd.Worst(n.low, &n.profile)
	if worst.Reserve <= 0 {
		return "no-reserve", false
	}
	if why := s.check(Shift, worst.Shift*1e3/1e3); why != "" {
		return why, false
	}
	if s.clearOnly() && s.rideTight(&bd, &worst) {
		return Wishes[Clear].Key, false
	}
	if !s.task.Want[Range].Given && s.beaten(&bd, &worst, most*(1+1e-9)) { // else it may be a near miss yet
		return Beaten, false
	}
	if why := s.rideOver(&bd); why != "" {
		return why, false
	}
	d := bd.Range(&n.profile, n.b.StartCharge, n.b.FloorCharge)
	if s.hotter(d, celsius, n.b.LimitC) {
		return "heat", false
	}
	if s.clearOnly() && (s.hotter(d, celsius, n.b.DerateC) || d.By != ride.StopFloor && !d.Endless) {
		return Wishes[Clear].Key, false
	}
	if d.Endless {
		return s.plan(), true
	}
	most = d.Meters / 1e3 * 1e3
	if why := s.short(most); why != "" {
		return why, false
	}
	if s.beaten(&bd, &worst, most) {
		return Beaten, false
	}
	return s.plan(), true
}

// check holds a figure that is exact against a wish, if it is given.
func (s *Search) check(w Wish, value float64) (why string) {
	if want := s.task.Want[w]; want.Given {
		if share := Wishes[w].miss(value, want.Value); share > 0 {
			return s.fail(w, share)
		}
	}
	return ""
}

// short holds a range in m that is not passed against the wish. It may be told again, nearer.
func (s *Search) short(most float64) (why string) {
	if l := &s.now.lack[levelWeaken]; l.any && l.wish == Range {
		l.any = false
	}
	return s.check(Range, most)
}

// slow holds the ceiling against the wish without knowing it. It may be told again, nearer.
func (s *Search) slow(bd *ride.Board) (why string) {
	want := s.task.Want[Ceiling]
	if !want.Given {
		return ""
	}
	l := &s.now.lack[levelWeaken]
	if l.any && l.wish == Ceiling {
		l.any = false
	}
	if !s.below(bd, want.Value) {
		return ""
	}
	share, _ := s.near.bar(Ceiling)
	if l.any || s.below(bd, want.Value*(1-share)) {
		return Wishes[Ceiling].Key
	}
	*l = lack{Ceiling, 0, true}
	return ""
}

// below tells whether the ceiling at low charge surely lies below a speed in m/s.
func (s *Search) below(bd *ride.Board, v float64) bool {
	reaches, sure := bd.CeilingReaches(s.now.low, v-aside)
	return v > aside && sure && !reaches
}

// beaten tells whether a build of a range that is not passed surely meets the wishes and is beaten: by one as good in range, mass and
// price, whose ceiling it does not reach. What fails a wish is not beaten, it may be near.
func (s *Search) beaten(bd *ride.Board, worst *ride.Sample, most float64) bool {
	n := &s.now
	if n.lack[levelWeaken].any || len(s.front) == 0 {
		return false
	}
	below := func(tight bool) bool {
		ceiling, ok := s.front.beyond(most, n.p.BoardMass, n.price, tight)
		return ok && s.below(bd, ceiling)
	}
	// By a clear build, or by any where this one is surely tight, which is dear to know.
	if !below(false) && (s.clearOnly() || !below(true) || !s.surelyTight(bd, worst)) {
		return false
	}
	want := s.task.Want[Ceiling]
	if !want.Given {
		return true
	}
	if reaches, sure := bd.CeilingReaches(n.low, want.Value+aside); sure {
		return reaches
	}
	return bd.Ceiling(n.low).Speed >= want.Value+aside
}

// plan plans the present build whole and puts it where it belongs.
func (s *Search) plan() (why string) {
	n := &s.now
	r, err := core.Figures(n.b)
	if err != nil { // the base was valid and the axes hold what their fields allow
		return "invalid"
	}
	if status, code, _ := r.Worst(); status == over {
		return code
	}
	f := foundOf(&n.b, &r, s.index(), n.price)
	failed, share, count := Wish(0), 0.0, 0
	for w := range Wishes {
		if by := s.failure(Wish(w), &f); by > 0 {
			failed, share = Wish(w), by
			count++
		}
	}
	switch {
	case count == 1 && share <= nearLimit:
		row := &Wishes[failed]
		s.changes++
		s.near.add(failed, Miss{f, row.Key, share, row.In(f.value(failed)), row.In(s.task.Want[failed].Value)})
		fallthrough
	case count > 0:
		return Wishes[failed].Key
	case !s.front.add(f):
		return Beaten
	}
	s.changes++
	return ""
}

// failure is by what share a planned build fails a wish, 0 where it is met or not given.
func (s *Search) failure(w Wish, f *Found) float64 {
	want := s.task.Want[w]
	if !want.Given {
		return 0
	}
	if w != Cells {
		return Wishes[w].miss(f.value(w), want.Value)
	}
	missing := max(0, f.Cells[0]-s.task.Room[0]) + max(0, f.Cells[1]-s.task.Room[1])
	return float64(missing) / float64(s.task.Room[0]+s.task.Room[1])
}
