package ui

import (
	"strings"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/route"
)

const routeID = "out-route"

// routing is the track that was picked, and how the build rides it. It is kept by the page alone: a track tells where someone lives.
type routing struct {
	file   string // its name
	path   *route.Path
	fault  string            // why the last file could not be read, with its name; the track before stays
	of     build.Build       // that work and ridden belong to
	work   *core.RouteRiding // under way; nil when there is nothing to do
	ridden *core.Route       // the last outcome
	by     build.Build       // the build that it belongs to
	share  int               // how much of the work is done, %

	plots   []*Plot // of ridden, in units
	plotsOf *core.Route
	units   Units
}

// PickRoute has a person pick a track.
func (p *Planner) PickRoute() {
	if p.OnPick != nil {
		p.OnPick(Pick{Accept: ".gpx,application/gpx+xml,application/xml,text/xml", MaxBytes: route.MaxBytes, Done: p.TakeRoute})
	}
}

// IsTrack tells by its name whether a file that was dropped on the page is a track; what any other is DropOf tells.
func IsTrack(name string) bool {
	name = strings.ToLower(name)
	return strings.HasSuffix(name, ".gpx") || strings.HasSuffix(name, ".xml")
}

// DropRoute takes a track that was dropped on the page.
func (p *Planner) DropRoute(name, text, failure string) {
	p.SetOpen(routeID, true)
	p.TakeRoute(name, text, failure)
}

// TakeRoute reads a track. Where that cannot be done it says why, and what was there stays.
func (p *Planner) TakeRoute(name, text, failure string) {
	defer func() {
		if v := recover(); v != nil {
			p.Fail(v)
		}
	}()
	r := &p.routing
	p.Focus = "route-said"
	name = tidyName(name)
	if failure != "" {
		r.fault = "The file could not be read: " + failure
		return
	}
	path, problem := route.Open(text)
	if problem != nil {
		r.fault = "“" + name + "” could not be read. " + problem.Error()
		return
	}
	*r = routing{file: name, path: path}
	p.told = "The track is read. "
	p.rideRoute()
}

// ForgetRoute puts the track away.
func (p *Planner) ForgetRoute() {
	p.routing = routing{}
	p.Focus = "pick-route"
}

// routeFresh tells whether what is shown belongs to the build as it is.
func (r *routing) fresh(b *build.Build) bool { return r.ridden != nil && r.by == *b }

// rideRoute begins to ride the track, where someone looks and it has not been ridden by this build.
func (p *Planner) rideRoute() {
	r := &p.routing
	if r.path == nil || !p.IsOpen(routeID) || r.fresh(&p.Build) || r.work != nil && r.of == p.Build {
		return
	}
	r.of, r.work, r.share = p.Build, p.Report.NewRouteRiding(r.path), 0
}

// hasRoute tells whether there is anything to ride; what was begun for another build, or that nobody looks at, is left lying.
func (p *Planner) hasRoute() bool {
	r := &p.routing
	return r.work != nil && r.of == p.Build && p.IsOpen(routeID)
}

// workRoute does a piece of it.
func (p *Planner) workRoute() {
	r := &p.routing
	r.work.Step()
	r.share = int(10*r.work.Share()) * 10
	if r.work.Done() {
		r.ridden, r.by, r.work = r.work.Route(), r.of, nil
	}
}

// leastBlind is how much of a way, m, has to have unknown slopes for words about it: less would read as none.
const leastBlind = 50

// tell is the sentence about the track's file.
func (r *routing) tell(u Units) string {
	if r.path == nil {
		return ""
	}
	var s strings.Builder
	name := r.path.Name
	if name == "" {
		name = r.file
	}
	s.WriteString("“" + name + "”: ")
	far, km := u.Figure(r.path.Meters()/1e3, "km", 1)
	s.WriteString(far + " " + km)
	if r.path.Level {
		s.WriteString(". The file knows no elevations; the way is taken as level.")
	} else {
		up, m := u.Figure(r.path.Climb, "m", 0)
		down, _ := u.Figure(r.path.Fall, "m", 0)
		least := ""
		if r.path.BlindM > leastBlind { // a hill may hide there
			least = "at least "
		}
		s.WriteString(", up " + least + up + " " + m + ", down " + least + down + " " + m + ".")
		if r.path.Unknown > 0 {
			s.WriteString(" " + counted(r.path.Unknown, "point") + " without a usable elevation: taken from the points beside.")
		}
	}
	if blind := r.path.BlindM; blind-r.path.GapM > leastBlind && !r.path.Level { // holes are told below
		far, km := u.Figure(blind/1e3, "km", 1)
		s.WriteString(" On " + far + " " + km + " of it, points with an elevation lie too far apart to show every hill.")
	}
	if r.path.Planned {
		s.WriteString(" It was laid out as a route, not recorded: straight from point to point.")
	}
	if r.path.Gaps > 0 {
		far, km := u.Figure(r.path.GapM/1e3, "km", 1)
		s.WriteString(" " + counted(r.path.Gaps, "hole") + " in the record, " + far + " " + km + " in all: ridden straight.")
	}
	return s.String()
}
