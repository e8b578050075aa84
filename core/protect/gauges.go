package protect

import (
	"fmt"
	"sort"

	"headroom/core/wire"
)

// gauge is a standard wire that leads are sold in.
type gauge struct {
	awg     int
	area    float64 // m²
	chassis float64 // A, the handbook's
}

func (g gauge) name() string { return fmt.Sprintf("AWG %d", g.awg) }

// gauges are the standard ones, thinnest first.
var gauges = standardGauges()

func standardGauges() []gauge {
	list := make([]gauge, wire.ThinnestGauge-wire.ThickestGauge+1)
	for i := range list {
		awg := wire.ThinnestGauge - i
		list[i] = gauge{awg, wire.Area(awg), wire.ChassisA(wire.Area(awg))}
	}
	return list
}

// thinnestGauge returns the thinnest gauge that will do; found is false where none will. A thicker lead carries more and stays cooler, so
// all that are thicker than one that will do will do too, and halving the list finds the first.
func thinnestGauge(willDo func(g gauge) bool) (g gauge, found bool) {
	i := sort.Search(len(gauges), func(i int) bool { return willDo(gauges[i]) })
	if i == len(gauges) {
		return gauge{}, false
	}
	return gauges[i], true
}
