package build_test

import (
	"strings"
	"testing"

	"headroom/core/build"
	"headroom/core/internal/reference"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// choices are the catalogs as a form sees them.
func choices() map[string][]build.Option {
	out := map[string][]build.Option{}
	for i := range build.Fields {
		if f := &build.Fields[i]; f.Kind == build.Choice {
			out[f.Key] = f.Options()
		}
	}
	return out
}

func TestCatalogs(t *testing.T) {
	all := choices()
	for key, least := range map[string]int{"cell": 8, "motor": 5, "ctrl": 4, "tire": 5, "fusetype": 5, "surface": 3} {
		require.GreaterOrEqual(t, len(all[key]), least, key)
	}
	for key, options := range all {
		seen := map[string]bool{}
		for _, o := range options {
			assert.False(t, seen[o.ID], "%s: id %q stands twice", key, o.ID)
			seen[o.ID] = true
			assert.Regexp(t, `^[a-z0-9-]+$`, o.ID, "%s: an id stands in links", key)
			assert.NotEmpty(t, o.Name, o.ID)
			if o.ID == build.On || o.ID == build.Off || o.ID == "own" {
				continue // a setting, and what one types oneself
			}
			assert.Greater(t, len(o.Note), 20, "%s says where its values come from", o.ID)
		}
		assert.True(t, seen[build.FieldFor(key).Chosen], "%s: the default is in the catalog", key)
	}
}

func TestCellSizesAndChemistries(t *testing.T) {
	sizes, chemistries := map[string]bool{}, map[build.Chemistry]bool{}
	for _, c := range build.Cells {
		size, _, _ := strings.Cut(c.ID, "-")
		sizes[size], chemistries[c.Chemistry] = true, true
		assert.Less(t, c.EmptyV, c.CutoffV, c.ID)
		assert.Less(t, c.CutoffV, c.NominalV, c.ID)
		assert.Less(t, c.NominalV, c.FullV, c.ID)
		assert.LessOrEqual(t, c.ContinuousA, c.PeakA, c.ID)
		if c.Chemistry == build.IronPhosphate {
			assert.Equal(t, 3.65, c.FullV, "%s: common practice, no published source", c.ID)
		} else {
			assert.Equal(t, 4.2, c.FullV, "%s: common practice, no published source", c.ID)
		}
		// Energy per mass of today's cells lies between 80 and 280 Wh/kg (common practice, no published source).
		density := c.CapacityAh * c.NominalV / c.Mass
		assert.Greater(t, density, 80.0, c.ID)
		assert.Less(t, density, 280.0, c.ID)
	}
	for _, size := range []string{"18650", "21700", "26650"} {
		assert.True(t, sizes[size], size)
	}
	assert.Greater(t, len(sizes), 3, "and a larger size")
	assert.Len(t, chemistries, 3)
}

// Range of 10 s resistances of 18650 and 21700 (from memory): power 10–20 mΩ, energy 25–45 mΩ.
func TestCellResistancesFollowTheirType(t *testing.T) {
	for _, c := range build.Cells {
		small := strings.HasPrefix(c.ID, "18650") || strings.HasPrefix(c.ID, "21700")
		switch {
		case small && strings.HasSuffix(c.ID, "-power"):
			assert.GreaterOrEqual(t, c.Resistance, 0.010, c.ID)
			assert.LessOrEqual(t, c.Resistance, 0.020, c.ID)
		case small && strings.HasSuffix(c.ID, "-energy"):
			assert.GreaterOrEqual(t, c.Resistance, 0.025, c.ID)
			assert.LessOrEqual(t, c.Resistance, 0.045, c.ID)
		}
	}
}

func TestFuseCatalogAgainstStandards(t *testing.T) {
	limits := map[string]float64{}
	for _, row := range reference.Table(t, "../../testdata/limits.csv") {
		limits[row.Text("quantity")] = row.Number("value")
	}
	blades := 0
	for _, f := range build.Fuses {
		switch {
		case strings.HasPrefix(f.ID, "blade"):
			blades++
			assert.Equal(t, limits["ISO8820_3_breaking_capacity"], f.BreakingA, "%s: ISO 8820-3:2015", f.ID)
			assert.Equal(t, limits["ISO8820_3_max_rating"], f.MaxRating, "%s: ISO 8820-3:2015", f.ID)
			assert.Contains(t, []float64{limits["ISO8820_3_rated_voltage_low"], limits["ISO8820_3_rated_voltage_high"]}, f.VoltageDC,
				"%s: ISO 8820-3:2015", f.ID)
		case f.ID == "bolt-58":
			assert.Equal(t, limits["ISO8820_6_breaking_capacity"], f.BreakingA, "ISO 8820-6:2019")
			assert.Equal(t, limits["ISO8820_6_max_rating"], f.MaxRating, "ISO 8820-6:2019")
			assert.Equal(t, limits["ISO8820_6_rated_voltage"], f.VoltageDC, "ISO 8820-6:2019")
		}
	}
	assert.Equal(t, 2, blades)
}

// Every class value that can be put in by hand must itself be a value that the field allows.
func TestCatalogValuesFitTheirFields(t *testing.T) {
	checked := 0
	for key, options := range choices() {
		for _, o := range options {
			b := build.Default()
			require.Nil(t, build.FieldFor(key).Set(&b, o.ID))
			for i := range build.Fields {
				f := &build.Fields[i]
				if !f.Optional {
					continue
				}
				checked++
				v := f.Value(&b)
				assert.GreaterOrEqual(t, v, f.Min, "%s of %s", f.Key, o.ID)
				assert.LessOrEqual(t, v, f.Max, "%s of %s", f.Key, o.ID)
			}
		}
	}
	assert.Greater(t, checked, 500)
}

// A class value put in by hand must change nothing.
func TestClassValueByHandIsTheClass(t *testing.T) {
	b := build.Default()
	before := b.Parts()
	for i := range build.Fields {
		f := &build.Fields[i]
		if !f.Optional {
			continue
		}
		v := f.Value(&b)
		f.SetValue(&b, v)
		assert.True(t, f.Given(&b), f.Key)
		assert.Equal(t, v, f.Value(&b), f.Key)
	}
	after := b.Parts()
	assert.InEpsilon(t, before.BoardMass, after.BoardMass, 1e-9)
	assert.InEpsilon(t, before.CutoffV, after.CutoffV, 1e-9)
	assert.InEpsilon(t, before.Motor.Kv, after.Motor.Kv, 1e-9)
	assert.InEpsilon(t, before.Motor.Lq, after.Motor.Lq, 1e-9)
	assert.InEpsilon(t, before.Tire.Carcass, after.Tire.Carcass, 1e-9)
	assert.InEpsilon(t, before.Cell.Resistance, after.Cell.Resistance, 1e-9)
	assert.InEpsilon(t, before.Controller.SwitchingK, after.Controller.SwitchingK, 1e-9)
	assert.InEpsilon(t, before.Fuse.BreakingA, after.Fuse.BreakingA, 1e-9)
}

func TestPartsAddUp(t *testing.T) {
	b := build.Default()
	p := b.Parts()
	assert.InEpsilon(t, 36*p.Cell.Mass+p.Motor.Mass+p.Tire.Mass+p.Controller.Mass+b.Frame, p.BoardMass, 1e-12)
	build.FieldFor("cellg").SetValue(&b, 100)
	q := b.Parts()
	assert.InEpsilon(t, p.BoardMass+36*(0.1-p.Cell.Mass), q.BoardMass, 1e-12, "the sum follows a mass put in by hand")
	build.FieldFor("board").SetValue(&b, 21)
	assert.InEpsilon(t, 21.0, b.Parts().BoardMass, 1e-12, "the scale has the last word")
	build.FieldFor("vcut").SetValue(&b, 50)
	assert.InEpsilon(t, 50.0, b.Parts().CutoffV, 1e-12)
}
