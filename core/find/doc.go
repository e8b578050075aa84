// Package find looks for builds: it goes through every build of a space of cells, counts, controllers, motors, tires, pressures and
// weakening currents, all else as in one build, and keeps those that no other beats.
//
//	A beats B    where A is as good as B in range, cruise ceiling at low charge, mass, price and status, and better in one of them
//	found        the builds that meet every wish, are not "over" in anything (core.Plan judges), and that none such beats
//	status       a clear build is better than a tight one, so that none that rides at a limit hides one that does not
//	near         builds that fail exactly one wish by no more than a fifth, not over either: the three nearest for each wish
//
// The set of builds that none beats is what is called Pareto-optimal (any text on multi-objective optimization). It is that of the whole
// space and not of a sample: a build is left out unplanned only where a cheaper part of the physics is exact (volts, cells, mass, ratings)
// or bounds the figure from the side that rules the build out (ride.RangeAtMost, ride.CeilingMayReach). What is kept has been planned
// whole by core.Figures, so what is shown is what the report says.
//
// Two builds alike in all five do not beat each other; of those the first in the order of the space is kept. So the answer does
// not depend on the order of work, and the shares of several searches merge into the answer of one.
package find
