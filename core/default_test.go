package core_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// outsider recomputes figures from nothing but the numbers of a report's JSON (model.*, build.*) and the equations of the package
// comments, with bisection as the only method.
type outsider struct {
	t    *testing.T
	root map[string]any
	read map[string]float64
}

func newOutsider(t *testing.T, root any) outsider {
	return outsider{t, root.(map[string]any), map[string]float64{}}
}

func (o outsider) get(path string) float64 {
	if v, ok := o.read[path]; ok {
		return v
	}
	v, ok := at(o.root, path)
	require.True(o.t, ok, path)
	f, ok := v.(float64)
	require.True(o.t, ok, path)
	o.read[path] = f
	return f
}

// bisect returns where a falling function passes zero.
func bisect(f func(float64) float64, low, high float64) float64 {
	for range 56 {
		if mid := (low + high) / 2; f(mid) > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// point is one operating point of a q current: shaft torque, duty, bus voltage, current and power.
type point struct{ torque, duty, v, a, w float64 }

func (o outsider) point(charge string, omega, iq float64) point {
	s := 1 / math.Sqrt(1+iq*iq/(o.get("model.motor.saturation_a")*o.get("model.motor.saturation_a")))
	poles := o.get("model.motor.pole_pairs")
	omegaE := poles * omega
	ohm := o.get("model.motor.resistance_ohm") * (1 + 0.00393*(o.get("model.motor.winding_c")-20))
	psiD, psiQ := s*o.get("model.motor.flux_wb"), s*o.get("model.motor.lq_h")*iq
	vd, vq := -omegaE*psiQ, ohm*iq+omegaE*psiD
	fixed := 1.5*vq*iq + 1.5*o.get("model.controller.on_resistance_ohm")*iq*iq + o.get("model.controller.standby_w")
	switching := o.get("model.controller.switching_k") * math.Abs(iq)
	power := func(v float64) float64 { return fixed + switching*v }
	e, r := o.get("model.pack.open_circuit_v."+charge), o.get("model.pack.resistance_ohm."+charge)
	v := bisect(func(v float64) float64 { return (e-v)/r*v - power(v) }, e/2, 2*e)
	return point{
		torque: 1.5*poles*psiD*iq - poles*(o.get("model.motor.hysteresis_k")+o.get("model.motor.eddy_k")*omegaE),
		duty:   math.Hypot(vd, vq) * math.Sqrt(3) / v, v: v, a: (e - v) / r, w: power(v),
	}
}

// carrying is the point of a shaft torque.
func (o outsider) carrying(charge string, omega, torque float64) (point, float64) {
	iq := bisect(func(iq float64) float64 { return torque - o.point(charge, omega, iq).torque }, -500, 500)
	return o.point(charge, omega, iq), iq
}

// radius is the effective rolling radius at a speed in m/s.
func (o outsider) radius(v float64) float64 {
	unloaded := o.get("model.tire.loaded_radius_m") + o.get("tire.deflection_m")
	return o.get("model.tire.rolling_radius_m") + unloaded*o.get("model.tire.growth_k")*v*v
}

// load is the level-ground torque at a speed in m/s. Rolling force is quadratic in speed, so three of its points give all others.
func (o outsider) load(v float64) float64 {
	list, _ := at(o.root, "model.road.rolling_force_n")
	n := func(i int) float64 { return list.([]any)[i].(map[string]any)["n"].(float64) }
	x := v * 3.6 / 10
	rolling := n(0)*(x-1)*(x-2)/2 - n(1)*x*(x-2) + n(2)*x*(x-1)/2
	air := o.get("model.road.air_density") / 2 * o.get("model.road.cda_m2") * v * v
	return (rolling + air) * o.radius(v)
}

// most is the largest shaft torque within the phase, battery, cut-off and duty limits.
func (o outsider) most(charge string, omega float64) float64 {
	within := func(iq float64) float64 {
		p := o.point(charge, omega, iq)
		return math.Min(math.Min(o.get("build.phase")-iq, o.get("build.batt")-p.a),
			math.Min(p.v-o.get("build.vcut"), o.get("build.duty")/100-p.duty))
	}
	return o.point(charge, omega, bisect(within, 0, o.get("build.phase")*2)).torque
}

const tight = 1e-6

func TestDefaultBuildByHand(t *testing.T) {
	for name, pairs := range map[string][]string{
		"default": nil,
		"other": {"s", "20", "p", "3", "motor", "hub65-wide", "cell", "21700-energy", "kpa", "100", "temp", "5", "coil", "100", "cruise", "30",
			"surface", "rough", "rider", "95", "alt", "800", "fusetype", "battery-450", "tire", "slick-65"},
	} {
		t.Run(name, func(t *testing.T) {
			r := plan(t, pairs...)
			o := newOutsider(t, tree(t, r))

			// Free spin: duty reaches its highest with the torque of the iron drag alone.
			omega := bisect(func(omega float64) float64 {
				p, _ := o.carrying("full", omega, 0)
				return o.get("build.duty")/100 - p.duty
			}, 0, 400)
			v := bisect(func(v float64) float64 { return omega - v/o.radius(v) }, 0, 100)
			assert.InEpsilon(t, v*3.6, r.Speed.FreeSpinKmh, tight, "free spin")

			// The ride at low charge.
			v = o.get("build.cruise") / 3.6
			omega = v / o.radius(v)
			load := o.load(v)
			assert.InEpsilon(t, load, r.Ride.LoadNm, tight, "road load")
			p, iq := o.carrying("low", omega, load)
			require.NotNil(t, r.Ride.DutyPct)
			assert.InEpsilon(t, p.duty*100, *r.Ride.DutyPct, tight, "duty")
			assert.InEpsilon(t, p.v, *r.Ride.BusV, tight, "bus voltage")
			assert.InEpsilon(t, p.a, *r.Ride.BatteryA, tight, "battery current")
			assert.InEpsilon(t, p.w, *r.Ride.PowerW, tight, "power")
			assert.InEpsilon(t, iq, *r.Ride.PhaseA, tight, "phase current")

			// The reserve, told three ways.
			most := o.most("low", omega)
			assert.InEpsilon(t, most, r.Ride.MaxNm, tight, "largest torque")
			assert.InEpsilon(t, most-load, r.Ride.ReserveNm, tight, "reserve")
			assert.InEpsilon(t, (most-load)/(o.get("build.rider")*9.80665)*1e3, r.Ride.ShiftMm, tight, "shift")
			sin := (most - load) / (o.radius(v) * o.get("model.road.mass_kg") * 9.80665)
			assert.InEpsilon(t, 100*sin/math.Sqrt(1-sin*sin), r.Ride.GradePct, tight, "equal grade")

			// The cruise ceiling: the reserve or the duty, whichever ends first.
			for charge, kmh := range map[string]float64{
				"full": r.Speed.CruiseCeilingKmh.Full, "half": r.Speed.CruiseCeilingKmh.Half, "low": r.Speed.CruiseCeilingKmh.Low,
			} {
				ceiling := bisect(func(v float64) float64 {
					omega := v / o.radius(v)
					p, _ := o.carrying(charge, omega, o.load(v))
					reserve := o.most(charge, omega) - o.load(v) - o.get("build.shift")/1e3*o.get("build.rider")*9.80665
					return math.Min(reserve, o.get("build.rideduty")/100-p.duty)
				}, 0, 40)
				assert.InEpsilon(t, ceiling*3.6, kmh, tight, "cruise ceiling at %s charge", charge)
			}

			// Every speed of the envelopes.
			for _, charge := range []string{"full", "half", "low"} {
				list, _ := at(o.root, "envelope."+charge)
				for i, entry := range list.([]any) {
					if i%6 != 0 || i == 24 {
						continue
					}
					e := newOutsider(t, entry)
					v := e.get("speed_kmh") / 3.6
					omega := v / o.radius(v)
					assert.InEpsilon(t, o.load(v), e.get("load_torque"), tight, "%s, point %d", charge, i)
					assert.InEpsilon(t, o.most(charge, omega), e.get("torque_max"), tight, "%s, point %d", charge, i)
					if _, carried := at(e.root, "duty"); carried {
						p, iq := o.carrying(charge, omega, o.load(v))
						assert.InEpsilon(t, p.duty, e.get("duty"), tight, "%s, point %d", charge, i)
						assert.InEpsilon(t, p.a, e.get("battery_a"), tight, "%s, point %d", charge, i)
						assert.InEpsilon(t, iq, e.get("phase_q_a"), tight, "%s, point %d", charge, i)
					}
				}
			}
			assert.InEpsilon(t, o.get("pack.full_v"), o.get("model.pack.open_circuit_v.full"), tight)
		})
	}
}

// The trail board that the page opens with: common practice of the trade, no published source, so wide bands.
func TestDefaultBuildIsPlausible(t *testing.T) {
	r := plan(t)
	assert.InDelta(t, 75.6, r.Pack.FullV, 1e-9, "18 cells of 4.2 V")
	assert.InDelta(t, 18*2*4.5*3.6, r.Pack.EnergyWh, 1e-9)
	assert.Greater(t, r.Speed.FreeSpinKmh, 40.0)
	assert.Less(t, r.Speed.FreeSpinKmh, 65.0)
	assert.Greater(t, *r.Range.Km, 15.0)
	assert.Less(t, *r.Range.Km, 50.0)
	assert.Greater(t, *r.Range.WhPerKm, 8.0)
	assert.Less(t, *r.Range.WhPerKm, 30.0)
	for _, n := range r.Notes {
		assert.NotEqual(t, "over", string(n.Status), "the page opens with a board that may be built: %s", n.Text)
	}
}
