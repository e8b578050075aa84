package core

import "headroom/core/ride"

// Board is the board of the plan as rides are computed with it: what a ride log is held against.
func (r *Report) Board() *ride.Board {
	x := r.basis()
	return &x.board
}
