package protect

import (
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/internal/randombuild"
	"headroom/core/wire"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// scan is the slower method: every gauge is asked, thinnest first.
func scan(willDo func(gauge) bool) (gauge, bool) {
	for _, g := range gauges {
		if willDo(g) {
			return g, true
		}
	}
	return gauge{}, false
}

func TestHalvingFindsWhatScanningFinds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.OneOf(randombuild.Any(), randombuild.Plausible()).Draw(t, "build")
		p := b.Parts()
		steady := rapid.Float64Range(0, 150).Draw(t, "steady")
		l := lead{&b, &p, p.LeadArea, steady, steady + rapid.Float64Range(0, 300).Draw(t, "more")}
		rating := rapid.Float64Range(1, 300).Draw(t, "fuse")
		for name, willDo := range map[string]func(gauge) bool{
			"carried": l.carriedBy, "kept cool": l.keptCoolBy,
			"guarded": func(g gauge) bool { return guards(rating, leadHolds(&b, &p, g.area)) },
		} {
			want, wantFound := scan(willDo)
			got, found := thinnestGauge(willDo)
			assert.Equal(t, want, got, "%s: %s", name, randombuild.Text(&b))
			assert.Equal(t, wantFound, found, "%s: %s", name, randombuild.Text(&b))
			yes := false
			for _, g := range gauges {
				now := willDo(g)
				assert.True(t, now || !yes, "%s: AWG %d will not do, a thinner one will", name, g.awg)
				yes = now
			}
		}
	})
}

// A gauge is judged as the build's own lead would be, without the short way.
func TestGaugeIsJudgedAsTheLeadWouldBe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		p := b.Parts()
		steady := rapid.Float64Range(0, 150).Draw(t, "steady")
		l := lead{&b, &p, p.LeadArea, steady, steady + rapid.Float64Range(0, 300).Draw(t, "more")}
		g := rapid.SampledFrom(gauges).Draw(t, "gauge")
		own := l
		own.area = g.area
		clear := own.row("", "", "").ClearWith == ""
		assert.Equal(t, clear, l.carriedBy(g), randombuild.Text(&b))
		heat := own.heat()
		assert.Equal(t, clear && heat.Status == "clear", l.keptCoolBy(g), randombuild.Text(&b))
	})
}

func TestThinnestGauge(t *testing.T) {
	for _, awg := range []int{20, 19, 11, 5, 4} {
		g, found := thinnestGauge(func(g gauge) bool { return g.awg <= awg })
		assert.True(t, found)
		assert.Equal(t, gauge{awg, wire.Area(awg), wire.ChassisA(wire.Area(awg))}, g)
	}
	_, found := thinnestGauge(func(gauge) bool { return false })
	assert.False(t, found)
}

// A lead that just holds what the fuse may let pass is guarded, and is what leadFor names.
func TestGuardsWhereTheyMeet(t *testing.T) {
	for _, rating := range []float64{10, 60, 225} {
		holds := lasting * rating
		assert.InEpsilon(t, rating*1.13, holds, 1e-12)
		assert.True(t, guards(rating, holds))
		assert.True(t, guards(rating, math.Nextafter(holds, 1000)))
		assert.False(t, guards(rating, math.Nextafter(holds, 0)))
	}
	b := build.Default()
	p := b.Parts()
	most := leadHolds(&b, &p, wire.Area(9)) / lasting
	assert.Equal(t, "AWG 9 or thicker", leadFor(&b, &p, most*(1-1e-9)))
	assert.Equal(t, "AWG 8 or thicker", leadFor(&b, &p, most*(1+1e-9)))
	most = leadHolds(&b, &p, wire.Area(4)) / lasting
	assert.Equal(t, "AWG 4 or thicker", leadFor(&b, &p, most*(1-1e-9)))
	assert.Equal(t, "thicker than any gauge here", leadFor(&b, &p, most*(1+1e-9)))
}
