package ui

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core/build"
	"headroom/core/link"
)

// read is a row of the file as someone reads it who knows only what README.md says.
type read struct {
	Kind, Key, Label, Unit, Value, From, Status string
	Recommended, ClearFrom, ClearTo             string
}

func readTable(t require.TestingT, file string) []read {
	rows, err := csv.NewReader(strings.NewReader(file)).ReadAll()
	require.NoError(t, err)
	place := map[string]int{}
	for i, name := range rows[0] {
		place[name] = i
	}
	list := make([]read, 0, len(rows))
	for _, r := range rows[1:] {
		of := func(name string) string { return r[place[name]] }
		list = append(list, read{of("kind"), of("key"), of("label"), of("unit"), of("value"), of("from"), of("status"),
			of("recommended"), of("clear_from"), of("clear_to")})
	}
	return list
}

func readJSON(t require.TestingT, file []byte) (list []read, text string) {
	var all map[string]any
	d := json.NewDecoder(bytes.NewReader(file))
	d.UseNumber()
	require.NoError(t, d.Decode(&all))
	require.Equal(t, "headroom-settings", all["format"])
	require.Equal(t, json.Number("1"), all["version"])
	require.NotEmpty(t, all["caution"])
	for _, kind := range [2]string{"setting", "input"} {
		for _, one := range all[kind+"s"].([]any) {
			of := func(name string) string {
				switch v := one.(map[string]any)[name].(type) {
				case json.Number:
					return v.String()
				case string:
					return v
				}
				return ""
			}
			list = append(list, read{kind, of("key"), of("label"), of("unit"), of("value"), of("from"), of("status"),
				of("recommended"), of("clear_from"), of("clear_to")})
		}
	}
	return list, all["link"].(string)
}

// Whatever the build, both files say the same and give it back through the Fields table.
func TestSettingsFilesHoldTheBuild(t *testing.T) {
	own := 0
	rapid.Check(t, func(t *rapid.T) {
		p := NewPlanner()
		p.Build = randomBuild(t)
		if rapid.Bool().Draw(t, "own ride") {
			build.FieldFor("profile").Set(&p.Build, "own")
			build.FieldFor("own").Set(&p.Build, "500~20~2_800~31~-1")
			own++
		}
		p.plan()
		require.Empty(t, p.Fault)
		table := readTable(t, p.settingsCSV())
		rows, text := readJSON(t, p.settingsJSON())
		require.Equal(t, p.Build, link.Decode(text).Build)
		require.Len(t, rows, len(build.Fields))
		require.Len(t, table, len(rows))
		back := build.Default()
		seen := map[string]bool{}
		for i, r := range rows {
			want := table[i]
			for _, pair := range [][2]*string{{&r.Recommended, &want.Recommended}, {&r.ClearFrom, &want.ClearFrom}, {&r.ClearTo, &want.ClearTo}, {&r.Value, &want.Value}} {
				if a, err := build.ParseNumber(*pair[0]); err == nil { // encoding/json writes large numbers with an exponent
					b, err := build.ParseNumber(*pair[1])
					require.NoError(t, err)
					require.Equal(t, a, b)
					*pair[0] = *pair[1]
				}
			}
			require.Equal(t, want, r)
			require.False(t, seen[r.Key], r.Key)
			seen[r.Key] = true
			f := build.FieldFor(r.Key)
			require.NotNil(t, f)
			require.Equal(t, f.Unit, r.Unit)
			require.Equal(t, f.Label, r.Label)
			if r.From == "build" {
				require.Nil(t, f.Set(&back, r.Value), r.Key)
			}
		}
		require.Equal(t, p.Build, back, text)
	})
	assert.Positive(t, own)
}

func TestSettingsFilesHoldTheCheck(t *testing.T) {
	p := opened(t, "v=1&batt=90&phase=200")
	table := readTable(t, p.settingsCSV())
	byKey := map[string]read{}
	for _, r := range table {
		byKey[r.Key] = r
	}
	settings := 0
	for _, s := range p.Report.Settings {
		r := byKey[s.Key]
		assert.Equal(t, "setting", r.Kind)
		assert.Equal(t, string(s.Status), r.Status)
		for _, c := range []struct {
			text string
			v    *float64
		}{{r.Recommended, &s.Should}, {r.ClearFrom, s.Low}, {r.ClearTo, s.High}, {r.Value, s.Has}} {
			if c.v == nil {
				continue
			}
			got, err := build.ParseNumber(c.text)
			require.NoError(t, err, s.Key)
			assert.Equal(t, *c.v, got, s.Key)
		}
		settings++
	}
	assert.Equal(t, 13, settings)
	assert.Equal(t, "over", byKey["batt"].Status)
	assert.Equal(t, "class", byKey["warn"].From, "not entered")
	assert.Empty(t, byKey["warn"].Status)
	assert.Equal(t, "build", byKey["phase"].From)
	assert.Equal(t, "phase", table[0].Key, "in the order in which a controller is gone through")

	// As README.md documents them.
	readme, err := os.ReadFile("../README.md")
	require.NoError(t, err)
	for _, column := range strings.Split(strings.TrimSpace(strings.SplitN(p.settingsCSV(), "\n", 2)[0]), ",") {
		assert.Contains(t, string(readme), "`"+column+"`")
	}
}

func TestSettingsAreSaved(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen(settingsID, true)
	saved := map[string]string{}
	p.OnSave = func(name, mime string, body []byte) { saved[name+" "+mime] = string(body) }
	page := show(t, p)
	for _, name := range []string{"settings-csv", "settings-json"} {
		assert.NotNil(t, find(page, attribute("name", name)))
	}
	p.SaveSettingsTable()
	p.SaveSettingsJSON()
	assert.Equal(t, map[string]string{
		"headroom-settings.csv text/csv;charset=utf-8": p.settingsCSV(), "headroom-settings.json application/json": string(p.settingsJSON()),
	}, saved)
}
