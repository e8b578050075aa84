// Package route rides a recorded track: a GPX file is read, laid out evenly with its slopes and curves, given a speed at every place, and
// ridden with the very operating points that everything else here is computed from.
//
//	distance   geodesics of WGS 84 (see Distance)
//	slope      least-squares parabola over ±50 m (A. Savitzky and M. J. E. Golay, Anal. Chem. 36 (1964) 1627)
//	curve      κ = |x′y″ − y′x″|/(x′² + y′²)^1.5 of the same fit over ±15 m
//	speed      the wanted one, lowered until on that slope, at the charge there, the wanted reserve and duty are kept, braking can hold
//	           what pushes, and v²·κ ≤ 2 m/s²; changed by no more than 0.6 m/s² up and 0.8 m/s² down, v² = v₀² + 2·a·s
//	charge     dz = −I·dt/Q,   E = Σ P·Δt   with I and P of each segment's moments
//	heat       the two nodes of winding and hub, exactly, from segment to segment
//
// An elevation that is wrong by σ at every point, by chance, makes slopes wrong by 0.7 % for σ = 1 m; waves of 1 km length lose 1 %
// of their height to the smoothing, of 500 m 4 %, of 200 m 23 %. Between known elevations more than 200 m apart nobody knows the slopes;
// the way is ridden straight there, and how much of it that is is told. The air thins with the elevations of the track.
//
// What this leaves out: wind that turns with the way (the build's headwind blows against the rider all along), traffic, the surface
// changing on the way, and a winding that gives less once it is hot: it is computed at the temperature that the build assumes.
package route
