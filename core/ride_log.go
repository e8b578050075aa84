package core

import (
	"headroom/core/ridecheck"
	"headroom/core/ridelog"
)

// LogModel is this board as a ride log is held against it. It takes some fifteen hundred operating points, so it is made when it is asked
// for.
func (r *Report) LogModel() *ridelog.Model {
	x := r.basis()
	return ridelog.NewModel(&x.board)
}

// LogMeasurements is what a ride log tells for a ride check of this board.
func (r *Report) LogMeasurements(ride *ridelog.Ride) []ridecheck.Measurement {
	x := r.basis()
	return ridelog.Measurements(ride, &x.board)
}
