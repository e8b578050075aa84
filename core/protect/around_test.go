package protect_test

import (
	"math"
	"slices"
	"testing"

	"headroom/core/build"
	"headroom/core/internal/randombuild"
	"headroom/core/internal/reference"
	"headroom/core/pack"
	"headroom/core/protect"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func chargeFuse(b build.Build) protect.ChargeFuse {
	p := b.Parts()
	k := pack.New(&b, &p)
	return protect.CheckChargeFuse(&b, &p, &k)
}

// 75 % of its rating for hours (common practice): 10 A carry 7.5 A.
func TestChargeFuse(t *testing.T) {
	f := chargeFuse(with(t, "chgfuse", "10", "chgtype", "cyl-150", "chga", "7.5"))
	assert.True(t, f.RatingOK, "at the rule exactly")
	assert.Equal(t, 7.5, f.CarriesA)
	assert.Equal(t, 10.0, *f.SuggestA, "the smallest that carries it")
	f = chargeFuse(with(t, "chgfuse", "10", "chgtype", "cyl-150", "chga", "7.6"))
	assert.False(t, f.RatingOK)
	assert.Equal(t, 15.0, *f.SuggestA)
	assert.Nil(t, chargeFuse(with(t, "chgtype", "pv-1000", "chga", "23")).SuggestA, "75 % of 30 A are 22.5 A")
	assert.Equal(t, 30.0, *chargeFuse(with(t, "chgtype", "pv-1000", "chga", "22.5")).SuggestA)

	assert.True(t, chargeFuse(with(t, "chgtype", "pv-1000", "chgfuse", "30")).ClassOK)
	assert.False(t, chargeFuse(with(t, "chgtype", "pv-1000", "chgfuse", "31")).ClassOK)
	assert.True(t, chargeFuse(with(t, "chgtype", "strip-80", "s", "20", "cellmax", "4")).VoltageOK, "80 V on 80 V")
	assert.False(t, chargeFuse(with(t, "chgtype", "strip-80", "s", "20", "cellmax", "4.01")).VoltageOK)
	f = chargeFuse(with(t, "chgtype", "blade-58"))
	assert.Equal(t, []float64{58, 1000}, []float64{f.VoltageDC, f.BreakingA}, "ISO 8820-3:2015")
	assert.Greater(t, f.ShortCircuitA, 0.0)
}

func precharge(b build.Build) (protect.Precharge, pack.Pack) {
	p := b.Parts()
	k := pack.New(&b, &p)
	return protect.CheckPrecharge(&b, &p, &k), k
}

// By hand: 1000 µF in 1 s take at most 1/(1e-3·2.9957) = 333.8 Ω, so 330 Ω of series E12; 84 V: ½·1e-3·84² = 3.528 J, 84²/330 = 21.38 W.
func TestPrecharge(t *testing.T) {
	got, k := precharge(with(t, "cap", "1000", "pre", "1", "s", "20", "cellmax", "4.2"))
	assert.Equal(t, 330.0, got.Ohm)
	assert.InEpsilon(t, 0.98858, got.Seconds, 1e-4)
	assert.InEpsilon(t, 3.528, got.EnergyJ, 1e-9)
	assert.InEpsilon(t, 21.382, got.PeakW, 1e-4)
	assert.InEpsilon(t, k.At(1).OpenCircuit/k.At(1).Resistance, got.InrushA, 1e-12, "Ohm's law")
	got, _ = precharge(with(t, "cap", "50000", "pre", "0.05"))
	assert.Equal(t, 0.33, got.Ohm, "0.3338 Ω")
	got, _ = precharge(with(t, "cap", "10", "pre", "20"))
	assert.Equal(t, 560000.0, got.Ohm, "667.6 kΩ")
}

// Every resistor is of series E12 (IEC 60063), in time, and the next larger one is late.
func TestPrechargeIsTheLargestInTime(t *testing.T) {
	series := []float64{1, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2, 10}
	rapid.Check(t, func(t *rapid.T) {
		b := randombuild.Any().Draw(t, "build")
		got, _ := precharge(b)
		decade := math.Pow(10, math.Floor(math.Log10(got.Ohm)+1e-9))
		i := slices.IndexFunc(series, func(v float64) bool { return math.Abs(v-got.Ohm/decade) < 1e-9 })
		require.GreaterOrEqual(t, i, 0, "%g Ω", got.Ohm)
		assert.LessOrEqual(t, got.Seconds, b.Precharge*(1+1e-12))
		assert.Greater(t, got.Seconds*series[i+1]/series[i], b.Precharge)
	})
}

func touch(b build.Build) protect.Touch {
	p := b.Parts()
	k := pack.New(&b, &p)
	return protect.CheckTouch(&k)
}

func TestTouch(t *testing.T) {
	limits := map[string]float64{}
	for _, row := range reference.Table(t, "../../testdata/limits.csv") {
		limits[row.Text("quantity")] = row.Number("value")
	}
	assert.Equal(t, limits["SELV_touchable_dc_ripple_free_luminaire"], protect.TouchableV, "IEC 60598-1:2008")
	assert.Equal(t, limits["ES1_dc"], protect.TouchableV, "IEC 62368-1, from memory")
	assert.Equal(t, limits["ELV_dc_ripple_free"], protect.ExtraLowV, "IEC 61140:2016")
	assert.Equal(t, limits["ES2_dc"], protect.ExtraLowV, "IEC 62368-1, from memory")
	for _, c := range []struct{ cells, volts, class string }{
		{"14", "4.2", "up to 60 V d.c."}, {"15", "4.2", "above 60 V d.c."}, {"28", "4.2", "above 60 V d.c."}, {"29", "4.2", "above 120 V d.c."},
		{"16", "3.65", "up to 60 V d.c."}, {"17", "3.65", "above 60 V d.c."}, {"32", "3.65", "above 60 V d.c."}, {"33", "3.65", "above 120 V d.c."},
		{"15", "4", "up to 60 V d.c."}, {"30", "4", "above 60 V d.c."}, // at the limits exactly
	} {
		got := touch(with(t, "s", c.cells, "cellmax", c.volts))
		assert.Equal(t, c.class, got.Class, "%s cells of %s V", c.cells, c.volts)
		assert.NotEmpty(t, got.Text)
		assert.Greater(t, got.FullV, 50.0)
	}
}
