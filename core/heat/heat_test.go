package heat_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core/build"
	"headroom/core/heat"
)

// oneNode is a winding that hangs on a hub too heavy to warm up: one node with R_th 1 K/W and C 500 J/K in air of 25 °C.
var oneNode = heat.Motor{WindingJ: 500, HubJ: 1e12, WindingToHub: 1, HubToAir: 1e-6, AmbientC: 25}

// noFeedback is one node without copper's own warming: the iron of a hub heats, and a winding of hardly any mass goes with it.
var noFeedback = heat.Motor{WindingJ: 0.01, HubJ: 499.99, WindingToHub: 1e-3, HubToAir: 1, AmbientC: 25}

func TestFirstOrderFigures(t *testing.T) {
	const source = "first-order response, R 1 K/W, C 500 J/K, 100 W, 25 °C: exact"
	start := heat.State{Winding: 25, Hub: 25}
	for seconds, want := range map[float64]float64{60: 36.308, 500: 88.212} {
		got := noFeedback.After(start, heat.Losses{Iron: 100}, seconds)
		assert.InDelta(t, want, got.Hub, 6e-4, source)
		assert.InDelta(t, 25+100*(1-math.Exp(-seconds/500)), got.Hub, 2e-5, source)
	}
}

func TestCopperFeedback(t *testing.T) {
	// 60 W of copper at 20 °C behind 1 K/W in air of 25 °C settles where T = 25 + 60·(1 + 0.00393·(T − 20)): 105.06 °C, computed exactly.
	s, ok := oneNode.Settled(heat.Losses{Copper20: 60})
	require.True(t, ok)
	assert.InDelta(t, 105.06, s.Winding, 0.005)

	// Runaway where P·R·α = 1: 254.5 W at 1 K/W.
	_, ok = oneNode.Settled(heat.Losses{Copper20: 254})
	assert.True(t, ok)
	_, ok = oneNode.Settled(heat.Losses{Copper20: 255})
	assert.False(t, ok)
}

func model(t *rapid.T) (heat.Motor, heat.Losses) {
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	return heat.Motor{WindingJ: f("Cw", 50, 2000), HubJ: f("Ch", 500, 20000), WindingToHub: f("Rwh", 0.05, 2), HubToAir: f("Rha", 0.1, 3), AmbientC: f("Ta", -20, 45)},
		heat.Losses{Copper20: f("copper", 0, 150), Iron: f("iron", 0, 100)}
}

// slope is the two differential equations as the package comment prints them.
func slope(m *heat.Motor, l heat.Losses, s heat.State) heat.State {
	flow := (s.Winding - s.Hub) / m.WindingToHub
	return heat.State{
		Winding: (l.Copper20*(1+0.00393*(s.Winding-20)) - flow) / m.WindingJ,
		Hub:     (l.Iron + flow - (s.Hub-m.AmbientC)/m.HubToAir) / m.HubJ,
	}
}

func TestExponentialsAgainstSteps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, l := model(t)
		s := heat.State{Winding: m.AmbientC, Hub: m.AmbientC}
		const seconds, steps = 600.0, 3000
		h := seconds / steps
		for range steps { // classic Runge-Kutta of fourth order
			at := func(d heat.State, k float64) heat.State {
				return heat.State{Winding: s.Winding + k*d.Winding, Hub: s.Hub + k*d.Hub}
			}
			a := slope(&m, l, s)
			b := slope(&m, l, at(a, h/2))
			c := slope(&m, l, at(b, h/2))
			d := slope(&m, l, at(c, h))
			s.Winding += h / 6 * (a.Winding + 2*b.Winding + 2*c.Winding + d.Winding)
			s.Hub += h / 6 * (a.Hub + 2*b.Hub + 2*c.Hub + d.Hub)
		}
		got := m.After(heat.State{Winding: m.AmbientC, Hub: m.AmbientC}, l, seconds)
		require.InEpsilon(t, s.Winding+300, got.Winding+300, 1e-7)
		require.InEpsilon(t, s.Hub+300, got.Hub+300, 1e-7)
	})
}

func TestTimeAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, l := model(t)
		from := heat.State{Winding: 60, Hub: 30}
		one, two := rapid.Float64Range(0, 3000).Draw(t, "t1"), rapid.Float64Range(0, 3000).Draw(t, "t2")
		whole, parts := m.After(from, l, one+two), m.After(m.After(from, l, one), l, two)
		require.InEpsilon(t, whole.Winding+300, parts.Winding+300, 1e-9)
		require.InEpsilon(t, whole.Hub+300, parts.Hub+300, 1e-9)
		if s, ok := m.Settled(l); ok {
			d := slope(&m, l, s)
			require.InDelta(t, 0, d.Winding*m.WindingJ, 1e-6*(1+l.Copper20))
			require.InDelta(t, 0, d.Hub*m.HubJ, 1e-6*(1+l.Copper20+l.Iron))
		}
	})
}

func TestTimeTo(t *testing.T) {
	m := heat.New(build.Motors[3], 7, 20)
	l := heat.Losses{Copper20: 120, Iron: 40}
	start := heat.State{Winding: 20, Hub: 20}
	seconds, ok := m.TimeTo(start, l, 100, 4*3600)
	require.True(t, ok)
	assert.InDelta(t, 100, m.After(start, l, seconds).Winding, 1e-2)
	assert.Less(t, m.After(start, l, seconds*0.99).Winding, 100.0)
	_, ok = m.TimeTo(start, heat.Losses{Copper20: 5}, 100, 4*3600)
	assert.False(t, ok, "a light load never gets there")
	now, ok := m.TimeTo(heat.State{Winding: 120, Hub: 90}, l, 100, 4*3600)
	assert.True(t, ok)
	assert.Zero(t, now)
}

func TestRidingCools(t *testing.T) {
	c := build.Motors[3]
	standing, riding := heat.New(c, 0, 20), heat.New(c, 10, 20)
	assert.InEpsilon(t, c.HubToAir, standing.HubToAir, 1e-12)
	assert.InEpsilon(t, c.HubToAir/2, riding.HubToAir, 1e-12, "at 10 m/s the hub sheds twice as much")
	assert.InEpsilon(t, 100/1.2358, heat.LossesAt(100, 0, 80).Copper20, 1e-6, "R(80 °C)/R(20 °C) of copper is 1.2358")
}
