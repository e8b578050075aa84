package charge_test

import (
	"strings"
	"testing"

	"headroom/core/build"
	"headroom/core/charge"
	"headroom/core/internal/reference"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func set(t testing.TB, b *build.Build, pairs ...string) {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		if p := build.FieldFor(pairs[i]).Set(b, pairs[i+1]); p != nil {
			t.Fatal(p.Text)
		}
	}
}

// made is the default board with these inputs.
func made(t testing.TB, pairs ...string) build.Build {
	t.Helper()
	b := build.Default()
	set(t, &b, pairs...)
	return b
}

func planned(b build.Build) charge.Report {
	p := b.Parts()
	return charge.Plan(&b, &p)
}

func plan(t testing.TB, pairs ...string) charge.Report {
	t.Helper()
	return planned(made(t, pairs...))
}

func TestAgainstSimulationInTime(t *testing.T) {
	const source = "SciPy, DOP853 in time with events, testdata/charge_sim.py, row %d"
	rows := reference.Table(t, "../../testdata/charge_sim.csv")
	require.Len(t, rows, 13)
	for n, row := range rows {
		var pairs []string
		for _, key := range strings.Fields("s p cell cellah cellr cellmax cellmin soh rgrow linkr chga chgv z0 z1 chgtemp taper chgeff") {
			pairs = append(pairs, key, row.Text(key))
		}
		r := plan(t, pairs...)
		for column, value := range map[string]float64{
			"minutes": r.Minutes, "end_pct": r.EndPct, "pack_wh": r.PackWh, "heat_wh": r.HeatWh, "wall_wh": r.WallWh,
		} {
			assert.InEpsilon(t, row.Number(column), value, 2e-7, source+": %s", n, column)
		}
		assert.InDelta(t, row.Number("minutes_cc"), r.MinutesCC, 2e-7*r.Minutes, source, n)
		assert.InDelta(t, row.Number("minutes_cv"), r.MinutesCV, 2e-7*r.Minutes, source, n)
		if row.Text("minutes_to_80") == "" {
			assert.Nil(t, r.MinutesTo80, source, n)
		} else if assert.NotNil(t, r.MinutesTo80, source, n) {
			assert.InEpsilon(t, row.Number("minutes_to_80"), *r.MinutesTo80, 2e-7, source, n)
		}
	}
}
