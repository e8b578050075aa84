package link_test

import (
	"encoding/json"
	"flag"
	"maps"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"headroom/core"
	"headroom/core/build"
	"headroom/core/link"

	"github.com/stretchr/testify/require"
)

// update adds to the file what it does not hold yet: new keys and ids, links for them, new links of byHand. What stands in it stays as it
// is, for ever. remeasure takes the readouts anew as well: for a correction of an equation, which the change must name.
var (
	update    = flag.Bool("update", false, "add what is new to testdata/frozen_links.json")
	remeasure = flag.Bool("remeasure", false, "with -update: take the readouts in testdata/frozen_links.json anew, after an equation was corrected")
)

const frozenFile = "../../testdata/frozen_links.json"

// frozenLinks is what version 1 promises: what every default and class value is, and how links open.
type frozenLinks struct {
	Defaults     map[string]string                        `json:"defaults"`     // by link key
	Placeholders map[string]float64                       `json:"placeholders"` // of the default build, by link key
	Classes      map[string]map[string]map[string]float64 `json:"classes"`      // choice, id, link key of the value that the class gives
	Links        []frozenLink                             `json:"links"`
}

type frozenLink struct {
	Link     string `json:"link"`
	Opens    string `json:"opens"`            // canonical
	Beside   string `json:"beside,omitempty"` // canonical link of the second build
	Problems int    `json:"problems"`
	// Readouts are the leading figures by report key, null where there is none.
	Readouts map[string]*float64 `json:"readouts"`
}

func texts(b *build.Build) map[string]string {
	out := map[string]string{}
	for i := range build.Fields {
		out[build.Fields[i].Key] = build.Fields[i].Text(b)
	}
	return out
}

// classValues are the values that a field left empty takes from its class, by choice and id: those that some id of the choice
// changes.
func classValues() map[string]map[string]map[string]float64 {
	out := map[string]map[string]map[string]float64{}
	for i := range build.Fields {
		choice := &build.Fields[i]
		if choice.Kind != build.Choice {
			continue
		}
		ids := map[string]map[string]float64{}
		differ := map[string]bool{}
		standard := build.Default()
		for _, o := range choice.Options() {
			b := build.Default()
			choice.Set(&b, o.ID)
			ids[o.ID] = placeholders(&b)
			for key, v := range ids[o.ID] {
				differ[key] = differ[key] || v != build.FieldFor(key).Value(&standard)
			}
		}
		for _, values := range ids {
			maps.DeleteFunc(values, func(key string, _ float64) bool { return !differ[key] })
		}
		out[choice.Key] = ids
	}
	return out
}

// placeholders are the values of every field that is left to its class.
func placeholders(b *build.Build) map[string]float64 {
	out := map[string]float64{}
	for i := range build.Fields {
		if f := &build.Fields[i]; f.Optional {
			out[f.Key] = f.Value(b)
		}
	}
	return out
}

// add puts what is new into m.
func add[V any](m, more map[string]V) {
	for key, v := range more {
		if _, ok := m[key]; !ok {
			m[key] = v
		}
	}
}

func opened(t *testing.T, text string) frozenLink {
	l := link.Decode(text)
	return frozenLink{text, link.Encode(&l.Build, l.Unknown), l.Beside, len(l.Problems), leading(t, &l.Build)}
}

// leading are the figures that the page leads with, rounded to what every machine agrees on.
func leading(t *testing.T, b *build.Build) map[string]*float64 {
	r, err := core.Plan(*b)
	require.NoError(t, err)
	out := map[string]*float64{}
	for i := range core.Readouts {
		for j := range core.Readouts[i].Rows {
			o := &core.Readouts[i].Rows[j]
			if !o.Lead {
				continue
			}
			out[o.Key] = nil
			if v, ok := o.Value(&r); ok {
				v, err = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 9, 64), 64)
				require.NoError(t, err)
				out[o.Key] = &v
			}
		}
	}
	return out
}

// sameFigures holds what was frozen against what is found now.
func sameFigures(t *testing.T, text string, want, got map[string]*float64) {
	t.Helper()
	for key, w := range want {
		g, ok := got[key]
		require.True(t, ok, "%s leads no more", key)
		require.Equal(t, w == nil, g == nil, "%s of %s", key, text)
		if w != nil {
			require.InDelta(t, *w, *g, 1e-6*(1+math.Abs(*w)), "%s of %s", key, text)
		}
	}
}

// freeze adds to the file what is new.
func freeze(t *testing.T, f *frozenLinks) {
	standard := build.Default()
	add(f.Defaults, texts(&standard))
	add(f.Placeholders, placeholders(&standard))
	for choice, ids := range classValues() {
		add(f.Classes, map[string]map[string]map[string]float64{choice: ids})
		for id, values := range ids {
			add(f.Classes[choice], map[string]map[string]float64{id: values})
			add(f.Classes[choice][id], values)
		}
	}
	have := map[string]bool{}
	for i := range f.Links {
		l := &f.Links[i]
		have[l.Link] = true
		if l.Readouts == nil || *remeasure {
			l.Readouts = opened(t, l.Link).Readouts
		}
	}
	for _, text := range slices.Concat(byHand, uncovered(f.Links), drawn(len(f.Links))) {
		if !have[text] {
			have[text] = true
			f.Links = append(f.Links, opened(t, text))
		}
	}
	text, err := json.MarshalIndent(f, "", " ")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(frozenFile, append(text, '\n'), 0o644))
}

func frozen(t *testing.T) *frozenLinks {
	text, err := os.ReadFile(frozenFile)
	require.NoError(t, err)
	var f frozenLinks
	require.NoError(t, json.Unmarshal(text, &f))
	return &f
}

func TestLinksOpenForEver(t *testing.T) {
	if *update {
		freeze(t, frozen(t))
	}
	f := frozen(t)
	require.GreaterOrEqual(t, len(f.Links), 200)
	require.Empty(t, uncovered(f.Links), "every key and every id has a link that may never change: go test ./core/link -update")

	standard := build.Default()
	now := texts(&standard)
	for key, want := range f.Defaults {
		got, ok := now[key]
		require.True(t, ok, "version 1 has the key %s", key)
		require.Equal(t, want, got, "the default of %s is frozen", key)
	}
	for key, want := range f.Placeholders {
		require.Equal(t, want, build.FieldFor(key).Value(&standard), "the default build's %s is frozen", key)
	}
	for choice, ids := range f.Classes {
		for id, values := range ids {
			b := build.Default()
			require.Nil(t, build.FieldFor(choice).Set(&b, id), "version 1 has the %s %s", choice, id)
			for key, want := range values {
				require.Equal(t, want, build.FieldFor(key).Value(&b), "%s of %s is frozen", key, id)
			}
		}
	}
	for _, want := range f.Links {
		got := opened(t, want.Link)
		require.Equal(t, want.Opens, got.Opens, want.Link)
		require.Equal(t, want.Beside, got.Beside, want.Link)
		require.Equal(t, want.Problems, got.Problems, want.Link)
		require.NotEmpty(t, want.Readouts, want.Link)
		sameFigures(t, want.Link, want.Readouts, got.Readouts)
		require.Equal(t, want.Opens, canonical(want.Opens), "what it opens as opens as itself")
	}
}
