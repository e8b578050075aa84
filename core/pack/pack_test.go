package pack_test

import (
	"math"
	"testing"

	"headroom/core/build"
	"headroom/core/internal/randombuild"
	"headroom/core/pack"
	"headroom/core/wire"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func set(t testing.TB, b *build.Build, pairs ...string) {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		if p := build.FieldFor(pairs[i]).Set(b, pairs[i+1]); p != nil {
			t.Fatal(p.Text)
		}
	}
}

func packOf(b build.Build) *pack.Pack {
	p := b.Parts()
	k := pack.New(&b, &p)
	return &k
}

func TestFullVoltage(t *testing.T) {
	for _, c := range []struct {
		series string
		full   float64
	}{{"20", 84.0}, {"24", 100.8}, {"27", 113.4}} {
		b := build.Default()
		set(t, &b, "s", c.series, "cell", "21700-energy")
		assert.InDelta(t, c.full, packOf(b).FullV, 1e-9, "%ss of 4.2 V cells: common practice, no published source", c.series)
	}
	for _, c := range []struct {
		cell, within, beyond string
		limit                float64
	}{
		{"21700-energy", "14", "15", 60}, {"21700-energy", "23", "24", 100}, {"21700-energy", "28", "29", 120},
		{"26650-iron", "16", "17", 60}, {"26650-iron", "32", "33", 120},
	} {
		b := build.Default()
		set(t, &b, "s", c.within, "cell", c.cell)
		assert.LessOrEqual(t, packOf(b).FullV, c.limit, "series counts at full charge under 60, 100 and 120 V d.c. (IEC 60598-1, EN 17128, IEC 61140)")
		set(t, &b, "s", c.beyond)
		assert.Greater(t, packOf(b).FullV, c.limit)
	}
}

func TestEnergyAndCurrent(t *testing.T) {
	b := build.Default()
	set(t, &b, "s", "24", "p", "2", "cell", "21700-energy")
	k := packOf(b)
	assert.InDelta(t, 864, k.RatedWh, 1e-9, "24s2p of 5.0 Ah and 3.6 V: common practice, no published source")
	assert.InDelta(t, 86.4, k.NominalV, 1e-9)
	assert.InDelta(t, 10, k.CapacityAh, 1e-9)
	assert.Equal(t, 48, k.Cells)
	set(t, &b, "soh", "80")
	assert.InDelta(t, 8, packOf(b).CapacityAh, 1e-9, "usable charge falls with health")
	assert.InDelta(t, 864, packOf(b).RatedWh, 1e-9, "rated energy does not")

	set(t, &b, "s", "10", "p", "1", "cellah", "3.5", "cellnom", "3.6")
	assert.InDelta(t, 126, packOf(b).RatedWh, 1e-9, "10 × 3.6 V × 3.5 Ah (49 CFR 173.185 arithmetic: 12.6 Wh a cell)")
}

// bare makes a pack of cells of the given resistance and nothing else but a lead of 1 m of the given area in all.
func bare(t testing.TB, series, parallel, milliohm string, area float64) pack.Source {
	b := build.Default()
	set(t, &b, "s", series, "p", parallel, "cellr", milliohm, "temp", "25", "linkr", "0", "packr", "0")
	k := packOf(b)
	z := 0.5 // where the shape of the resistance is 1
	s := k.At(z)
	return pack.Source{OpenCircuit: k.FullV, Resistance: s.Resistance - k.PathOhm + wire.Resistance(area, 1, 20)}
}

func TestShortCircuitAndSag(t *testing.T) {
	for _, c := range []struct {
		series, parallel, milliohm string
		area, full, ohm            float64
		short, sag                 float64
	}{
		{"20", "4", "20", 6e-6, 84, 0.100, 817, 5.14},
		{"30", "6", "18", 10e-6, 126, 0.090, 1374, 4.59},
	} {
		s := bare(t, c.series, c.parallel, c.milliohm, c.area)
		const source = "%ss%sp: worked table of prospective short-circuit current, computed from IEC 60028 copper"
		assert.InDelta(t, c.full, s.OpenCircuit, 1e-9, source, c.series, c.parallel)
		assert.InEpsilon(t, c.short, s.OpenCircuit/s.Resistance, 2e-3, source, c.series, c.parallel)
		assert.InEpsilon(t, c.sag, s.OpenCircuit-s.Under(50), 2e-3, source, c.series, c.parallel)
		assert.InDelta(t, c.full-50*(c.ohm+wire.Resistance(c.area, 1, 20)), s.Under(50), 1e-9)
	}
	assert.InDelta(t, 78.856, bare(t, "20", "4", "20", 6e-6).Under(50), 1e-3, "the netlist of the worked sag example")
}

func TestResistanceIsASum(t *testing.T) {
	b := build.Default()
	set(t, &b, "s", "20", "p", "4", "cellr", "20", "temp", "25", "linkr", "0.5", "packr", "3", "awg", "12", "lead", "0.5",
		"fusetype", "blade-58", "fuse", "40")
	k := packOf(b)
	lead := 5.2108e-3 * (1 + 0.00393*5) // AWG 12: 5.2108 Ω/km at 20 °C (ASTM B258, IEC 60028), 1 m there and back at 25 °C
	fuse := 0.085 / 40                  // 85 mV at rating
	assert.InEpsilon(t, 19*0.5e-3+3e-3+lead+fuse, k.PathOhm, 1e-5)
	assert.InEpsilon(t, 20*20e-3/4+k.PathOhm, k.At(0.5).Resistance, 1e-9)
	assert.InEpsilon(t, fuse, k.FuseOhm, 1e-12)
	full := k.At(1)
	assert.InEpsilon(t, full.OpenCircuit/(full.Resistance-fuse), k.ShortCircuit(), 1e-12,
		"IEC 60269-1: prospective current is without the fuse")
	// Cold drop of 40 A blades: 75–96 mV (maker sheets).
	assert.Greater(t, 40*k.FuseOhm, 0.075-1e-12)
	assert.Less(t, 40*k.FuseOhm, 0.096+1e-12)
}

func TestPowerBehindAResistance(t *testing.T) {
	s := pack.Source{OpenCircuit: 80, Resistance: 0.1}
	assert.InDelta(t, 16000, s.MaxPower(), 1e-9, "maximum power transfer, E²/4R")
	v, i, ok := s.UnderPower(s.MaxPower())
	assert.True(t, ok)
	assert.InDelta(t, 40, v, 1e-9, "at maximum power half of the voltage is left")
	assert.InDelta(t, 400, i, 1e-9)
	v, i, ok = s.UnderPower(16000.001)
	assert.False(t, ok)
	assert.InDelta(t, 40, v, 1e-9)
	assert.InDelta(t, 400, i, 1e-9)
	v, i, ok = s.UnderPower(0)
	assert.True(t, ok)
	assert.Equal(t, 80.0, v)
	assert.Zero(t, i)
}

func TestUnderPowerHoldsItsEquations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := pack.Source{OpenCircuit: rapid.Float64Range(10, 180).Draw(t, "E"), Resistance: rapid.Float64Range(1e-3, 2).Draw(t, "R")}
		power := rapid.Float64Range(-2, 0.999999).Draw(t, "share") * s.MaxPower()
		v, i, ok := s.UnderPower(power)
		require.True(t, ok)
		scale := s.OpenCircuit * s.OpenCircuit / s.Resistance
		require.InDelta(t, power, v*i, 1e-9*scale, "P = V·I")
		require.InDelta(t, v, s.Under(i), 1e-9*s.OpenCircuit, "V = E − R·I")
		require.GreaterOrEqual(t, v, s.OpenCircuit/2*(1-1e-12), "the branch that starts at no load")
	})
}

func TestMoreParallelNeverSagsMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		z, amps := rapid.Float64Range(0, 1).Draw(t, "charge"), rapid.Float64Range(0, 400).Draw(t, "amps")
		last := math.Inf(1)
		for p := 1.0; p <= 12; p++ {
			build.FieldFor("p").SetValue(&b, p)
			s := packOf(b).At(z)
			sag := s.OpenCircuit - s.Under(amps)
			require.LessOrEqual(t, sag, last, "%s with %g parallel", randombuild.Text(&b), p)
			require.GreaterOrEqual(t, sag, 0.0)
			last = sag
		}
	})
}

func TestSourceOverCharge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		k := packOf(b)
		low, high := rapid.Float64Range(0, 1).Draw(t, "low"), rapid.Float64Range(0, 1).Draw(t, "high")
		if low > high {
			low, high = high, low
		}
		require.LessOrEqual(t, k.At(low).OpenCircuit, k.At(high).OpenCircuit, randombuild.Text(&b))
		require.GreaterOrEqual(t, k.At(low).Resistance, k.At(high).Resistance*(1-1e-12), randombuild.Text(&b))
		require.InDelta(t, k.FullV, k.At(1).OpenCircuit, 1e-9)
		require.InDelta(t, k.EmptyV, k.At(0).OpenCircuit, 1e-9)
		require.Positive(t, k.At(high).Resistance)
		require.Positive(t, k.ShortCircuit())
	})
}
