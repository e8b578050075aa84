package core_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/limit"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// plan is the report of the default build changed by pairs of link key and text.
func plan(t testing.TB, pairs ...string) core.Report {
	t.Helper()
	b := build.Default()
	for i := 0; i < len(pairs); i += 2 {
		require.Nil(t, build.FieldFor(pairs[i]).Set(&b, pairs[i+1]), pairs[i])
	}
	r, err := core.Plan(b)
	require.NoError(t, err)
	return r
}

// tree is a report as a script sees it.
func tree(t testing.TB, r core.Report) map[string]any {
	t.Helper()
	text, err := json.Marshal(r)
	require.NoError(t, err)
	var out map[string]any
	require.NoError(t, json.Unmarshal(text, &out))
	return out
}

// at follows a dotted path; ok is false where it leads nowhere.
func at(root any, path string) (v any, ok bool) {
	for _, name := range strings.Split(path, ".") {
		object, is := root.(map[string]any)
		if !is {
			return nil, false
		}
		if root, ok = object[name]; !ok {
			return nil, false
		}
	}
	return root, true
}

// Builds that between them leave out everything that a report may leave out.
var hard = [][]string{
	nil, {"grade", "-20"}, {"grade", "30", "s", "8", "p", "1", "cellr", "300"}, {"cruise", "100"}, {"hyst", "500", "isat", "30", "kv", "80"},
	{"start", "20", "floor", "60"}, {"wind", "-60"}, {"standby", "100", "cellr", "300", "p", "1", "s", "8", "temp", "-20"},
}

func TestReadoutsAreInTheReport(t *testing.T) {
	absent := map[string]bool{}
	for _, pairs := range hard {
		r := plan(t, pairs...)
		root := tree(t, r)
		for _, section := range core.Readouts {
			require.NotEmpty(t, section.Title)
			for i := range section.Rows {
				o := &section.Rows[i]
				v, shown := o.Value(&r)
				inJSON, ok := at(root, o.Key)
				require.Equal(t, shown, ok, "%s with %v", o.Key, pairs)
				if shown {
					require.Equal(t, v, inJSON, "%s with %v", o.Key, pairs)
				} else {
					absent[o.Key] = true
				}
				_ = o.Detail(&r)
			}
		}
	}
	for _, key := range []string{"range.km", "range.low_km", "range.high_km", "range.wh_per_km", "ride.duty_pct", "ride.bus_v", "ride.power_w"} {
		assert.True(t, absent[key], "no build of this test leaves out %s: the check of absence is idle", key)
	}
}

func TestReadoutsTable(t *testing.T) {
	seen, leads := map[string]bool{}, 0
	r := plan(t)
	for _, section := range core.Readouts {
		for i := range section.Rows {
			o := &section.Rows[i]
			assert.False(t, seen[o.Key], "%s stands twice", o.Key)
			seen[o.Key] = true
			assert.NotEmpty(t, o.Label, o.Key)
			assert.NotEmpty(t, o.Help, o.Key)
			assert.Same(t, o, core.ReadoutFor(o.Key))
			if o.Lead {
				leads++
				assert.NotNil(t, r.Bar(o.Key), "%s leads but has no bar", o.Key)
			}
		}
	}
	assert.Equal(t, 5, leads, "voltage, cruise ceiling, range, weakest margin, balance reserve")
	assert.Nil(t, core.ReadoutFor("nope"))
}

func TestBarsBelongToFigures(t *testing.T) {
	for _, pairs := range hard {
		r := plan(t, pairs...)
		parts := map[string]bool{}
		for _, row := range r.Protection.Rows {
			parts[row.Part] = true
		}
		seen := map[string]bool{}
		for _, bar := range r.Limits {
			assert.False(t, seen[bar.Key], "%s has two bars", bar.Key)
			seen[bar.Key] = true
			key, isBuild := strings.CutPrefix(bar.Key, "build.")
			part, isPart := strings.CutPrefix(bar.Key, "protection.")
			switch {
			case isBuild:
				assert.NotNil(t, build.FieldFor(key), bar.Key)
			case isPart && parts[part]:
			default:
				assert.NotNil(t, core.ReadoutFor(bar.Key), "%s is no readout, part or input", bar.Key)
			}
			assert.Same(t, &r.Limits[indexOf(r, bar.Key)], r.Bar(bar.Key))
			assert.GreaterOrEqual(t, bar.Used, 0.0, "%s with %v", bar.Key, pairs)
			assert.GreaterOrEqual(t, bar.Limit, 0.0, "%s with %v", bar.Key, pairs)
			assert.LessOrEqual(t, bar.Want, bar.Limit, "%s with %v", bar.Key, pairs)
			assert.NotEmpty(t, bar.Text, bar.Key)
		}
		for part := range parts {
			assert.True(t, seen["protection."+part], "%s has no bar", part)
		}
		assert.Nil(t, r.Bar("nope"))
	}
}

func indexOf(r core.Report, key string) int {
	for i := range r.Limits {
		if r.Limits[i].Key == key {
			return i
		}
	}
	return -1
}

// The keys that scripts rely on.
func TestStableKeys(t *testing.T) {
	root := tree(t, plan(t))
	for section, keys := range map[string]string{
		"pack":             "full_v nominal_v empty_v capacity_ah energy_wh resistance_ohm continuous_a peak_a mass_kg cells",
		"motor":            "flux_wb torque_per_a",
		"speed":            "free_spin_kmh level_top_kmh limited_by cruise_ceiling_kmh.full cruise_ceiling_kmh.half cruise_ceiling_kmh.low",
		"range":            "km low_km high_km wh_per_km stopped_by by_speed",
		"protection":       "rows weakest fuse.short_circuit_a fuse.voltage_ok fuse.breaking_ok",
		"model.motor":      "resistance_ohm ld_h lq_h pole_pairs flux_wb saturation_a hysteresis_k eddy_k winding_c",
		"model.controller": "on_resistance_ohm switching_k standby_w",
		"model.tire":       "rolling_radius_m loaded_radius_m growth_k",
		"model.road":       "mass_kg air_density cda_m2 rolling_force_n",
		"model.pack":       "open_circuit_v.full open_circuit_v.half open_circuit_v.low resistance_ohm.full resistance_ohm.half resistance_ohm.low",
	} {
		for _, key := range strings.Fields(keys) {
			_, ok := at(root, section+"."+key)
			assert.True(t, ok, "%s.%s", section, key)
		}
	}
	for _, charge := range []string{"full", "half", "low"} {
		list, _ := at(root, "envelope."+charge)
		require.NotEmpty(t, list)
		first := list.([]any)[0]
		for _, key := range strings.Fields("speed_kmh torque_max load_torque duty bus_v battery_a phase_d_a phase_q_a reserve_nm shift_mm grade_pct bound_by") {
			_, ok := at(first, key)
			assert.True(t, ok, "envelope.%s[].%s", charge, key)
		}
	}
	rows, _ := at(root, "protection.rows")
	for _, key := range strings.Fields("part load_a peak_a rating_a margin_pct status why") {
		_, ok := at(rows.([]any)[0], key)
		assert.True(t, ok, "protection.rows[].%s", key)
	}
	for i := range build.Fields {
		_, ok := at(root, "build."+build.Fields[i].Key)
		assert.True(t, ok, "build.%s", build.Fields[i].Key)
	}
}

func TestInputsAsResolved(t *testing.T) {
	root := tree(t, plan(t, "kv", "12", "kpa", "145.5", "motor", "hub65-wide"))
	for key, want := range map[string]any{"build.kv": 12.0, "build.kpa": 145.5, "build.motor": "hub65-wide", "build.s": 18.0, "build.poles": 15.0, "build.cruise": 24.0} {
		v, _ := at(root, key)
		assert.Equal(t, want, v, key)
	}
}

func TestPlanRefusesWhatIsNoBuild(t *testing.T) {
	_, err := core.Plan(build.Build{})
	assert.Error(t, err)
}

// A folded section tells of every note that is about it: whatever is tight or over stands in one section at least, but for the settings,
// which have a card of their own.
func TestNotesAreToldByASection(t *testing.T) {
	for _, c := range raisedBy {
		if c.code == "settings" || c.status == limit.Clear {
			continue
		}
		r := changed(t, c.raised)
		told := slices.ContainsFunc(core.Readouts, func(s core.Section) bool {
			worst := s.Worst(&r)
			return worst == c.status || worst.Worse(c.status)
		})
		assert.True(t, told, "%s with %q", c.code, c.raised)
		only := core.Report{Notes: []core.Note{{Code: c.code, Status: c.status}}}
		assert.True(t, slices.ContainsFunc(core.Readouts, func(s core.Section) bool { return s.Worst(&only) == c.status }), "%s is about no section", c.code)
	}
	var nothing core.Report
	for i := range core.Readouts {
		assert.Empty(t, core.Readouts[i].Worst(&nothing), core.Readouts[i].Title)
	}
}
