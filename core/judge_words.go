package core

import (
	"slices"
	"strings"

	"headroom/core/build"
	"headroom/core/limit"
	"headroom/core/protect"
)

// side says on which side of what is clear a setting lies.
func side(by float64) string {
	switch {
	case by < 0:
		return ", too low"
	case by > 0:
		return ", too high"
	}
	return ""
}

func lowerFirst(s string) string { return strings.ToLower(s[:1]) + s[1:] }

// holders are the settings that hold the rider up; all but the cut-off do it by being high enough.
var holders = []string{"phase", "batt", "duty", "vcut", "derate", "coilmax"}

// blame names the settings that drop the rider alone, in a sentence; empty where none does.
func blame(r *Report) string {
	var names []string
	for i := range r.Settings {
		row := &r.Settings[i]
		if row.Status == limit.Over && slices.Contains(holders, row.Key) && (row.By > 0) == (row.Key == "vcut") {
			names = append(names, lowerFirst(row.Label)+side(row.By))
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "A setting is enough to do this: " + strings.Join(names, "; ") + ". "
}

// reserveLeft says how much of the reserve asked for is left, both in mm.
func reserveLeft(left, asked float64) string {
	has, want, alike := apart(left, asked, 0)
	if alike {
		return "hardly the " + want + " mm of balance reserve that you asked for are left at this speed."
	}
	return "only " + has + " mm of balance reserve are left at this speed; you asked for " + want + " mm."
}

// loadOf holds a load in A against what a part is allowed.
func loadOf(load, rating float64, digits int, kind string) string {
	has, allowed, alike := apart(load, rating, digits)
	if alike {
		return has + " A " + kind + ", all that is allowed."
	}
	return has + " A " + kind + " of " + allowed + " A allowed."
}

// overspeedText says what helps against the back-EMF of a lifted wheel: less weakening only where there is some, and where that is enough.
func overspeedText(b *build.Build, r *Report, bar *limit.Bar) string {
	makes, stands, _ := apart(bar.Used, bar.Limit, 0)
	text := " makes " + makes + " V; the controller stands " + stands + " V. If it stops controlling there, that is on its switches. "
	const other = "ake fewer cells in series or a controller of a higher voltage class."
	if b.WeakenA == 0 || r.Speed.FreeSpinWeakenedKmh <= r.Speed.FreeSpinKmh {
		return "A lifted wheel at its highest speed" + text + "T" + other
	}
	text = "A lifted wheel at weakened free spin" + text + "Lower the field-weakening current"
	// The back-EMF goes with the speed.
	if bar.Used*r.Speed.FreeSpinKmh > bar.Want*r.Speed.FreeSpinWeakenedKmh {
		return text + ", and as that is not enough t" + other
	}
	return text + "."
}

// fuseLeadText compares what the two stand for hours: a fuse lets more pass than it is rated.
func fuseLeadText(b *build.Build, f *protect.Fuse) string {
	passes, carries, _ := apart(f.LastingA, f.LeadRatingA, 0)
	return "A fuse of " + fixed(b.FuseRating, 0) + " A may let " + passes + " A pass for hours, more than the " + carries +
		" A that the weakest lead behind it carries: an overload heats the lead first."
}
